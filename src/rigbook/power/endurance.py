"""How long the batteries last: saved states with the engine off, the key off, and how long until they are charged again."""

from __future__ import annotations

from collections.abc import Mapping

from rigbook.power import bank, supply
from rigbook.power.day import Day
from rigbook.power.day_result import BankKeyOff, Endurance, StateEndurance
from rigbook.power.duty import DayRun
from rigbook.power.duty_case import RigCrew, full_charges, setting_of
from rigbook.power.plant import Plant, Sensed, Setting, Steady
from rigbook.rig.model import Rig, SavedPoint
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.logic import State
from rigbook.switching.program import All, Any_, ConditionRef, Expression, Is, Not
from rigbook.switching.states import saved_state

HORIZON_H = 240.0
ALARM_V = 11.8
"""Low-voltage alarm of a 12 V system (source: low-voltage-tests)."""
CHARGED_SHARE = 0.95
REST_V = 12.8
"""Voltage at which loads that hold their power or resistance are counted."""
_ALARM = "below the alarm: "


def variables_of(rig: Rig, expression: Expression | None) -> set[str]:
    """Names of the variables that a condition stands on."""
    if isinstance(expression, Is):
        return {rig.program.variables[expression.variable].name}
    if isinstance(expression, Not):
        return variables_of(rig, expression.of)
    if isinstance(expression, All | Any_):
        return {name for part in expression.of for name in variables_of(rig, part)}
    if isinstance(expression, ConditionRef):
        return variables_of(rig, rig.program.conditions[expression.condition][1])
    return set()


def stopped(rig: Rig, point: SavedPoint) -> State | None:
    """A saved state with the engine off: what says that it runs stands at rest. None where that cannot be."""
    running = variables_of(rig, dict(rig.program.roles).get("running_when"))
    state = saved_state(rig.program, {k: v for k, v in point.settings if k not in running})
    return state if state and isinstance(state[0], int) else None


def alarm_plant(plant: Plant) -> Plant:
    """The plant with a signal on each bank that tells when its voltage falls below the alarm."""
    alarms = tuple(
        Sensed(_ALARM + b.id, b.id, True, ALARM_V * b.scale, (ALARM_V + 1.0) * b.scale, 0.0) for b in plant.banks
    )
    return Plant(plant.banks, plant.own, plant.ties, plant.chargers, plant.cutters, (*plant.sensed, *alarms))


class _Alarmed:
    """A crew that is not told of the alarms put in for measuring."""

    def __init__(self, crew: RigCrew) -> None:
        self.crew = crew
        self.loads, self.next_s, self.advance = crew.loads, crew.next_s, crew.advance

    def signal(self, name: str, acts: bool) -> bool:
        """A measured signal turns."""
        return True if name.startswith(_ALARM) else self.crew.signal(name, acts)


def state_endurance(
    rig: Rig, plant: Plant, point: SavedPoint, evaluator: Evaluator | None = None
) -> StateEndurance | None:
    """A saved state with the engine off, from full banks until the first one that carries it gives out."""
    state = stopped(rig, point)
    if state is None:
        return None
    alarmed = alarm_plant(plant)
    day = Day(alarmed, charges=full_charges(plant))
    crew = RigCrew(rig, plant, evaluator)
    crew.begin(state, shares={}, now_s=0.0)
    if crew.roles().running or crew.roles().shore:
        return None
    draws = crew.loads(frozenset())
    day.run(
        _Alarmed(crew), setting_of(rig, crew.roles(), rpm=None), hours=HORIZON_H,
        stops=lambda d: any(event.kind == "empty" for event in d.events),
    )  # fmt: skip
    ended = next((event for event in day.events if event.kind == "empty"), None)
    alarm = next((e for e in day.events if e.kind == "acts" and e.subject.startswith(_ALARM)), None)
    own = next((b for b in plant.banks if b.id == plant.own), None)
    tanks = None if own is None else day.tanks(own.id)
    return StateEndurance(
        id=point.id,
        bank=None if ended is None else ended.subject,
        draws_a=sum(sums.at(REST_V * plant.banks[0].scale) for sums in draws.values()),
        alarm_h=None if alarm is None else alarm.at_h,
        engine_off_h=None if ended is None else ended.at_h,
        cranks=own is not None and tanks is not None and bank.cranks(own, available_ah=tanks[0], bound_ah=tanks[1]),
    )


# --- key off ---------------------------------------------------------------------------------------------------


