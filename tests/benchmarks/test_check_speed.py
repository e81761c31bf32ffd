"""The benchmark runs, and the ratios that it reports stay within bounds that no honest change breaks."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
HELP_OVER_YARDSTICK = 16.0
COLD_OVER_YARDSTICK = 150.0
WARM_OVER_YARDSTICK = 9.0
WARM_OVER_COLD = 0.2
"""About twice what is measured of the small build (7, 75, 1.5 to 3.6, 0.02 to 0.05): they catch a change of kind."""


@pytest.fixture(scope="module")
def speed() -> ModuleType:
    spec = importlib.util.spec_from_file_location("check_speed", ROOT / "benchmarks" / "check_speed.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def measured(speed: ModuleType) -> dict[str, Any]:
    found: dict[str, Any] = speed.measure([ROOT / "tests/rules/shop/builds/small.yaml"], 2)
    return found


def test_figures_are_there(measured: dict[str, Any]) -> None:
    (row,) = measured["checks"]
    assert row["build"] == "small"
    assert 0 < row["warm_s"] < row["cold_s"]
    assert measured["yardstick_s"] > 0


def test_ratios_only(measured: dict[str, Any]) -> None:
    (row,) = measured["checks"]
    assert measured["help_ratio"] < HELP_OVER_YARDSTICK
    assert row["cold_ratio"] < COLD_OVER_YARDSTICK
    assert row["warm_ratio"] < WARM_OVER_YARDSTICK
    assert row["warm_over_cold"] < WARM_OVER_COLD, "the second check in one process must save most of the first"


def test_least_of_several(speed: ModuleType) -> None:
    runs: list[int] = []
    assert speed.least_s(lambda: runs.append(1), 4) >= 0
    assert len(runs) == 4
    assert speed.yardstick() == speed.yardstick()


def test_counts_the_work_of_processes_it_starts(speed: ModuleType) -> None:
    busy = [sys.executable, "-c", "sum(range(3_000_000))"]
    assert speed.least_s(lambda: subprocess.run(busy, check=True), 1) > 0.02
