"""Nodal equations of a DC network and Newton's way to their solution; the records and entry are in `network`.

A wiring network is nearly a tree, so its matrix is eliminated in order of least degree with hardly any fill, and no heavy
library is needed. Nodes that no load of constant power touches are linear: they are eliminated once. What is left is
eliminated anew at every step of Newton by a list of operations laid down once. The signs of the pivots tell the branch: all
above zero is the one reached from no load.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rigbook.power.network import Network

REFERENCE = "0"
_SINGULAR = 1e-5
"""A pivot this far below zero, against the largest, still counts as the limit itself."""
_STEPS, _TRIALS, _TRIAL_STEPS = 80, 80, 30
_CLOSE = 1e-13
_LEAST_V = 1e-6
_KNOT, _DEGREE = 12, 4
"""Nodes left, and neighbours of the least of them, from which a knot is solved by dense algebra."""
_THIN = 2
"""Neighbours that a node may have to be eliminated without filling anything."""


class Equations:
    """Numbered nodes with zero resistances joined and source nodes held; free nodes come first."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.joined = join(network)
        held: dict[str, float] = {self.of(REFERENCE): 0.0}
        for source in network.sources:
            node = self.of(source.node)
            if abs(held.setdefault(node, source.voltage_v) - source.voltage_v) > 0.0:
                raise ValueError(f"source {source.id} fights another on the same node")
        free = sorted({*self.joined.values()} - held.keys())
        self.number = {node: index for index, node in enumerate([*free, *sorted(held)])}
        self.free = len(free)
        self.held = [held[node] for node in sorted(held)]
        self.rows: list[dict[int, float]] = [{} for _ in self.number]
        self.diagonal = [0.0] * len(self.number)
        place = {node: self.number[to] for node, to in self.joined.items()}
        self._place = place
        for resistor in network.resistors:
            a, b = place[resistor.a], place[resistor.b]
            if a != b:
                self._stamp(a, b, 1.0 / resistor.ohm)
        self._check_reach()
        self.fixed = [0.0] * len(self.number)
        self.powers: list[tuple[int, int, float]] = []
        for load in network.loads:
            a, b = place[load.plus], place[load.minus]
            if a == b:
                continue
            if load.law == "resistive":
                self._stamp(a, b, load.current_a / load.at_v)
            elif load.law == "constant-current":
                self.fixed[a] += load.current_a
                self.fixed[b] -= load.current_a
            else:
                self.powers.append((a, b, load.current_a * load.at_v))
        self._reduce()

    def of(self, node: str) -> str:
        """The representative of a node."""
        return self.joined.get(node, node)

    def index(self, node: str) -> int:
        """Number of a node."""
        return self._place[node]

    def _stamp(self, a: int, b: int, siemens: float) -> None:
        self.diagonal[a] += siemens
        self.diagonal[b] += siemens
        self.rows[a][b] = self.rows[a].get(b, 0.0) - siemens
        self.rows[b][a] = self.rows[b].get(a, 0.0) - siemens

    def _check_reach(self) -> None:
        seen = set(range(self.free, len(self.number)))
        waiting = list(seen)
        while waiting:
            for other in self.rows[waiting.pop()]:
                if other not in seen:
                    seen.add(other)
                    waiting.append(other)
        if len(seen) < len(self.number):
            lost = next(node for node, index in self.number.items() if index not in seen)
            raise ValueError(f"no source reaches node {lost}")

    # --- the linear part, once ---------------------------------------------------------------------------

    def _reduce(self) -> None:
        """Eliminate what no power touches and two neighbours at most (that fills nothing); lay down how the rest goes."""
        free, held = self.free, self.held
        diagonal = self.diagonal[:free]
        rows: list[dict[int, float]] = []
        right: list[float] = []
        for row, fixed in zip(self.rows[:free], self.fixed, strict=False):
            known = -fixed
            own = {}
            for other, value in row.items():
                if other < free:
                    own[other] = value
                else:
                    known -= value * held[other - free]
            rows.append(own)
            right.append(known)
        touched = {node for a, b, _ in self.powers for node in (a, b) if node < free}
        self._early: list[tuple[int, float, dict[int, float]]] = []
        for node in _thin(rows, touched):
            pivot, row = diagonal[node], rows[node]
            self._early.append((node, pivot, row))
            own_right = right[node]
            for other, value in row.items():
                factor = value / pivot
                diagonal[other] -= factor * value
                right[other] -= factor * own_right
                theirs = rows[other]
                del theirs[node]
                for third, more in row.items():
                    if third != other:
                        theirs[third] = theirs.get(third, 0.0) - factor * more
        self._right = right
        early = {node for node, _, _ in self._early}
        late = [node for node in range(free) if node not in early]
        self._late = Late(late, diagonal, rows, right, self.powers, held, free)

    def whole(self, late_v: Sequence[float]) -> list[float]:
        """All free voltages from those of the nodes that powers touch."""
        found = [0.0] * self.free
        for node, volts in zip(self._late.nodes, late_v, strict=True):
            found[node] = volts
        right = self._right
        for node, pivot, row in reversed(self._early):
            rest = right[node]
            for other, value in row.items():
                rest -= value * found[other]
            found[node] = rest / pivot
        return found

    # --- solutions ---------------------------------------------------------------------------------------

    def solution(self) -> tuple[list[float] | None, float]:
        """Free voltages at the full powers, or None with the greatest share of them that has a solution."""
        late = self._late
        at_none = late.unloaded()
        if at_none is None:
            return None, 0.0
        direct = late.newton(at_none, 1.0)
        if direct is not None:
            return self.whole(direct), 1.0
        volts, share, step = at_none, 0.0, 0.25
        while step > 1e-9:
            tried = late.newton(volts, min(1.0, share + step))
            if tried is None:
                step /= 2
                continue
            volts, share = tried, min(1.0, share + step)
            if share >= 1.0:
                return self.whole(volts), 1.0
        # At the very limit the last bits decide; so near it voltages are right to 5e-5 of themselves.
        return (self.whole(volts) if share >= 1.0 - 2.5e-9 else None), share

    def solvable(self) -> bool:
        """Whether Newton comes down from no load to a solution at the full powers."""
        at_none = self._late.unloaded()
        return at_none is not None and self._late.newton(at_none, 1.0) is not None

    def margin(self, *, at_most: float, within: float) -> float:
        """Share of the powers up to which there is a solution, to a relative `within`, from below.

        Near the limit a voltage falls as its root, so one over the square of its slope falls straight to zero there (for
        one load everywhere): two points of that line give the next guess, and a bracket keeps it honest.
        """
        late = self._late
        volts = late.unloaded()
        if volts is None:
            return 0.0
        low, high, behind, failed = 0.0, at_most, None, False
        line: list[tuple[float, float]] = []
        trial, stride = min(1.0, at_most), within
        for _ in range(_TRIALS):
            made = late.newton(volts, trial, steps=_TRIAL_STEPS)
            if made is None:
                high, failed, stride = trial, True, within
            else:
                volts, low = made, trial
                if low >= at_most:
                    return at_most
                slope, behind = late.steepest(volts, low, behind)
                if slope < 0.0:
                    line = [*line[-1:], (low, 1.0 / slope**2)]
                stride *= 4.0
            if failed and high - low <= within * low:
                break
            trial = _next_trial(line, low, high, within=within, stride=stride, failed=failed)
        return low


