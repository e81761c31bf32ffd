"""Every conductor and what protects it."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigbook.power import fuses, protection
from rigbook.power.explain import explain
from rigbook.power.guarded import fuse_class_of, guarded, guarded_one, guards_of
from rigbook.rig.model import Rig
from tests.rig.small import FEEDS, PARTS, build_text, errors, worked

SHOP = Path(__file__).resolve().parents[2] / "src/rigbook/data/example_shop/builds"
KEYS = ("guard_a", "carries_a", "fault_a", "cleared_from_a", "clears_s", "withstands_s")
STRONG = PARTS.replace("capacity: 70 Ah}", "capacity: 70 Ah, resistance: 5 mohm}")
TRIP = "  - {id: trip-20, kind: breaker, title: Breaker, size: [50 mm, 50 mm, 50 mm], mass: 0.1 kg, rating: 20 A, interrupts: 3000 A}\n"
RADIO = "  - {id: radio, part: radio, place: dash, feed: radio-feed}\n"


@pytest.fixture(scope="module")
def rigs() -> list[Rig]:
    from rigbook.desk.checking import open_build

    return [open_build(path, judged=False).worked for path in sorted(SHOP.glob("*.yaml"))]


def test_every_conductor_that_carries_load_is_judged_once(rigs: list[Rig]) -> None:
    looked = 0
    for rig in rigs:
        found = [each.id for each in guarded(rig)]
        assert len(set(found)) == len(found)
        loaded = [s.id for s in rig.segments.values() if s.role != "signal" and s.nameplate_a > 0]
        assert set(loaded) <= set(found)
        looked += len(loaded)
    assert looked > 300


def test_a_link_is_guarded_from_both_ends(rigs: list[Rig]) -> None:
    looked = 0
    for rig in rigs:
        guards = guards_of(rig)
        for link in rig.links.values():
            for name in link.segments:
                assert {guard.id for guard in guards[name]} == {f"{link.id}.start", f"{link.id}.end"}
                looked += 1
    assert looked >= 4


def test_what_clears_the_least_short_clears_every_greater_one(rigs: list[Rig]) -> None:
    """Said again by trying currents up to fifty times the least."""
    looked = 0
    for rig in rigs:
        for each in guarded(rig):
            if each.fault_a is None or each.kind == "output":
                continue
            heat = protection.heat_a2s(rig.segments[each.id])
            kind = fuse_class_of(rig, each.guard, each.guard_a)
            amps = [each.fault_a * 1.08**step for step in range(50)]
            times = [fuses.slowest_s(fuse_class=kind, percent=100 * a / each.guard_a) for a in amps]
            in_time = all(s is not None and s * a * a <= heat * (1 + 1e-9) for a, s in zip(amps, times, strict=True))
            assert each.clears is in_time, each
            looked += 1
    assert looked > 60


def test_the_planted_faults_are_found_and_the_good_builds_are_protected(rigs: list[Rig]) -> None:
    by_id = {rig.build.build.id: rig for rig in rigs}
    bad = {each.id for each in guarded(by_id.pop("planted-faults")) if each.protected is False}
    assert "feed:radio-feed>radio-parish:power" in bad  # a fuse of 50 A on 10 AWG
    assert {"battery.starter>isolator-1:a", "isolator-1:b>battery.auxiliary"} <= bad  # 200 A on 2 AWG
    assert len(by_id) == 3
    for rig in by_id.values():
        assert [each.id for each in guarded(rig) if each.protected is not True] == []


def test_each_figure_is_worked_through(rigs: list[Rig]) -> None:
    looked = set()
    for rig in rigs[:2]:
        for each in guarded(rig)[::7]:
            for key in KEYS:
                value = getattr(each, key)
                if value is None:
                    with pytest.raises(KeyError):
                        explain(rig, f"power.guarded[{each.id}].{key}")
                else:
                    assert explain(rig, f"power.guarded[{each.id}].{key}").result == value
                    looked.add(key)
    assert looked == set(KEYS)


# --- breakers ------------------------------------------------------------------------------------------------

BREAKER = FEEDS + "  - {id: radio-feed, from: battery.starter, breaker: trip-1}\n"
ROWS = "  - {id: trip-1, part: trip-20, at: [0.1 m, 0 m, 0.8 m], node: front}\n" + RADIO


def test_a_feed_behind_a_breaker_has_its_rating_its_gates_and_what_it_interrupts() -> None:
    rig = worked(build_text(feeds=BREAKER, install=ROWS), parts=STRONG + TRIP)
    feed = rig.feeds["radio-feed"]
    assert (feed.fuse_a, feed.breaker, feed.fuse_how) == (20.0, "trip-1", "set")
    found = protection.feed_protection(rig, "radio-feed")
    assert (found.form, found.fuse_class, found.interrupts_a, found.breaks) == (
        "breaker",
        "breaker-thermal",
        3000.0,
        True,
    )
    assert found.rerated_a is None
    assert found.fault_a is not None and found.clears_s == pytest.approx(5 * (40 / found.fault_a) ** 2)
    wire = next(each for each in guarded(rig) if each.guard == "radio-feed")
    assert wire.kind == "breaker"
    for key in KEYS:
        assert explain(rig, f"power.guarded[{wire.id}].{key}").result == getattr(wire, key)


def test_a_breaker_that_states_nothing_is_not_said_to_break_anything() -> None:
    rig = worked(build_text(feeds=BREAKER, install=ROWS), parts=STRONG + TRIP.replace(", interrupts: 3000 A", ""))
    found = protection.feed_protection(rig, "radio-feed")
    assert found.interrupts_a is None and found.breaks is None


@pytest.mark.parametrize(
    ("feeds", "says"),
    [
        (BREAKER.replace("breaker: trip-1", "breaker: trip-2"), "there is no installed breaker trip-2; the nearest is trip-1"),
        (BREAKER.replace("breaker: trip-1", "breaker: radio"), "there is no installed breaker radio"),
        (BREAKER + "  - {id: more, from: battery.starter, breaker: trip-1}\n", "stands at the start of radio-feed already"),
    ],
)  # fmt: skip
def test_a_breaker_must_be_there_be_one_and_stand_once(feeds: str, says: str) -> None:
    found = errors(build_text(feeds=feeds, install=ROWS), parts=STRONG + TRIP)
    assert any(says in each for each in found), found


def test_an_unknown_conductor_has_no_figure() -> None:
    rig = worked(build_text(feeds=BREAKER, install=ROWS), parts=STRONG + TRIP)
    with pytest.raises(KeyError):
        guarded_one(rig, "nowhere>nothing")
