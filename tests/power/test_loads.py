"""What draws in a state: the right draws, on the right clock, behind the right feed."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from rigbook.power.loads import carried, feeds_above, state_loads, state_of, wave_of
from rigbook.power.waveform import Wave, WaveSpan, currents
from rigbook.switching.program import Span, Timeline
from tests.power.cars import car


def channels(state_id: str) -> dict[tuple[str, str], Wave]:
    (state,) = state_loads(car(), only=state_id)
    return {(each.draw.device_id, each.draw.channel): each.wave for each in state.drawn}


def test_at_rest_only_what_is_always_on_draws() -> None:
    assert set(channels("rest")) == {("control", "awake"), ("radio", "standby")}


def test_a_function_adds_its_lamps_with_their_timelines() -> None:
    drawn = channels("low")
    assert set(drawn) == {("control", "awake"), ("radio", "standby"), ("nose", "blue"), ("corner", "blue")}
    left, right = drawn["nose", "blue"], drawn["corner", "blue"]
    assert left.clock == right.clock == "control"
    assert (left.spans[0].start_ms, right.spans[0].start_ms) == (0, 400)
    assert left.spans[0].current_a == Fraction(9, 10)


def test_a_feed_that_is_not_live_lets_nothing_draw() -> None:
    assert ("beacon", "amber") in channels("high")
    assert ("beacon", "amber") not in channels("parked-high")
    assert channels("high")["beacon", "amber"].clock == "beacon"


def test_factory_lamps_count_as_taken_only_where_a_function_decides() -> None:
    taken = {state.point.id: state.taken for state in state_loads(car())}
    assert taken["parked-high"] == {"tail"}
    assert taken["high"] == frozenset(), "there the vehicle commands it"
    (state,) = state_loads(car(), only="high")
    assert state.factory() == ()
    assert "tail" in {each.draw.device_id for each in state.drawn}
    assert currents(state.whole()).average_a < currents(state.of(lambda draw: True)).average_a


def test_running_follows_the_vehicles_role() -> None:
    assert {s.point.id: s.running for s in state_loads(car())} == {
        "rest": False, "low": False, "high": True, "parked-high": False,
    }  # fmt: skip


def test_sums_by_circuit_feed_and_whole_agree() -> None:
    rig = car()
    (state,) = state_loads(rig, only="high")
    by_device = sum(currents(state.device(d)).average_a for d in rig.devices if d != "tail")
    assert currents(state.whole()).average_a == pytest.approx(by_device)
    assert currents(state.feed(rig, "main")).average_a == pytest.approx(by_device), "everything hangs on main"
    box = currents(state.circuit(rig.circuits["box-feed"])).average_a
    outputs = [c for c in rig.circuits.values() if c.kind == "output"]
    own = currents(state.device("control")).average_a
    assert len(outputs) == 6
    assert box == pytest.approx(own + sum(currents(state.circuit(c)).average_a for c in outputs))
    assert set(carried(rig.circuits["box-feed"])) == {"box-feed", *(c.id for c in outputs)}
    assert carried(rig.circuits["control.1"]) == ("control.1",)


def test_feeds_above_run_to_the_battery() -> None:
    rig = car()
    draw = next(d for d in rig.devices["nose"].draws if d.channel == "blue")
    assert list(feeds_above(rig, draw)) == ["box-feed", "main"]
    assert list(feeds_above(rig, rig.devices["tail"].draws[0])) == []


def test_dimming_is_a_duty_or_a_share_of_the_current() -> None:
    draw = next(d for d in car().devices["stick.1"].draws)
    line = Timeline(1, (Span(0, 1, 0.4, 0.4),))
    assert wave_of(draw, "c", line).spans == (WaveSpan(0, 1, Fraction(4, 5), Fraction(2, 5)),)
    by_current = replace(draw, dims_by="current")
    assert wave_of(by_current, "c", line).spans == (WaveSpan(0, 1, Fraction(8, 25)),)
    assert wave_of(replace(draw, current_a=0.0), "c", line).spans == ()


def test_a_state_of_the_program_holds_its_values() -> None:
    rig = car()
    point = next(p for p in rig.states if p.id == "high")
    values = {v.name: v.values[i] for v, i in zip(rig.program.variables, state_of(rig, point), strict=True)}
    assert values["response"] == "high" and values["gear"] == "drive"
