"""Results of charging and of the batteries through the day; keys as printed. None: not worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ShedStep:
    """What is left of a state's margin with all feeds of a step and below shed: amperes shed by then, and the margin."""

    id: str
    step: int
    shed_a: float
    margin_a: float


@dataclass(frozen=True, slots=True)
class StateNeed:
    """What a saved state with the engine running asks of the charging system.

    needed_rpm: least engine speed at which the hot output carries it, None where none does; high_idle_margin_a: margin
    at high idle; sheds: margin step by step, in order; holds_at_step: the first step that holds, 0 where none is needed,
    None where even the last does not.
    """

    id: str
    margin_a: float
    needed_rpm: float | None
    high_idle_margin_a: float | None
    needs_high_idle: bool
    holds_at_step: int | None
    sheds: tuple[ShedStep, ...]


@dataclass(frozen=True, slots=True)
class StartStep:
    """One moment of the start-up sequence: feeds that come then, amperes that come with them, amperes flowing after."""

    id: str
    after_s: float
    feeds: tuple[str, ...]
    added_a: float
    flowing_a: float


@dataclass(frozen=True, slots=True)
class BlockFigures:
    """A fuse block or bus bar: positions used, the worst RMS of the feed that supplies it, and what is left."""

    id: str
    feed: str | None
    positions_used: int
    positions: int
    free_share: float
    worst_rms_a: float | None
    limit_a: float
    spare_a: float | None


@dataclass(frozen=True, slots=True)
class DutyBank:
    """A bank through a stretch of the day: charge before and after, what went out and in at its posts, Ah; lowest V."""

    start_ah: float
    end_ah: float
    lowest_v: float
    drawn_ah: float
    put_ah: float


@dataclass(frozen=True, slots=True)
class DutyFigures:
    """A stretch of the working day, hours, and each bank through it. hunts: an isolator opens and closes for ever."""

    name: str
    hours: float
    bank: Mapping[str, DutyBank]
    hunts: bool = False


@dataclass(frozen=True, slots=True)
class DayEvent:
    """Something that happens in the day: hours from its start, what it is about, what happens."""

    id: str
    at_h: float
    subject: str
    says: str


@dataclass(frozen=True, slots=True)
class BankDay:
    """A bank over the whole day. full_ah: of the model; crank_v: at half its cold cranking current after the day."""

    id: str
    full_ah: float
    lowest_ah: float
    lowest_v: float
    end_ah: float
    end_share: float
    crank_v: float | None
    cranks: bool


@dataclass(frozen=True, slots=True)
class StateEndurance:
    """A saved state with the engine off: hours until the first bank that carries it gives out; None: not within ten days.

    alarm_h: until the bank's voltage is below 11.8 V (23.6 V); cranks: the vehicle's own bank starts the engine then.
    """

    id: str
    bank: str | None
    draws_a: float
    alarm_h: float | None
    engine_off_h: float | None
    cranks: bool


@dataclass(frozen=True, slots=True)
class BankKeyOff:
    """A bank with the key off: what drains it in A, and days until 40 % of its charge is gone."""

    id: str
    drain_a: float
    no_start_days: float | None


@dataclass(frozen=True, slots=True)
class Endurance:
    """How long it lasts: the shortest saved state with the engine off, key off until no start, back to 95 % of charge."""

    engine_off_h: float | None = None
    engine_off_state: str | None = None
    key_off_days: float | None = None
    recharge_h: float | None = None
    recharge_by: str | None = None
    states: tuple[StateEndurance, ...] = ()
    key_off: tuple[BankKeyOff, ...] = ()


@dataclass(frozen=True, slots=True)
class ShoreFigures:
    """A shore charger: what it gives and should give, A of direct current; what it takes and its inlet may give, A."""

    id: str
    inlet: str | None
    banks: tuple[str, ...]
    output_a: float
    standby_a: float
    needed_a: float
    takes_a: float | None
    inlet_a: float | None
    inlet_allowed_a: float | None


@dataclass(frozen=True, slots=True)
class Trial:
    """A test of a fire-apparatus standard run virtually first. passes None: it cannot be run, `says` why."""

    id: str
    title: str
    passes: bool | None
    says: str
    state: str | None = None
    load_a: float | None = None
    used_share: float | None = None
    margin_a: float | None = None
    lowest_v: float | None = None
    below_after_s: float | None = None
    alarm_after_s: float | None = None


NO_ENDURANCE = Endurance()
"""Nothing worked out."""
