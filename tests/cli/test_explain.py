"""`rigbook explain`: a figure as a hand calculation."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from .runner import BUILD, rigbook


def test_explain_prints_a_hand_calculation(shop: Path) -> None:
    done = rigbook("explain", shop / BUILD, "body.axles[front].margin_kg")
    assert done.returncode == 0
    assert "margin = rating - R" in done.stdout
    data = json.loads(rigbook("explain", shop / BUILD, "body.axles[front].margin_kg", "--json").stdout)
    assert data["working"]["figure_id"] == "body.axles[front].margin_kg"
    assert data["finding"] is None
    check = json.loads(rigbook("check", shop / BUILD, "--json").stdout)
    assert data["working"]["result"] == pytest.approx(check["body"]["axles"][0]["margin_kg"], rel=1e-9)


def test_explain_names_the_nearest(shop: Path) -> None:
    done = rigbook("explain", shop / BUILD, "body.mas_kg")
    assert done.returncode == 2
    assert "body.mass_kg" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_every_error_is_json_where_json_was_asked_for(shop: Path) -> None:
    unknown = rigbook("explain", shop / BUILD, "body.mas_kg", "--json")
    assert (unknown.returncode, unknown.stderr) == (2, "")
    (error,) = json.loads(unknown.stdout)["errors"]
    assert error["found"] == "body.mas_kg" and error["nearest"] == "body.mass_kg"
    for missing in (
        rigbook("explain", shop / "gone.yaml", "x", "--json"),
        rigbook("compare", shop / BUILD, "gone.yaml", "--json"),
    ):
        assert (missing.returncode, missing.stderr) == (2, "")
        (error,) = json.loads(missing.stdout)["errors"]
        assert "is not there" in error["says"] and error["file"].endswith("gone.yaml")
