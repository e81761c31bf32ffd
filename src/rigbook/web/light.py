"""The Light page's data: what the light of a build is in one state of its switches.

FastAPI reads the annotations of routes as they stand: so none are postponed here.
"""

import threading
from collections import OrderedDict
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import FastAPI, Path, Query
from fastapi.responses import Response

from rigbook.web.reading import Problems, Reading
from rigbook.web.refusals import Refused, answer

if TYPE_CHECKING:
    from rigbook.light.now import Now, Present
    from rigbook.rig.model import Rig

KEPT = 8
UNITS_A_METRE = 10.0
"""Scale of the drawn plan: its paths stand in tenths of a metre."""
BuildId = Annotated[str, Path(min_length=1, max_length=100, description="id of a build of this shop")]
Indexes = Annotated[str, Query(max_length=4000, pattern=r"^[0-9.]*$", description="whole numbers with a dot between")]


def add_light(app: FastAPI, reading: Reading) -> None:
    """Put the routes of light on an application."""
    from rigbook.web.api import REFUSALS

    kept: OrderedDict[int, tuple[Rig, Present]] = OrderedDict()
    guard = threading.Lock()

    def present_of(rig: "Rig") -> "Present":
        from rigbook.light.now import Present

        with guard:
            found = kept.get(id(rig))
            if found is None or found[0] is not rig:
                found = kept[id(rig)] = (rig, Present(rig))
            kept.move_to_end(id(rig))
            while len(kept) > KEPT:
                kept.popitem(last=False)
            return found[1]

    @app.get("/api/builds/{build_id}/light", response_class=Response, responses=REFUSALS)
    def light(build_id: BuildId, state: Indexes = "", lost: Indexes = "") -> Response:
        """The light of one state: contour lines on the ground, areas, optical power by bearing and zone.

        `state` gives the place of each variable's value in the order of the program, rest where left out; `lost` the
        places of lost signals."""
        found = reading.work(build_id)
        if found is None:
            raise Refused(404, f"no build of this shop has the id {build_id}")
        if isinstance(found, Problems):
            raise Refused(422, f"the build cannot be worked out: {found.problems[0].says}")
        values, gone = _state(found.rig, state), _lost(found.rig, lost)
        with_light = present_of(found.rig)
        with guard:
            now = with_light.now(values, gone)
        return answer(light_out(found.rig, now))


def _numbers(text: str) -> list[int]:
    parts = text.split(".") if text else []
    if not all(part.isdecimal() and len(part) < 6 for part in parts):
        raise Refused(422, "a state is whole numbers with a dot between, as 0.2.1")
    return [int(part) for part in parts]


def _state(rig: "Rig", text: str) -> tuple[int, ...]:
    variables, values = rig.program.variables, _numbers(text)
    if not values:
        return tuple(rig.program.rest)
    if len(values) != len(variables):
        raise Refused(422, f"the program has {len(variables)} variables, and the state {len(values)} values")
    for variable, value in zip(variables, values, strict=True):
        if value >= len(variable.values):
            raise Refused(422, f"{variable.name} has {len(variable.values)} values, and no number {value}")
    return tuple(values)


def _lost(rig: "Rig", text: str) -> frozenset[int]:
    gone = frozenset(_numbers(text))
    for place in gone:
        if place >= len(rig.program.variables):
            raise Refused(422, f"the program has {len(rig.program.variables)} variables, and no number {place}")
    return gone


def light_out(rig: "Rig", now: "Now") -> dict[str, Any]:
    """The light of a state as plain data: lengths in m to the centimetre, light in lx."""
    from rigbook.light.grid import BEARINGS_DEG

    asked = {area.id: area for area in rig.build.scene}
    return {
        "unit": "fc" if rig.shop.units == "us" else "lx",
        "levels": [
            {"text": level.text, "lx": level.lux, "lines": [[round(v, 2) for point in line for v in point] for line in level.lines]}
            for level in now.levels
        ],
        "lamps": [
            {"id": b.source.id, "x": b.source.at_m[0], "y": b.source.at_m[1], "ax": round(float(b.source.axes[0][0]), 3),
             "ay": round(float(b.source.axes[0][1]), 3), "inside": b.start is None}
            for b in now.burning
        ],
        "areas": [
            {"id": row.name, "title": row.title, "state": row.state, "task": row.task, "average_lx": _six(row.average_lx),
             "minimum_lx": _six(row.minimum_lx), "uniformity": None if row.uniformity is None else _six(row.uniformity),
             "vertical_average_lx": None if row.vertical_average_lx is None else _six(row.vertical_average_lx),
             "least": asked[row.name].least, "average": asked[row.name].average,
             "ground": None if asked[row.name].ground is None else [list(corner) for corner in asked[row.name].ground or ()]}
            for row in now.areas
        ],
        "bearings": list(BEARINGS_DEG),
        "around": {colour: [_six(v) for v in values] for colour, values in now.around.items()},
        "zones": [
            {"zone": z.zone, "level": z.level, "cd_s_per_min": _six(z.cd_s_per_min), "point_cd_s_per_min": _six(z.point_cd_s_per_min)}
            for z in now.zones
        ],
    }  # fmt: skip


def _six(value: float) -> float:
    return float(f"{value:.6g}")


def plan_markup(rig: "Rig") -> str:
    """The plan of the vehicle about its front axle, in tenths of a metre, for the page's drawings."""
    from rigbook.papers.lamp_symbols import shape_markup
    from rigbook.papers.silhouette_ends import shapes_of
    from rigbook.papers.silhouettes import frame

    f = frame(rig.vehicle)
    back = f.front * UNITS_A_METRE
    return "".join(shape_markup(s, u0=0.0, v1=0.0, scale=UNITS_A_METRE, dx=-back, dy=0.0) for s in shapes_of(f, "plan"))


def page_values(rig: "Rig", report: dict[str, Any]) -> dict[str, Any]:
    """What the page shows before any switch is touched: the least over all states, mode by mode."""
    light = report["light"]
    zones: dict[str, list[Any]] = {}
    for row in light["warning"] or ():
        zones.setdefault(row["mode"], []).append(row)
    return {
        "warning": zones,
        "first": next((area.state for area in rig.build.scene), ""),
        "around": light["around"],
        "plan": plan_markup(rig),
    }
