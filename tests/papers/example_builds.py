"""Assessed example builds, each worked out once a run, and their desks."""

from __future__ import annotations

import shutil
import tempfile
from functools import cache
from importlib import resources
from pathlib import Path

from rigbook.assess.assessment import Assessment, assess
from rigbook.assess.results_json import to_json
from rigbook.documents.loader import load_build
from rigbook.papers.chapter import Desk

BUILDS = ("duty-officer-utility", "boat-crew-pickup", "flood-support-van", "planted-faults")


@cache
def shop_folder() -> Path:
    folder = Path(tempfile.mkdtemp(prefix="papers-")) / "shop"
    with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as source:
        shutil.copytree(source, folder)
    return folder


@cache
def assessed(build: str) -> Assessment:
    found = assess(load_build(shop_folder(), Path(f"builds/{build}.yaml")))
    assert found.errors == ()
    return found


@cache
def desk(build: str) -> Desk:
    return Desk(assessed(build), to_json(assessed(build)))
