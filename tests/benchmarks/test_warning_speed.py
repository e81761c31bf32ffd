"""The warning grid is many times faster than the plain loop of the same run, and gives the same."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from rigbook.light.outline import outline_of

ROOT = Path(__file__).parents[2]
BUILD = ROOT / "src/rigbook/data/example_shop/builds/duty-officer-utility.yaml"


@pytest.fixture(scope="module")
def speed() -> ModuleType:
    spec = importlib.util.spec_from_file_location("warning_speed", ROOT / "benchmarks" / "warning_speed.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["warning_speed"] = module  # records look their module up
    spec.loader.exec_module(module)
    return module


def test_the_same_and_faster(speed: ModuleType) -> None:
    found, light = speed.measure(BUILD)
    mode = light.modes[0]
    assert found.lamps == len(light.sources) > 5 and found.joints == len(mode.found)
    plain = np.array(speed.plain_grid(light.sources, outline_of(mode.behaviours.rig.vehicle)))
    assert light.seen.candela == pytest.approx(plain, rel=1e-9, abs=1e-9)
    for joint, sums in enumerate(speed.quick_sums(mode)):
        assert sums == pytest.approx(speed.plain_sums(mode, joint), rel=1e-9)
    assert found.plain_grid_s > 20 * found.grid_s
    assert found.plain_joint_s > 2 * found.joint_s
