"""The low-voltage tests of a fire-apparatus standard, run virtually before anybody runs them on the vehicle.

In the order of the reference: reserve, alternator at idle, full load at governed speed, low-voltage alarm. The minimum
continuous load is what flows through feeds of class `minimum` and what the vehicle itself draws (with the engine off its
headlamps and what it draws asleep); the total continuous load adds those of class `total`. Both in the saved state with
the engine running in which they draw most.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rigbook.power import bank, supply
from rigbook.power.battery import ALARM_V, ALARM_WITHIN_S, RESERVE_MOST
from rigbook.power.bus import Sums
from rigbook.power.day import Day
from rigbook.power.day_result import Trial
from rigbook.power.duty_case import full_charges, mean_of
from rigbook.power.loads import StateLoads, feeds_above
from rigbook.power.plant import Happened, Plant, Sensed, Setting, Steady
from rigbook.rig.model import Rig

RESERVE_H, FULL_H, FULL_FOR_S = 10.0 / 60.0, 2.0, 120.0
DESIGN_V = 11.8
"""Least system voltage of the full-load test, 12 V (recalled; source: low-voltage-tests)."""
_PROBE = "probe: "


@dataclass(frozen=True, slots=True)
class Continuous:
    """A continuous load by bank, in the saved state where it is greatest; amperes at rest voltage."""

    state: str
    by_bank: dict[str, Sums]
    load_a: float


def continuous(
    rig: Rig, states: Sequence[StateLoads], plant: Plant, classes: tuple[str, ...], *, running: bool
) -> Continuous | None:
    """The continuous load of some classes; None without a state with the engine running."""
    base = rig.vehicle.base_load
    base_a = supply.base_load_a(rig, running=True) if running else base.headlamps + base.key_off
    found = []
    for state in states:
        if not state.running:
            continue
        sums: dict[str, Sums] = {}
        if plant.own is not None:
            sums[plant.own] = Sums(base_a)
        for each in state.drawn:
            feeds = [rig.feeds[name] for name in feeds_above(rig, each.draw)]
            bank_id = feeds[-1].bank_id if feeds else None
            if each.draw.circuit_id is None or bank_id is None or feeds[0].load_class not in classes:
                continue
            sums[bank_id] = sums.get(bank_id, Sums()).and_(Sums(mean_of(each.wave)))
        found.append(Continuous(state.point.id, sums, sum(s.held_a for s in sums.values())))
    return max(found, key=lambda each: each.load_a, default=None)


def trials(rig: Rig, plant: Plant, states: Sequence[StateLoads]) -> tuple[Trial, ...]:
    """The four tests, in order. None of them without a saved state with the engine running."""
    cases = [
        continuous(rig, states, plant, classes, running=running)
        for classes in (("minimum",), ("minimum", "total"))
        for running in (False, True)
    ]
    if plant.own is None or any(case is None for case in cases):
        return ()
    least_off, least, total_off, total = (case for case in cases if case is not None)
    return (
        _reserve(plant, least_off),
        _alternator(rig, least),
        _full_load(rig, plant, total),
        _alarm(plant, total_off),
    )


def _reserve(plant: Plant, load: Continuous) -> Trial:
    title = "Ten minutes of the minimum continuous load with the engine off, then a start"
    carrying = [b for b in plant.banks if b.id in load.by_bank and load.by_bank[b.id].held_a > 0]
    if any(b.reserve_min is None for b in carrying):
        missing = ", ".join(b.id for b in carrying if b.reserve_min is None)
        says = f"not run: no reserve capacity is stated of {missing}"
        return Trial("reserve", title, None, says, load.state, load.load_a)
    day = Day(plant, charges=full_charges(plant))
    ledgers = day.run(Steady(load.by_bank), Setting(), hours=RESERVE_H)
    shares = [
        ledgers[b.id].drawn_ah / (25.0 * b.reserve_min / 60.0 * b.count) for b in carrying if b.reserve_min is not None
    ]
    used = max(shares, default=0.0)
    starts = _starts(plant, day)
    passes = starts and used <= RESERVE_MOST
    says = f"takes {100 * used:.3g} % of the reserve of the bank it takes most of; at most {100 * RESERVE_MOST:g} %" + (
        "" if starts else "; the engine does not start afterwards"
    )
    lowest = min(ledgers[b.id].lowest_v for b in plant.banks)
    return Trial("reserve", title, passes, says, load.state, load.load_a, used_share=used, lowest_v=lowest)


def _starts(plant: Plant, day: Day) -> bool:
    own = next(b for b in plant.banks if b.id == plant.own)
    available, bound = day.tanks(own.id)
    return bank.cranks(own, available_ah=available, bound_ah=bound)


def _alternator(rig: Rig, load: Continuous) -> Trial:
    title = "Charging at idle, hot, under the minimum continuous load"
    output = supply.output_a(rig, engine_rpm=None)
    if output is None:
        return Trial("alternator", title, None, "not run: no hot output at idle is stated", load.state, load.load_a)
    margin = output - load.load_a
    says = "carries the load" if margin >= 0 else "the batteries discharge: raise the idle or take load off"
    return Trial("alternator", title, margin >= 0, says, load.state, load.load_a, margin_a=margin)


def _full_load(rig: Rig, plant: Plant, load: Continuous) -> Trial:
    title = "Two hours of the total continuous load at governed speed"
    output = supply.most_output_a(rig)
    if output is None:
        return Trial("full-load", title, None, "not run: no hot output is stated", load.state, load.load_a)
    own = next(b for b in plant.banks if b.id == plant.own)
    probes = tuple(
        Sensed(_PROBE + b.id, b.id, True, DESIGN_V * b.scale, (DESIGN_V + 1.0) * b.scale, FULL_FOR_S)
        for b in plant.banks
    )
    watched = Plant(plant.banks, plant.own, plant.ties, (), plant.cutters, probes)
    day = Day(watched, charges=full_charges(plant))
    ledgers = day.run(Steady(load.by_bank), Setting(output, rig.vehicle.charging.at, True), hours=FULL_H)
    fallen = [event for event in day.events if event.kind == "acts" and event.subject.startswith(_PROBE)]
    lowest = min(ledgers[b.id].lowest_v for b in plant.banks)
    says = f"stays above {DESIGN_V * own.scale:g} V" if not fallen else (
        f"a bank is below {DESIGN_V * own.scale:g} V for more than {FULL_FOR_S:g} s after {60 * fallen[0].at_h:.3g} min: "
        "shed load or fit a larger alternator"
    )  # fmt: skip
    return Trial(
        "full-load", title, not fallen, says, load.state, load.load_a, margin_a=output - load.load_a, lowest_v=lowest
    )


def _alarm(plant: Plant, load: Continuous) -> Trial:
    title = "The low-voltage alarm under the total continuous load with the engine off"
    alarms = [s for s in plant.sensed if s.below]
    if not alarms:
        says = "no signal of the build measures a bank's voltage: nothing would sound"
        return Trial("alarm", title, False, says, load.state, load.load_a)
    scale = {b.id: b.scale for b in plant.banks}
    banks = dict.fromkeys(s.bank for s in alarms)
    probes = tuple(Sensed(_PROBE + b, b, True, ALARM_V * scale[b], (ALARM_V + 1.0) * scale[b], 0.0) for b in banks)
    watched = Plant(plant.banks, plant.own, plant.ties, (), (), (*plant.sensed, *probes))
    day = Day(watched, charges=full_charges(plant))
    names = {s.id for s in alarms}

    def over(d: Day) -> bool:
        acted = [e for e in d.events if e.kind == "acts"]
        return bool([e for e in acted if e.subject in names]) and bool([e for e in acted if e.subject not in names])

    day.run(Steady(load.by_bank), Setting(), hours=240.0, stops=over)
    sounded = _first(day.events, lambda name: name in names)
    below = _first(day.events, lambda name: name.startswith(_PROBE))
    if sounded is None:
        return Trial("alarm", title, False, "the alarm does not sound within ten days", load.state, load.load_a)
    late_s = None if below is None else (sounded - below) * 3600.0
    starts = _starts(plant, day)
    passes = starts and (late_s is None or late_s <= ALARM_WITHIN_S)
    says = _alarm_says(late_s, starts)
    return Trial(
        "alarm", title, passes, says, load.state, load.load_a,
        below_after_s=None if below is None else below * 3600.0, alarm_after_s=sounded * 3600.0,
    )  # fmt: skip


def _alarm_says(late_s: float | None, starts: bool) -> str:
    limit = f"at most {ALARM_WITHIN_S:g} s"
    if late_s is None:
        says = f"sounds before the terminals reach {ALARM_V:.2f} V; {limit} after"
    elif late_s < 0:
        says = f"sounds {-late_s:.3g} s before the terminals reach {ALARM_V:.2f} V; {limit} after"
    else:
        says = f"sounds {late_s:.3g} s after the terminals reach {ALARM_V:.2f} V; {limit}"
    return says if starts else says + "; the engine does not start afterwards"


def _first(events: Sequence[Happened], wanted: Callable[[str], bool]) -> float | None:
    return next((e.at_h for e in events if e.kind == "acts" and wanted(e.subject)), None)
