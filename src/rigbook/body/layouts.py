"""Automatic layout of a face: rows of least height by constraint programming, the most used rows nearest the upper edge.

Two goals, one after the other. First the least height, so that the free part of the face stays in one piece: pieces are
dealt out to rows, each opened by its tallest, and the solver closes the height to a bound. Then the order: for the rows
found the sum of use times distance from the upper edge is least in the order of `rig.faces.in_order`, exactly.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rigbook.rig.faces import Piece, Room, first_rows, height_of, in_order, pieces_of, placed
from rigbook.rig.model import Rig

EFFORT = 8.0
"""Deterministic time of the solver: about as many seconds on one core, and the same result on every machine."""


@dataclass(frozen=True, slots=True)
class Layout:
    """Rows of one face. `bound_mm` is proven: no layout in rows is lower. `gap_share` is 0 at the optimum."""

    rows: tuple[tuple[str, ...], ...]
    at_mm: Mapping[str, tuple[int, int]]
    height_mm: int
    bound_mm: int
    first_mm: int
    room: Room
    fits: bool

    @property
    def gap_share(self) -> float:
        """How far the height may be from the least, as a share of it."""
        return 0.0 if self.height_mm == 0 else (self.height_mm - self.bound_mm) / self.height_mm


def lay_out(rig: Rig, panel_id: str, *, again: bool = False, effort: float = EFFORT) -> Layout:
    """The best rows for what is left open on a face; with `again` also for what was settled earlier.

    KeyError for a face that is not there.
    """
    panel = {panel.id: panel for panel in rig.build.panels}[panel_id]
    settled = {}
    for row in rig.build.install:
        if not again and f"install.{row.id}.on" in rig.build.settled:
            at = rig.devices[row.id].placement.on_face_m
            if at is not None:
                settled[row.id] = at
    pieces, room = pieces_of(panel, rig.build, rig.parts, settled)
    return best_rows(pieces, room, effort=effort)


def best_rows(pieces: Sequence[Piece], room: Room, *, effort: float = EFFORT) -> Layout:
    """Rows of least height for pieces across a room. Equal input gives equal rows on every machine.

    A piece wider than the room stands in a row of its own, and `fits` is no.
    """
    if not pieces:
        return Layout((), {}, 0, 0, 0, room, True)
    first = first_rows(pieces, room)
    least = least_height(pieces, room)
    rows, bound = (first, least) if height_of(first, room) == least else _dealt_out(pieces, room, first, effort)
    ordered = in_order(min(rows, first, key=lambda r: height_of(r, room)), room)
    height = height_of(ordered, room)
    fits = height <= room.height and all(p.width <= room.width for p in pieces)
    return Layout(
        tuple(tuple(p.id for p in row) for row in ordered), placed(ordered, room), height,
        min(max(bound, least), height),
        height_of(first, room), room, fits,
    )  # fmt: skip


def least_height(pieces: Sequence[Piece], room: Room) -> int:
    """A height no layout in rows goes below: pieces of at least each height need so many rows by their widths alone."""
    total, reached = 0, 0
    for height in sorted({p.height for p in pieces}, reverse=True):
        wide = sum(p.width + room.gap for p in pieces if p.height >= height)
        needed = max(1, -(-wide // (room.width + room.gap)))
        if needed > reached:
            total += (needed - reached) * (height + room.gap)
            reached = needed
    return total - room.gap


def _dealt_out(
    pieces: Sequence[Piece], room: Room, first: list[list[Piece]], effort: float
) -> tuple[list[list[Piece]], int]:
    """Pieces dealt out to rows, the tallest of each opening it: rows, and the height that is proven least."""
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = effort
    model = cp_model.CpModel()
    ordered = sorted(pieces, key=lambda p: (-p.height, -p.width, p.id))
    # piece `i` in the row that piece `j` opens, j <= i: the row is as tall as its opener
    opens = [model.new_bool_var("") for _ in ordered]
    member = {
        (i, j): opens[j] if i == j else model.new_bool_var("")
        for j in range(len(ordered))
        for i in range(j, len(ordered))
    }
    for i in range(len(ordered)):
        model.add_exactly_one(member[i, j] for j in range(i + 1))
    for j, piece in enumerate(ordered):
        inside = range(j + 1, len(ordered))
        spare = room.width - piece.width
        model.add(sum((ordered[i].width + room.gap) * member[i, j] for i in inside) <= max(0, spare) * opens[j])
        for i in inside:
            model.add_implication(member[i, j], opens[j])
    for i, piece in enumerate(ordered):  # so many rows are needed for what is at least as tall, by widths alone
        wide = sum(p.width + room.gap for p in ordered[: i + 1])
        if i + 1 == len(ordered) or ordered[i + 1].height < piece.height:
            model.add(sum(opens[: i + 1]) >= -(-wide // (room.width + room.gap)))
    model.minimize(sum((p.height + room.gap) * x for p, x in zip(ordered, opens, strict=True)))
    place = {piece.id: index for index, piece in enumerate(ordered)}
    opener = {p.id: min(place[q.id] for q in row) for row in first for p in row}
    for (i, j), x in member.items():
        model.add_hint(x, opener[ordered[i].id] == j)
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return first, max(p.height for p in pieces)
    rows = [
        [ordered[i] for i in range(j, len(ordered)) if solver.value(member[i, j])]
        for j in range(len(ordered))
        if solver.value(opens[j])
    ]
    return rows, math.ceil(solver.best_objective_bound - 1e-6) - room.gap