def _next_trial(
    line: Sequence[tuple[float, float]], low: float, high: float, *, within: float, stride: float, failed: bool
) -> float:
    """Where to try next: nearly where the straight line falls to zero, then just past it, else a stride on or the middle."""
    middle = (low + high) / 2 if failed or low == 0 else min(2 * low, (low + high) / 2)
    if len(line) < 2 or line[1][1] >= line[0][1]:
        return middle
    (x1, y1), (x2, y2) = line
    end = x2 + y2 * (x2 - x1) / (y1 - y2)
    if end - low > 4 * within * low:
        tried = low + 0.95 * (end - low)
    else:
        tried = max(end, low) * (1 + min(0.8 * within, stride))
        if stride > 64 * within:  # the line is lost in the last bits: go on by strides
            tried = low * (1 + stride)
    if tried >= high:
        return middle if failed else high
    return tried


class Late:
    """The nodes that powers touch, the rest folded in: eliminated by a list of operations laid down once."""

    def __init__(
        self, nodes: Sequence[int], diagonal: Sequence[float], rows: Sequence[dict[int, float]], right: Sequence[float],
        powers: Sequence[tuple[int, int, float]], held: Sequence[float], free: int,
    ) -> None:  # fmt: skip
        self.nodes = nodes
        place = {node: index for index, node in enumerate(nodes)}
        own: list[dict[int, float]] = [{place[other]: value for other, value in rows[node].items()} for node in nodes]
        self.right = [right[node] for node in nodes]
        self._diagonal = [diagonal[node] for node in nodes]
        self.powers: list[tuple[int | None, float, int | None, float, int | None, float]] = []
        ends = []
        for a, b, watts in powers:
            at_a, at_b = place.get(a), place.get(b)
            if at_a is not None and at_b is not None:
                own[at_a].setdefault(at_b, 0.0)
                own[at_b].setdefault(at_a, 0.0)
            ends.append((at_a, 0.0 if a < free else held[a - free], at_b, 0.0 if b < free else held[b - free], watts))
        self._plan(own)
        for at_a, volts_a, at_b, volts_b, watts in ends:
            slot = None if at_a is None or at_b is None else self._slot[min(at_a, at_b), max(at_a, at_b)]
            self.powers.append((at_a, volts_a, at_b, volts_b, slot, watts))
        self.scale_v = max([1.0, *map(abs, held)])

    def _plan(self, own: list[dict[int, float]]) -> None:
        """The order, a slot for every value of the triangle, which slots each elimination changes, and what is left
        for dense algebra: a knot of nodes that all hang together."""
        pattern = [set(row) for row in own]
        slot: dict[tuple[int, int], int] = {}
        values: list[float] = []

        def slot_of(a: int, b: int) -> int:
            key = (a, b) if a < b else (b, a)
            at = slot.get(key)
            if at is None:
                at = slot[key] = len(values)
                values.append(own[a].get(b, 0.0))
            return at

        self._program: list[tuple[int, list[tuple[int, int]], list[tuple[int, int, int]]]] = []
        left = set(range(len(pattern)))
        for node in _least_degree(pattern):
            if len(left) >= _KNOT and len(pattern[node]) > _DEGREE:
                break
            left.discard(node)
            ups = [(other, slot_of(node, other)) for other in sorted(pattern[node])]
            pairs = []
            for index, (a, slot_a) in enumerate(ups):
                for b, slot_b in ups[index + 1 :]:
                    pairs.append((slot_of(a, b), slot_a, slot_b))
            self._program.append((node, ups, pairs))
        self._knot = sorted(left)
        place = {node: index for index, node in enumerate(self._knot)}
        edges = [(place[a], place[b], slot_of(a, b)) for a in self._knot for b in own[a] if a < b and b in place]
        known = {(a, b) for a, b, _ in edges}
        for (a, b), at in list(slot.items()):
            if a in place and b in place and (place[a], place[b]) not in known:
                edges.append((place[a], place[b], at))
        self._edges = tuple(zip(*edges, strict=True)) if edges else ((), (), ())
        self._slot, self._values = slot, values

    def unloaded(self) -> list[float] | None:
        """Voltages with no power drawn."""
        made = self._solve(list(self._diagonal), list(self._values), list(self.right))
        return None if made is None else made[0]

    def _solve(self, diagonal: list[float], values: list[float], right: list[float]) -> tuple[list[float], bool] | None:
        """The solution by elimination in place, and whether every pivot is above zero; None for a singular matrix."""
        if not diagonal:
            return [], True
        below = -_SINGULAR * max(map(abs, diagonal))
        upper = True
        for node, ups, pairs in self._program:
            pivot = diagonal[node]
            if pivot <= below:
                upper = False
            if pivot == 0.0:
                return None
            known = right[node] / pivot
            for other, slot in ups:
                value = values[slot]
                diagonal[other] -= value * value / pivot
                right[other] -= value * known
            for target, one, two in pairs:
                values[target] -= values[one] * values[two] / pivot
        if self._knot:
            dense = self._dense(diagonal, values, right, below)
            if dense is None:
                return None
            upper = upper and dense
        for node, ups, _ in reversed(self._program):
            rest = right[node]
            for other, slot in ups:
                rest -= values[slot] * right[other]
            right[node] = rest / diagonal[node]
        return right, upper

    def _dense(
        self, diagonal: Sequence[float], values: Sequence[float], right: list[float], below: float
    ) -> bool | None:
        """Solve the knot in place; whether its pivots are above zero; None for a singular one."""
        import numpy as np

        knot = self._knot
        matrix = np.diag([diagonal[node] for node in knot])
        a, b, slots = self._edges
        if slots:
            between = [values[slot] for slot in slots]
            matrix[a, b] = between
            matrix[b, a] = between
        known = np.array([right[node] for node in knot])
        try:
            np.linalg.cholesky(matrix)
            upper = True
        except np.linalg.LinAlgError:
            upper = bool(np.linalg.eigvalsh(matrix)[0] > below)
        try:
            found = np.linalg.solve(matrix, known).tolist()
        except np.linalg.LinAlgError:
            return None
        for node, value in zip(knot, found, strict=True):
            right[node] = value
        return upper

    def _linear(self, volts: Sequence[float], share: float) -> tuple[list[float], list[float], list[float], bool]:
        """Diagonal, slots and right side with every power replaced by its tangent; whether all see above 0 V."""
        diagonal, values, right = list(self._diagonal), list(self._values), list(self.right)
        sound = True
        for at_a, volts_a, at_b, volts_b, slot, watts in self.powers:
            across = (volts_a if at_a is None else volts[at_a]) - (volts_b if at_b is None else volts[at_b])
            if across <= _LEAST_V:
                sound = sound and across > 0.0
                across = _LEAST_V
            current = share * watts / across
            slope = current / across
            # drawn: current - slope (u - across), of u the part at held nodes is known
            drawn = current + slope * across
            if at_a is not None:
                diagonal[at_a] -= slope
                right[at_a] -= drawn + (slope * volts_b if at_b is None else 0.0)
            if at_b is not None:
                diagonal[at_b] -= slope
                right[at_b] += drawn - (slope * volts_a if at_a is None else 0.0)
            if slot is not None:
                values[slot] += slope
        return diagonal, values, right, sound

    def newton(self, start: Sequence[float], share: float, *, steps: int = _STEPS) -> list[float] | None:
        """Voltages that balance on the branch reached from no load, or None."""
        volts = list(start)
        astray = 0  # steps beyond the branch: from above it Newton comes down to a solution and stays on its side
        for _ in range(steps):
            diagonal, values, right, sound = self._linear(volts, share)
            made = self._solve(diagonal, values, right)
            if made is None:
                return None
            new, upper = made
            astray = 0 if upper else astray + 1
            moved = max((abs(a - b) for a, b in zip(new, volts, strict=True)), default=0.0)
            if astray > 2 or not moved < 1e12:
                return None
            volts = new
            if moved <= _CLOSE * self.scale_v:
                return volts if sound and upper else None
            if moved <= 1e-7 * self.scale_v and sound and upper and self._settled(volts, share):
                return volts
        return None

    def _settled(self, volts: Sequence[float], share: float) -> bool:
        """Whether a further step would be lost in the last bits: steps square, so one below 1e-7 ends below 1e-13.

        Near the limit they do not, so the pivots there are asked for once more.
        """
        diagonal, values, right, sound = self._linear(volts, share)
        made = self._solve(diagonal, values, right)
        return (
            made is not None
            and made[1]
            and sound
            and max((abs(a - b) for a, b in zip(made[0], volts, strict=True)), default=0.0) <= 1e-11 * self.scale_v
        )

    def steepest(self, volts: Sequence[float], share: float, load: int | None) -> tuple[float, int | None]:
        """How fast the voltage of a load falls with the share of the powers, V; the steepest load where none is given."""
        diagonal, values, _, _ = self._linear(volts, share)
        right = [0.0] * len(self.nodes)
        across = []
        for at_a, volts_a, at_b, volts_b, _, watts in self.powers:
            u = (volts_a if at_a is None else volts[at_a]) - (volts_b if at_b is None else volts[at_b])
            across.append(u)
            if at_a is not None:
                right[at_a] -= watts / u
            if at_b is not None:
                right[at_b] += watts / u
        made = self._solve(diagonal, values, right)
        if made is None or not self.powers:
            return 0.0, load
        falls = [
            (0.0 if at_a is None else made[0][at_a]) - (0.0 if at_b is None else made[0][at_b])
            for at_a, _, at_b, _, _, _ in self.powers
        ]
        if load is None:
            load = min(range(len(falls)), key=lambda index: falls[index])
        return falls[load], load


