"""Point masses and heat."""

from __future__ import annotations

import pytest

from rigbook.rig.model import Point
from tests.rig.small import FEEDS, build_text, errors, opened, worked

LOAD = "persons:\n  - {seat: driver}\nkit:\n  - {id: rope, mass: 12 kg, at: [3 m, 0 m, 0.6 m]}\n"
BANK = "batteries:\n  - {id: second, part: battery-70, count: 2, at: [2.9 m, 0.2 m, 0.5 m]}\n"


def test_everything_added_is_a_mass_at_its_place() -> None:
    rig = opened(build_text(feeds=BANK + FEEDS, more=LOAD))
    masses = {mass.id: mass for mass in rig.masses}
    assert masses["control"].mass_kg == 1 and masses["control"].at == Point(2.9, 0, 0.6)
    assert masses["battery.second"].mass_kg == 40 and "battery.starter" not in masses
    assert masses["person.driver"].mass_kg == 75 and masses["person.driver"].at == Point(1.2, -0.37, 0.8)
    assert masses["kit.rope"].why == "kit"
    # 50 l at 750 kg/m3, of which the curb masses already hold 60 %
    assert masses["fuel"].mass_kg == pytest.approx(0.05 * 750 * 0.4)


def test_modules_inside_a_bar_have_their_mass_in_it() -> None:
    bar = "  - {id: bar, part: bar, at: [2.5 m, 0 m, 1.4 m], node: rear, feed: box-feed, controller: control}\n"
    rig = opened(build_text(install=bar))
    assert [mass.mass_kg for mass in rig.masses if mass.id.startswith("bar")] == [12]


def test_the_harness_weighs_what_its_metres_weigh() -> None:
    rig = worked(build_text(install="  - {id: lamp, part: dual, place: nose}\n"))
    harness = next(mass for mass in rig.masses if mass.why == "wire")
    by_hand = sum(
        segment.length_m * rig.parts[segment.conductor.part_id].mass
        for segment in rig.segments.values()
        if segment.conductor.part_id is not None
    )
    assert harness.mass_kg == pytest.approx(by_hand) and harness.mass_kg > 0.1
    assert -0.5 < harness.at.x_m < 3.5


def test_heat_is_what_a_device_draws_less_what_it_radiates() -> None:
    row = "  - {id: radio, part: radio, place: dash, feed: box-feed}\n"
    heat = {source.id: source for source in worked(build_text(install=row)).heat}
    assert heat["radio"].watts == pytest.approx(13 * 13.6 - 50)
    assert heat["control"].watts == pytest.approx(0.25 * 12.8) and heat["control"].area == "cabin"
    assert "tail" not in heat


def test_a_seat_that_is_not_there_or_taken_twice_is_an_error() -> None:
    said = errors(build_text(more="persons:\n  - {seat: drivr}\n"))
    assert any("the nearest is driver" in each for each in said)
    said = errors(build_text(more="persons:\n  - {seat: driver}\n  - {seat: driver}\n"))
    assert any("taken twice" in each for each in said)
