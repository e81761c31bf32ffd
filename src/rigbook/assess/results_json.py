"""One assessment as the stable JSON of `check --json`. A formatter: it copies and rounds, and works nothing out."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import is_dataclass
from types import MappingProxyType
from typing import Any

from rigbook.assess.assessment import Assessment
from rigbook.documents.errors import DocumentError
from rigbook.quantities.gauge import Gauge
from rigbook.rules.findings import Finding
from rigbook.switching.program import Witness

FORMAT = 1
DEPTH = 3
"""Collections deeper than this stand on one line."""
DIGITS = 12
"""Significant digits kept: more than anybody needs, and few enough to hide the last bits of two ways to add."""


def number(value: float | int | None) -> float | int | None:
    """A number as printed. None for None.

    Raises:
        ValueError: it is not finite: nothing that is not a number may leave.
    """
    if value is None or isinstance(value, int):
        return value
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a number that can be printed")
    return float(f"{value:.{DIGITS}g}") + 0.0


def witness_json(witness: Witness | None) -> dict[str, Any] | None:
    """A witness as plain data."""
    if witness is None:
        return None
    return {
        "set": dict(witness.set),
        "lost": list(witness.lost),
        "steps": None if witness.steps is None else list(witness.steps),
        "assumed": list(witness.assumed),
        "bound": witness.bound,
    }


def finding_json(finding: Finding) -> dict[str, Any]:
    """A finding as plain data."""
    return {
        "id": finding.id,
        "severity": finding.severity,
        "rule": finding.rule,
        "subject": finding.subject,
        "says": finding.says,
        "value": number(finding.value),
        "limit": number(finding.limit),
        "unit": finding.unit,
        "source": finding.source,
        "sourced": finding.sourced,
        "file": finding.file,
        "line": finding.line,
        "witness": witness_json(finding.witness),
    }


def errors_json(errors: Iterable[DocumentError]) -> dict[str, Any]:
    """The object that stands where a build could not be worked out."""
    return {
        "rigbook": FORMAT,
        "errors": [
            {
                "file": e.file,
                "line": e.line,
                "column": e.column,
                "says": e.says,
                "found": e.found or None,
                "expected": e.expected or None,
                "nearest": e.nearest or None,
            }
            for e in errors
        ],
    }


def to_json(assessment: Assessment, *, worked_in_s: float | None = None) -> dict[str, Any]:
    """The whole assessment as plain data, keys and lists in their stable order; an errors object where it failed."""
    if assessment.rig is None:
        return errors_json(assessment.errors)
    rig = assessment.rig
    return {
        "rigbook": FORMAT,
        "build": {
            "id": rig.build.build.id,
            "title": rig.build.build.title,
            "vehicle": rig.build.build.vehicle,
            "digest": rig.digest,
        },
        "verdict": assessment.verdict,
        "findings": [finding_json(f) for f in assessment.findings],
        "switching": _switching(assessment),
        "power": _room(assessment.power, POWER),
        "light": _room(None if assessment.light is None else assessment.light.result, LIGHT),
        "body": _room(assessment.body, BODY),
        "radio": {"pairs": None, "exposure": None, "intermodulation": None},
        "sound": {"siren": None, "cab_db": None},
        "money": _room(assessment.money, MONEY),
        "worked_in_s": number(worked_in_s),
    }


def dumps(data: Mapping[str, Any] | list[Any]) -> str:
    """JSON text with a newline at its end: a line for each key of the rooms and each row of a list, so that two results
    can be compared line by line. Equal data gives equal bytes; NaN is refused."""
    builds = isinstance(data, list)
    return "".join(_text(data, 0, DEPTH + 1 if builds else DEPTH)) + "\n"


def _text(node: Any, depth: int, deepest: int) -> Iterator[str]:
    """A node over several lines where it is a filled collection less deep than `deepest`, else on one line."""
    if depth >= deepest or not node or not isinstance(node, Mapping | list):
        yield json.dumps(node, ensure_ascii=False, allow_nan=False)
        return
    opening, closing = "{}" if isinstance(node, Mapping) else "[]"
    before = f"\n{' ' * (depth + 1)}"
    yield opening
    for number, item in enumerate(node):
        yield f",{before}" if number else before
        if isinstance(node, Mapping):
            yield f"{json.dumps(item, ensure_ascii=False)}: "
            yield from _text(node[item], depth + 1, deepest)
        else:
            yield from _text(item, depth + 1, deepest if depth == 0 else depth + 1)
    yield f"\n{' ' * depth}{closing}"


def _switching(assessment: Assessment) -> dict[str, Any]:
    verdicts, program = assessment.verdicts, assessment.worked.program
    switches = [v.name for v in program.variables if v.kind == "switch"]
    if verdicts is None:
        return {"switches": switches, "functions": None, "reachable_states": None, "requirements": None, "alike": None}
    states = verdicts.reachable_states
    return {
        "switches": switches,
        "functions": None
        if verdicts.functions is None
        else [
            {"name": f.name, "line": f.line, "reachable": f.reachable, "effective": f.effective}
            for f in verdicts.functions
        ],
        "reachable_states": None if states is None else str(states),
        "requirements": None
        if verdicts.requirements is None
        else [{"name": r.name, "holds": r.holds, "witness": witness_json(r.witness)} for r in verdicts.requirements],
        "alike": plain(assessment.alike),
    }


def plain(value: Any) -> Any:
    """A result record as plain data: fields in their order, numbers rounded, witnesses and sizes as printed."""
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, str):
        return str(value)
    if isinstance(value, int | float):
        return number(value)
    if isinstance(value, Witness):
        return witness_json(value)
    if isinstance(value, Gauge):
        return str(value)
    if is_dataclass(value) and not isinstance(value, type):
        own = type(value).__annotations__  # what a record shares with others comes behind what is its own
        names = sorted(value.__dataclass_fields__, key=lambda name: name not in own)
        return {name: plain(getattr(value, name)) for name in names if name != "notes"}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, frozenset):
        return [plain(item) for item in sorted(value)]
    if isinstance(value, Iterable):
        return [plain(item) for item in value]
    raise TypeError(f"a result holds a {type(value).__name__}, which has no place in JSON")


def _room(result: Any, promised: Mapping[str, Any]) -> dict[str, Any]:
    """A room of the JSON: what the engine gave, over the promised keys, which are null where it gave nothing."""
    return {**promised, **({} if result is None else plain(result))}


POWER = MappingProxyType(
    {
        **dict.fromkeys(("whole", "circuits", "feeds", "modules", "supply", "duty")),
        "endurance": {"engine_off_h": None, "key_off_days": None, "recharge_h": None},
    }
)
LIGHT = MappingProxyType(dict.fromkeys(("warning", "around", "scene")))
BODY = MappingProxyType(
    dict.fromkeys(("axles", "mass_kg", "payload_remaining_kg", "left_share", "cg", "stability_factor"))
)
MONEY = MappingProxyType(dict.fromkeys(("parts", "labour_h", "labour", "total", "currency")))
