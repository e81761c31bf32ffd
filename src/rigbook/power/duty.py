"""The working day of the batteries: the build's stretches run one after another, and each bank over the whole day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rigbook.documents.schema.build import DutyStretch
from rigbook.power import bank
from rigbook.power.day import TOLERANCE_AH, Day
from rigbook.power.day_result import BankDay, DayEvent, DutyBank, DutyFigures
from rigbook.power.duty_case import RigCrew, full_charges, plant_of, setting_of, shares_of
from rigbook.power.plant import Happened, Ledger, Plant, Point, Setting
from rigbook.rig.model import Rig
from rigbook.switching.logic import State
from rigbook.switching.states import saved_state

SAYS = {
    "closes": "{subject} closes",
    "opens": "{subject} opens",
    "hunts": "{subject} begins to hunt: closed it falls below where it opens, open it rises above where it closes",
    "acts": "{subject} acts",
    "clears": "{subject} clears",
    "empty": "bank {subject} is empty: what it feeds goes out",
    "alive": "bank {subject} feeds again",
    "float": "bank {subject} is charged: the charger goes to float",
    "charged": "bank {subject} is charged",
}


@dataclass(frozen=True, slots=True)
class StretchRun:
    """A stretch as it ran: when it began, under what setting, and what each bank went through."""

    name: str
    start_h: float
    hours: float
    setting: Setting
    ledgers: Mapping[str, Ledger]
    events: tuple[Happened, ...]


@dataclass(frozen=True, slots=True)
class DayRun:
    """A day as it ran. points: the curves; tanks: available and bound charge of each bank at its end, Ah."""

    plant: Plant
    stretches: tuple[StretchRun, ...]
    events: tuple[Happened, ...]
    points: tuple[Point, ...]
    tanks: Mapping[str, tuple[float, float]]


def stretch_state(rig: Rig, stretch: DutyStretch) -> tuple[State, float | None] | None:
    """The state a stretch begins in and its engine speed; None where it cannot be, which a rig has noted."""
    point = next((p for p in rig.states if p.id == stretch.state), None)
    values = dict(point.settings) if point is not None else {k: str(v) for k, v in (stretch.set or {}).items()}
    state = saved_state(rig.program, values)
    if state and not isinstance(state[0], int):
        return None
    rpm = stretch.rpm if stretch.rpm is not None else (point.rpm if point is not None else None)
    return state, rpm  # type: ignore[return-value]


def run_day(
    rig: Rig, plant: Plant, *, tolerance_ah: float = TOLERANCE_AH, charges: Mapping[str, tuple[float, float]] | None = None,
    days: int = 1,
) -> DayRun | None:  # fmt: skip
    """Run the build's working day, from full banks or given charges, once or several times over. None without a day."""
    if not rig.build.duty or not plant.banks:
        return None
    day = Day(plant, charges=charges or full_charges(plant), tolerance_ah=tolerance_ah)
    crew = RigCrew(rig, plant)
    found: list[StretchRun] = []
    for stretch in [each for _ in range(days) for each in rig.build.duty]:
        begun = stretch_state(rig, stretch)
        if begun is None:
            return None
        state, rpm = begun
        crew.begin(state, shares=shares_of(stretch), now_s=day.at_h * 3600.0)
        setting = setting_of(rig, crew.roles(), rpm=rpm, temperature_c=stretch.temperature)
        start_h, before = day.at_h, len(day.events)
        ledgers = day.run(crew, setting, hours=stretch.for_ / 3600.0)
        found.append(
            StretchRun(str(stretch.name), start_h, stretch.for_ / 3600.0, setting, ledgers, tuple(day.events[before:]))
        )
    tanks = {b.id: day.tanks(b.id) for b in plant.banks}
    return DayRun(plant, tuple(found), tuple(day.events), tuple(day.points), tanks)


def duty_figures(run: DayRun) -> tuple[DutyFigures, ...]:
    """The day as figures, a stretch a row."""
    return tuple(
        DutyFigures(
            name=each.name,
            hours=each.hours,
            bank={
                name: DutyBank(
                    max(0.0, it.start_ah), max(0.0, it.end_ah), it.lowest_v, max(0.0, it.drawn_ah), max(0.0, it.put_ah)
                )
                for name, it in each.ledgers.items()
            },
            hunts=any(event.kind == "hunts" for event in each.events),
        )
        for each in run.stretches
    )


def bank_days(run: DayRun) -> tuple[BankDay, ...]:
    """Each bank over the day, and whether it starts the engine afterwards."""
    found = []
    for index, model in enumerate(run.plant.banks):
        available, bound = run.tanks[model.id]
        head = available / model.available_full_ah
        found.append(
            BankDay(
                id=model.id,
                full_ah=model.kinetic.full_ah,
                lowest_ah=max(0.0, min(point.charge_ah[index] for point in run.points)),
                lowest_v=min(each.ledgers[model.id].lowest_v for each in run.stretches),
                end_ah=available + bound,
                end_share=(available + bound) / model.kinetic.full_ah,
                crank_v=bank.crank_v(model, head=head),
                cranks=bank.cranks(model, available_ah=available, bound_ah=bound),
            )
        )
    return tuple(found)


def day_events(events: Iterable[Happened]) -> tuple[DayEvent, ...]:
    """What happens in the day, numbered in order."""
    return tuple(
        DayEvent(f"event-{number}", each.at_h, each.subject, SAYS[each.kind].format(subject=each.subject))
        for number, each in enumerate(events, 1)
    )


def plant_and_day(rig: Rig) -> tuple[Plant, DayRun | None]:
    """The plant of a rig and its working day, run from full banks."""
    plant = plant_of(rig)
    return plant, run_day(rig, plant)