def _thin(rows: Sequence[dict[int, float]], touched: set[int]) -> Iterable[int]:
    """Nodes beside the touched ones with two neighbours at most; the rows change as they are eliminated between."""
    waiting = [index for index in range(len(rows) - 1, -1, -1) if index not in touched and len(rows[index]) <= _THIN]
    done: set[int] = set()
    while waiting:
        node = waiting.pop()
        if node in done or len(rows[node]) > _THIN:
            continue
        done.add(node)
        others = list(rows[node])
        yield node
        waiting.extend(other for other in others if other not in touched and len(rows[other]) <= _THIN)


def _least_degree(pattern: list[set[int]]) -> Iterable[int]:
    """All nodes of a pattern, each time one of least degree; the pattern is left as each elimination fills it."""
    by_degree: list[list[int]] = [[] for _ in range(len(pattern) + 1)]
    for index in range(len(pattern) - 1, -1, -1):
        by_degree[len(pattern[index])].append(index)
    left, degree = set(range(len(pattern))), 0
    while left:
        while not by_degree[degree]:
            degree += 1
        node = by_degree[degree].pop()
        if node not in left or len(pattern[node]) != degree:
            continue
        left.discard(node)
        others = pattern[node]
        for other in others:
            row = pattern[other]
            row |= others
            row -= {other, node}
            now = len(row)
            by_degree[now].append(other)
            degree = min(degree, now)
        yield node


def join(network: Network) -> dict[str, str]:
    """Each node's representative, nodes joined by 0 ohm sharing one. ValueError for a resistance below zero."""
    parent: dict[str, str] = {REFERENCE: REFERENCE}

    def find(node: str) -> str:
        while parent.setdefault(node, node) != node:
            node = parent[node]
        return node

    for resistor in network.resistors:
        if resistor.ohm < 0:
            raise ValueError(f"{resistor.id} has a resistance below zero")
        if resistor.ohm == 0:
            a, b = sorted((find(resistor.a), find(resistor.b)))
            parent[b] = a
        else:
            parent.setdefault(resistor.a, resistor.a)
            parent.setdefault(resistor.b, resistor.b)
    for source in network.sources:
        parent.setdefault(source.node, source.node)
    for load in network.loads:
        parent.setdefault(load.plus, load.plus)
        parent.setdefault(load.minus, load.minus)
    return {node: find(node) for node in sorted(parent)}
