"""Enclosures of a build: watts by duty, ways out, and what cannot be."""

from __future__ import annotations

import pytest

from rigbook.body import heat, warmth, work_out
from rigbook.rig.model import Rig
from tests.body.test_explain import agree
from tests.rig.small import PARTS, build_text, errors, load, worked

MORE = PARTS + (
    "  - {id: case, kind: cabinet, title: Case, mass: 3 kg, size: [0.4 m, 0.6 m, 0.5 m]}\n"
    "  - {id: fan-1, kind: fan, title: Fan, mass: 0.2 kg, size: [40 mm, 120 mm, 120 mm], flow_m3_per_h: 100, draws: {running: 0.3 A}}\n"
)
FEEDS = "feeds:\n  - {id: main, from: battery.starter, to: block-1, fuse: auto}\n  - {id: box-feed, from: block-1.1, fuse: auto}\n  - {id: radio-feed, from: block-1.2, fuse: auto}\n"
ROWS = """  - {id: case-1, part: case, at: [2.5 m, 0 m, 0.7 m], node: rear}
  - {id: radio-1, part: radio, at: [2.5 m, 0 m, 0.7 m], node: rear, feed: radio-feed}
  - {id: blower, part: fan-1, at: [2.5 m, 0 m, 0.9 m], node: rear, feed: radio-feed}
"""
DUTY = "duty:\n  - {name: out, for: 1 h, set: {gear: drive}, draws: {radio-1: {transmit: 20 %}}}\n  - {name: rest, for: 9 h, set: {gear: park}}\n"
TEXT = "enclosures:\n  - {id: inside, cabinet: case-1, holds: [radio-1], faces: [front, top], limit: 70 C}\n"


def car(text: str = TEXT, duty: str = DUTY) -> Rig:
    return worked(build_text(install=ROWS, feeds=FEEDS, more=text + duty), parts=MORE)


def test_watts_by_duty_less_what_the_antenna_takes() -> None:
    rig = car()
    found = work_out(rig).heat[0]
    assert found.stretch == "out"
    assert found.heat_w == pytest.approx(0.8 * 0.6 * 13.6 + 0.2 * (13 * 13.6 - 50))
    wall = 5.5 * (0.6 * 0.5 + 0.6 * 0.4)
    assert found.rise_c == pytest.approx(found.heat_w / wall)
    assert found.inside_c == pytest.approx(found.ambient_c + found.rise_c) and found.ambient_c == 60
    assert found.fan_air_m3_per_h == pytest.approx(3600 * warmth.fan_flow_m3_s(power_w=found.heat_w, rise_k=10))
    assert agree(rig) > 100


def test_without_a_duty_day_everything_is_at_its_most() -> None:
    found = work_out(car(duty="")).heat[0]
    assert (found.stretch, found.heat_w) == (None, pytest.approx(13 * 13.6 - 50))


def test_fan_openings_and_sun() -> None:
    plain = work_out(car()).heat[0]
    fan = car(TEXT.replace("limit", "fan: blower, limit"))
    assert heat.fan_m3_s(fan, fan.build.enclosures[0]) == pytest.approx(100 / 3600 / 2)
    assert work_out(fan).heat[0].rise_c < plain.rise_c / 3
    vents = car(TEXT.replace("limit", "vents: {width: 0.3 m, height: 40 mm, rise: 0.4 m}, limit"))
    assert work_out(vents).heat[0].rise_c < plain.rise_c
    sun = car(TEXT.replace("limit", "sun: yes, limit"))
    assert work_out(sun).heat[0].ambient_c == 70
    assert work_out(sun).heat[0].fan_air_m3_per_h is None
    assert "sun-estimated" in {n.rule for n in work_out(sun).notes}
    for rig in (fan, vents, sun):
        agree(rig)


def test_gas_of_an_added_lead_bank() -> None:
    rig = worked(
        build_text(
            install=ROWS,
            feeds=FEEDS,
            more="batteries:\n  - {id: second, part: battery-70, count: 2, at: [2.8 m, 0 m, 0.5 m], node: rear}\n",
        ),
        parts=MORE,
    )
    assert [(g.id, g.air_m3_per_h) for g in work_out(rig).gas] == [("second", pytest.approx(0.05 * 6 * 8 * 140 / 1000))]
    agree(rig)


BAD = [
    ("cabinet: case-1", "cabinet: radio-1", "there is no installed cabinet"),
    ("holds: [radio-1]", "holds: [radio-2]", "there is no installed thing radio-2"),
    ("holds: [radio-1]", "holds: []", "nothing is warm"),
    ("faces: [front, top]", "faces: []", "no way out"),
    ("faces: [front, top]", "faces: [top, top]", "stands twice"),
    ("faces: [front, top]", "faces: [roof]", "roof"),
    ("limit: 70 C", "limit: 70 C, fan: radio-1", "there is no installed fan"),
    ("limit: 70 C", "limit: 70 C, filter_passes: 120 %", "outside 0 to 100 %"),
    ("limit: 70 C", "limit: 70 C, vents: {width: 0 m, height: 1 m, rise: 1 m}", "above zero"),
    ("limit: 70 C", "limit: 70", "unit"),
]


@pytest.mark.parametrize(("good", "bad", "says"), BAD)
def test_enclosures_that_cannot_be(good: str, bad: str, says: str) -> None:
    assert good in TEXT
    text = build_text(install=ROWS, feeds=FEEDS, more=TEXT.replace(good, bad) + DUTY)
    told = [str(error) for error in load(text, parts=MORE).errors] or errors(text, parts=MORE)
    assert any(says in error and "builds/unit.yaml:" in error for error in told), told
