"""The registry of measures."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator

import pytest

from rigbook import rules
from rigbook.rules import measures_wiring
from rigbook.rules.measures import DuplicateMeasure, Measure, Reading, Results, registry, registry_of
from rigbook.rules.wording import DIMENSIONS


def test_registering_twice_raises() -> None:
    with pytest.raises(DuplicateMeasure, match="drop_share"):
        registry_of(measures_wiring.MEASURES, measures_wiring.MEASURES[:1])


def test_a_measure_without_words_is_refused() -> None:
    def silent(results: Results) -> Iterator[Reading]:
        yield from ()

    with pytest.raises(ValueError, match="does not say"):
        registry_of([Measure(name="silent", per="whole", unit="A", take=silent)])


def test_every_measure_says_unit_formula_or_source_and_has_a_readable_unit() -> None:
    known = registry()
    names = sorted(
        module.name for module in pkgutil.iter_modules(rules.__path__) if module.name.startswith("measures_")
    )
    groups = [importlib.import_module(f"rigbook.rules.{name}").MEASURES for name in names]
    assert len(groups) > 9
    assert len(known) == sum(map(len, groups)) >= 20
    for measure in known.values():
        assert f"Unit: {measure.unit}" in measure.about, measure.name
        assert measure.unit == "count" or measure.unit in DIMENSIONS, measure.name
        assert measure.take.__name__ == measure.name
