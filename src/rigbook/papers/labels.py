"""Placing labels: beside their mark where there is room, else further off with a leader, never on another label."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rigbook.papers.svg import Box, text_width

_RINGS = (0.0, 1.4, 3.0, 5.0, 7.5, 10.5, 14.0)
_DIRECTIONS = 24
_ROUNDS = 8
_TURNS = tuple(
    (math.cos(2 * math.pi * n / _DIRECTIONS), math.sin(2 * math.pi * n / _DIRECTIONS)) for n in range(_DIRECTIONS)
)
_FEW, _HOPELESS = 6, 0.15
"""Labels, and share of them, that may fail in a round for another to be tried."""
Leader = tuple[float, float, float, float]
"""From the mark's edge to the text: x, y, x, y."""
ASCENT, DESCENT = 0.76, 0.24  # of the font size, around capitals and descenders


@dataclass(frozen=True, slots=True)
class Wanted:
    """A label that wants a place: its text, what follows in bold, its mark (centre and half size), where outward is."""

    key: str
    text: str
    strong: str
    x: float
    y: float
    radius: float
    outward: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Label:
    """A placed label. The leader runs from the mark's edge to the text, where the text stands off."""

    key: str
    text: str
    strong: str
    box: Box
    size: float
    leader: Leader | None

    @property
    def baseline(self) -> tuple[float, float]:
        """Start of the text."""
        return self.box.left, self.box.bottom - DESCENT * self.size


def label_width(text: str, strong: str, *, size: float) -> float:
    """Width of a label: its text, and behind a blank what stands in bold."""
    blank = text_width(" ", size=size) if text and strong else 0.0
    return text_width(text, size=size) + blank + text_width(strong, size=size, bold=True)


def _crosses(leader: Leader, box: Box) -> bool:
    """True when a segment passes through a box (Liang and Barsky's clipping)."""
    x0, y0, x1, y1 = leader
    dx, dy = x1 - x0, y1 - y0
    enter, leave = 0.0, 1.0
    for p, q in ((-dx, x0 - box.left), (dx, box.right - x0), (-dy, y0 - box.top), (dy, box.bottom - y0)):
        if p == 0:
            if q < 0:
                return False
            continue
        t = q / p
        if p < 0:
            enter = max(enter, t)
        else:
            leave = min(leave, t)
    return enter < leave


def _holds(box: Box, want: Wanted) -> bool:
    """True for the boxes of the mark itself and of its arrow."""
    return box.left <= want.x <= box.right and box.top <= want.y <= box.bottom


def _candidates(want: Wanted, width: float, height: float) -> list[tuple[float, Box, Leader | None]]:
    found = []
    out = math.hypot(*want.outward) or 1.0
    for ring in _RINGS:
        for cos, sin in _TURNS:
            reach = want.radius + 0.7 + ring
            # the box touches the ring at the side that faces the mark
            cx = want.x + cos * (reach + width / 2 * abs(cos))
            cy = want.y + sin * (reach + height / 2 * (1.0 if abs(sin) > 0.5 else abs(sin)))
            if 0.05 < abs(cos) <= 0.85:
                cx = want.x + cos * reach + math.copysign(width / 2, cos)
            box = Box(cx - width / 2, cy - height / 2, cx + width / 2, cy + height / 2)
            near_x, near_y = min(max(want.x, box.left), box.right), min(max(want.y, box.top), box.bottom)
            gap = math.hypot(near_x - want.x, near_y - want.y)
            if gap < want.radius + 0.45:
                continue
            leader = None
            if gap > want.radius + 1.3:
                ux, uy = (near_x - want.x) / gap, (near_y - want.y) / gap
                leader = (want.x + ux * want.radius, want.y + uy * want.radius, near_x, near_y)
            away = 1 - (cos * want.outward[0] + sin * want.outward[1]) / out
            found.append((ring + 2.2 * away + 0.3 * (abs(sin) > 0.5), box, leader))
    found.sort(key=lambda c: (round(c[0], 6), c[1].left, c[1].top))
    return found


