"""The benchmark of the body runs, and what it reports stays within bounds that no honest change breaks."""

from __future__ import annotations

import importlib
import sys
from pathlib import Path
from types import ModuleType

import pytest

BENCHMARKS = Path(__file__).parents[2] / "benchmarks"
BODY_OVER_YARDSTICK = 8.0
"""Several times what is measured (0.5 to 1): it catches a change of kind."""


@pytest.fixture
def speed(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    monkeypatch.syspath_prepend(str(BENCHMARKS))
    for name in ("body_speed", "check_speed"):
        monkeypatch.delitem(sys.modules, name, raising=False)
    return importlib.import_module("body_speed")


def test_the_body_of_the_complete_build(speed: ModuleType) -> None:
    made = speed.body(2)
    assert {"whole", "faces", "lids", "mounts", "heat"} <= set(made)
    yardstick = speed.least_s(importlib.import_module("check_speed").yardstick, 3)
    assert made["whole"] < BODY_OVER_YARDSTICK * yardstick


def test_layouts_first_at_once_and_best_within_the_time(speed: ModuleType) -> None:
    made = speed.layouts(1)
    assert len(made) == 4
    for case in made:
        assert case["first_s"] < 1.0 and case["best_s"] < 20.0
        assert case["gap_share"] <= 0.05 and case["bound_mm"] <= case["height_mm"] <= case["first_mm"]
