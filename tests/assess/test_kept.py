"""A run that takes up what earlier runs left gives the very bytes of a run from nothing, after every kind of edit."""

from __future__ import annotations

import pytest

from rigbook.assess.assessment import Assessment, assess
from rigbook.assess.results_json import dumps, to_json
from rigbook.quantities.kept import Kept
from tests.scenario.shop import COMPLETE, SMALL, changed_once, judge, load, text, without
from tests.scenario.variants import VARIANTS


def bytes_of(assessment: Assessment) -> str:
    assert not assessment.errors, assessment.errors
    return dumps(to_json(assessment))


def after(kept: Kept, build: str, source: str, file: str | None = None) -> None:
    changed = {file or build: source}
    assert bytes_of(assess(load(build, changed), kept)) == bytes_of(judge(build, changed))


def test_the_same_build_again() -> None:
    kept = Kept()
    first = assess(load(SMALL), kept)
    again = assess(load(SMALL), kept)
    assert again.power is first.power and again.verdicts is first.verdicts and again.body is first.body
    assert bytes_of(again) == bytes_of(first) == bytes_of(judge(SMALL))


def test_edits_of_every_kind_one_after_another() -> None:
    """Words, a place, a load, a function: what hangs on the edit is new, the rest is kept."""
    kept = Kept()
    source = text(SMALL)
    after(kept, SMALL, source)
    after(kept, SMALL, source.replace("title: ", "title: A ", 1))
    after(kept, SMALL, "# moved down a line\n" + source)
    after(kept, SMALL, changed_once(source, "count: 4}", "count: 3}"))
    fewer = without(without(source, "clause", "3.3"), "function", "Tail lamps flash on scene")
    after(kept, SMALL, fewer)
    after(kept, SMALL, source)


@pytest.mark.long
def test_faults_come_and_go_in_the_complete_build() -> None:
    kept, looked = Kept(), 0
    for variant in VARIANTS:
        if variant.finding:
            source = changed_once(text(variant.file), variant.old, variant.new)
            after(kept, COMPLETE, source, variant.file)
            after(kept, COMPLETE, text(COMPLETE))
            looked += 1
    assert looked >= 8
