"""What people read: verdict first, findings, figures with ids, caution last."""

from __future__ import annotations

from collections.abc import Callable

from rigbook.assess.assessment import Assessment
from rigbook.assess.explain import explain, figures
from rigbook.assess.text import WIDTH, check_lines, error_lines, figure_lines, finding_lines
from rigbook.documents.errors import DocumentError
from rigbook.rules.findings import Finding

from .conftest import BUILDS, SMALL

Assess = Callable[[str], Assessment]


def test_errors_can_be_clicked() -> None:
    errors = [
        DocumentError("builds/x.yaml", 3, 5, "there is no part lam", expected="a part"),
        DocumentError("packs:wiring.yaml", 1, 1, "odd"),
    ]
    assert error_lines(errors, "shop/") == [
        "shop/builds/x.yaml:3:5: there is no part lam", "    expected: a part", "packs:wiring.yaml:1:1: odd",
    ]  # fmt: skip


def test_a_finding_shows_its_mark_and_place() -> None:
    lines = finding_lines(
        Finding(
            rule="r", subject="s", severity="caution", says="Too much. Mend it.", source="practice-wiring",
            sourced="common practice", file="builds/x.yaml", line=7,
        )
    )  # fmt: skip
    assert lines == [
        "caution  r@s", "         Too much. Mend it.", "         builds/x.yaml:7  [practice-wiring, common practice]",
    ]  # fmt: skip


def test_check_says_verdict_first_and_caution_last(assessed: Assess) -> None:
    for name in BUILDS:
        lines = check_lines(assessed(name))
        assert lines[1].startswith(f"verdict: {assessed(name).verdict}")
        assert "licensed practice" in " ".join(lines[-2:])
        text = "\n".join(lines).lower()
        assert "compliant" not in text
        assert "certified" not in text


def test_key_figures_can_be_explained(assessed: Assess) -> None:
    assessment = assessed(SMALL)
    known = {path for path, _ in figures(assessment)}
    shown = [line.split()[-1] for line in figure_lines(assessment) if "not worked out" not in line]
    asked = [path for path in shown if not path.startswith("switching.")]
    assert len(asked) >= 8
    for path in asked:
        assert path in known
        assert explain(assessment, path).working is not None


def test_long_sentences_are_wrapped() -> None:
    lines = finding_lines(Finding(rule="r", subject="s", severity="note", says="word " * 60))
    assert all(len(line) <= WIDTH for line in lines)
    assert len(lines) > 3
