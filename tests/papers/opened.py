"""Example builds opened once for several test files."""

from __future__ import annotations

from functools import cache
from importlib import resources
from pathlib import Path

from rigbook.assess.assessment import Assessment, assess_rig_alone
from rigbook.documents.loader import load_build


@cache
def example(build: str) -> Assessment:
    with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as shop:
        assessment = assess_rig_alone(load_build(shop, Path(f"builds/{build}.yaml")))
    assert assessment.rig is not None, assessment.errors
    return assessment
