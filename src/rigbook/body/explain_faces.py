"""Faces worked through: where things sit on them, what is left round them, and how far one has to reach."""

from __future__ import annotations

import re

from rigbook.body import face_fit, solids
from rigbook.documents.schema.panels import Panel
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig

_FACE = re.compile(r"body\.panels\[([a-z0-9_-]+)\]\.([a-z_]+)")
_ITEM = re.compile(r"body\.panels\[([a-z0-9_-]+)\]\.items\[([a-z0-9_.-]+)\]\.([a-z_]+)")
_MOVE = re.compile(r"body\.panels\[([a-z0-9_-]+)\]\.moves\[([a-z0-9_.-]+)\]\.(stands_out_m)")
_FACE_TITLES = {
    "width_m": ("Width", "as entered", "m"),
    "height_m": ("Height", "as entered", "m"),
    "depth_m": ("Room behind it", "as entered", "m"),
    "thickness_m": ("Thickness of the sheet", "as entered", "m"),
    "used_share": ("Share of the face that bezels and legends cover", "sum of b h / (width height)", "fraction"),
}
_ITEM_TITLES = {
    "x_m": ("Middle of the cut-out, from the left edge", "as set, as settled, else rows by first fit, tallest first", "m"),
    "y_m": ("Middle of the cut-out, from the lower edge", "as set, as settled, else rows by first fit, tallest first", "m"),
    "turn_deg": ("Turned on the face", "as entered", "deg"),
    "bezel_width_m": ("Width of what covers the face", "of the part, turned as set", "m"),
    "bezel_height_m": ("Height of what covers the face", "of the part, turned as set", "m"),
    "cut_width_m": ("Width of the cut-out", "of the part, turned as set", "m"),
    "cut_height_m": ("Height of the cut-out", "of the part, turned as set", "m"),
    "cut_corner_m": ("Radius of its corners", "of the part", "m"),
    "edge_m": ("Least from the cut-out to the edge of the face, bezel and legends within it",
               "least of x - w/2, W - x - w/2, y - h/2, H - y - h/2, and of what covers it plus the edge kept", "m"),
    "gap_m": ("Least to what sits beside it, legends included", "sqrt(dx^2 + dy^2), or the larger of dx and dy where one is below 0", "m"),
    "needs_m": ("Room it takes behind the face", "depth behind the face + room for plugs where it has any", "m"),
    "room_m": ("Room there is behind it", "depth of the face, or down to the first thing behind the cut-out", "m"),
    "reach_m": ("From the seat's point to the middle of it", "sqrt(dx^2 + dy^2 + dz^2)", "m"),
    "letter_m": ("Height its letters can have", "as the face asks, or 0.95 b / (columns 0.82 letters)", "m"),
}  # fmt: skip


def explain(rig: Rig, figure_id: str) -> Working | None:
    """The working of a figure of the faces; None where it is none."""
    panels = {panel.id: panel for panel in rig.build.panels}
    if (match := _ITEM.fullmatch(figure_id)) and match.group(1) in panels:
        return _item(rig, figure_id, panels[match.group(1)], match.group(2), match.group(3))
    if (match := _MOVE.fullmatch(figure_id)) and match.group(1) in panels:
        return _move(rig, figure_id, panels[match.group(1)], match.group(2))
    if (match := _FACE.fullmatch(figure_id)) and match.group(1) in panels and match.group(2) in _FACE_TITLES:
        panel, key = panels[match.group(1)], match.group(2)
        title, formula, unit = _FACE_TITLES[key]
        result = face_fit.face_result(rig, panel, solids.of_rig(rig))
        return Working(
            figure_id=figure_id, title=f"{panel.id}: {title}", formula=formula, inputs=_size(panel),
            result=getattr(result, key), unit=unit, source=f"{panel.where.file}:{panel.where.line}",
        )  # fmt: skip
    return None


def _size(panel: Panel) -> tuple[Input, ...]:
    where = f"{panel.where.file}:{panel.where.line}"
    return (
        Input(symbol="W", meaning="width of the face", value=panel.size[0], unit="m", source=where),
        Input(symbol="H", meaning="height of the face", value=panel.size[1], unit="m", source=where),
    )


def _item(rig: Rig, figure_id: str, panel: Panel, name: str, key: str) -> Working:
    laid = face_fit.laid_on(rig, panel)
    one = next((each for each in laid if each.id == name), None)
    if one is None or key not in _ITEM_TITLES:
        raise KeyError(figure_id)
    found = face_fit.face_item(rig, panel, one, laid, face_fit.around_face(rig, panel, solids.of_rig(rig)))
    title, formula, unit = _ITEM_TITLES[key]
    device = rig.devices[name]
    where = f"{device.file}:{device.line}"
    covers = one.covers
    inputs = [
        Input(symbol="x, y", meaning=f"middle of the cut-out ({one.how})", value=f"{one.at[0]:g}, {one.at[1]:g}", unit="m", source=where),
        Input(symbol="b, h", meaning="bezel with legends", value=f"{covers.width:.4g}, {covers.height:.4g}", unit="m", source="entered"),
    ]  # fmt: skip
    if key == "needs_m":
        inputs = [Input(symbol="d", meaning="depth behind the face", value=one.footprint.behind, unit="m", source="entered"),
                  Input(symbol="c", meaning="room for plugs and cables", value=panel.cable, unit="m", source="practice-faces")]  # fmt: skip
    if key == "room_m" and found.behind:
        inputs.append(
            Input(symbol="behind", meaning="first thing behind the cut-out", value=found.behind, source=where)
        )
    if key == "gap_m" and found.nearest:
        inputs.append(Input(symbol="beside", meaning="nearest on the face", value=found.nearest, source=where))
    if key == "reach_m" and panel.reach is not None:
        inputs.append(
            Input(symbol="seat", meaning="whose point it is measured from", value=panel.reach.seat, source=where)
        )
    practice = key in ("needs_m", "letter_m")
    return Working(
        figure_id=figure_id, title=f"{name} on {panel.id}: {title}", formula=formula, inputs=(*inputs, *_size(panel)),
        result=getattr(found, key), unit=unit, source="practice-faces" if practice else "",
        sourced="common practice" if practice else "computed",
    )  # fmt: skip


def _move(rig: Rig, figure_id: str, panel: Panel, name: str) -> Working:
    index = next((k for k, move in enumerate(panel.moves) if move.of == name), None)
    if index is None:
        raise KeyError(figure_id)
    found = face_fit.move_result(rig, panel, index, {})
    return Working(
        figure_id=figure_id, title=f"{name} on {panel.id}, {found.way}: how far it comes into the room",
        formula="pull and what stands before the face; a door: its width, or width sin(angle) below 90 deg",
        result=found.stands_out_m, unit="m", source=f"{panel.where.file}:{panel.where.line}",
    )  # fmt: skip
