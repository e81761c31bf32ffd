"""The run over a rig: the right questions, and figures that fit together."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigbook.power import PowerResult, drops, figures, work_out
from tests.power.cars import car
from tests.power.test_solved import with_law


@pytest.fixture(scope="module")
def result() -> PowerResult:
    return work_out(car())


def test_name_plate_takes_each_device_at_its_highest(result: PowerResult) -> None:
    # two heads of one colour at a time, four stick lamps, beacon, radio sending, controller
    assert result.whole.nameplate_a == pytest.approx(2 * 1.1 + 4 * 0.8 + 0.5 + 13 + 0.25)
    # never all of it: the heads show no white, and white would draw more than blue
    worst = result.whole.worst_peak_a
    assert worst is not None and worst < result.whole.nameplate_a


def test_no_state_exceeds_the_name_plate(result: PowerResult) -> None:
    plates = {c.id: c.nameplate_a for c in result.circuits}
    looked = 0
    for state in result.states:
        assert state.average_a <= state.rms_a + 1e-12 <= state.peak_a + 2e-12 <= result.whole.nameplate_a + 3e-12
        for flow in state.circuits:
            assert flow.peak_a <= plates[flow.id] + 1e-12
            looked += 1
    assert looked == len(result.states) * len(result.circuits) == 36


def test_the_figures_of_a_flashing_state_by_hand(result: PowerResult) -> None:
    low = next(s for s in result.states if s.id == "low")
    lamps = {f.id: f for f in low.devices}
    assert lamps["nose"].average_a == pytest.approx(0.45)
    assert lamps["nose"].rms_a == pytest.approx(0.9 / 2**0.5)
    assert lamps["nose"].peak_a == 0.9
    # in turn: together they are steady at 0.9 A beside controller and radio
    assert low.average_a == low.rms_a == low.peak_a == pytest.approx(0.9 + 0.25 + 0.6)
    high = next(s for s in result.states if s.id == "high")
    stick = next(f for f in high.circuits if f.id == "control.5")
    assert stick.average_a == pytest.approx(0.4 * 3.2)
    assert stick.rms_a == pytest.approx(0.4**0.5 * 3.2)
    assert stick.peak_a == pytest.approx(3.2)
    # the beacon keeps its own time: its variance adds
    rest = 0.9 + 0.25 + 0.6
    steady_ms = rest**2 + 2 * rest * 0.4 * 3.2 + 0.4 * 3.2**2
    mean = 0.125
    expected = steady_ms + 2 * (rest + 0.4 * 3.2) * mean + 0.25 * 0.5**2
    assert high.rms_a**2 == pytest.approx(expected)


def test_circuits_and_devices_fit_together(result: PowerResult) -> None:
    rig = car()
    drawing = [circuit for circuit in result.circuits if circuit.devices]
    assert len(drawing) == 8 and len(result.circuits) == 9, "one output only tells the beacon when"
    for circuit in drawing:
        worst = max(d.drop_v for d in circuit.devices)
        assert circuit.drop_v == pytest.approx(worst)
        assert circuit.drop_fraction == pytest.approx(worst / rig.shop.drop_from)
        assert circuit.own_drop_v is not None and circuit.own_drop_v < worst
        for device in circuit.devices:
            assert device.device_v == pytest.approx(rig.shop.drop_from - device.drop_v)
    ids = [c.id for c in result.circuits]
    assert ids == list(rig.circuits)
    one = result.circuits[ids.index("control.1")]
    assert [(d.id, d.colour) for d in one.devices] == [("nose", "blue")]
    assert one.fuse_a is None and one.limit_a == 5
    box = result.circuits[ids.index("box-feed")]
    assert box.nameplate_a == pytest.approx(0.25 + 2 * 1.1 + 3.2), "what its outputs carry flows through it"
    assert box.devices[0].colour is None


def test_feeds_and_modules(result: PowerResult) -> None:
    rig = car()
    feeds = {f.id: f for f in result.feeds}
    assert feeds["main"].drop_v == drops.segment_drop(rig.segments[rig.feeds["main"].segment or ""]).drop_v
    radio = next(c for c in result.circuits if c.id == "radio-feed")
    assert feeds["radio-feed"].drop_v == radio.own_drop_v
    (module,) = result.modules
    assert (module.outputs_used, module.outputs, module.limit_a) == (6, 6, 16)
    assert module.nameplate_a == pytest.approx(2 * 1.1 + 3.2)
    open_bank = replace(rig.modules["control"].banks[0], limit_a=None)
    assert figures.module_limit_a(replace(rig.modules["control"], banks=(open_bank,))) is None


def test_supply_by_state(result: PowerResult) -> None:
    states = {s.id: s for s in result.supply.states}
    high = states["high"]
    assert high.running and high.base_a == 43 and high.factory_a == 0
    assert high.average_a == pytest.approx(high.equipment_a + 43)
    assert high.output_a == 48 and high.margin_a == pytest.approx(48 - high.average_a)
    parked = states["parked-high"]
    assert not parked.running and parked.output_a == 0
    assert parked.factory_a == pytest.approx(0.3), "the tail lamp flashes at half its 0.6 A"
    assert result.supply.idle_output_a == 0.0, "750 rpm without a pulley ratio lie below the first point"


def test_collapse_is_told_and_leaves_the_figure_out() -> None:
    rig = with_law(car(), "constant-power", times=150.0)
    found = work_out(rig)
    told = {note.subject for note in found.notes if note.rule == "collapse"}
    assert "radio-feed" in told
    assert next(c for c in found.circuits if c.id == "radio-feed").solved_drop_v is None


def test_equal_rigs_give_equal_figures() -> None:
    assert work_out(car()) == work_out(car())
