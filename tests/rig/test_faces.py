"""Faces in space, footprints, and the quick rows, against vectors and brute force."""

from __future__ import annotations

import itertools
import math
import random

import pytest

from rigbook.documents.schema.panels import Panel
from rigbook.rig import faces
from rigbook.rig.faces import Piece, Rectangle, Room
from tests.rig.faced import PANEL, PARTS_ON_FACES, car, face_text
from tests.rig.small import build_text, errors, load, opened, worked


def panel(*, facing: float, tilt: float, size: tuple[float, float] = (0.3, 0.2)) -> Panel:
    return Panel.model_construct(id="a", at=(1.0, -0.2, 0.9), facing=facing, tilt=tilt, size=size)


@pytest.mark.parametrize("facing", [0, 30, 90, 180, 270, 333])
@pytest.mark.parametrize("tilt", [-90, -20, 0, 35, 90])
def test_a_frame_is_right_handed_and_runs_to_the_right_of_who_looks_at_it(facing: float, tilt: float) -> None:
    frame = faces.frame_of(panel(facing=facing, tilt=tilt))
    r, u, o = frame.right, frame.up, frame.out
    cross = (r[1] * u[2] - r[2] * u[1], r[2] * u[0] - r[0] * u[2], r[0] * u[1] - r[1] * u[0])
    assert cross == pytest.approx(o, abs=1e-12)
    assert all(math.isclose(sum(x * x for x in axis), 1.0) for axis in (r, u, o))
    assert o[2] == pytest.approx(math.sin(math.radians(tilt)), abs=1e-12)
    middle = frame.point(0.15, 0.1)
    assert (middle.x_m, middle.y_m, middle.z_m) == pytest.approx((1.0, -0.2, 0.9))
    there = frame.point(0.2, 0.05, -0.03)
    assert frame.local((there.x_m, there.y_m, there.z_m)) == pytest.approx((0.2, 0.05, -0.03))


def test_the_way_to_the_right_on_faces_one_can_picture() -> None:
    assert faces.frame_of(panel(facing=180, tilt=0)).right == pytest.approx(
        (0, 1, 0), abs=1e-12
    )  # a dash: to the right
    assert faces.frame_of(panel(facing=0, tilt=0)).right == pytest.approx((0, -1, 0), abs=1e-12)
    assert faces.frame_of(panel(facing=270, tilt=0)).right == pytest.approx(
        (1, 0, 0), abs=1e-12
    )  # right wall: to the rear
    lying = faces.frame_of(panel(facing=180, tilt=90))
    assert lying.up == pytest.approx((-1, 0, 0), abs=1e-12) and lying.out == pytest.approx((0, 0, 1), abs=1e-12)


def test_distances_of_rectangles() -> None:
    one = Rectangle(0, 0, 2, 1)
    assert one.apart(Rectangle(5, 5, 6, 6)) == pytest.approx(5.0)
    assert one.apart(Rectangle(0.5, 3, 1, 4)) == pytest.approx(2.0)
    assert one.apart(Rectangle(1.9, 0.5, 3, 3)) == pytest.approx(-0.1)
    assert one.room_in(Rectangle(-1, -0.25, 4, 4)) == pytest.approx(0.25)
    assert one.room_in(Rectangle(0.5, -1, 4, 4)) == pytest.approx(-0.5)


def test_what_a_thing_covers_turned_and_with_its_legends() -> None:
    rig = car(
        face_text(
            "{id: keys-1, part: keys-cut, on: {panel: dash-plate, at: [120 mm, 95 mm], turn: 90 deg, legend: HEAT}}"
        ).replace("130 mm]", "190 mm]")
    )
    row = next(row for row in rig.build.install if row.id == "keys-1")
    made = faces.footprint_of(row, rig.parts["keys-cut"], rig.build.panels[0], rig.build)
    assert made.bezel == (0.06, 0.18) and made.cut == (0.05, 0.17)
    assert made.above == pytest.approx(faces.STRIP * 0.003) and made.below == 0
    assert made.behind == 0.035 and made.in_front == pytest.approx(0.005)
    covers = made.covers((0.12, 0.06))
    assert (covers.left, covers.right) == pytest.approx((0.09, 0.15))
    assert covers.height == pytest.approx(0.18 + faces.STRIP * 0.003)


def pieces(chance: random.Random, count: int) -> list[Piece]:
    return [
        Piece(f"p{i}", chance.randrange(30, 160), chance.randrange(20, 90), 10, chance.randrange(1, 10))
        for i in range(count)
    ]