def key_off(rig: Rig, plant: Plant, evaluator: Evaluator) -> tuple[BankKeyOff, ...]:
    """What drains each bank at rest with the key off and every timer run out, and days until 40 % is gone."""
    crew = RigCrew(rig, plant, evaluator)
    crew.begin(rig.program.rest, shares={}, now_s=0.0)
    for _ in range(100):
        due_s = crew.next_s()
        if due_s is None:
            break
        crew.advance(due_s)
    drains = drains_a(rig, plant, crew)
    found = []
    for model in plant.banks:
        drain = drains[model.id]
        days = bank.days_to_no_start(model, drain_a=drain) if drain > 0 else None
        found.append(BankKeyOff(model.id, drain, days))
    return tuple(found)


def drains_a(rig: Rig, plant: Plant, crew: RigCrew) -> dict[str, float]:
    """What is drawn from each bank at rest voltage in the state a crew is in, open isolators included, A."""
    loads = crew.loads(frozenset())
    found = {b.id: loads[b.id].at(REST_V * b.scale) if b.id in loads else 0.0 for b in plant.banks}
    for tie in plant.ties:
        found[tie.a] += tie.open_a
    return found


# --- charging again ---------------------------------------------------------------------------------------------


def lowest_charges(run: DayRun) -> dict[str, tuple[float, float]]:
    """Each bank at the least charge it had in the day, at rest: available and bound share alike."""
    found = {}
    for index, model in enumerate(run.plant.banks):
        least = max(0.0, min(point.charge_ah[index] for point in run.points))
        found[model.id] = (model.kinetic.c * least, (1.0 - model.kinetic.c) * least)
    return found


def recharge(rig: Rig, run: DayRun, evaluator: Evaluator) -> tuple[float, str] | None:
    """Hours until every bank is back at 95 % from the least charge of the day, and by what; None where not in ten days.

    By the shore charger where there is one, with what draws at rest while plugged in; else by the engine at high idle,
    at idle where the vehicle names none, with the base load.
    """
    plant = run.plant
    day = Day(plant, charges=lowest_charges(run))
    for model in plant.banks:
        if day.charge_ah(model) < CHARGED_SHARE * model.kinetic.full_ah:
            day.targets_ah[model.id] = CHARGED_SHARE * model.kinetic.full_ah
    by = "shore" if plant.chargers else "engine"
    if not day.targets_ah:
        return 0.0, by
    setting, crew = _charging_case(rig, plant, by, evaluator)
    day.run(crew, setting, hours=HORIZON_H, stops=lambda d: not d.targets_ah)
    return None if day.targets_ah else (day.at_h, by)


def _charging_case(rig: Rig, plant: Plant, by: str, evaluator: Evaluator) -> tuple[Setting, Steady]:
    crew = RigCrew(rig, plant, evaluator)
    crew.begin(rig.program.rest, shares={}, now_s=0.0)
    loads = dict(crew.loads(frozenset()))
    regulated = rig.vehicle.charging.at
    if by == "shore":
        return Setting(0.0, regulated, False, True), Steady(loads)
    output = supply.output_a(rig, engine_rpm=rig.vehicle.charging.high_idle_rpm) or 0.0
    if plant.own is not None:
        more = supply.base_load_a(rig, running=True) - supply.base_load_a(rig, running=False)
        own = loads[plant.own]
        loads[plant.own] = own._replace(held_a=own.held_a + more)
    return Setting(output, regulated, True, False), Steady(loads)


def standby_a(rig: Rig, plant: Plant) -> dict[str, float]:
    """What each bank is asked for while plugged in, A: the largest of the saved states on shore, else at rest."""
    crew = RigCrew(rig, plant)
    crew.begin(rig.program.rest, shares={}, now_s=0.0)
    found: Mapping[str, float] = drains_a(rig, plant, crew)
    most = dict(found)
    for point in rig.states:
        state = saved_state(rig.program, dict(point.settings))
        if not state or not isinstance(state[0], int):
            continue
        crew.begin(state, shares={}, now_s=0.0)
        if crew.roles().shore:
            most = {name: max(most[name], amps) for name, amps in drains_a(rig, plant, crew).items()}
    return most


def endurance(rig: Rig, plant: Plant, run: DayRun | None) -> Endurance:
    """The whole block."""
    if not plant.banks:
        return Endurance()
    evaluator = Evaluator(rig.program)
    found = [state_endurance(rig, plant, point, evaluator) for point in rig.states]
    states = tuple(each for each in found if each is not None)
    known = [(each.engine_off_h, each.id) for each in states if each.engine_off_h is not None]
    shortest = min(known, default=None)
    off = key_off(rig, plant, evaluator)
    again = None if run is None else recharge(rig, run, evaluator)
    return Endurance(
        engine_off_h=None if shortest is None else shortest[0],
        engine_off_state=None if shortest is None else shortest[1],
        key_off_days=next((each.no_start_days for each in off if each.id == plant.own), None),
        recharge_h=None if again is None else again[0],
        recharge_by=None if again is None else again[1],
        states=states,
        key_off=off,
    )
