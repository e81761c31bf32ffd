"""What a day of the batteries is worked out from: banks, what joins and charges them, thresholds. Records, plain numbers."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, Protocol

from rigbook.power.bank import BankModel
from rigbook.power.bus import Sums

SECOND_H = 1.0 / 3600.0
TieKind = Literal["direct", "senses", "running", "converter"]


@dataclass(frozen=True, slots=True)
class Tie:
    """What joins two banks: `direct`; `senses` closes above and opens below, each after the delay; `running` is closed
    while the engine runs; a `converter` charges b from a then. open_a, closed_a: what it draws itself, from a."""

    id: str
    a: str
    b: str
    kind: TieKind
    closes_v: float = 0.0
    opens_v: float = 0.0
    delay_s: float = 0.0
    out_a: float = 0.0
    out_v: float = 0.0
    efficiency: float = 1.0
    open_a: float = 0.0
    closed_a: float = 0.0


@dataclass(frozen=True, slots=True)
class ShoreCharger:
    """A shore charger on some banks, its output in A shared by what they ask for."""

    id: str
    banks: tuple[str, ...]
    output_a: float


@dataclass(frozen=True, slots=True)
class Cutter:
    """A low-voltage disconnect: what hangs on it goes below `opens_v` and comes back above `closes_v`, after the delay."""

    id: str
    bank: str
    opens_v: float
    closes_v: float
    delay_s: float


@dataclass(frozen=True, slots=True)
class Sensed:
    """A measured signal on a bank's voltage: past its threshold for so long it acts; it clears at once."""

    id: str
    bank: str
    below: bool
    at_v: float
    clears_v: float
    for_s: float


@dataclass(frozen=True, slots=True)
class Plant:
    """What does not change through the day. own: the bank the charging system feeds."""

    banks: tuple[BankModel, ...]
    own: str | None
    ties: tuple[Tie, ...] = ()
    chargers: tuple[ShoreCharger, ...] = ()
    cutters: tuple[Cutter, ...] = ()
    sensed: tuple[Sensed, ...] = ()


@dataclass(frozen=True, slots=True)
class Setting:
    """What holds for a while: charging output (0 A: engine off) and its voltage, plugged in or not, temperature."""

    output_a: float = 0.0
    regulated_v: float = 13.8
    running: bool = False
    shore: bool = False
    temperature_c: float = 25.0


class Crew(Protocol):
    """Who decides what draws: asked for loads by bank, told of time and of signals that act."""

    def loads(self, cut: frozenset[str]) -> Mapping[str, Sums]:
        """What each bank is asked for now, with some disconnects open."""

    def next_s(self) -> float | None:
        """When something falls due by itself, in seconds from the start of the day; None where nothing does."""

    def advance(self, now_s: float) -> None:
        """Time goes on to so many seconds from the start."""

    def signal(self, name: str, acts: bool) -> bool:
        """A measured signal turns; False where it cannot now."""


@dataclass(frozen=True, slots=True)
class Steady:
    """Loads that never change."""

    by_bank: Mapping[str, Sums]

    def loads(self, cut: frozenset[str]) -> Mapping[str, Sums]:
        """The same at any time."""
        return self.by_bank

    def next_s(self) -> float | None:
        """Nothing falls due."""
        return None

    def advance(self, now_s: float) -> None:
        """Nothing changes with time."""

    def signal(self, name: str, acts: bool) -> bool:
        """A signal turns, and changes nothing."""
        return True


@dataclass(slots=True)
class Watch:
    """A threshold with its delays. `on` now; `since_h` while the voltage (of several banks the highest) is past it."""

    id: str
    kind: Literal["tie", "cutter", "signal"]
    banks: tuple[str, ...]
    on: bool
    falls_below_v: float
    rises_above_v: float
    fall_delay_s: float
    rise_delay_s: float
    acts_on: bool = False  # of a signal: it acts while on (above its threshold), else while off (below it)
    since_h: float | None = None

    def past_v(self, volts: Mapping[str, float]) -> float:
        """How far the voltage is past the level that turns it, V."""
        seen = max(volts[bank] for bank in self.banks)
        return self.falls_below_v - seen if self.on else seen - self.rises_above_v

    @property
    def due_h(self) -> float | None:
        """When it turns, if the voltage stays past the level."""
        if self.since_h is None:
            return None
        return self.since_h + (self.fall_delay_s if self.on else self.rise_delay_s) * SECOND_H


def watches_of(plant: Plant) -> list[Watch]:
    """Everything that waits for a voltage."""
    found: list[Watch] = []
    for tie in plant.ties:
        if tie.kind == "senses":
            found.append(
                Watch(tie.id, "tie", (tie.a, tie.b), False, tie.opens_v, tie.closes_v, tie.delay_s, tie.delay_s)
            )
    for cut in plant.cutters:
        found.append(Watch(cut.id, "cutter", (cut.bank,), True, cut.opens_v, cut.closes_v, cut.delay_s, cut.delay_s))
    for s in plant.sensed:
        if s.below:
            found.append(Watch(s.id, "signal", (s.bank,), True, s.at_v, s.clears_v, s.for_s, 0.0))
        else:
            found.append(Watch(s.id, "signal", (s.bank,), False, s.clears_v, s.at_v, 0.0, s.for_s, True))
    return found


@dataclass(frozen=True, slots=True)
class Happened:
    """An event: hours from the start of the day, what it is about, what happens."""

    at_h: float
    subject: str
    kind: str


@dataclass(frozen=True, slots=True)
class Point:
    """A point of the curves: hours, volts and charge in Ah of each bank in the plant's order, amperes of the sources."""

    at_h: float
    volts: tuple[float, ...]
    charge_ah: tuple[float, ...]
    given_a: float


@dataclass(slots=True)
class Ledger:
    """What a bank went through in a stretch; the lowest voltage with the available share and current into it then."""

    start_ah: float
    end_ah: float = 0.0
    drawn_ah: float = 0.0
    put_ah: float = 0.0
    lowest_v: float = math.inf
    lowest_head: float = 1.0
    lowest_a: float = 0.0
    lowest_at_h: float = 0.0
