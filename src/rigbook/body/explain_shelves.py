"""Shelves and drawers worked through."""

from __future__ import annotations

import re

from rigbook.body import beams, shelves
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig

_SHELF = re.compile(r"body\.shelves\[([a-z0-9_-]+)\]\.(load_kg|rating_kg|span_m|sag_m|sag_span_share|clearance_m)")


def explain(rig: Rig, figure_id: str) -> Working | None:
    """The working of a figure of the shelves; None where it is none."""
    match = _SHELF.fullmatch(figure_id)
    carrier = next((c for c in rig.build.shelves if match and c.id == match.group(1)), None)
    if match is None or carrier is None:
        return None
    key, found = match.group(2), shelves.shelf_result(rig, carrier)
    depth, span, height = rig.devices[carrier.of].size_m
    where = f"{carrier.where.file}:{carrier.where.line}"
    load = Input(
        symbol="m", meaning="what stands and lies on it, and the spare", value=found.load_kg, unit="kg", source=where
    )
    across = Input(symbol="L", meaning="width of the part between its ends", value=span, unit="m", source="entered")
    plain = {"load_kg": ("Load", "m", (load,), "kg"), "rating_kg": ("Rating", "as entered", (), "kg"),
             "span_m": ("Span", "L", (across,), "m")}  # fmt: skip
    value = getattr(found, key)
    if key in plain:
        title, formula, inputs, unit = plain[key]
        return Working(
            figure_id=figure_id, title=f"{carrier.id}: {title}", formula=formula, inputs=inputs, result=value, unit=unit
        )
    if key == "clearance_m":
        return Working(
            figure_id=figure_id, title=f"{carrier.id}: room above what stands below, at its lowest height",
            formula="least height - half its own - the tallest below",
            inputs=(Input(symbol="half", meaning="half its own height", value=height / 2, unit="m", source="entered"),),
            result=value, unit="m",
        )  # fmt: skip
    sheet = carrier.sheet
    if sheet is None:
        raise KeyError(figure_id)
    share = key == "sag_span_share"
    return Working(
        figure_id=figure_id, title=f"{carrier.id}: sag in the middle" + (", over the span" if share else ""),
        formula="5 w L^4 / (384 E I), w = m g0 / L" + ("; over L" if share else ""),
        inputs=(
            load, across,
            Input(symbol="b", meaning="depth", value=depth, unit="m", source="entered"),
            Input(symbol="t", meaning="sheet", value=sheet.thickness, unit="m", source=where),
            Input(symbol="f", meaning="edges folded down, outside", value=sheet.flange, unit="m", source=where),
            Input(symbol="E", meaning=sheet.material, value=beams.modulus_pa(material=sheet.material), unit="Pa",
                  source="stiffness", sourced="memory"),
        ),
        result=value, unit="fraction" if share else "m", source="beam-bending", sourced="published",
    )  # fmt: skip
