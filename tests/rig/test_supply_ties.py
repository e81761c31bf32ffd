"""Faults planted in the supply of the example builds: each is told, as an error at its place or as a finding."""

from __future__ import annotations

import pytest

from rigbook.assess.assessment import begin
from tests.scenario.shop import COMPLETE, MIDDLE, PLANTED, SMALL, SOUND, changed_once, load, text

POWER = "parts/power.yaml"
VAN = "vehicles/high-roof-van.yaml"

ERRORS = [
    ("a bank of no battery", COMPLETE, COMPLETE, "part: agm-group-31", "part: isolator-200", "battery is needed here"),
    ("a bank without battery", COMPLETE, VAN, "part: agm-h8, ", "", "part"),
    ("no bank at all", COMPLETE, VAN,
     "    - {id: starter, part: agm-h8, at: [1.05 m, -0.50 m, 0.55 m], node: battery, negative_sensor: yes}", "    []",
     "a vehicle has at least one battery"),
    ("a feed that feeds itself", COMPLETE, COMPLETE, "id: main-rear, from: battery.auxiliary", "id: main-rear, from: block-rear.10",
     "supplies itself in a circle"),
    ("a link from a bank to itself", COMPLETE, COMPLETE, "    to: battery.auxiliary\n", "    to: battery.starter\n", "itself"),
    ("a wire without resistance", COMPLETE, "parts/material.yaml", "{id: wire-18, kind: wire,",
     "{id: wire-18, kind: wire, resistance_per_metre: 0 ohm,", "no wire is without resistance"),
    ("a battery without resistance", COMPLETE, POWER, "resistance: 3.5 mohm", "resistance: 0 mohm", "no battery is without"),
    ("rates that fall with time", COMPLETE, POWER, "[5 h, 90 Ah]", "[5 h, 60 Ah]", "the charge falls with the time"),
    ("an isolator upside down", COMPLETE, POWER,
     "    limit: 200 A\n    closes_at: 13.4 V\n    opens_at: 12.9 V", "    limit: 200 A\n    closes_at: 12.8 V\n    opens_at: 12.9 V",
     "closes above what it opens at"),
    ("an unknown inlet", COMPLETE, COMPLETE, "inlet: shore-inlet,", "inlet: shore-inlat,", "there is no installed shore inlet"),
    ("an inlet that is none", COMPLETE, COMPLETE, "inlet: shore-inlet,", "inlet: isolator-1,", "there is no installed shore inlet"),
    ("an inlet of a fan", COMPLETE, COMPLETE, "part: fan-cabinet,", "part: fan-cabinet, inlet: shore-inlet,", "is no charger"),
    ("an unknown charger shown", COMPLETE, COMPLETE, "shows: shore-charger", "shows: shore-charge",
     "there is no installed charger or bank"),
    ("a fan that shows charge", COMPLETE, COMPLETE, "part: fan-cabinet,", "part: fan-cabinet, shows: auxiliary,", "is no charge display"),
    ("an unknown disconnect", COMPLETE, COMPLETE, "disconnect: disconnect-1", "disconnect: winch-breaker",
     "there is no installed disconnect"),
    ("an unknown breaker", COMPLETE, COMPLETE, "breaker: winch-breaker", "breaker: isolator-1", "there is no installed breaker"),
    ("a stretch of an unknown state", COMPLETE, COMPLETE, "{name: blocking, for: 30 min, state: blocking",
     "{name: blocking, for: 30 min, state: blokking", "there is no saved state 'blokking'"),
    ("shares above all", COMPLETE, COMPLETE, "radio-ops: {transmit: 10 %, receive: 30 %}", "radio-ops: {transmit: 80 %, receive: 30 %}",
     "more than 100 %"),
    ("a stretch that takes no time", COMPLETE, COMPLETE, "{name: blocking, for: 30 min", "{name: blocking, for: 0 min", "takes some time"),
    ("a signal of an unknown bank", COMPLETE, COMPLETE, "id: auxiliary_low\n      measures: voltage.auxiliary",
     "id: auxiliary_low\n      measures: voltage.auxilliary", "there is no battery 'auxilliary'"),
    ("a curve that turns back", COMPLETE, VAN, "hot: [[1800, 92 A], [3000", "hot: [[1800, 92 A], [1500", "do not rise"),
    ("high idle below idle", COMPLETE, VAN, "high_idle_rpm: 1200", "high_idle_rpm: 600", "high idle is below idle"),
]  # fmt: skip

