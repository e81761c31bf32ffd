"""What the crew sees: the complete build's behaviours, each by the compiled program that every reader shares."""

from __future__ import annotations

from functools import lru_cache

import pytest

from rigbook.switching.evaluate import evaluate
from rigbook.switching.program import Program, Span, Timeline
from rigbook.switching.states import saved_state
from rigbook.switching.stepping import Stepper
from tests.scenario.shop import COMPLETE, judge


@lru_cache(maxsize=1)
def program() -> Program:
    return judge(COMPLETE).worked.program


def lit_spans(timeline: Timeline) -> list[Span]:
    """The stretches of a timeline in which a lamp burns."""
    return [span for span in timeline.spans if span.intensity_from > 0]


def shown(lost: tuple[str, ...] = (), **values: str) -> tuple[dict[str, dict[str, str]], dict[str, str | None]]:
    """Lamps with their colours and how (steady at …, flashing), and devices with their states, in a saved state."""
    p = program()
    state = saved_state(p, values)
    assert all(isinstance(value, int) for value in state), state
    names = [v.name for v in p.variables]
    outcome = evaluate(p, state, frozenset(names.index(name) for name in lost))
    lamps: dict[str, dict[str, str]] = {}
    driven: dict[str, str | None] = {}
    for index, device in enumerate(p.devices):
        driven[device.id] = outcome.driven[index]
        lamps[device.id] = {}
        for colour, timeline in outcome.lit[index]:
            spans = lit_spans(timeline)
            if spans:
                bright = {span.intensity_from for span in spans}
                steady = len(bright) == 1 and sum(span.end_ms - span.start_ms for span in spans) == timeline.period_ms
                lamps[device.id][colour] = f"steady {spans[0].intensity_from:g}" if steady else "flashing"
    return lamps, driven


ROLL = {"gear": "drive", "ignition": "run", "engine_running": "yes"}
STAND = {"gear": "park", "ignition": "run", "engine_running": "yes"}

LAMPS = [
    # (behaviour, state, {lamp: {colour: how}})
    ("first stop: the rear alone", {"response": "rear-only", **STAND}, {"door-left": {"blue": "flashing"}, "grille-left": {}}),
    ("on the way: white joins ahead", {"response": "responding", **ROLL}, {"grille-left": {"blue": "flashing", "white": "flashing"}}),
    ("in park: blue alone ahead", {"response": "responding", **STAND}, {"grille-left": {"blue": "flashing"}}),
    ("in park: amber joins on the doors", {"response": "on-scene", **STAND}, {"door-left": {"blue": "flashing", "amber": "flashing"}}),
    ("doors open: the edges warn, no amber", {"response": "on-scene", "rear_door": "yes", **STAND}, {"edge-left": {"blue": "flashing"}, "door-left": {"blue": "flashing"}}),
    ("scene ahead", {"scene_ahead": "yes", **STAND}, {"bar.front-2": {"white": "steady 1"}, "bar.front-5": {"white": "steady 1"}}),
    ("scene left lights the alley lamp too", {"scene_left": "yes", **STAND}, {"scene-left-front": {"white": "steady 1"}, "scene-left-rear": {"white": "steady 1"}, "bar.alley-left": {"white": "steady 1"}, "scene-right-front": {}}),
    ("scene right", {"scene_right": "yes", **STAND}, {"scene-right-front": {"white": "steady 1"}, "bar.alley-right": {"white": "steady 1"}, "scene-left-front": {}}),
    ("rear scene over warning on the same head", {"response": "on-scene", "scene_rear": "yes", **STAND}, {"rear-upper-left": {"white": "steady 1"}, "scene-rear-left": {"white": "steady 1"}, "door-left": {"blue": "flashing", "amber": "flashing"}}),
    ("rear scene from the rear panel", {"rear_scene_back": "yes", **STAND}, {"scene-rear-right": {"white": "steady 1"}}),
    ("work light all round", {"work_all": "yes", **STAND}, {"scene-left-front": {"white": "steady 1"}, "scene-right-rear": {"white": "steady 1"}, "scene-rear-left": {"white": "steady 1"}, "bar.front-2": {"white": "steady 1"}, "step-side": {"white": "steady 1"}}),
    ("command post: steady on some, flashing on others", {"command": "yes", **STAND}, {"side-front-left": {"green": "steady 1"}, "bar.rear-1": {"green": "flashing"}}),
    ("cruise light", {"cruise": "yes", **ROLL}, {"bar.corner-front-left": {"blue": "steady 0.25"}, "grille-left": {}}),
    ("alley light", {"alley": "right", **ROLL}, {"bar.alley-right": {"white": "steady 1"}, "bar.alley-left": {}}),
    ("night: cabin red", {"dome": "yes", "night": "yes", **STAND}, {"dome-front": {"red": "steady 1"}}),
    ("day: cabin white", {"dome": "yes", **STAND}, {"dome-front": {"white": "steady 1"}, "table-lamp": {"white": "steady 1"}}),
    ("rear dark", {"response": "on-scene", "rear_off": "yes", "parking_brake": "yes", "arrow": "left", **STAND}, {"door-left": {}, "rear-upper-left": {}, "stick.1": {}, "grille-left": {"blue": "flashing"}}),
    ("an open door lights steps and compartments", {"side_door": "yes", **STAND}, {"step-side": {"white": "steady 1"}, "cabinet-lamp-1": {"white": "steady 1"}, "locker-lamp": {"white": "steady 1"}, "door-work": {"white": "steady 1"}}),
    ("tail lamps flash on scene", {"response": "on-scene", **STAND}, {"tail-left": {"red": "flashing"}, "tail-right": {"red": "flashing"}}),
    ("tail lamps give way to brake", {"response": "on-scene", "brake": "yes", **STAND}, {"tail-left": {"red": "steady 1"}}),
    ("tail lamps give way to an indicator", {"response": "on-scene", "indicators": "left", **STAND}, {"tail-left": {}}),
    ("tail lamps give way to hazard", {"response": "on-scene", "indicators": "hazard", "headlamps": "low", **STAND}, {"tail-left": {"red": "steady 1"}}),
    ("headlamps flash on the way by day", {"response": "responding", **ROLL}, {"high-beam-left": {"white": "flashing"}, "high-beam-right": {"white": "flashing"}}),
    ("headlamps give way to high beam", {"response": "responding", "headlamps": "high", **ROLL}, {"high-beam-left": {"white": "steady 1"}}),
    ("driving lamps follow the high beam", {"headlamps": "high", **ROLL}, {"driving-left": {"white": "steady 1"}, "driving-right": {"white": "steady 1"}}),
    ("driving lamps stay dark with the low beam", {"headlamps": "low", **ROLL}, {"driving-left": {}}),
]  # fmt: skip


