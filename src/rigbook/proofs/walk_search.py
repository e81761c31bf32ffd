"""How an inspection walk is found: greedily, toward goals that no single move shows, and then improved."""

from __future__ import annotations

import heapq
import random
from collections.abc import Iterator, Mapping, Sequence
from itertools import permutations
from typing import TYPE_CHECKING

from rigbook.proofs.evidence import State
from rigbook.proofs.presses import Event
from rigbook.proofs.symbolic import Solver
from rigbook.proofs.walk_goals import Goal
from rigbook.proofs.walk_moves import Moves, Place
from rigbook.switching.plain_words import depends_on

if TYPE_CHECKING:
    from rigbook.proofs.walk import WalkEffort

Events = tuple[Event, ...]
MOST_PLACES = 1_500
"""How many places the search for the moves to one goal looks at."""
MOST_STARTS = 24
"""The most greedy walks that are begun."""
MOST_MOVES = 7
"""The most moves to one goal."""


class Search:
    """The search for one program. `literals`: bit of a goal to its literal."""

    def __init__(self, moves: Moves, literals: Mapping[int, int], solver: Solver) -> None:
        self.moves = moves
        self.solver = solver
        self.literals = dict(literals)
        self.everything = sum(literals)
        self._cones = {bit: self._cone(goal) for goal, bit in moves.viewer.bit.items()}
        self._hopeless: set[tuple[int, int, object]] = set()

    def best(self, effort: WalkEffort) -> Events:
        """The shortest walk that the effort finds."""
        walks = [self.greedy(number) for number in range(max(1, effort.starts))]
        while self.moves.made < effort.moves // 5 and len(walks) < MOST_STARTS:
            walks.append(self.greedy(len(walks)))
        most = max(self.covered(events).bit_count() for events in walks)
        full = [events for events in walks if self.covered(events).bit_count() == most]
        # the two best, for the shorter one is not always the one that can be made shortest
        full.sort(key=len)
        share = effort.moves // 2
        return min((Improver(self.moves, events).improve(share) for events in full[:2]), key=len)

    def covered(self, events: Sequence[Event]) -> int:
        """All goals that a walk shows; 0 where a move cannot be made."""
        place = self.moves.start()
        seen = place.mask
        for event in events:
            following = self.moves.make(place, event)
            if following is None:
                return 0
            place = following
            seen |= place.mask
        return seen

    # -- growing

    def greedy(self, number: int) -> Events:
        """A walk that grows by what shows most; `number` 0 takes the first among equals, others another."""
        order = random.Random(number)
        place = self.moves.start()
        seen = place.mask
        events: list[Event] = []
        gone: set[int] = set()  # goals to which no way was found
        while True:
            left = self.everything & ~seen
            for bit in gone:
                left &= ~bit
            if not left:
                return tuple(events)
            path = self._next(place, left, order if number else None)
            if path is None:
                bit = left & -left
                found = self._toward(place, bit)
                if found is None:
                    gone.add(bit)
                    continue
                path = found
            for event in path:
                following = self.moves.make(place, event)
                assert following is not None, event
                place = following
                seen |= place.mask
                events.append(event)
                gone.clear() if place.mask & left else None

    def _next(self, place: Place, left: int, order: random.Random | None) -> Events | None:
        """The move that shows most anew; where none shows anything, the cheapest way to any open goal nearby."""
        best: tuple[float, float] = (0.0, 0.0)
        chosen: Events | None = None
        for event in self.moves.open(place):
            following = self.moves.make(place, event)
            if following is None:
                continue
            gain = (following.mask & left).bit_count()
            key = (float(gain), order.random() if order is not None else 0.0)
            if gain and key > best:
                best, chosen = key, (event,)
        if chosen is not None:
            return chosen
        worth: list[tuple[float, int, Events]] = []
        tried: set[frozenset[int]] = set()
        for bit in self._bits(left):
            cone = self._cones[bit]
            if cone in tried:
                continue
            tried.add(cone)
            path = self._search(place, left & self._sharing(cone), cone, most_moves=3)
            if path is not None:
                worth.append((len(path) + (order.random() if order is not None else 0.0), len(worth), path))
        return min(worth)[2] if worth else None

    def _sharing(self, cone: frozenset[int]) -> int:
        return sum(bit for bit, other in self._cones.items() if other <= cone)

    @staticmethod
    def _bits(mask: int) -> Iterator[int]:
        while mask:
            bit = mask & -mask
            yield bit
            mask &= ~bit

    # -- toward one goal

    def _toward(self, place: Place, bit: int) -> Events | None:
        """Moves to a place that shows the goal, by way of the nearest state in which it holds."""
        cone = self._cones[bit]
        nearest = self._nearest(place, self.literals[bit])
        if nearest is None:
            return None
        path = self._walked_to(place, nearest, bit)
        if path is not None:
            return path
        everything = frozenset(range(len(self.moves.program.variables)))
        for scope in (cone, everything):
            path = self._search(place, bit, scope, most_moves=MOST_MOVES, nearest=nearest)
            if path is not None:
                return path
        return None

    def _nearest(self, place: Place, literal: int) -> State | None:
        """The reachable state with the goal that differs from here in fewest switches and signals."""
        solver, now = self.solver, place.stepper.state
        away = [
            -solver.encoding.values[index][now[index]]
            for index, v in enumerate(self.moves.program.variables)
            if v.kind in ("switch", "signal") and len(v.values) > 1
        ]
        counter = solver.gates.at_least(away)
        if not solver.solve((literal,)):
            return None
        found = solver.state()
        for bound in range(len(counter)):
            if solver.solve((literal, -counter[bound])):
                return solver.state()
        return found

    def _walked_to(self, place: Place, target: State, bit: int) -> Events | None:
        """Each switch and signal that differs moved once, signals first or last, waiting at the end if need be."""
        program, now = self.moves.program, place.stepper.state
        wanted = [
            event
            for index, v in enumerate(program.variables)
            if v.kind in ("switch", "signal") and now[index] != target[0][index]
            for event in [self._to(index, now[index], target[0][index])]
            if event is not None
        ]
        signals = [e for e in wanted if e.what == "signal"]
        others = [e for e in wanted if e.what != "signal"]
        orders: list[tuple[Event, ...]] = [(*signals, *others), (*others, *signals)]
        if len(wanted) <= 4:
            orders += list(permutations(wanted))
        for order in orders:
            here: Place | None = place
            path: list[Event] = []
            for event in order:
                here = self.moves.make(here, event) if here is not None else None
                path.append(event)
                if here is None or here.mask & bit:
                    break
            if here is not None and not here.mask & bit:
                waits = [e for e in self.moves.open(here, ()) if e.what == "wait"]
                if waits:
                    path += waits
                    here = self.moves.make(here, waits[0])
            if here is not None and here.mask & bit:
                return tuple(path)
        return None

    def _to(self, index: int, now: int, value: int) -> Event | None:
        """The event that brings a switch or signal to a value."""
        v = self.moves.program.variables[index]
        if v.kind == "signal":
            return Event("signal", ((v.name, v.values[value]),))
        if v.switch_kind == "latching":
            return Event("press", ((v.name, ""),))
        if v.switch_kind == "momentary":
            if value == 0:
                return Event("release", ((v.name, ""),)) if now else None
            return Event("press" if v.tap_under_ms is None else "hold", ((v.name, ""),))
        return Event("set", ((v.name, v.values[value]),))

    def _search(
        self, place: Place, wanted: int, cone: frozenset[int], *, most_moves: int, nearest: State | None = None
    ) -> Events | None:
        """The fewest moves of the cone's switches and signals to a place that shows something wanted."""
        key = (wanted, most_moves, place.stepper.key())
        if key in self._hopeless:
            return None
        scope = sorted(cone)
        best = {place.stepper.key(): 0}
        queue: list[tuple[int, int, Place, Events]] = [(0, 0, place, ())]
        number = 0
        while queue:
            _estimate, _number, here, path = heapq.heappop(queue)
            if len(path) >= most_moves or best[here.stepper.key()] < len(path):
                continue
            for event in self.moves.open(here, scope):
                following = self.moves.make(here, event)
                if following is None:
                    continue
                if following.mask & wanted:
                    return (*path, event)
                at = following.stepper.key()
                length = len(path) + 1
                if best.get(at, length + 1) <= length or len(best) >= MOST_PLACES:
                    continue
                best[at] = length
                number += 1
                estimate = length + (2 * self._away(following, nearest, cone) if nearest is not None else 0)
                heapq.heappush(queue, (estimate, number, following, (*path, event)))
        self._hopeless.add(key)
        return None

    def _away(self, place: Place, target: State, cone: frozenset[int]) -> int:
        return sum(place.stepper.state[index] != target[0][index] for index in cone)

    def _cone(self, goal: Goal) -> frozenset[int]:
        """Variables that have to do with a goal."""
        program = self.moves.program
        functions = {goal.function, goal.over} - {-1}
        if goal.kind == "colour":
            functions = {e.function for e in program.devices[goal.device].entries}
        found = {v for f in functions for v in depends_on(program, program.functions[f].when)}
        if goal.kind in ("function", "stopped"):
            # a dim shows nothing where nothing burns, and power may hang on a relay that another function drives
            for d in program.devices:
                if goal.function in {e.function for e in d.dims}:
                    found |= {v for e in d.entries for v in depends_on(program, program.functions[e.function].when)}
        if goal.switch >= 0:
            found |= {goal.switch} | depends_on(program, program.variables[goal.switch].releases_when)
            found |= {i for group in program.exclusive if goal.switch in group for i in group}
        found |= {v for i in found for v in depends_on(program, program.variables[i].releases_when)}
        return frozenset(found)