FINDINGS = [
    ("a charger without its inlet", COMPLETE, COMPLETE, "inlet: shore-inlet, ", "", "charger-without-inlet@shore-charger", "fail"),
    ("an inlet without its charger", COMPLETE, COMPLETE, "inlet: shore-inlet, ", "", "inlet-unused@shore-inlet", "caution"),
    ("a display without its charger", COMPLETE, COMPLETE, "shows: shore-charger, ", "", "display-without-charger@charge-display", "caution"),
    ("a disconnect that takes nothing off", COMPLETE, COMPLETE, ", disconnect: disconnect-1", "", "disconnect-unused@disconnect-1",
     "caution"),
    ("30 h in a day", SMALL, SMALL, "{name: at home, for: 21 h", "{name: at home, for: 27 h", "day-too-long@duty", "caution"),
    ("a 24 V part on 12 V", COMPLETE, "parts/body.yaml", "", "", "wrong-voltage@cabinet-fan", "fail"),
    ("a 12 V vehicle called 24 V", SMALL, "vehicles/compact-utility.yaml", "  system: 12 V", "  system: 24 V",
     "wrong-voltage@radio-duty", "fail"),
    ("two links make a loop", COMPLETE, COMPLETE, "\nfeeds:\n",
     "\n  - {id: second-link, from: battery.auxiliary, to: battery.starter, fuse: {start: 60 A, end: 60 A}, wire: 2 AWG}\n\nfeeds:\n",
     "link-loop@second-link", "fail"),
    ("a bank that nothing charges", COMPLETE, COMPLETE, "\nlinks:\n",
     "  - {id: spare, part: agm-55, place: battery-box, node: rear-left}\n\nlinks:\n", "bank-not-charged@spare", "fail"),
]  # fmt: skip


def planted(build: str, file: str, old: str, new: str) -> dict[str, str]:
    return {file: changed_once(text(file), old, new)}


@pytest.mark.parametrize(("build", "file", "old", "new", "says"), [pytest.param(*row[1:], id=row[0]) for row in ERRORS])
def test_an_error_at_its_place(build: str, file: str, old: str, new: str, says: str) -> None:
    assessment = begin(load(build, planted(build, file, old, new)))
    found = [error for error in assessment.errors if says in error.says or says == error.expected]
    assert found, [error.says for error in assessment.errors]
    assert found[0].line >= 1 and found[0].column >= 1 and found[0].file


@pytest.mark.parametrize(
    ("build", "file", "old", "new", "finding", "severity"), [pytest.param(*row[1:], id=row[0]) for row in FINDINGS]
)
def test_a_finding_with_its_severity(build: str, file: str, old: str, new: str, finding: str, severity: str) -> None:
    if not old:  # the fan of the body's parts, made for 24 V
        file = next(
            f
            for f in ("parts/radio.yaml", "parts/body.yaml", "parts/control.yaml", POWER)
            if "id: fan-cabinet" in text(f)
        )
        head, _, tail = text(file).partition("id: fan-cabinet")
        new_tail = tail.replace("    kind: fan\n", "    kind: fan\n    works: [18 V, 32 V]\n", 1)
        assert new_tail != tail
        changes = {file: head + "id: fan-cabinet" + new_tail}
    else:
        changes = planted(build, file, old, new)
    assessment = begin(load(build, changes))
    assert not assessment.errors, assessment.errors
    assert {f.id: f.severity for f in assessment.findings}.get(finding) == severity, [f.id for f in assessment.findings]


def test_there_are_enough_of_them() -> None:
    assert len(ERRORS) >= 20 and len(FINDINGS) >= 9


@pytest.mark.parametrize("build", SOUND)
def test_the_sound_builds_have_none_of_them(build: str) -> None:
    rules = {row[5].partition("@")[0] for row in FINDINGS}
    assessment = begin(load(build))
    assert not assessment.errors
    assert not {f.rule for f in assessment.findings} & rules
    assert PLANTED not in SOUND and MIDDLE in SOUND