@pytest.mark.parametrize(("values", "expected"), [row[1:] for row in LAMPS], ids=[row[0] for row in LAMPS])
def test_lamps(values: dict[str, str], expected: dict[str, dict[str, str]]) -> None:
    lamps, _ = shown(**values)
    assert {lamp: lamps[lamp] for lamp in expected} == expected


def test_night_dims_warning_to_two_fifths_and_leaves_scene_light_alone() -> None:
    p = program()
    day, night = (
        evaluate(p, saved_state(p, {"response": "on-scene", "scene_left": "yes", "night": value, **STAND}))
        for value in ("no", "yes")
    )
    at = {device.id: index for index, device in enumerate(p.devices)}
    assert (day.factor[at["grille-left"]], night.factor[at["grille-left"]]) == (1.0, pytest.approx(0.4))
    assert night.factor[at["scene-left-front"]] == 1.0


def test_less_light_in_park_than_in_motion() -> None:
    p = program()
    at = {device.id: index for index, device in enumerate(p.devices)}
    on_share = []
    for values in ({"response": "responding", **ROLL}, {"response": "responding", **STAND}):
        lit = dict(evaluate(p, saved_state(p, values)).lit[at["door-right"]])
        timeline = lit["blue"]
        on_share.append(len(lit_spans(timeline)) / timeline.period_ms)
    assert on_share[1] < on_share[0]  # fewer flashes a second in park


ARROW = {"left": 8, "right": 1, "both": 4}


@pytest.mark.parametrize("way", ARROW)
def test_the_arrow_sweeps_from_the_right_lamp(way: str) -> None:
    p = program()
    outcome = evaluate(p, saved_state(p, {"arrow": way, **STAND}))
    starts = {}
    for index, device in enumerate(p.devices):
        if device.id.startswith("stick."):
            timeline = dict(outcome.lit[index])["amber"]
            starts[int(device.id.removeprefix("stick."))] = min(span.start_ms for span in lit_spans(timeline))
    first = min(starts, key=lambda lamp: (starts[lamp], lamp))
    assert first == ARROW[way]  # stick.1 is the leftmost
    assert len(set(starts.values())) == (4 if way == "both" else 8)


