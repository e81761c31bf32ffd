"""Rows of the day, the shore and the virtual tests, each broken on an example build and kept by it as it stands."""

from __future__ import annotations

from functools import cache

import pytest

from rigbook.assess.assessment import Assessment
from tests.scenario.shop import COMPLETE, SMALL, changed_once, judge, text

OF_DAY = (
    "no-start-after-day", "low-voltage-in-day", "isolator-hunts", "charger-small", "inlet-overloaded",
    "low-voltage-reserve", "low-voltage-alternator", "low-voltage-full-load", "low-voltage-alarm",
)  # fmt: skip
POWER, CAR, VAN = "parts/power.yaml", "vehicles/compact-utility.yaml", "vehicles/high-roof-van.yaml"
HOT = "hot: [[1800, 48 A], [3000, 92 A], [6000, 125 A]]"
PACK = (SMALL, "rules: [wiring, ", "rules: [low-voltage, wiring, ")
Change = tuple[str, str, str]
BREAKS: dict[str, tuple[str, list[Change]]] = {
    "no-start-after-day": (SMALL, [(CAR, "key_off: 20 mA", "key_off: 3.3 A")]),
    "low-voltage-in-day": (SMALL, [(CAR, "key_off: 20 mA", "key_off: 3.3 A")]),
    "isolator-hunts": (COMPLETE, [(VAN, "hot: [[1800, 92 A]", "hot: [[1800, 50 A]")]),
    "charger-small": (COMPLETE, [(POWER, "    output: 40 A\n", "    output: 20 A\n")]),
    "inlet-overloaded": (COMPLETE, [(POWER, "    input: 6.0 A\n", "    input: 18 A\n")]),
    "low-voltage-reserve": (SMALL, [PACK, (POWER, "reserve: 120 min", "reserve: 5 min")]),
    "low-voltage-alternator": (SMALL, [PACK, (CAR, HOT, HOT.replace("48 A", "20 A"))]),
    "low-voltage-full-load": (SMALL, [PACK, (CAR, HOT, "hot: [[1800, 4 A], [3000, 5 A], [6000, 6 A]]")]),
    "low-voltage-alarm": (SMALL, [PACK]),
}


@cache
def judged(build: str, changes: tuple[Change, ...]) -> Assessment:
    changed: dict[str, str] = {}
    for file, old, new in changes:
        changed[file] = changed_once(changed.get(file, text(file)), old, new)
    assessment = judge(build, changed)
    assert not assessment.errors, assessment.errors
    return assessment


@pytest.mark.parametrize("rule", OF_DAY)
def test_each_row_is_broken_and_says_what_to_do(rule: str) -> None:
    build, changes = BREAKS[rule]
    found = [f for f in judged(build, tuple(changes)).findings if f.rule == rule]
    assert found, rule
    for finding in found:
        assert finding.says.endswith(".") and "{" not in finding.says
        assert finding.file and finding.line and finding.source


@pytest.mark.parametrize("build", [SMALL, COMPLETE])
def test_the_examples_keep_them(build: str) -> None:
    assert not [f.id for f in judged(build, ()).findings if f.rule in OF_DAY]
