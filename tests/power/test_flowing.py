"""What flows under which act agrees with the loads of every saved state; free devices; the working day."""

from __future__ import annotations

from rigbook.power.flowing import by_duty, flows_of, going_on, largest
from rigbook.power.loads import state_loads, state_of
from rigbook.switching.evaluate import Evaluator
from tests.power.cars import car
from tests.rig.small import build_text, worked

from .cars import FEEDS, ROWS, RUNNING, SWITCHING


def test_what_flows_in_a_saved_state_is_what_its_loads_say() -> None:
    """But for what is free: a state says the first draw, a worst case any."""
    rig = car()
    evaluator, flows = Evaluator(rig.program), flows_of(rig)
    looked = 0
    for loads in state_loads(rig):
        going = going_on(evaluator, state_of(rig, loads.point), ())
        fixed = {(f.draw.device_id, f.draw.channel, f.wave) for f in flows if f.act in going and not f.free}
        free = {f.draw.device_id for f in flows if f.free}
        said = {
            (d.draw.device_id, d.draw.channel, d.wave)
            for d in loads.drawn
            if d.wave.spans and d.draw.device_id not in free
        }
        assert fixed == said
        looked += len(fixed)
    assert looked > 10


def test_a_free_device_counts_once_and_with_the_most() -> None:
    flows = flows_of(car())
    free = {f.draw.device_id for f in flows if f.free}
    assert free
    kept = largest(flows)
    for device in free:
        draws = [f.draw.current_a for f in flows if f.draw.device_id == device and f.free]
        assert [f.draw.current_a for f in kept if f.draw.device_id == device and f.free] == [max(draws)]


def test_equal_waves_are_one_object_and_flows_are_numbered() -> None:
    flows = flows_of(car())
    assert [f.number for f in flows] == list(range(len(flows)))
    assert len({f.wave for f in flows}) == len({id(f.wave) for f in flows})


def test_the_day_gives_a_free_device_its_greatest_average() -> None:
    duty = "duty:\n  - {name: out, for: 1 h, draws: {radio: {transmit: 10 %}}}\n  - {name: in, for: 9 h}\n"
    rig = worked(build_text(install=ROWS, feeds=FEEDS, more=SWITCHING + duty), vehicle=RUNNING)
    draws = {draw.channel: draw.current_a for draw in rig.devices["radio"].draws}
    first = rig.devices["radio"].draws[0].current_a
    (mean,) = (f.wave.spans[0].current_a for f in by_duty(rig, flows_of(rig)) if f.draw.device_id == "radio")
    assert abs(float(mean) - (0.1 * draws["transmit"] + 0.9 * first)) < 1e-12
    (still,) = (f.wave.spans[0].current_a for f in by_duty(car(), flows_of(car())) if f.draw.device_id == "radio")
    assert abs(float(still) - first) < 1e-12
