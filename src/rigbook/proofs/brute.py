"""Every state, one by one: the plain way of proving, and the oracle that the solver is tested against.

States stand as rows of numpy columns, in the order of their value indexes (the first variable slowest), so that a
row's number *is* its place in the witness order. Three-valued logic is done in numbers: 0 false, 1 unknown, 2 true;
`and` is the least, `or` the greatest, `not x` is 2 - x (strong Kleene logic). One `Table` is all reachable states
under one set of lost signals. Nothing here is shared with the solver's encoding but the reading of contents.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import prod
from typing import Any

import numpy as np
import numpy.typing as npt

from rigbook.proofs.contents import is_steady, lit_colours
from rigbook.switching.evaluate import feeds_of
from rigbook.switching.program import (
    All,
    Any_,
    ConditionRef,
    Constant,
    Content,
    Device,
    DrivenPredicate,
    Is,
    LitPredicate,
    Not,
    Program,
    RequirementExpression,
    Rises,
    SeenPredicate,
    Tap,
)

Bools = npt.NDArray[np.bool_]
Kleene = npt.NDArray[np.uint8]
Whole = npt.NDArray[np.int64]

FALSE, UNKNOWN, TRUE = 0, 1, 2


class Table:
    """The reachable states under one set of lost signals, as columns; what they mean, computed when asked."""

    def __init__(
        self,
        program: Program,
        lost: tuple[int, ...],
        *,
        constrained: bool = True,
        state: tuple[int, ...] | None = None,
    ) -> None:
        self.program = program
        self.lost = frozenset(lost)
        self.lost_in_order = lost
        sizes = [len(v.values) for v in program.variables]
        self.strides = [prod(sizes[i + 1 :]) for i in range(len(sizes))]
        rows = prod(sizes) if state is None else 1
        self.flat: Whole = np.arange(rows, dtype=np.int64)
        self.columns: list[npt.NDArray[np.int16]] = (
            self._columns() if state is None else [np.array([value], dtype=np.int16) for value in state]
        )
        self._seen: dict[int, Kleene] = {}
        self._true: dict[int, Kleene] = {}
        if constrained:
            broken = self.broken_constraints()
            keep = ~np.logical_or.reduce(broken) if broken else np.ones(len(self.flat), dtype=bool)
            self.flat = self.flat[keep]
            self.columns = [c[keep] for c in self.columns]
            self._seen.clear()
            self._true.clear()
        self._active: dict[int, Bools] = {}
        self._decided: dict[int, npt.NDArray[np.int16]] = {}
        self._live: dict[int, Bools] = {}

    def _columns(self) -> list[npt.NDArray[np.int16]]:
        return [
            ((self.flat // stride) % len(v.values)).astype(np.int16)
            for stride, v in zip(self.strides, self.program.variables, strict=True)
        ]

    def __len__(self) -> int:
        return len(self.flat)

    def _fill(self, value: int) -> Kleene:
        return np.full(len(self.flat), value, dtype=np.uint8)

    # --- expressions --------------------------------------------------------------------------

    def worth(self, expression: RequirementExpression, *, seen: bool) -> Kleene:
        """0, 1 or 2 per state: by what functions see (`seen`), or by the true values (never 1 there).

        An event is over when a state is looked at: it is false.
        """
        if isinstance(expression, Constant):
            return self._fill(TRUE if expression.value else FALSE)
        if isinstance(expression, Is):
            if seen and expression.variable in self.lost:
                return self._fill(UNKNOWN)
            hit = np.isin(self.columns[expression.variable], sorted(expression.values))
            return np.where(hit, TRUE, FALSE).astype(np.uint8)
        if isinstance(expression, Not):
            return (2 - self.worth(expression.of, seen=seen)).astype(np.uint8)
        if isinstance(expression, All):
            result = self._fill(TRUE)
            for part in expression.of:
                result = np.minimum(result, self.worth(part, seen=seen))
            return result
        if isinstance(expression, Any_):
            result = self._fill(FALSE)
            for part in expression.of:
                result = np.maximum(result, self.worth(part, seen=seen))
            return result
        if isinstance(expression, ConditionRef):
            cache = self._seen if seen else self._true
            if expression.condition not in cache:
                cache[expression.condition] = self.worth(self.program.conditions[expression.condition][1], seen=seen)
            return cache[expression.condition]
        if isinstance(expression, Tap | Rises):
            return self._fill(FALSE)
        return np.where(self.predicate(expression), TRUE, FALSE).astype(np.uint8)

    def known(self, expression: RequirementExpression) -> Bools:
        """Where functions see that it holds."""
        return np.asarray(self.worth(expression, seen=True) == TRUE)

    def truly(self, expression: RequirementExpression) -> Bools:
        """Where it holds by the true values."""
        return np.asarray(self.worth(expression, seen=False) == TRUE)

    # --- reachable states -----------------------------------------------------------------------

    def broken_constraints(self) -> list[Bools]:
        """Where each constraint on the reachable states is broken, in the order of `constraint_labels`."""
        broken = [self.truly(expression) for expression, _file, _line in self.program.impossible]
        for group in self.program.exclusive:
            on_at_once = np.zeros(len(self.flat), dtype=np.int64)
            for i in group:
                on_at_once += self.columns[i] == 1
            broken.append(np.asarray(on_at_once > 1))
        for index, variable in enumerate(self.program.variables):
            on = self.columns[index] == 1
            if variable.kind == "switch" and variable.releases_when is not None:
                broken.append(on & self.known(variable.releases_when))
            elif variable.kind == "memory":
                broken.append(self._against_memory(index))
            elif variable.timer_kind == "off_delay" and variable.condition is not None:
                forced = self.known(variable.condition)
                broken.append(~on & forced if variable.at_most_ms is None else forced & False)
            elif variable.timer_kind == "on_delay" and variable.condition is not None:
                broken.append(on & ~self.known(variable.condition))
        return broken

    def _against_memory(self, index: int) -> Bools:
        variable = self.program.variables[index]
        column = self.columns[index]
        against = np.zeros(len(self.flat), dtype=bool)
        if variable.stepping:
            if variable.first_when is not None:
                against |= (column != 0) & self.known(variable.first_when)
            return against
        clears = against.copy() if variable.clear_when is None else self.known(variable.clear_when)
        against |= (column == 1) & clears
        if variable.set_when is not None:
            against |= (column == 0) & self.known(variable.set_when) & ~clears
        return against

    # --- what devices do --------------------------------------------------------------------------

    def active(self, function: int) -> Bools:
        """Where the function is on: its condition is seen to hold, or is unknown and `if_unknown` says on."""
        if function not in self._active:
            f = self.program.functions[function]
            worth = self.worth(f.when, seen=True)
            self._active[function] = np.asarray(worth >= (UNKNOWN if f.if_unknown else TRUE))
        return self._active[function]

    def decided(self, device: int, *, without_cuts: bool = False) -> npt.NDArray[np.int16]:
        """Which entry of the device's list decides; -1 none (rest)."""
        if not without_cuts and device in self._decided:
            return self._decided[device]
        winner = np.full(len(self.flat), -1, dtype=np.int16)
        for number in reversed(range(len(self.program.devices[device].entries))):
            entry = self.program.devices[device].entries[number]
            if without_cuts and entry.kind == "cut":
                continue
            winner[self.active(entry.function)] = number
        if not without_cuts:
            self._decided[device] = winner
        return winner

    def live(self, feed: int | None) -> Bools:
        """Where the feed is live; None is always live."""
        if feed is None:
            return np.ones(len(self.flat), dtype=bool)
        if feed not in self._live:
            f = self.program.feeds[feed]
            alive = self.live(f.above).copy()
            if f.live_when is not None:
                alive &= self.truly(f.live_when)
            if f.through is not None:
                alive &= self.in_state(f.through, "closed")
            if f.sheds is not None:
                for step, when in self.program.shedding:
                    if f.sheds <= step:
                        alive &= ~self.known(when)
            self._live[feed] = alive
        return self._live[feed]

    def contents(self, device: int, *, without_cuts: bool = False) -> Iterator[tuple[int, Content, Bools]]:
        """Each entry (-1: rest) with its content and where it decides."""
        d = self.program.devices[device]
        winner = self.decided(device, without_cuts=without_cuts)
        yield -1, self.program.contents[d.rest], winner == -1
        for number, entry in enumerate(d.entries):
            yield number, self.program.contents[entry.content], winner == number

    def commanded(self, device: Device, content: Content) -> Bools:
        """Where a content shows what it says; a factory lamp left to the vehicle only while that commands it."""
        if not content.commanded or device.commanded_when is None:
            return np.full(len(self.flat), not content.commanded)
        return self.truly(device.commanded_when)

    def lit(self, device: int, colour: str, *, without_cuts: bool = False) -> Bools:
        """Where the lamp lights the colour."""
        return self._shows(device, colour, without_cuts=without_cuts, steady=None)

    def _shows(self, device: int, colour: str, *, without_cuts: bool, steady: bool | None) -> Bools:
        d = self.program.devices[device]
        result = np.zeros(len(self.flat), dtype=bool)
        for _number, content, where in self.contents(device, without_cuts=without_cuts):
            for name, timeline in content.channels:
                if name == colour and name in lit_colours(content) and steady in (None, is_steady(timeline)):
                    result |= where & self.commanded(d, content)
        return result & self.powered(d, colour)

    def powered(self, device: Device, channel: str) -> Bools:
        """Where every feed that the colour or state hangs on is live."""
        result = np.ones(len(self.flat), dtype=bool)
        for feed in feeds_of(device, channel):
            result &= self.live(feed)
        return result

    def in_state(self, device: int, state: str) -> Bools:
        """Where a device that is not a lamp is in the state: it has power, or is a relay and this is its rest."""
        d = self.program.devices[device]
        rests = d.kind == "relay" and self.program.contents[d.rest].state == state
        result = np.zeros(len(self.flat), dtype=bool)
        for _number, content, where in self.contents(device):
            powered = np.zeros(len(self.flat), dtype=bool)
            if content.state is not None:
                powered = self.powered(d, content.state)
            if content.state == state:
                result |= where & powered
            if rests:
                result |= where & ~powered
        return result

    # --- predicates ---------------------------------------------------------------------------------

    def predicate(self, predicate: LitPredicate | SeenPredicate | DrivenPredicate) -> Bools:
        """Where a predicate of a requirement holds."""
        if isinstance(predicate, DrivenPredicate):
            return self.in_state(predicate.device, predicate.state)
        if isinstance(predicate, SeenPredicate):
            return self.seen(predicate.zone, predicate.colour)
        result = np.zeros(len(self.flat), dtype=bool)
        if predicate.what == "all_lit":
            having = [i for i in predicate.devices if self._named(i, predicate.colour)]
            result[:] = bool(having)
            for i in having:
                result &= self._any_colour(i, predicate.colour, steady=None)
            return result
        steady = {"lit": None, "steady": True, "flashing": False}[predicate.what]
        for i in predicate.devices:
            result |= self._any_colour(i, predicate.colour, steady=steady)
        return result

    def _named(self, device: int, colour: str | None) -> tuple[str, ...]:
        colours = self.program.devices[device].colours
        return colours if colour is None else tuple(c for c in colours if c == colour)

    def _any_colour(self, device: int, colour: str | None, *, steady: bool | None, cuts: bool = True) -> Bools:
        result = np.zeros(len(self.flat), dtype=bool)
        for name in self._named(device, colour):
            result |= self._shows(device, name, without_cuts=not cuts, steady=steady)
        return result

    def seen(self, zone: str, colour: str | None, *, only_warning: bool = False, cuts: bool = True) -> Bools:
        """Where some lamp shows the colour toward the zone, in its present pose."""
        result = np.zeros(len(self.flat), dtype=bool)
        for i, device in enumerate(self.program.devices):
            if only_warning and "warning" not in device.tags:
                continue
            lit = self._any_colour(i, colour, steady=None, cuts=cuts)
            if lit.any():
                result |= lit & self._faces(device, zone)
        return result

    def _faces(self, device: Device, zone: str) -> Bools:
        result = np.zeros(len(self.flat), dtype=bool)
        left = np.ones(len(self.flat), dtype=bool)
        for pose in device.poses:
            now = left if pose.when is None else left & self.truly(pose.when)
            if zone in pose.zones:
                result |= now
            left = left & ~now
        return result

    # --- what a device does, as one number a state ------------------------------------------------------

    def dimming(self, device: int) -> npt.NDArray[np.int64]:
        """Which dim of the device sets its intensity: the first of the lowest that are on; -1 none."""
        dims = self.program.devices[device].dims
        winner = np.full(len(self.flat), -1, dtype=np.int64)
        lowest = np.full(len(self.flat), np.inf)
        for number, dim in enumerate(dims):
            better = self.active(dim.function) & (dim.to < lowest)
            winner[better] = number
            lowest[better] = dim.to
        winner[~self.dimmable(device)] = -1
        return winner

    def dimmable(self, device: int) -> Bools:
        """Where the lamp is lit by an entry of its list that dims touch."""
        d = self.program.devices[device]
        result = np.zeros(len(self.flat), dtype=bool)
        for number, content, where in self.contents(device):
            if number >= 0 and d.entries[number].kind == "show" and not content.undimmed:
                for colour in lit_colours(content):
                    result |= where & self.powered(d, colour)
        return result

    def doings(self, device: int, codes: dict[Any, int]) -> Whole:
        """A number for what the device does in each state; `codes` keeps equal doings equal between tables."""
        d = self.program.devices[device]
        level = np.array([*(dim.to for dim in d.dims), 1.0])[self.dimming(device)]
        channels = [*d.colours, *d.states]
        live = {c: self.powered(d, c) for c in channels}
        key = self.decided(device).astype(np.int64) + 1
        levels, level_index = np.unique(level, return_inverse=True)
        key = key * len(levels) + level_index
        for name in channels:
            key = key * 2 + live[name]
        show = np.ones(len(self.flat), dtype=bool)
        for _number, content, where in self.contents(device):
            show &= ~where | self.commanded(d, content)
        key = key * 2 + show
        _uniques, first, inverse = np.unique(key, return_index=True, return_inverse=True)
        names = np.array(
            [codes.setdefault(self._doing(device, int(r), level, live, show), len(codes)) for r in first],
            dtype=np.int64,
        )
        return names[inverse] if len(first) else np.zeros(0, dtype=np.int64)

    def _doing(
        self, device: int, row: int, level: npt.NDArray[np.float64], live: dict[str, Bools], show: Bools
    ) -> tuple[Any, ...]:
        d = self.program.devices[device]
        entry = int(self.decided(device)[row])
        content = self.program.contents[d.rest if entry < 0 else d.entries[entry].content]
        channels = frozenset(
            (colour, timeline)
            for colour, timeline in content.channels
            if colour in lit_colours(content) and show[row] and bool(live.get(colour, [True] * (row + 1))[row])
        )
        state = content.state
        if state is not None and state in live and not live[state][row]:
            state = self.program.contents[d.rest].state if d.kind == "relay" else None
        if state is None and d.kind == "relay":
            state = self.program.contents[d.rest].state
        return (channels, float(level[row]) if channels else 1.0, state)
