"""The illuminance kernel against the plain loop of its benchmark, in one run."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[2]
KINDS = ("round lobes", "elliptic lobes", "file tables")


@pytest.fixture(scope="module")
def speed() -> ModuleType:
    spec = importlib.util.spec_from_file_location("illuminance_speed", ROOT / "benchmarks" / "illuminance_speed.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["illuminance_speed"] = module  # records look their module up
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_as_a_plain_loop_and_many_times_faster(speed: ModuleType, kind: str) -> None:
    found = speed.measure(kind, points=40_000, loop=20)  # raises where the two disagree
    assert found.plain_us > 20 * found.kernel_us
    assert tuple(speed.SHAPES) == KINDS


@pytest.mark.long
@pytest.mark.parametrize(("kind", "most_s"), (("round lobes", 1.0), ("elliptic lobes", 1.0), ("file tables", 6.0)))
def test_a_million_points_by_24_lamps_on_one_core(speed: ModuleType, kind: str, most_s: float) -> None:
    assert speed.measure(kind, points=1_000_000, loop=20).kernel_s < most_s


def test_memory_does_not_grow_with_the_points(speed: ModuleType) -> None:
    small, large = speed.beyond_the_answer_mb(50_000), speed.beyond_the_answer_mb(400_000)
    assert large < small + 1.0 < 12.0