DEVICES = [
    ("wail", {"response": "responding", "siren": "wail", "siren_armed": "yes", **ROLL}, "siren-amp", "wail"),
    ("yelp", {"response": "responding", "siren": "yelp", "siren_armed": "yes", **ROLL}, "siren-amp", "yelp"),
    ("ring chooses yelp", {"response": "responding", "siren": "ring", "tone": "yelp", "siren_armed": "yes", **ROLL}, "siren-amp", "yelp"),
    ("park-kill", {"response": "responding", "siren": "wail", **STAND}, "siren-amp", "standby"),
    ("not re-armed", {"response": "responding", "siren": "wail", "siren_armed": "no", **ROLL}, "siren-amp", "standby"),
    ("air horn", {"response": "responding", "horn_ring": "held", **ROLL}, "siren-amp", "horn"),
    ("horn-ring transfer", {"response": "responding", **ROLL}, "horn-transfer", "closed"),
    ("the horn is the vehicle's otherwise", {**ROLL}, "horn-transfer", "open"),
    ("run-on", {"ignition": "run"}, "relay-timer", "closed"),
    ("drying on the shore", {"shore": "yes", "drying": "yes"}, "relay-drying", "closed"),
    ("pump with the engine", {"pump": "yes", **STAND}, "relay-pump", "closed"),
    ("winch in park", {"winch": "yes", **STAND}, "contactor-winch", "closed"),
    ("high idle under work light", {"work_all": "yes", "idle_settled": "yes", **STAND}, "high-idle", "raised"),
    ("lock at a stand", {"lock_up": "yes", "parking_brake": "yes"}, "door-lock", "lock"),
    ("mind the plug", {"shore": "yes", **ROLL}, "reminder", "sounding"),
]  # fmt: skip


@pytest.mark.parametrize(("values", "device", "state"), [row[1:] for row in DEVICES], ids=[row[0] for row in DEVICES])
def test_devices(values: dict[str, str], device: str, state: str) -> None:
    _, driven = shown(**values)
    assert driven[device] == state


def test_park_kill_needs_standby_before_the_siren_sounds_again() -> None:
    stepper = Stepper(program())

    def tone() -> str | None:
        index = next(i for i, device in enumerate(program().devices) if device.id == "siren-amp")
        return evaluate(program(), stepper.state, stepper.lost).driven[index]

    stepper.set({"ignition": "run", "engine_running": "yes"})
    stepper.set({"gear": "drive"})
    stepper.set({"response": "responding"})
    stepper.set({"siren": "wail"})
    assert tone() == "wail"
    stepper.set({"gear": "park"})
    assert tone() == "standby"
    stepper.set({"gear": "drive"})
    assert tone() == "standby"
    stepper.set({"siren": "standby"})
    stepper.set({"siren": "wail"})
    assert tone() == "wail"


def test_step_light_ends_by_itself_even_with_a_door_left_open() -> None:
    stepper = Stepper(program())
    stepper.set({"side_door": "yes"})
    stepper.wait(60_000)
    assert stepper.value("door_light") == "yes"
    stepper.wait(20 * 60_000)
    assert stepper.value("side_door") == "yes" and stepper.value("door_light") == "no"


def test_pockets_run_on_for_an_hour() -> None:
    stepper = Stepper(program())
    stepper.set({"ignition": "run"})
    stepper.set({"ignition": "off"})
    stepper.wait(59 * 60_000)
    assert stepper.value("run_on") == "yes"
    stepper.wait(2 * 60_000)
    assert stepper.value("run_on") == "no"


def test_a_weak_bank_sheds_by_step_and_never_the_warning_or_the_radios() -> None:
    assessment = judge(COMPLETE)
    build = assessment.loaded.build
    assert build is not None
    assert [(shed.step, str(shed.when)) for shed in build.switching.shedding] == [
        (3, "auxiliary_low"),
        (5, "auxiliary_empty"),
    ]
    kept = {feed.id for feed in build.feeds if feed.sheds == "never"}
    assert kept >= {"bar-feed", "front-module-feed", "rear-module-feed", "radio-ops-feed", "radio-marine-feed"}
    steps = {feed.sheds for feed in build.feeds if feed.sheds != "never"}
    assert steps == {1, 2, 3, 4, 5}


def test_a_lost_gear_signal_silences_the_siren_and_darkens_white_ahead() -> None:
    lamps, driven = shown(lost=("gear",), response="responding", siren="wail", siren_armed="yes", **ROLL)
    assert driven["siren-amp"] == "standby"
    assert "white" not in lamps["grille-left"] and lamps["grille-left"]["blue"] == "flashing"
