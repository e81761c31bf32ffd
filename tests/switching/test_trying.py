from __future__ import annotations

import pytest

from rigbook.switching.trying import USAGE, Command, Trial, TryError, parse_line
from tests.switching.sections import EXCERPT, program_of

PROGRAM = program_of(EXCERPT)


@pytest.mark.parametrize(
    ("line", "command"),
    [
        ("press night", Command("press", (("night", ""),))),
        ("set response on-scene", Command("set", (("response", "on-scene"),))),
        ("signal gear drive ignition run", Command("signal", (("gear", "drive"), ("ignition", "run")))),
        ("measure auxiliary_low 11.6 V", Command("measure", (("auxiliary_low", "11.6 V"),))),
        ("wait 400 ms", Command("wait", wait_ms=400)),
        ("wait 2 min", Command("wait", wait_ms=120000)),
        ("lose gear", Command("lose", (("gear", ""),))),
        ("", Command("show")),
        ("undo", Command("undo")),
    ],
)
def test_lines(line, command):
    assert parse_line(line) == command


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("pres night", "did you mean press"),
        ("press", "write: press SWITCH"),
        ("signal gear", "write: signal"),
        ("signal gear park gear park", "named twice"),
        ("wait", "write: wait TIME"),
        ("wait 4", "write: wait TIME"),
        ("wait 0.1 ms", "whole milliseconds"),
        ("show me", "write: show"),
    ],
)
def test_lines_that_cannot_be_read(line, says):
    with pytest.raises(TryError, match=says):
        parse_line(line)


def test_a_trial_shows_what_is_lit_and_what_it_draws():
    trial = Trial(PROGRAM, currents=lambda state, lost: {"average": 1.5 * state[0], "lost": float(len(lost))})
    text = trial.do("set response on-scene")
    assert "switches: response on-scene" in text
    assert "front     grille-left b  grille-right b" in text
    assert "stick ....." in text and "average: 3.00 A" in text
    assert "stick aaaaa" in trial.do("set arrow left")
    assert "gear park (lost)" in trial.do("lose gear") and "lost: 1.00 A" in trial.show()
    trial.do("restore gear")
    trial.do("signal gear drive ignition run")
    assert "scene-left W" not in trial.do("press scene_left")
    trial.do("signal gear park")
    assert "scene-left W" in trial.do("press scene_left")
    trial.do("set response responding")
    trial.do("signal gear drive")
    assert "driven    siren-amp wail" in trial.do("set siren wail")


def test_undo_goes_back_a_line_and_a_refusal_changes_nothing():
    trial = Trial(PROGRAM)
    first = trial.show()
    trial.do("press night")
    with pytest.raises(TryError, match="impossible"):
        trial.do("signal gear drive")
    with pytest.raises(TryError, match="nothing is called nigt; did you mean night"):
        trial.do("press nigt")
    with pytest.raises(TryError, match="not a signal"):
        trial.do("signal night yes")
    with pytest.raises(TryError, match="measures nothing"):
        trial.do("measure gear 3 V")
    assert trial.do("undo") == first
    with pytest.raises(TryError, match="nothing to undo"):
        trial.do("undo")
    assert not trial.over and trial.do("quit") == "" and trial.over
    assert trial.do("help").count("\n") == len(USAGE) - 1


def test_measured_quantities_have_units():
    trial = Trial(PROGRAM)
    with pytest.raises(TryError, match="V"):
        trial.do("measure auxiliary_low 11")
    trial.do("measure auxiliary_low 11 V")
    assert "auxiliary_low yes" in trial.do("wait 120 s")
