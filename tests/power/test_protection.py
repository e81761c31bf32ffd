"""Protection of the conductors of a small car and of the example builds, against hand calculation and search."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from rigbook.power import conductors, drops, explain, fuses, protection
from rigbook.power.protection import Protection
from rigbook.rig.model import Rig

BUILDS = Path(__file__).parents[2] / "src/rigbook/data/example_shop/builds"


@pytest.fixture(scope="module")
def rigs() -> list[Rig]:
    from rigbook.desk.checking import open_build

    names = ("boat-crew-pickup", "duty-officer-utility", "flood-support-van")
    return [open_build(BUILDS / f"{name}.yaml", judged=False).worked for name in names]


def test_every_far_end_short_of_the_sound_builds_is_cleared_in_time(rigs: list[Rig]) -> None:
    looked = 0
    for rig in rigs:
        for found in protection.protections(rig):
            if found.fault_a is None:
                continue
            looked += 1
            assert found.clears_s is not None and found.withstands_s is not None, found.id
            assert found.clears_s < found.withstands_s, found.id
            assert found.cleared_from_a is not None and found.cleared_from_a <= found.fault_a
    assert looked > 40


def test_a_short_by_hand(rigs: list[Rig]) -> None:
    """radio-ops-feed of the complete build: battery, line to the block, own wire out and back, stud."""
    rig = rigs[2]
    found = next(f for f in protection.protections(rig) if f.id == "radio-ops-feed")
    feed = rig.feeds["radio-ops-feed"]
    bank = rig.banks["auxiliary"]
    ohm = rig.parts[bank.part_id].resistance / 2
    ohm += drops.segment_drop(rig.segments[rig.feeds[feed.parent or ""].segment or ""]).resistance_ohm
    assert found.prospective_a == pytest.approx(12.6 / ohm)
    member = rig.circuits["radio-ops-feed"].members[0]
    own = [rig.segments[s] for s in (*member.feed_path, *member.return_path) if rig.segments[s].role != "lead"]
    ohm += sum(drops.segment_drop(s).resistance_ohm for s in own) + rig.studs[member.ground or ""].resistance_ohm
    assert found.fault_a == pytest.approx(12.6 / ohm)
    thin = min(own, key=lambda s: s.conductor.gauge.area_mm2)
    k = conductors.adiabatic_k(start_c=drops.segment_drop(thin).conductor_c, end_c=250)
    heat = (k * conductors.conductor_area_mm2(gauge=thin.conductor.gauge)) ** 2
    assert found.withstands_s == pytest.approx(heat / found.fault_a**2)


def test_inrush_is_squared_current_of_everything_at_once(rigs: list[Rig]) -> None:
    rig = rigs[2]
    amps, seconds = protection.inrush(rig, "main-rear")
    parts = {}
    for device in rig.devices.values():
        for draw in device.draws:
            feed, names = draw.feed_id, set()
            while feed:
                names.add(feed)
                feed = rig.feeds[feed].parent
            if draw.inrush_times and "main-rear" in names:
                parts[device.id] = max(parts.get(device.id, 0.0), draw.current_a * draw.inrush_times)
    assert len(parts) > 3 and amps == pytest.approx(sum(parts.values())) and seconds > 0


def test_selectivity_against_a_fine_search() -> None:
    looked = 0
    for lower, above in ((5, 40), (10, 30), (20, 100), (25, 80)):
        form = "maxi" if above <= 80 else "strip"
        kind = fuses.form_row(form=form, rating_a=above)["class"]
        found = protection.selective_to_a(
            fuse_class="blade-small", fuse_a=lower, above_class=kind, above_a=above, most_a=3000
        )
        amps = 1.35 * lower
        while amps < 3000:
            slow = fuses.slowest_s(fuse_class="blade-small", percent=100 * amps / lower)
            if slow is None or fuses.fastest_s(fuse_class=kind, percent=100 * amps / above) <= slow:
                break
            amps *= 1.0005
        assert found == pytest.approx(amps, rel=0.012) or (found == 0 and amps <= 1.36 * lower)
        looked += 1
    assert looked == 4


def test_every_figure_is_explained_by_the_same_number(rigs: list[Rig]) -> None:
    looked = 0
    for rig in rigs[:2]:
        for found in protection.protections(rig):
            for key in Protection.__dataclass_fields__:
                value = getattr(found, key)
                if not isinstance(value, float):
                    continue
                working = explain(rig, f"power.protection[{found.id}].{key}")
                assert working.result == value and not math.isinf(value)
                looked += 1
            with pytest.raises(KeyError):
                explain(rig, f"power.protection[{found.id}].nothing")
    assert looked > 150


def test_a_battery_that_states_no_resistance_gives_no_currents(rigs: list[Rig]) -> None:
    rig = rigs[1]
    parts = {
        **rig.parts,
        **{b.part_id: rig.parts[b.part_id].model_copy(update={"resistance": None}) for b in rig.banks.values()},
    }
    found = protection.protections(replace(rig, parts=parts))
    assert found and all(f.prospective_a is None and f.fault_a is None and f.selective_to_a is None for f in found)


def test_a_battery_takes_the_stronger_of_two_stocked_fuses(rigs: list[Rig]) -> None:
    from rigbook.documents.schema.shop import StockFuse

    rig = rigs[0]
    stock = [each for each in rig.shop.fuses if each.form == "strip"]
    weaker = StockFuse.model_construct(**(dict(stock[0]) | {"interrupts": 3000.0}))
    stronger = StockFuse.model_construct(**(dict(stock[0]) | {"interrupts": 10_000.0}))
    both = replace(rig, shop=rig.shop.model_copy(update={"fuses": [weaker, stronger]}))
    plain = replace(rig, shop=rig.shop.model_copy(update={"fuses": []}))
    rating = stock[0].ratings[0]
    assert protection.interrupts_a(both, form="strip", rating_a=rating, at_battery=True)[0] == 10_000.0
    assert protection.interrupts_a(both, form="strip", rating_a=rating, at_battery=False)[0] == 3000.0
    assert protection.interrupts_a(plain, form="strip", rating_a=rating, at_battery=True) == (2000.0, "")
    assert protection.interrupts_a(both, form="blade", rating_a=10.0, at_battery=True) == (1000.0, "")