class Improver:
    """A walk being shortened: moves left out, alone or with another of the same switch, and moves put elsewhere."""

    def __init__(self, moves: Moves, events: Events) -> None:
        self.moves = moves
        self.events = list(events)
        self.places: list[Place] = [moves.start()]
        for event in events:
            following = moves.make(self.places[-1], event)
            assert following is not None, event
            self.places.append(following)
        self._sum_up()
        self.wanted = self.before[-1]

    def _sum_up(self) -> None:
        """What is shown up to each place, and from each place on."""
        masks = [p.mask for p in self.places]
        self.before, self.after = [0] * len(masks), [0] * (len(masks) + 1)
        seen = 0
        for n, mask in enumerate(masks):
            seen |= mask
            self.before[n] = seen
        for n in range(len(masks) - 1, -1, -1):
            self.after[n] = self.after[n + 1] | masks[n]

    def improve(self, most_moves: int) -> Events:
        """Shorten as long as the moves last."""
        end = self.moves.made + most_moves
        order = random.Random(len(self.events))
        while self._leave_out(end) and self.moves.made < end:
            pass
        idle = 0
        while self.moves.made < end and idle < 20_000:
            idle += 1
            if self._put_elsewhere(order) and self._leave_out_near(order):
                idle = 0
                while self._leave_out(end) and self.moves.made < end:
                    pass
        return tuple(self.events)

    # -- trying a changed list

    def _try(self, events: list[Event], first: int, common: int) -> bool:
        """Take a changed list if all is still shown. The first `first` moves and the last `common` are unchanged."""
        places = self.places[: first + 1]
        seen = self.before[first]
        shift = len(self.events) - len(events)
        for number in range(first, len(events)):
            if number >= len(events) - common:
                old = self.places[number + shift]
                here = places[-1]
                if old.number == here.number >= 0 or (old.number < 0 and old.stepper.key() == here.stepper.key()):
                    if (seen | self.after[number + shift + 1]) & self.wanted != self.wanted:
                        return False
                    places += self.places[number + shift + 1 :]
                    break
            following = self.moves.make(places[-1], events[number])
            if following is None:
                return False
            places.append(following)
            seen |= following.mask
        else:
            if seen & self.wanted != self.wanted:
                return False
        self.events, self.places = events, places
        self._sum_up()
        return True

    def _leave_out(self, end: int) -> bool:
        """Leave out one move, or two of one switch or signal; the first that can be."""
        for i in range(len(self.events) - 1, -1, -1):
            if self.moves.made >= end:
                return False
            if self._without(i):
                return True
        return any(self._without(i, j) for i, j in self._pairs() if self.moves.made < end)

    def _pairs(self) -> list[tuple[int, int]]:
        names = [self.moves.variable(e) for e in self.events]
        return [(i, j) for j in range(len(names)) for i in range(j) if names[i] == names[j]]

    def _leave_out_near(self, order: random.Random) -> bool:
        pairs = self._pairs()
        order.shuffle(pairs)
        singles = list(range(len(self.events)))
        order.shuffle(singles)
        return any(self._without(i) for i in singles[:12]) or any(self._without(i, j) for i, j in pairs[:12])

    def _without(self, *numbers: int) -> bool:
        left = [e for n, e in enumerate(self.events) if n not in numbers]
        return self._try(left, min(numbers), len(self.events) - max(numbers) - 1)

    def _put_elsewhere(self, order: random.Random) -> bool:
        """Put one move, or a run of moves, somewhere else."""
        many = len(self.events)
        if many < 2:
            return False
        length = 1 if many < 3 or order.random() < 0.7 else order.randint(2, min(6, many - 1))
        source = order.randrange(many - length + 1)
        target = order.randrange(many - length + 1)
        if source == target:
            return False
        run = self.events[source : source + length]
        rest = self.events[:source] + self.events[source + length :]
        changed = rest[:target] + run + rest[target:]
        first = min(source, target)
        last = max(source, target) + length
        return self._try(changed, first, many - last)
