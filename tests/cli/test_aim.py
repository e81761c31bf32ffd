"""`rigbook aim`: before and after, JSON, fewest lamps, refusals."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from .runner import Done, rigbook

SHOP = Path(__file__).resolve().parents[2] / "src/rigbook/data/example_shop"
PICKUP = str(SHOP / "builds/boat-crew-pickup.yaml")


def aim(*arguments: str) -> Done:
    return rigbook("aim", PICKUP, *arguments, "--step", "15", "--turn", "30")


def test_before_and_after_with_what_is_proved() -> None:
    ran = aim("--area", "behind")
    assert ran.returncode == 0
    assert "behind: least" in ran.stdout and "as it is" in ran.stdout and "points and averages looked at" in ran.stdout
    assert "hidden from every one of these lamps" in ran.stdout  # the tail of the bed stands in the way
    found = json.loads(aim("--area", "behind", "--json").stdout)
    assert found["before"]["share"] <= found["on_grid"]["share"] <= found["refined"]["share"]
    assert found["bound"] >= found["on_grid"]["share"] - 1e-9 and found["gap"] >= 0


def test_fewest_lamps_of_a_part_in_places() -> None:
    ran = aim(
        "--area",
        "behind",
        "--part",
        "scene-flood-2600",
        "--place",
        "bumper-rear-left",
        "--place",
        "bumper-rear-right",
        "--json",
    )
    assert ran.returncode == 0
    found = json.loads(ran.stdout)
    assert 1 <= found["lamps"] <= 2 and found["after"]["share"] >= 1 - 1e-9 > found["before"]["share"]


@pytest.mark.parametrize(
    ("arguments", "says"),
    (
        (("--area", "nowhere"), "there is no area nowhere"),
        (("--lamp", "nothing"), "there is no lamp nothing"),
        (("--part", "scene-flood-2600"), "--place"),
        (("--part", "scene-flood-2600", "--place", "moon"), "no place moon"),
        (("--part", "no-part", "--place", "bumper-rear-left"), "no lamp of the catalogue"),
        (("--part", "scene-flood-2600", "--place", "hitch", "--lamp", "scene-rear"), "one of the two"),
        (("--effort", "0"), "--effort"),
    ),
)  # fmt: skip
def test_what_cannot_be_aimed_is_one_sentence_and_status_2(arguments: tuple[str, ...], says: str) -> None:
    ran = aim(*arguments)
    assert ran.returncode == 2 and says in ran.stderr and "Traceback" not in ran.stderr
