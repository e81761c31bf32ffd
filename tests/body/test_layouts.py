"""Automatic layout: against brute force where that can be done, to a proven height at fourteen things, the same every time."""

from __future__ import annotations

import itertools
import random
import time
from collections.abc import Iterator

import pytest

from rigbook.body import layouts
from rigbook.rig.faces import Piece, Rectangle, Room, first_rows, height_of
from tests.rig.faced import car, face_text

CONSOLE = [
    (240, 90, 9), (182, 53, 5), (182, 53, 5), (165, 65, 4), (110, 70, 3), (70, 95, 2), (70, 95, 2), (70, 95, 2), (70, 95, 2),
    (60, 45, 2), (60, 45, 2), (40, 45, 2), (200, 100, 3), (100, 60, 1),
]  # fmt: skip
"""Fourteen things of a console: panel, radio heads, pockets, sockets, cups, plates; width, height, use."""


def pieces(sizes: list[tuple[int, int, int]]) -> list[Piece]:
    return [Piece(f"p{i}", w, h, h // 2, u) for i, (w, h, u) in enumerate(sizes)]


def partitions(items: list[Piece]) -> Iterator[list[list[Piece]]]:
    if not items:
        yield []
        return
    head, rest = items[0], items[1:]
    for smaller in partitions(rest):
        for index in range(len(smaller)):
            yield [*smaller[:index], [head, *smaller[index]], *smaller[index + 1 :]]
        yield [[head], *smaller]


def brute_height(items: list[Piece], room: Room) -> int:
    fitting = (
        rows for rows in partitions(items)
        if all(sum(p.width for p in row) + room.gap * (len(row) - 1) <= room.width for row in rows)
    )  # fmt: skip
    return min(height_of(rows, room) for rows in fitting)


def test_small_cases_are_as_low_as_brute_force_says() -> None:
    chance, better = random.Random(2), 0
    for _ in range(40):
        some = pieces(
            [
                (chance.randrange(30, 150), chance.randrange(20, 90), chance.randrange(1, 10))
                for _ in range(chance.randrange(3, 8))
            ]
        )
        room = Room(0, 0, chance.randrange(150, 320), 2000, chance.randrange(0, 8))
        found = layouts.best_rows(some, room)
        least = brute_height(some, room)
        assert found.height_mm == found.bound_mm == least
        assert layouts.least_height(some, room) <= least
        better += least < height_of(first_rows(some, room), room)
    assert better > 0, "no case in which the quick rows can be bettered was met"


def test_fourteen_things_quickly_proven_and_the_same_every_time() -> None:
    room = Room(10, 10, 280, 680, 6)
    started = time.perf_counter()
    quick = height_of(first_rows(pieces(CONSOLE), room), room)
    assert time.perf_counter() - started < 1.0, "the first solution"
    found = layouts.best_rows(pieces(CONSOLE), room)
    started = time.process_time()
    again = layouts.best_rows(pieces(CONSOLE), room)
    assert time.process_time() - started < 20.0
    assert found == again
    assert found.fits and found.height_mm <= quick and found.gap_share <= 0.05
    boxes = []
    for piece in pieces(CONSOLE):
        x, y = found.at_mm[piece.id]
        boxes.append(
            Rectangle(
                x - piece.width // 2,
                y - piece.middle,
                x - piece.width // 2 + piece.width,
                y - piece.middle + piece.height,
            )
        )
    assert all(box.room_in(Rectangle(10, 10, 290, 690)) >= 0 for box in boxes)
    assert all(one.apart(other) >= room.gap for one, other in itertools.combinations(boxes, 2))
    assert sum(len(row) for row in found.rows) == 14


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize(("count", "width"), [(14, 300), (14, 600), (20, 600)])
def test_random_faces_close_to_five_per_cent(seed: int, count: int, width: int) -> None:
    chance = random.Random(seed)
    some = pieces(
        [(chance.randrange(30, 220), chance.randrange(30, 120), chance.randrange(1, 10)) for _ in range(count)]
    )
    found = layouts.best_rows(some, Room(0, 0, width, 3000, 6))
    assert found.gap_share <= 0.05
    assert found.height_mm <= found.first_mm


def test_what_does_not_fit_says_so() -> None:
    assert not layouts.best_rows(pieces([(200, 50, 1)]), Room(0, 0, 100, 100, 5)).fits
    assert not layouts.best_rows(pieces([(90, 60, 1), (90, 60, 1)]), Room(0, 0, 100, 100, 5)).fits
    assert layouts.best_rows([], Room(0, 0, 100, 100, 5)).fits


def test_a_face_of_a_build_keeps_what_is_set() -> None:
    rows = (
        "{id: keys-1, part: keys-cut, on: {panel: dash-plate, at: [110 mm, 90 mm]}}\n"
        "  - {id: plug-1, part: plug, on: {panel: dash-plate}}\n  - {id: plug-2, part: plug, on: {panel: dash-plate, use: 5}}"
    )
    found = layouts.lay_out(car(face_text(rows)), "dash-plate")
    assert set(found.at_mm) == {"plug-1", "plug-2"} and found.fits
    settled = car(face_text(rows) + "settled: {install.plug-1.on: 40 mm 30 mm}\n")
    assert set(layouts.lay_out(settled, "dash-plate").at_mm) == {"plug-2"}
    assert set(layouts.lay_out(settled, "dash-plate", again=True).at_mm) == {"plug-1", "plug-2"}
    with pytest.raises(KeyError):
        layouts.lay_out(settled, "roof")
