"""Sizes by the greatest currents over every reachable state, beside the name-plate sums."""

from __future__ import annotations

import pytest

from rigbook.power import drops
from rigbook.power.choose import choose, choose_exact, drafted, exact_loads
from rigbook.power.explain import explain
from rigbook.power.worst_figures import worst_cases
from rigbook.rig.decide import decide
from rigbook.rig.model import Rig
from rigbook.rig.report import Problems
from tests.power.cars import FEEDS, ROWS, RUNNING, SWITCHING
from tests.rig.small import build_text, opened

BUILD = build_text(install=ROWS, feeds=FEEDS, more=SWITCHING)


def exact() -> Rig:
    found = choose_exact(opened(BUILD, vehicle=RUNNING))
    assert not isinstance(found, Problems)
    return decide(*found)


def test_conductors_carry_the_worst_cases_of_the_decided_rig() -> None:
    rig = exact()
    cases = worst_cases(rig, kinds=("wires",))
    looked = lower = 0
    for (_, name), found in cases.found.items():
        segment = rig.segments[name]
        assert found.rms is not None and found.peak is not None
        assert segment.load_rms_a is not None and segment.load_peak_a is not None
        assert segment.load_rms_a >= found.rms.value_a - 1e-12
        assert segment.load_peak_a >= found.peak.value_a - 1e-12
        assert segment.load_rms_a <= segment.load_peak_a + 1e-12
        assert segment.load_peak_a <= segment.nameplate_a + 1e-9
        lower += segment.load_rms_a < segment.nameplate_a - 1e-9
        looked += 1
    assert looked > 15
    assert lower > 5, "a flashing lamp heats its wire by less than its name-plate current"


def test_no_size_is_larger_than_by_name_plate() -> None:
    open_rig = opened(BUILD, vehicle=RUNNING)
    plain = choose(open_rig)
    assert not isinstance(plain, Problems)
    rig = exact()
    for name, conductor in plain.wires.items():
        assert rig.segments[name].conductor.gauge.area_mm2 <= conductor.gauge.area_mm2
    for name, choice in plain.fuses.items():
        assert rig.choices.fuses[name].value <= choice.value
    assert any("worst RMS; name-plate" in feed.fuse_why for feed in rig.feeds.values())


def test_the_peak_loses_voltage_and_the_root_mean_square_heats() -> None:
    rig = exact()
    segment = next(s for s in rig.segments.values() if s.load_rms_a and s.load_rms_a < (s.load_peak_a or 0) - 1e-6)
    part = drops.segment_drop(segment)
    assert part.current_a == segment.load_peak_a
    assert part.conductor_c == drops.conductor_c(segment, current_a=segment.load_rms_a or 0.0)
    circuit = next(c.id for c in rig.circuits.values() if any(segment.id in m.feed_path for m in c.members))
    texts = str(explain(rig, f"power.circuits[{circuit}].drop_v"))
    assert "greatest peak over every reachable state; name-plate" in texts


def test_what_no_function_drives_counts_with_its_name_plate() -> None:
    open_rig = opened(build_text(install=ROWS, feeds=FEEDS), vehicle=RUNNING)
    draft = drafted(open_rig)
    assert not isinstance(draft, Problems)
    _, loads = exact_loads(draft)
    for segment in draft.plan.segments.values():
        if segment.role == "feed" and segment.subject in ("nose", "corner"):
            assert loads.wires[segment.id] == pytest.approx((segment.nameplate_a, segment.nameplate_a))


def test_the_same_text_gives_the_same_rig() -> None:
    assert exact() == exact()
