"""What is said of a vehicle: one record, whatever shows it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from rigbook.switching.program import Witness

Severity = Literal["fail", "caution", "note"]
Sourced = Literal["published", "common practice", "memory"]
Verdict = Literal["pass", "caution", "fail"]

WEIGHT: dict[str, int] = {"note": 0, "caution": 1, "fail": 2}


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One sentence that a person in the bay can act on, with its rule, its figures and its source.

    `value` and `limit` are in `unit` (SI, as the key says), or None where the finding is not about a number.
    `sourced` is None where nothing is claimed from outside: a proof over the document's own text needs no source.
    """

    rule: str
    subject: str
    severity: Severity
    says: str
    value: float | None = None
    limit: float | None = None
    unit: str | None = None
    source: str | None = None
    sourced: Sourced | None = None
    file: str | None = None
    line: int | None = None
    witness: Witness | None = None
    own_fault: bool = False
    figure: str | None = None
    """Id of the figure of `check --json` that was judged, where there is one: its hand calculation explains the finding."""

    @property
    def id(self) -> str:
        """`rule@subject`, without running numbers."""
        return f"{self.rule}@{self.subject}"


def verdict_of(findings: Iterable[Finding]) -> Verdict:
    """The worst severity; `pass` where there are notes only, or nothing."""
    worst = max((WEIGHT[f.severity] for f in findings), default=0)
    verdicts: tuple[Verdict, ...] = ("pass", "caution", "fail")
    return verdicts[worst]


def at_or_above(findings: Iterable[Finding], severity: Severity) -> bool:
    """Whether any finding is at or above a severity."""
    return any(WEIGHT[f.severity] >= WEIGHT[severity] for f in findings)


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Worst first; equal ones as they came (pack and file order). Of equal ids only the first, worst one stays."""
    kept: dict[str, Finding] = {}
    for finding in sorted(findings, key=lambda f: -WEIGHT[f.severity]):
        kept.setdefault(finding.id, finding)
    return tuple(kept.values())
