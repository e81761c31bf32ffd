"""Each figure of the markings worked through like a hand calculation."""

from __future__ import annotations

import re

from rigbook.light.markings import area_by_part, base_m, covered, markings_of, reflective_length_m, union_of
from rigbook.light.retroreflection import LEAST_STRIPE_M, coefficient_cd_per_lx_m2
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig

_SIDE = re.compile(r"light\.markings\.sides\[(left|right|front|rear)\]\.(length_m|length_share|area_m2|area_share)")
_EACH = re.compile(r"light\.markings\.each\[([a-z0-9_-]+)\]\.(area_m2|cd_per_lx)")
STRIPE = "nfpa-1901-striping"


def explain(rig: Rig, figure_id: str) -> Working:
    """How a figure of `light.markings` was worked out. KeyError for an id it does not give."""
    if match := _SIDE.fullmatch(figure_id):
        return _side(rig, figure_id, match.group(1), match.group(2))
    if match := _EACH.fullmatch(figure_id):
        return _each(rig, figure_id, match.group(1), match.group(2))
    raise KeyError(figure_id)


def _side(rig: Rig, figure_id: str, side: str, key: str) -> Working:
    row = next((r for r in markings_of(rig).sides if r.id == side), None)
    value = None if row is None else getattr(row, key)
    if row is None or value is None:
        raise KeyError(figure_id)
    mine = [m for m in rig.build.markings if m.side == side]
    length, height = base_m(rig.vehicle, side)
    boxes = union_of(mine)
    areas = tuple(
        Input(symbol="A", meaning=f"covered by {m.id}, gaps left out", value=sum(b.area_m2 for b in covered(m)), unit="m2",
              source=f"{m.where.file}:{m.where.line}")
        for m in mine
    )  # fmt: skip
    whole = Input(symbol="L", meaning=f"length of the {side} side", value=length, unit="m")
    stretch = Input(
        symbol="l", meaning="stretch with at least 4 in of height covered", value=reflective_length_m(boxes), unit="m"
    )
    if key == "area_m2":
        return Working(figure_id=figure_id, title=f"Covered on the {side}", formula="A = area of all together, each spot once",
                       inputs=areas, result=value, unit="m2")  # fmt: skip
    if key == "area_share":
        base = Input(symbol="h", meaning="height above the ground clearance, glass included", value=height, unit="m")
        covered_m2 = Input(symbol="A", meaning="covered", value=row.area_m2, unit="m2")
        return Working(figure_id=figure_id, title=f"Share of the {side} that is covered", formula="A / (L * h)",
                       inputs=(covered_m2, whole, base), result=value, unit="fraction", source=STRIPE)  # fmt: skip
    least = Input(symbol="h", meaning="height that counts as a stripe", value=LEAST_STRIPE_M, unit="m", source=STRIPE,
                  sourced="published")  # fmt: skip
    if key == "length_m":
        return Working(figure_id=figure_id, title=f"Reflective length on the {side}", formula="l = stretch with h covered",
                       inputs=(*areas, least), result=value, unit="m", source=STRIPE)  # fmt: skip
    return Working(figure_id=figure_id, title=f"Share of the {side} side's length", formula="l / L", inputs=(stretch, whole, least),
                   result=value, unit="fraction", source=STRIPE)  # fmt: skip


def _each(rig: Rig, figure_id: str, name: str, key: str) -> Working:
    marking = next((m for m in rig.build.markings if m.id == name), None)
    row = next((r for r in markings_of(rig).each if r.id == name), None)
    if marking is None or row is None or getattr(row, key) is None:
        raise KeyError(figure_id)
    where = f"{marking.where.file}:{marking.where.line}"
    if key == "area_m2":
        parts = tuple(Input(symbol="A", meaning=f"of {part}", value=area, unit="m2", source=where)
                      for part, area in area_by_part(marking).items())  # fmt: skip
        return Working(figure_id=figure_id, title=f"Area of {name}", formula="A = sum of its sheetings, gaps left out",
                       inputs=parts, result=row.area_m2, unit="m2")  # fmt: skip
    inputs: list[Input] = []
    for part, area in area_by_part(marking).items():
        sheet = rig.parts[part]
        found = coefficient_cd_per_lx_m2(sheeting=sheet.sheeting, colour=sheet.colour)
        inputs.append(Input(symbol="R", meaning=f"of {part}, type {sheet.sheeting} {sheet.colour}, 0.2 and -4 deg", value=found,
                            unit="cd/lx/m2", source="astm-d4956-01", sourced="published"))  # fmt: skip
        inputs.append(Input(symbol="A", meaning=f"area of {part}", value=area, unit="m2", source=where))
    return Working(figure_id=figure_id, title=f"Least that {name} sends back per lux", formula="I / E = sum of R * A",
                   inputs=tuple(inputs), result=row.cd_per_lx, unit="cd/lx", source="cie-54", sourced="memory")  # fmt: skip