def place(
    wanted: Sequence[Wanted], *, size: float, sheet: Box, obstacles: Sequence[Box], all_or_none: bool = False
) -> tuple[list[Label], list[Wanted]]:
    """Place labels one after another, crowded ones first; gives the labels and those that found no place.

    No placed label overlaps another, an obstacle, a leader, or the edge of the sheet, and no leader crosses a label.
    What found no place goes first in the next of a few rounds; the best round is taken. With `all_or_none` a placing that
    cannot hold every label is given up early.
    """

    def crowd(want: Wanted) -> float:
        return sum(1 / (1 + math.hypot(o.x - want.x, o.y - want.y)) for o in wanted)

    order = sorted(wanted, key=lambda w: (-round(crowd(w), 6), w.key))
    fast: dict[tuple[int, int], list[Box]] = {}
    for obstacle in obstacles:
        for cell in _cells(obstacle, None):
            fast.setdefault(cell, []).append(obstacle)
    free = {w.key: _Free(w, size, sheet, fast) for w in wanted}
    best: tuple[list[Label], list[Wanted]] = ([], order)
    for _ in range(_ROUNDS):
        most = max(_FEW, _HOPELESS * len(wanted))
        labels, failed = _round(order, free, size=size, give_up_after=most if all_or_none else math.inf)
        if len(failed) < len(best[1]) or not best[0]:
            best = (labels, failed)
        if not failed or len(failed) > most:
            break  # all stand, or so many do not that no other order can help
        order = [*failed, *(w for w in order if w not in failed)]
    rank = {want.key: i for i, want in enumerate(wanted)}
    return sorted(best[0], key=lambda b: rank[b.key]), sorted(best[1], key=lambda w: rank[w.key])


class _Free:
    """Where one label may stand whatever the others do: on the sheet and clear of the obstacles. Looked at once, as asked."""

    def __init__(self, want: Wanted, size: float, sheet: Box, fast: Mapping[tuple[int, int], Sequence[Box]]) -> None:
        self.want, self.sheet, self._fast = want, sheet, fast
        width, height = label_width(want.text, want.strong, size=size), (ASCENT + DESCENT) * size
        self._left = iter(_candidates(want, width, height))
        self._found: list[tuple[Box, Box, Leader | None]] = []

    def __iter__(self) -> Iterator[tuple[Box, Box, Leader | None]]:
        """Box, box with its margin, and leader, best first."""
        yield from self._found
        for _, box, leader in self._left:
            margin = box.grown(0.25)
            if box.inside(self.sheet) and not self._blocked(margin, leader):
                self._found.append((box, margin, leader))
                yield box, margin, leader

    def _blocked(self, margin: Box, leader: Leader | None) -> bool:
        for cell in _cells(margin, leader):
            for o in self._fast.get(cell, ()):
                if margin.overlaps(o):
                    return True
                if leader is not None and _crosses(leader, o) and not _holds(o, self.want):
                    return True
        return False


def _round(
    order: Sequence[Wanted], free: Mapping[str, _Free], *, size: float, give_up_after: float
) -> tuple[list[Label], list[Wanted]]:
    labels: list[Label] = []
    failed: list[Wanted] = []
    standing: dict[tuple[int, int], list[Label]] = {}
    for want in order:
        for box, margin, leader in free[want.key]:
            if all(_clear(margin, leader, standing.get(cell, ())) for cell in _cells(margin, leader)):
                made = Label(want.key, want.text, want.strong, box, size, leader)
                labels.append(made)
                for cell in _cells(margin, leader):
                    standing.setdefault(cell, []).append(made)
                break
        else:
            failed.append(want)
            if len(failed) > give_up_after:
                break
    return labels, failed


_CELL_MM = 9.0


def _cells(box: Box, leader: Leader | None) -> list[tuple[int, int]]:
    """The cells of a grid that a label and its leader may touch: what shares none cannot meet it."""
    left, top, right, bottom = box.left, box.top, box.right, box.bottom
    if leader is not None:
        left, right = min(left, leader[0], leader[2]), max(right, leader[0], leader[2])
        top, bottom = min(top, leader[1], leader[3]), max(bottom, leader[1], leader[3])
    return [
        (column, row)
        for column in range(math.floor(left / _CELL_MM), math.floor(right / _CELL_MM) + 1)
        for row in range(math.floor(top / _CELL_MM), math.floor(bottom / _CELL_MM) + 1)
    ]


def _clear(margin: Box, leader: Leader | None, labels: Sequence[Label]) -> bool:
    """Whether a label clears those that stand: boxes, their leaders, and its own leader."""
    for b in labels:
        if margin.overlaps(b.box) or (b.leader is not None and _crosses(b.leader, margin)):
            return False
        if leader is not None and _crosses(leader, b.box.grown(0.2)):
            return False
    return True
