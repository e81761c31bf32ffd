from __future__ import annotations

import math

import pytest

from rigbook.papers.canvas import Canvas
from rigbook.papers.timing import AXIS_MM, axis_of, bars, diagrams, instants, lit, strip, tick_ms
from rigbook.switching.patterns import pattern_timeline
from rigbook.switching.timeline import intensity_at, is_steady, steady

from .opened import example

BUILDS = ("flood-support-van", "boat-crew-pickup", "duty-officer-utility")


@pytest.mark.parametrize("build", BUILDS)
def test_every_lamp_of_every_function_stands_in_one_row_a_colour(build: str) -> None:
    """Counted again from the program: nothing a function shows is left out or shown twice."""
    rig = example(build).worked
    program = rig.program
    wanted = {
        (program.functions[e.function].name, device.id, colour)
        for device in program.devices
        for e in device.entries
        if e.kind == "show"
        for colour, _ in program.contents[e.content].channels
    }
    drawn = diagrams(rig)
    shown = {(d.function, r.colour) for d in drawn for r in d.rows}
    assert shown == {(f, c) for f, _, c in wanted}
    assert len(wanted) > 10
    for d in drawn:
        assert {r.letter for r in d.rows} and all(r.lamps for r in d.rows)
        flashing = [r.timeline.period_ms for r in d.rows if not is_steady(r.timeline)]
        assert d.axis_ms == (math.lcm(*flashing) if flashing else 0) or not d.repeats


@pytest.mark.parametrize("times", [[100, 100, 100, 500], [400, 400], [80, 80, 80, 80, 80, 400]])
def test_bars_say_at_every_millisecond_what_the_timeline_says(times: list[int]) -> None:
    timeline = pattern_timeline(times, 0.5)
    axis = 3 * timeline.period_ms
    spans = lit(timeline, axis)
    for at in range(0, axis, 7):
        level = next((v for a, b, v in spans if a <= at < b), 0.0)
        assert level == intensity_at(timeline, at)


def test_bars_lie_on_the_axis_by_their_times() -> None:
    canvas = Canvas()
    bars(canvas, pattern_timeline([200, 600]), "B", x=10.0, y=0.0, width=80.0, height=4.0, axis_ms=800, key="k")
    plate = canvas.plate("p", "p", height=5.0)
    assert '<rect x="10" y="0" width="20" height="4"' in plate.markup
    assert [k for k, _ in plate.boxes] == ["k:bar:0"]


def test_words_for_instants() -> None:
    assert instants(steady()) == "steady-burning"
    assert instants(steady(0.25)) == "steady-burning at 25 %"
    assert instants(pattern_timeline([100, 700])) == "lit 0–100 of 800 ms"


def test_axis_and_ticks() -> None:
    a, b = pattern_timeline([300, 300]), pattern_timeline([400, 400])
    assert axis_of([a, b, steady()]) == (2400, True)
    assert axis_of([steady()]) == (0, True)
    assert axis_of([pattern_timeline([4999, 2]), pattern_timeline([997, 2])]) == (5001, False)
    for axis in (10, 800, 1230, 2400, 90000):
        assert AXIS_MM * tick_ms(axis) / axis >= 3.0
    assert tick_ms(0) == 0


def test_a_strip_fits_its_cell() -> None:
    plate = strip(pattern_timeline([100, 100]), "W", width=40.0)
    assert plate.width == 40.0
    assert plate.title == "lit 0–100 of 200 ms"
