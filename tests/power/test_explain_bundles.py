"""Every figure of every bundle has a hand calculation that comes to it."""

from __future__ import annotations

import pytest

from rigbook.power.bundles import bundles
from rigbook.power.explain import explain
from tests.power.cars import FEEDS, ROWS
from tests.power.test_bundles import HOLED
from tests.rig.small import build_text, worked


def test_each_figure_of_a_bundle_is_worked_through() -> None:
    rig = worked(build_text(install=ROWS, feeds=FEEDS), vehicle=HOLED)
    looked = 0
    for bundle in bundles(rig):
        for key in ("outside_m", "loom_m", "hole_m", "fill_fraction"):
            value = getattr(bundle, key)
            if value is None:
                continue
            working = explain(rig, f"power.bundles[{bundle.id}].{key}")
            assert working.result == value
            looked += 1
    assert looked >= 6


def test_an_unknown_bundle_has_no_figure() -> None:
    rig = worked(build_text(install=ROWS, feeds=FEEDS), vehicle=HOLED)
    for wrong in ("power.bundles[nowhere].outside_m", "power.bundles[middle-rear].hole_m"):
        with pytest.raises(KeyError):
            explain(rig, wrong)
