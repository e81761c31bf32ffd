"""The example builds, assessed once a session."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from rigbook.assess.assessment import Assessment, assess
from rigbook.documents.loader import load_build

SHOP = Path(__file__).parents[2] / "src" / "rigbook" / "data" / "example_shop"
BUILDS = tuple(sorted(p.name for p in (SHOP / "builds").glob("*.yaml")))
SMALL = "duty-officer-utility.yaml"


@cache
def _assessed(name: str) -> Assessment:
    return assess(load_build(SHOP, Path("builds") / name))


@pytest.fixture(scope="session")
def assessed() -> Callable[[str], Assessment]:
    return _assessed
