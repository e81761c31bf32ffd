"""Single faults in the complete build: each is named, in the right place, and nothing ever ends in a traceback."""

from __future__ import annotations

import pytest

from tests.scenario.removals import usual
from tests.scenario.shop import COMPLETE, changed_once, judge, text
from tests.scenario.variants import VARIANTS, Variant


def test_there_are_forty_and_each_is_another() -> None:
    assert len(VARIANTS) >= 40
    assert len({variant.name for variant in VARIANTS}) == len({variant.new for variant in VARIANTS}) == len(VARIANTS)
    assert sum(bool(variant.finding) for variant in VARIANTS) >= 8


def line_with(source: str, piece: str) -> int:
    """The one line of a text that carries a piece."""
    found = [n for n, line in enumerate(source.splitlines(keepends=True), start=1) if piece in line]
    assert len(found) == 1, f"{len(found)} lines carry {piece!r}"
    return found[0]


@pytest.mark.parametrize("variant", VARIANTS, ids=lambda variant: variant.name)
def test_a_fault_is_named_at_its_place(variant: Variant) -> None:
    source = changed_once(text(variant.file), variant.old, variant.new)
    assessment = judge(COMPLETE, {variant.file: source})
    line = line_with(source if variant.told_in == variant.file else text(variant.told_in), variant.at)
    if variant.finding:
        assert not assessment.errors, assessment.errors
        assert variant.finding not in usual(COMPLETE)
        found = next((f for f in assessment.findings if f.id == variant.finding), None)
        assert found is not None, [f.id for f in assessment.findings if f.severity != "note"]
        assert (found.severity, found.file, found.line) == (variant.severity, variant.told_in, line)
        return
    assert assessment.errors, "no error was found"
    here = [error for error in assessment.errors if (error.file, error.line) == (variant.told_in, line)]
    assert here, [str(error) for error in assessment.errors]
    assert variant.says
    told = [f"{error.says} {error.found} {error.expected} {error.nearest}" for error in here]
    assert any(variant.says in each for each in told), told
    assert all(error.column >= 1 for error in here)
    assert assessment.rig is None