def test_quick_rows_hold_all_within_the_width_and_never_overlap() -> None:
    chance, seen = random.Random(5), 0
    for _ in range(200):
        some = pieces(chance, chance.randrange(1, 12))
        room = Room(10, 10, chance.randrange(170, 500), 2000, chance.randrange(0, 9))
        rows = faces.in_order(faces.first_rows(some, room), room)
        at = faces.placed(rows, room)
        assert sorted(at) == sorted(p.id for p in some)
        boxes = []
        for p in some:
            x, y = at[p.id]
            boxes.append(Rectangle(x - p.width // 2, y - p.middle, x - p.width // 2 + p.width, y - p.middle + p.height))
        for box in boxes:
            assert box.room_in(Rectangle(10, 10, 10 + room.width, 2010)) >= 0
        for one, other in itertools.combinations(boxes, 2):
            assert one.apart(other) >= room.gap
            seen += 1
        used = 2010 - min(box.bottom for box in boxes)
        assert used <= faces.height_of(rows, room)
    assert seen > 2000


def test_the_order_of_rows_is_the_best_of_all_orders() -> None:
    chance = random.Random(7)
    for _ in range(60):
        room = Room(0, 0, 300, 1000, 6)
        rows = faces.first_rows(pieces(chance, 7), room)

        def far(order: list[list[Piece]], room: Room = room) -> int:
            top, total = 0, 0
            for row in order:
                tall = max(p.height for p in row)
                total += sum(p.use for p in row) * (2 * top + tall)
                top += tall + room.gap
            return total

        # half the height of a row and half a gap stand on both sides of an exchange alike, so ends of rows decide
        def ends(order: list[list[Piece]], room: Room = room) -> int:
            top, total = 0, 0
            for row in order:
                top += max(p.height for p in row) + room.gap
                total += sum(p.use for p in row) * top
            return total

        best = min(ends(list(order)) for order in itertools.permutations(rows))
        assert ends(faces.in_order(rows, room)) == best
        assert far(faces.in_order(rows, room)) > 0


def test_the_room_beside_what_is_fixed_is_the_largest_free_rectangle() -> None:
    plate = Panel.model_construct(id="a", size=(0.3, 0.2), edge=0.01, gap=0.005)
    whole = faces.room_of(plate, [])
    assert (whole.left, whole.bottom, whole.width, whole.height) == (10, 10, 280, 180)
    beside = faces.room_of(plate, [Rectangle(0.1, 0.0, 0.12, 0.2)])
    assert (beside.left, beside.width, beside.height) == (125, 165, 180)


def test_open_places_are_filled_settled_ones_kept_and_the_digest_stays() -> None:
    rows = "{id: keys-1, part: keys-cut, on: {panel: dash-plate, use: 9}}\n  - {id: plug-1, part: plug, on: {panel: dash-plate}}"
    rig = car(face_text(rows))
    at = {name: rig.devices[name].placement.on_face_m for name in ("keys-1", "plug-1")}
    assert at["keys-1"] is not None and at["plug-1"] is not None and at["keys-1"][0] < at["plug-1"][0]
    from rigbook.rig.settle import settled_edits

    edits = {key: value for key, value in settled_edits(rig).items() if key.endswith(".on")}
    assert set(edits) == {"install.keys-1.on", "install.plug-1.on"}
    settled = "settled: {" + ", ".join(f"{k}: {v}" for k, v in edits.items()) + "}\n"
    again = car(face_text(rows) + settled)
    assert again.digest == rig.digest
    moved = car(face_text(rows) + "settled: {install.plug-1.on: 200 mm 30 mm}\n")
    assert moved.devices["plug-1"].placement.on_face_m == (0.2, 0.03)
    assert moved.devices["plug-1"].placement.at != rig.devices["plug-1"].placement.at


def test_a_thing_on_a_face_stands_where_the_face_is() -> None:
    rig = car(face_text("{id: plug-1, part: plug, on: {panel: dash-plate, at: [60 mm, 60 mm]}}"))
    placement = rig.devices["plug-1"].placement
    assert placement.closed.facing_deg == 180 and placement.closed.tilt_deg == 20 and placement.inside
    frame = faces.frame_of(rig.build.panels[0])
    x, y, n = frame.local((placement.at.x_m, placement.at.y_m, placement.at.z_m))
    assert (x, y) == pytest.approx((0.06, 0.06)) and n == pytest.approx((0.005 - 0.055) / 2)
    assert placement.node == "middle"


def test_a_face_may_still_be_a_place_or_something_fitted() -> None:
    text = build_text(install="  - {id: plug-1, part: single, on: {panel: dash}}\n")
    assert opened(text).devices["plug-1"].placement.panel == "dash"
    assert load(text).errors == ()
    assert errors(text.replace("panel: dash", "panel: dahs"))
    assert worked(text).devices["plug-1"].placement.on_face_m is None
    assert PANEL in face_text("{id: plug-1, part: plug, on: {panel: dash-plate}}") and "keys-cut" in PARTS_ON_FACES
