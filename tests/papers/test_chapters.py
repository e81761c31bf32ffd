from __future__ import annotations

import pytest

from rigbook.papers.chapters import CAUTIONS, _gravity, _place, _ranges, findings


@pytest.mark.parametrize(
    ("ids", "shown"),
    [
        ([], []),
        (["control.1"], ["control.1"]),
        (["control.1", "control.2", "control.3"], ["control.1–3"]),
        (["control.1", "control.3", "module-2.4", "module-2.5"], ["control.1", "control.3", "module-2.4–5"]),
        (["radio-feed", "radio-sense"], ["radio-feed", "radio-sense"]),
        (["control.2", "control.1"], ["control.2", "control.1"]),
        (["a.x", "a.1"], ["a.x", "a.1"]),
    ],
)
def test_neighbouring_outputs_print_as_a_range(ids: list[str], shown: list[str]) -> None:
    assert _ranges(ids) == shown


@pytest.mark.parametrize(("y_m", "words"), [(0.0254, "1 in to the right"), (-0.0254, "1 in to the left")])
def test_the_centre_of_gravity_says_its_side(y_m: float, words: str) -> None:
    assert words in _gravity({"x_m": 1.0, "y_m": y_m, "z_m": 0.5}, "us")
    assert _gravity({"x_m": None, "y_m": y_m, "z_m": 0.5}, "us") == "–"


def test_a_finding_without_a_line_names_its_file_alone() -> None:
    assert _place({"file": "builds/a.yaml", "line": None}) == "builds/a.yaml"
    assert _place({"file": "builds/a.yaml", "line": 4}) == "builds/a.yaml:4"
    assert _place({"file": None, "line": None}) == "–"


def test_no_findings_is_not_called_all_right() -> None:
    words = " ".join(p["text"] for p in findings({"findings": []}))
    assert "no more" in words


def test_cautions_speak_of_what_hurts() -> None:
    words = " ".join(CAUTIONS)
    for danger in ("batter", "air bag", "seizure", "hearing", "High voltage", "local law"):
        assert danger in words
