"""The registry of measures."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from rigbook.rules import (
    measures_body,
    measures_bundles,
    measures_colour,
    measures_day,
    measures_light,
    measures_light_texts,
    measures_protection,
    measures_scene,
    measures_supply,
    measures_vehicle,
    measures_wiring,
)
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
    groups = (
        measures_wiring.MEASURES, measures_supply.MEASURES, measures_vehicle.MEASURES, measures_colour.MEASURES,
        measures_protection.MEASURES, measures_body.MEASURES, measures_light.MEASURES, measures_light_texts.MEASURES,
        measures_bundles.MEASURES, measures_scene.MEASURES, measures_day.MEASURES,
    )  # fmt: skip
    assert len(known) == sum(map(len, groups)) >= 20
    for measure in known.values():
        assert f"Unit: {measure.unit}" in measure.about, measure.name
        assert measure.unit == "count" or measure.unit in DIMENSIONS, measure.name
        assert measure.take.__name__ == measure.name
