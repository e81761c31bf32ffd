"""Drill and cut sheet: every hole once, with what lies behind it, depth stop, finish, torque, template."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from rigbook.body.mounts import torque_n_m
from rigbook.papers.cut_outlines import cuts_of
from rigbook.papers.drill_sheet import drill_table, holes_of, nearest_behind, pieces
from tests.rig.faced import car, cupboard_text
from tests.rig.small import build_text, worked

from .example_builds import desk

VAN = "flood-support-van"
COLUMNS = [
    "hole no.", "panel", "datum", "hole", "x", "y", "diameter or shape", "what lies behind", "depth stop",
    "deburr / primer / grommet / seal", "rivet nut", "torque", "template file", "done by",
]  # fmt: skip


def test_every_hole_of_faces_joints_and_fittings_is_there_once() -> None:
    rig = desk(VAN).rig
    holes = holes_of(rig)
    on_faces = sum(len(cuts_of(rig, panel)) - 1 for panel in rig.build.panels)
    in_joints = sum(len(mount.bolts) for mount in rig.build.mounts)
    fittings = sum(device.part_kind == "bulkhead-fitting" for device in rig.devices.values())
    assert len(holes) == on_faces + in_joints + fittings > 40
    assert len({hole.number for hole in holes}) == len(holes)
    bar = next(mount for mount in rig.build.mounts if mount.id == "bar-feet")
    one = next(hole for hole in holes if hole.number == "bar-feet-1")
    assert one.torque_n_m == torque_n_m(bar) and one.rivet_nut == "M6, hex body"
    assert one.depth_stop == "6 mm" and (one.x_m, one.y_m) == (1.05, -0.5)
    cup = next(hole for hole in holes if hole.what == "cut-out, cups")
    assert cup.template == f"{VAN}-console-top.dxf" and "free for" in cup.behind


def test_the_table_has_the_columns_of_the_paper_and_the_units_in_its_head() -> None:
    table = drill_table(desk(VAN))
    assert [column.title for column in table.columns] == COLUMNS
    assert table.columns[4].header == "x, mm"
    assert all(len(row) == len(COLUMNS) for row in table.rows) and len(table.rows) > 40


def test_the_chapter_warns_and_groups_by_panel() -> None:
    made = pieces(desk(VAN))
    kinds = [piece["kind"] for piece in made]
    assert kinds[0] == "heading" and kinds[1] == "caution" and kinds.count("drawing") >= 4
    table = next(piece for piece in made if piece["kind"] == "table")
    groups = [row["group"] for row in table["rows"] if isinstance(row, dict)]
    assert any(text.startswith("console-face: x, y from the lower left corner") for text in groups)
    assert any("template flood-support-van-console-face.dxf" in text for text in groups)


def test_a_build_without_holes_has_no_chapter() -> None:
    rig = worked(build_text(install="  - {id: plug-1, part: single, place: nose}\n"))
    assert pieces(SimpleNamespace(rig=rig)) == []  # type: ignore[arg-type]


def test_what_lies_behind_a_hole_in_the_body() -> None:
    box = tuple((x, y, z) for x in (0.9, 1.1) for y in (-0.1, 0.1) for z in (0.3, 0.5))
    around = {"tank (fuel)": (box,), "far": (tuple((x + 1, y, z) for x, y, z in box),)}
    assert nearest_behind((1.0, 0.0, 0.62), 2, -1.0, around, set()) == ("tank (fuel)", pytest.approx(0.12))
    assert nearest_behind((1.0, 0.0, 0.62), 2, 1.0, around, set()) == (None, None)
    assert nearest_behind((1.0, 0.0, 0.62), 2, -1.0, around, {"tank (fuel)"}) == (None, None)
    assert nearest_behind((1.0, 0.0, 0.95), 2, -1.0, around, set()) == (None, None), "beyond what is looked at"


def test_steel_fronts_are_primed() -> None:
    rig = car(cupboard_text("{id: drawer-a, part: drawer-1, on: {panel: front, at: [300 mm, 700 mm]}}"))
    assert [hole.finish for hole in holes_of(rig)] == ["deburr, primer on the bare edge"]
