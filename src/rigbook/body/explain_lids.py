"""Lids worked through: one angle, the ends at their worst, the hand."""

from __future__ import annotations

import re

from rigbook.body import lids
from rigbook.documents.schema.swinging import Lid
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig

_LID = re.compile(r"body\.lids\[([a-z0-9_-]+)\]\.([a-z_]+)")
_POINT = re.compile(r"body\.lids\[([a-z0-9_-]+)\]\.points\[(\d+)\]\.([a-z_]+)")
_TITLES = {
    "stud_m": ("Stud on the lid, from the hinge", "as set, or the stud whose worse end is surest", "m"),
    "body_out_m": ("Stud on the body, outward from the hinge", "as set, or where the worse end is surest", "m"),
    "body_up_m": ("Stud on the body, up from the hinge", "as set, or where the worse end is surest", "m"),
    "hand_to_open_cold_n": (
        "Most the hand lifts, coldest, weak springs",
        "most of -net over the swing / L, F1 (1 - tolerance)",
        "N",
    ),
    "hand_to_close_hot_n": (
        "Most the hand pulls, hottest, strong springs",
        "most of net over the swing / L, F1 (1 + tolerance)",
        "N",
    ),
    "mass_kg": ("Mass that swings", "as entered", "kg"),
    "open_cold_n_m": ("Net moment open, coldest, weak spring", "n F (1 - tolerance) arm - m g r cos(th)", "N m"),
    "closed_hot_n_m": ("Net moment closed, hottest, strong spring", "n F (1 + tolerance) arm - m g r cos(th)", "N m"),
    "hand_to_open_n": ("Most the hand lifts at the edge, at 20 C", "most of -net over the swing / L", "N"),
    "hand_to_close_n": ("Most the hand pulls at the edge, at 20 C", "most of net over the swing / L", "N"),
    "balance_deg": ("Highest angle at which it balances, at 20 C", "net = 0", "deg"),
    "stroke_m": ("Stroke the swing asks for", "longest - shortest of |P - B|", "m"),
    "angle_deg": ("Angle above the horizontal", "from closed to open in equal steps", "deg"),
    "spring_length_m": ("Stud to stud", "|P - B|", "m"),
    "arm_m": ("Arm of the spring about the hinge", "(Py Bx - Px By) / |P - B|", "m"),
    "spring_n": ("Force of one spring at 20 C", "F1 (1 + (F2/F1 - 1) s)", "N"),
    "net_n_m": ("Net moment that opens, at 20 C", "n F arm - m g r cos(th)", "N m"),
    "cold_n_m": ("Net moment that opens, coldest", "n F (273.15 + T)/293.15 arm - m g r cos(th)", "N m"),
    "hot_n_m": ("Net moment that opens, hottest", "n F (273.15 + T)/293.15 arm - m g r cos(th)", "N m"),
    "hand_n": ("Force at the edge that holds it there, at 20 C", "net / L", "N"),
}


def explain(rig: Rig, figure_id: str) -> Working | None:
    """The working of a figure of the lids; None where it is none."""
    named = {lid.id: lid for lid in rig.build.lids}
    match = _POINT.fullmatch(figure_id)
    if match and match.group(1) in named and int(match.group(2)) < lids.POINTS:
        return _working(rig, figure_id, named[match.group(1)], match.group(3), int(match.group(2)))
    match = _LID.fullmatch(figure_id)
    if match and match.group(1) in named:
        return _working(rig, figure_id, named[match.group(1)], match.group(2), None)
    return None


def _working(rig: Rig, figure_id: str, lid: Lid, key: str, index: int | None) -> Working:
    if key not in _TITLES:
        raise KeyError(figure_id)
    name, stud, body = lids.choose(rig, lid)
    swing = lids.swing_of(rig, lid, rig.parts[name], stud, body)
    held = lids.swing_point(lid, swing, index) if index is not None else lids.lid_result(rig, lid)
    value = getattr(held, key, None)
    title, formula, unit = _TITLES[key]
    where = f"{lid.where.file}:{lid.where.line}"
    return Working(
        figure_id=figure_id, title=f"{lid.id}: {title}", formula=formula,
        inputs=(
            Input(symbol="m", meaning="mass that swings", value=swing.mass_kg, unit="kg", source=where),
            Input(symbol="r", meaning="hinge to the middle of the mass", value=swing.centre_m, unit="m", source=where),
            Input(symbol="B", meaning="stud on the body, outward; up", unit="m", source=where,
                  value=f"{swing.body_x_m:g}; {swing.body_y_m:g}"),
            Input(symbol="P", meaning="stud on the lid, from the hinge", value=swing.stud_m, unit="m", source=where),
            Input(symbol="n", meaning="springs", value=swing.count, source=where),
            Input(symbol="F1", meaning=f"{name}, extended, at 20 C", value=swing.force_n, unit="N", source="entered"),
            Input(symbol="F2/F1", meaning="compressed over extended", value=swing.ratio, source="entered"),
            Input(symbol="th", meaning="closed; open above the horizontal", value=f"{lid.closed:g}; {lid.open:g}", unit="deg"),
            Input(symbol="L", meaning="hinge to hand", value=lid.length, unit="m", source=where),
        ),
        result=value, unit=unit, source="gas-springs", sourced="published",
    )  # fmt: skip
