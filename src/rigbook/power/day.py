"""Banks through time, event by event: isolators, chargers, low-voltage disconnects, loads that change. Plain numbers.

Between events the charges follow the kinetic model, integrated by the embedded pair of Dormand and Prince; where a voltage
crosses a threshold, a bank empties or a charging current falls to its tail within a step, the moment is found on the step's
own interpolation. Hours here; delays in seconds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from rigbook.power.bank import BankModel, cold_share, profile
from rigbook.power.bus import Sums
from rigbook.power.buses import NO_LOADS, Buses, Now
from rigbook.power.plant import SECOND_H, Crew, Happened, Ledger, Plant, Point, Setting, Watch
from rigbook.power.runge_kutta import Step, take_step

TOLERANCE_AH = 1e-5
"""Error of a step, Ah."""
BACK_SHARE = 0.05
"""Share of the available charge a flat bank needs before what it feeds comes back [common practice, no source]."""
_LONGEST_H = 3.0
_MOST_EVENTS = 50_000
_TURNS = 6
"""Turns of an isolator one after another, with nothing between, from which it is taken to hunt."""


class Endless(Exception):
    """A day with more events than any day has."""


@dataclass(frozen=True, slots=True)
class _Crossing:
    """Where something happens within a step: at a part of it, and what."""

    part: float
    kind: str
    subject: str


class Day(Buses):
    """A plant going through time. Mutable: one object, one run of stretches."""

    def __init__(
        self, plant: Plant, *, charges: Mapping[str, tuple[float, float]], tolerance_ah: float = TOLERANCE_AH
    ) -> None:
        super().__init__(plant, [amount for bank in plant.banks for amount in charges[bank.id]])
        self.tolerance_ah = tolerance_ah
        self.at_h = 0.0
        self.targets_ah: dict[str, float] = {}
        self.events: list[Happened] = []
        self.points: list[Point] = []
        self._turns, self._turned_h = 0, -1.0
        self._step_h = 0.02

    # --- going on ------------------------------------------------------------------------------------------

    def run(
        self, crew: Crew, setting: Setting, *, hours: float, stops: Callable[[Day], bool] | None = None
    ) -> dict[str, Ledger]:
        """Go on for so long under a setting, or until `stops` says so after an event. What each bank went through."""
        self._setting = setting
        end_h = self.at_h + hours
        for bank in self.plant.banks:
            self._profiles[bank.id] = profile(bank.chemistry, setting.temperature_c, bank.scale)
            self._cold[bank.id] = cold_share(bank.chemistry, setting.temperature_c)
            self.absorbing[bank.id] = True
        self._converters = [tie for tie in self.plant.ties if tie.kind == "converter" and setting.running]
        self._constants = [
            (b.id, self._at[b.id], b.kinetic.k_per_h, b.kinetic.c, self._profiles[b.id].efficiency, self._cold[b.id])
            for b in self.plant.banks
        ]
        ledgers = {bank.id: Ledger(self.charge_ah(bank)) for bank in self.plant.banks}
        now = self._changed(crew)
        events = 0
        while self.at_h < end_h - 1e-12:
            self._note(now, ledgers)
            due_h = self._next_due(crew, end_h)
            step, values, whole = self._step(now, due_h - self.at_h)
            after = self._instant(values)
            crossing = self._first_crossing(now, after, step)
            if crossing is not None:
                values, whole = step.at(crossing.part), False
                self._book(now, values, ledgers)
                self.at_h += crossing.part * step.hours
                self.charges = values
                self._cross(crossing)
            else:
                self._book(now, values, ledgers)
                self.at_h = due_h if whole else self.at_h + step.hours
                self.charges = values
            if crossing is not None or (whole and due_h < end_h) or self._turns_due():
                self._fall_due(crew)
                now = self._instant(self.charges)
                self._note(now, ledgers)
                now = self._changed(crew)
                events += 1
                if events > _MOST_EVENTS:
                    raise Endless(f"more than {_MOST_EVENTS} events in one stretch")
                if stops is not None and stops(self):
                    break
            else:
                now = after
        self._note(now, ledgers)
        for bank in self.plant.banks:
            ledgers[bank.id].end_ah = self.charge_ah(bank)
        return ledgers

    def charge_ah(self, bank: BankModel) -> float:
        """Charge of a bank now, Ah."""
        at = self._at[bank.id]
        return self.charges[at] + self.charges[at + 1]

    def tanks(self, bank_id: str) -> tuple[float, float]:
        """Available and bound charge of a bank now, Ah."""
        at = self._at[bank_id]
        return self.charges[at], self.charges[at + 1]

    def _changed(self, crew: Crew) -> Now:
        """What draws and what is joined, anew; the instant that follows, and which thresholds it is past."""
        cut = frozenset(w.id for w in self.watches if w.kind == "cutter" and not w.on)
        loads = dict(crew.loads(cut))
        closed = {w.id: w.on for w in self.watches if w.kind == "tie"}
        for tie in self.plant.ties:
            on = closed.get(tie.id, self._setting.running)
            own = tie.closed_a if on else tie.open_a
            if own:
                loads[tie.a] = loads.get(tie.a, NO_LOADS).and_(Sums(own))
        self._loads = loads
        self._step_h = min(self._step_h, 0.05)
        self._regroup()
        now = self._instant(self.charges)
        if self._hunting is not None and now.settles_v > 0:
            self._settle()
            now = self._instant(self.charges)
        for watch in self.watches:
            if watch is self._hunting:
                continue
            past = watch.past_v(now.volts) > 0
            if past and watch.since_h is None:
                watch.since_h = self.at_h
            elif not past and watch.since_h is not None and watch.past_v(now.volts) < -1e-9:
                watch.since_h = None
        return now

    def _next_due(self, crew: Crew, end_h: float) -> float:
        dues = [watch.due_h for watch in self.watches]
        own = crew.next_s()
        dues.append(None if own is None else own * SECOND_H)
        return max(self.at_h, min([end_h, *(due for due in dues if due is not None)]))

    def _step(self, now: Now, room_h: float) -> tuple[Step, list[float], bool]:
        """A step within the tolerance, its end, and whether it goes all the way."""
        if room_h <= 1e-12:
            return Step(self.charges, 0.0, (), 0.0), list(self.charges), True
        while True:
            hours = min(self._step_h, room_h)
            step, values = take_step(self._slopes_at, self.charges, now.slopes, hours)
            ratio = step.error / self.tolerance_ah
            grow = 5.0 if ratio < 1e-4 else 0.9 * ratio**-0.2
            if ratio <= 1.0 or hours < 1e-7:
                if hours >= self._step_h or ratio > 0.5:
                    self._step_h = min(_LONGEST_H, max(1e-6, hours * min(5.0, grow)))
                return step, values, hours >= room_h
            self._step_h = hours * max(0.2, min(0.9, grow))

    # --- events ----------------------------------------------------------------------------------------------

    def _signs(self, now: Now, charges: Sequence[float]) -> Iterator[tuple[str, str, float]]:
        """Everything that may happen within a step, as (kind, subject, value): it happens where the value passes 0."""
        for watch in self.watches:
            if watch is self._hunting:
                yield "settles", watch.id, now.settles_v
                continue
            past = watch.past_v(now.volts)
            yield ("past", watch.id, past) if watch.since_h is None else ("back", watch.id, -past)
        for bank in self.plant.banks:
            available = charges[self._at[bank.id]]
            into = now.into_a[bank.id]
            if not self.flat[bank.id]:
                yield "empty", bank.id, -available
            elif into > 0:
                yield "alive", bank.id, available / bank.available_full_ah - BACK_SHARE
            if bank.id in self.targets_ah:
                yield "charged", bank.id, available + charges[self._at[bank.id] + 1] - self.targets_ah[bank.id]
            if self._on_shore(bank) and self.absorbing[bank.id]:
                how = self._profiles[bank.id]
                held = now.volts[bank.id] >= how.absorption_v - 1e-9
                tail = how.tail_share * bank.capacity_ah - into
                yield "float", bank.id, tail if held else min(tail, -1e-9)

    def _first_crossing(self, now: Now, after: Now, step: Step) -> _Crossing | None:
        if step.hours == 0.0:
            return None
        before = {(kind, name): value for kind, name, value in self._signs(now, self.charges)}
        end = step.at(1.0)
        found: list[_Crossing] = []
        for kind, name, value in self._signs(after, end):
            start = before.get((kind, name), -1.0)
            if value > 0.0 and (start <= 0.0 or kind == "float"):
                part = self._part(step, kind, name, start, value)
                found.append(_Crossing(part, kind, name))
        return min(found, key=lambda each: each.part, default=None)

    def _part(self, step: Step, kind: str, name: str, start: float, end: float) -> float:
        """Where in a step a value passes 0, the end on the far side: regula falsi that halves a side that stays."""
        low, high, at_low, at_high = 0.0, 1.0, min(start, 0.0), end
        close = 1e-9 / max(step.hours, 1e-9)
        for _ in range(60):
            if high - low <= close:
                break
            part = (low * at_high - high * at_low) / (at_high - at_low) if at_high != at_low else (low + high) / 2
            part = min(max(part, low + 0.01 * (high - low)), high - 0.01 * (high - low))
            charges = step.at(part)
            value = next(
                (v for k, n, v in self._signs(self._instant(charges), charges) if (k, n) == (kind, name)), at_high
            )
            if value > 0.0:
                high, at_high, at_low = part, value, at_low / 2
            else:
                low, at_low, at_high = part, value, at_high / 2
        return high

    def _cross(self, crossing: _Crossing) -> None:
        kind, name = crossing.kind, crossing.subject
        if kind in ("past", "back"):
            watch = next(w for w in self.watches if w.id == name)
            watch.since_h = self.at_h if kind == "past" else None
            return
        if kind == "settles":
            self._settle()
            return
        if kind == "empty":
            self.flat[name] = True
            self.charges[self._at[name]] = 0.0
        elif kind == "alive":
            self.flat[name] = False
        elif kind == "charged":
            del self.targets_ah[name]
        else:
            self.absorbing[name] = False
        self.events.append(Happened(self.at_h, name, kind))

    def _turns_due(self) -> bool:
        return any(w.due_h is not None and w.due_h <= self.at_h + 1e-12 for w in self.watches)

    def _fall_due(self, crew: Crew) -> None:
        crew.advance(self.at_h / SECOND_H)
        for watch in self.watches:
            if watch.due_h is None or watch.due_h > self.at_h + 1e-12:
                continue
            turned = not watch.on
            if watch.kind == "signal":
                acts = turned == watch.acts_on
                if not crew.signal(watch.id, acts):
                    delay = watch.fall_delay_s if watch.on else watch.rise_delay_s
                    watch.since_h = self.at_h + (1.0 - delay) * SECOND_H
                    continue
                self.events.append(Happened(self.at_h, watch.id, "acts" if acts else "clears"))
            else:
                self.events.append(Happened(self.at_h, watch.id, "closes" if turned else "opens"))
            watch.on, watch.since_h = turned, None
            self._count(watch)
            if watch.kind == "tie" and self._turns >= _TURNS:
                self._hunt(watch)
        self._regroup()

    def _count(self, watch: Watch) -> None:
        """Turns of an isolator right after one another."""
        soon_h = (2.0 * max(watch.fall_delay_s, watch.rise_delay_s) + 2.0) * SECOND_H
        quick = watch.kind == "tie" and self.at_h - self._turned_h <= soon_h
        self._turns = self._turns + 1 if quick else 1 if watch.kind == "tie" else 0
        self._turned_h = self.at_h

    def _hunt(self, watch: Watch) -> None:
        """An isolator that opens what it closes and closes what it opens: from here on by the mean of both."""
        was = watch.on
        self._hunting = watch
        self._regroup()
        if self._instant(self.charges).settles_v > 0:
            self._hunting, watch.on, self._turns = None, was, 0
            self._regroup()
            return
        self.events.append(Happened(self.at_h, watch.id, "hunts"))

    def _settle(self) -> None:
        """The hunting isolator stays where the voltage no longer turns it."""
        watch = self._hunting
        assert watch is not None
        self._hunting = None
        self._turns = 0
        watch.on, watch.since_h = True, None
        self._regroup()
        if watch.past_v(self._instant(self.charges).volts) > 0:
            watch.on = False
            self._regroup()
        self.events.append(Happened(self.at_h, watch.id, "closes" if watch.on else "opens"))

    # --- books ------------------------------------------------------------------------------------------------

    def _book(self, now: Now, values: Sequence[float], ledgers: Mapping[str, Ledger]) -> None:
        """What went in and out of each bank over a step, by the direction at its start."""
        for bank in self.plant.banks:
            at = self._at[bank.id]
            gained = values[at] + values[at + 1] - self.charges[at] - self.charges[at + 1]
            if gained > 0:
                ledgers[bank.id].put_ah += gained / self._profiles[bank.id].efficiency
            else:
                ledgers[bank.id].drawn_ah -= gained * self._cold[bank.id]

    def _note(self, now: Now, ledgers: Mapping[str, Ledger]) -> None:
        for bank in self.plant.banks:
            ledger = ledgers[bank.id]
            low_v, low_a = now.lowest[bank.id]
            if low_v < ledger.lowest_v:
                ledger.lowest_v, ledger.lowest_a = low_v, low_a
                ledger.lowest_head = self.charges[self._at[bank.id]] / bank.available_full_ah
                ledger.lowest_at_h = self.at_h
        volts = tuple(now.volts[bank.id] for bank in self.plant.banks)
        amounts = tuple(self.charge_ah(bank) for bank in self.plant.banks)
        self.points.append(Point(self.at_h, volts, amounts, now.given_a))
