"""Findings: ids, verdicts, order."""

from __future__ import annotations

import pytest

from rigbook.rules.findings import Finding, at_or_above, in_order, verdict_of


def finding(severity: str, subject: str = "a", rule: str = "r") -> Finding:
    return Finding(rule=rule, subject=subject, severity=severity, says="x")  # type: ignore[arg-type]


def test_id_is_rule_at_subject() -> None:
    assert finding("note", "control.3", "ampacity").id == "ampacity@control.3"


@pytest.mark.parametrize(
    ("severities", "verdict"),
    [([], "pass"), (["note"], "pass"), (["note", "caution"], "caution"), (["caution", "fail", "note"], "fail")],
)
def test_verdict_is_the_worst(severities: list[str], verdict: str) -> None:
    assert verdict_of(finding(s) for s in severities) == verdict


@pytest.mark.parametrize(
    ("severity", "threshold", "expected"),
    [("note", "note", True), ("note", "caution", False), ("caution", "caution", True), ("caution", "fail", False),
     ("fail", "note", True)],
)  # fmt: skip
def test_at_or_above(severity: str, threshold: str, expected: bool) -> None:
    assert at_or_above([finding(severity)], threshold) is expected  # type: ignore[arg-type]


def test_order_is_worst_first_and_stable_and_ids_stand_once() -> None:
    found = [finding("note", "1"), finding("fail", "2"), finding("note", "3"), finding("fail", "4"),
             finding("fail", "1")]  # fmt: skip
    assert [(f.severity, f.subject) for f in in_order(found)] == [
        ("fail", "2"), ("fail", "4"), ("fail", "1"), ("note", "3"),
    ]  # fmt: skip
