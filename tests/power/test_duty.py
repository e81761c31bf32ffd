"""The day of the example builds and of small ones: stretches, timers that run on, signals that shed, what it comes to."""

from __future__ import annotations

import pytest

from rigbook.assess.assessment import assess_rig_alone
from rigbook.power.duty import bank_days, day_events, duty_figures, run_day, stretch_state
from rigbook.power.duty_case import plant_of
from rigbook.rig.model import Rig
from tests.scenario.shop import COMPLETE, MIDDLE, SMALL, SOUND, changed_once, load, text


def rig_of(build: str, *changes: tuple[str, str]) -> Rig:
    source = text(build)
    for old, new in changes:
        source = changed_once(source, old, new)
    assessment = assess_rig_alone(load(build, {build: source}))
    assert not assessment.errors, assessment.errors
    return assessment.worked


@pytest.mark.parametrize("build", SOUND)
def test_the_books_of_every_stretch_agree(build: str) -> None:
    rig = rig_of(build)
    run = run_day(rig, plant_of(rig))
    assert run is not None
    figures = duty_figures(run)
    assert [f.name for f in figures] == [str(s.name) for s in rig.build.duty]
    assert sum(f.hours for f in figures) == pytest.approx(sum(s.for_ for s in rig.build.duty) / 3600)
    before: dict[str, float] = {}
    for figure in figures:
        assert set(figure.bank) == set(rig.banks)
        for name, bank in figure.bank.items():
            assert before.get(name, bank.start_ah) == pytest.approx(bank.start_ah)
            before[name] = bank.end_ah
            assert 9.0 < bank.lowest_v < 16.0
    for day in bank_days(run):
        assert 0.0 <= day.lowest_ah <= day.full_ah * (1 + 1e-9) and day.cranks
    assert [e.at_h for e in day_events(run.events)] == sorted(e.at_h for e in run.events)


def test_a_longer_stand_at_home_takes_what_draws_there() -> None:
    """Beside the closed form: in the small build the radio and panel stand by all night on the auxiliary bank."""
    rig = rig_of(SMALL)
    run = run_day(rig, plant_of(rig))
    assert run is not None
    night = duty_figures(run)[-1]
    asleep_a = night.bank["auxiliary"].drawn_ah / night.hours
    assert 0.5 < asleep_a < 1.2
    assert night.bank["starter"].drawn_ah == pytest.approx(21 * (0.020 + 0.008), rel=0.01), (
        "key off and the open isolator"
    )


def test_run_on_timers_go_on_after_the_key() -> None:
    """The complete build's comfort feeds run on for an hour after the key: less is drawn after it."""
    rig = rig_of(COMPLETE, ("station, for: 19.5 h, state: station", "station, for: 19.5 h, set: {ignition: off}"))
    plant = plant_of(rig)
    run = run_day(rig, plant)
    assert run is not None
    start = run.stretches[-1].start_h
    charge = {p.at_h - start: p.charge_ah[1] for p in run.points if p.at_h >= start}
    at = lambda hour: charge[min(charge, key=lambda h: abs(h - hour))]  # noqa: E731
    first, later = at(0.0) - at(1.0), (at(1.0) - at(max(charge))) / (max(charge) - 1.0)
    assert any(abs(h - 1.0) < 1e-6 for h in charge), "an hour after the key something falls due"
    assert first > later + 0.5


def test_a_low_signal_sheds_and_the_rest_lasts_longer() -> None:
    long_stand = (
        "- {name: station, for: 19.5 h, state: station}",
        "- {name: stand, for: 9 h, state: on-scene-night, rpm: 0}",
    )
    silent = ("      below: 11.8 V\n", "      below: 6.0 V\n")
    running = ("work_all: yes, gear: park, ignition: run, engine_running: yes, headlamps: parking}",
               "work_all: yes, gear: park, ignition: run, headlamps: parking}")  # fmt: skip
    shed, not_shed = (run_day(rig, plant_of(rig)) for rig in (
        rig_of(COMPLETE, long_stand, running), rig_of(COMPLETE, long_stand, running, silent)))  # fmt: skip
    assert shed is not None and not_shed is not None
    acts = [e for e in shed.events if (e.subject, e.kind) == ("auxiliary_low", "acts")]
    assert acts and not [e for e in not_shed.events if e.subject == "auxiliary_low"]
    empty = [next((e.at_h for e in run.events if e.kind == "empty"), 1e9) for run in (shed, not_shed)]
    assert empty[0] > empty[1]


def test_a_stretch_takes_its_own_speed_before_the_state_s() -> None:
    rig = rig_of(COMPLETE)
    found = stretch_state(rig, rig.build.duty[0])
    assert found is not None and found[1] == 1900


def test_a_colder_day_leaves_less() -> None:
    cold = (
        "{name: at home, for: 21 h, state: parked-off}",
        "{name: at home, for: 21 h, state: parked-off, temperature: -15 C}",
    )
    warm, frosty = (run_day(rig, plant_of(rig)) for rig in (rig_of(SMALL), rig_of(SMALL, cold)))
    assert warm is not None and frosty is not None
    left = [duty_figures(run)[-1].bank["auxiliary"] for run in (warm, frosty)]
    drop = [b.start_ah - b.end_ah for b in left]
    assert drop[1] == pytest.approx(drop[0] / 0.65, rel=0.02), "a battery gives 65 % at -15 C"


def test_without_a_day_there_is_none() -> None:
    source = text(MIDDLE)
    head, _, tail = source.partition("\nduty:\n")
    rest = tail[tail.index("\npersons:") :]
    assessment = assess_rig_alone(load(MIDDLE, {MIDDLE: head + rest}))
    assert run_day(assessment.worked, plant_of(assessment.worked)) is None
