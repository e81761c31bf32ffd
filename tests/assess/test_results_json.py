"""The contract of `check --json`: keys, types, order, no NaN, equal bytes."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from rigbook.assess.assessment import Assessment
from rigbook.assess.results_json import dumps, errors_json, number, plain, to_json, witness_json
from rigbook.documents.errors import DocumentError
from rigbook.switching.program import Witness

from .conftest import BUILDS, SHOP, SMALL

Assess = Callable[[str], Assessment]
N = (int, float, type(None))
S = (str, type(None))
ROOMS = [
    "rigbook", "build", "verdict", "findings", "switching", "power", "light", "body", "radio", "sound", "money",
    "worked_in_s",
]  # fmt: skip
SHAPE: dict[str, Any] = {
    "build": {"id": str, "title": str, "vehicle": str, "digest": str},
    "verdict": str,
    "findings": [
        {"id": str, "severity": str, "rule": str, "subject": str, "says": str, "value": N, "limit": N, "unit": S,
         "source": S, "sourced": S, "file": S, "line": (int, type(None)), "witness": (dict, type(None))}
    ],
    "switching": {
        "switches": list,
        "functions": [{"name": str, "line": int, "reachable": bool, "effective": bool}],
        "reachable_states": S,
        "requirements": [{"name": str, "holds": bool, "witness": (dict, type(None))}],
    },
    "power": {
        "whole": {"nameplate_a": N, "worst_average_a": N, "worst_peak_a": N, "witness": (dict, type(None))},
        "circuits": [
            {"id": str, "feed": S,
             "devices": [{"id": str, "colour": S, "length_m": N, "drop_v": N, "device_v": N}],
             "conductor": S, "fuse_a": N, "worst_average_a": N, "worst_rms_a": N, "worst_peak_a": N, "ampacity_a": N,
             "drop_v": N, "drop_fraction": N, "witness": (dict, type(None))}
        ],
        "feeds": [
            {"id": str, "conductor": S, "fuse_a": N, "worst_rms_a": N, "worst_peak_a": N, "ampacity_a": N, "drop_v": N}
        ],
        "modules": [{"id": str, "outputs_used": int, "outputs": int, "worst_average_a": N, "limit_a": N}],
        "supply": {"idle_output_a": N, "states": [{"id": str, "average_a": N, "margin_a": N}]},
        "duty": (list, type(None)),
        "endurance": {"engine_off_h": N, "key_off_days": N, "recharge_h": N},
    },
    "light": {
        "warning": [
            {"mode": str, "zone": str, "level": str, "cd_s_per_min": N, "flashes_per_min": N, "colours": list,
             "required": N, "witness": dict}
        ],
        "around": {"azimuth_deg": list, "cd_s_per_min": dict},
    },
    "body": {
        "axles": [{"id": str, "load_kg": N, "rating_kg": N, "margin_kg": N}],
        "mass_kg": N, "payload_remaining_kg": N, "left_share": N, "cg": {"x_m": N, "y_m": N, "z_m": N},
        "stability_factor": N, "mounts": list, "lids": list, "panels": list, "heat": list,
    },
    "radio": {"pairs": type(None), "exposure": type(None), "intermodulation": type(None)},
    "sound": {"siren": type(None), "cab_db": type(None)},
    "money": {"parts": N, "labour_h": N, "labour": N, "total": N, "currency": str},
}  # fmt: skip


def misfits(data: Any, shape: Any, path: str = "") -> Iterator[str]:
    if isinstance(shape, dict):
        if not isinstance(data, dict):
            yield f"{path} is a {type(data).__name__}"
            return
        for key, inner in shape.items():
            if key not in data:
                yield f"{path}.{key} is missing"
            else:
                yield from misfits(data[key], inner, f"{path}.{key}")
    elif isinstance(shape, list):
        if not isinstance(data, list):
            yield f"{path} is a {type(data).__name__}"
            return
        for index, item in enumerate(data):
            yield from misfits(item, shape[0], f"{path}[{index}]")
    elif not isinstance(data, shape) or (isinstance(data, bool) and shape in (int, N)):
        yield f"{path} is {data!r}"


def numbers(data: Any) -> Iterator[float]:
    if isinstance(data, dict):
        for value in data.values():
            yield from numbers(value)
    elif isinstance(data, list):
        for value in data:
            yield from numbers(value)
    elif isinstance(data, int | float) and not isinstance(data, bool):
        yield float(data)


@pytest.mark.parametrize("name", BUILDS)
def test_keys_and_types_of_the_contract(assessed: Assess, name: str) -> None:
    data = json.loads(dumps(to_json(assessed(name))))
    assert list(data) == ROOMS
    assert data["rigbook"] == 1
    assert list(misfits(data, SHAPE)) == []
    assert data["verdict"] in ("pass", "caution", "fail")
    assert data["worked_in_s"] is None
    assert len(data["build"]["digest"]) == 64
    assert data["switching"]["reachable_states"].isdecimal()
    assert len(data["power"]["circuits"]) > 5, "the guard must have looked at something"


def test_the_guard_sees_a_missing_key_and_a_wrong_type(assessed: Assess) -> None:
    data = to_json(assessed(SMALL))
    del data["body"]["mass_kg"]
    data["power"]["circuits"][0]["drop_v"] = "much"
    assert list(misfits(data, SHAPE)) == [".power.circuits[0].drop_v is 'much'", ".body.mass_kg is missing"]


@pytest.mark.parametrize("name", BUILDS)
def test_every_number_is_finite(assessed: Assess, name: str) -> None:
    found = list(numbers(to_json(assessed(name))))
    assert len(found) > 200
    assert all(math.isfinite(n) for n in found)


def test_what_is_null_is_told_in_a_note(assessed: Assess) -> None:
    notes = {f.subject for f in assessed(SMALL).findings if f.rule == "not-worked-out"}
    assert {"radio", "sound"} <= notes


@pytest.mark.parametrize("name", BUILDS)
def test_equal_input_gives_equal_bytes(assessed: Assess, name: str) -> None:
    from pathlib import Path

    from rigbook.assess.assessment import assess
    from rigbook.documents.loader import load_build

    again = assess(load_build(SHOP, Path("builds") / name))
    assert dumps(to_json(again)) == dumps(to_json(assessed(name)))


@pytest.mark.parametrize("name", BUILDS)
def test_lists_are_in_the_build_files_order(assessed: Assess, name: str) -> None:
    assessment = assessed(name)
    data, rig = to_json(assessment), assessment.worked
    assert [f["id"] for f in data["power"]["feeds"]] == [f.id for f in rig.build.feeds]
    assert [f["name"] for f in data["switching"]["functions"]] == [f.name for f in rig.build.switching.functions]
    assert [r["name"] for r in data["switching"]["requirements"]] == [r.name for r in rig.build.switching.require]
    assert [s["id"] for s in data["power"]["supply"]["states"]] == [s.id for s in rig.build.states]
    assert [c["id"] for c in data["power"]["circuits"]] == list(rig.circuits)


def test_findings_are_worst_first_with_ids_that_stand_once(assessed: Assess) -> None:
    looked = 0
    for name in BUILDS:
        findings = to_json(assessed(name))["findings"]
        weights = [{"fail": 0, "caution": 1, "note": 2}[f["severity"]] for f in findings]
        assert weights == sorted(weights)
        ids = [f["id"] for f in findings]
        assert len(ids) == len(set(ids))
        assert all(f["id"] == f"{f['rule']}@{f['subject']}" for f in findings)
        looked += len(ids)
    assert looked > 20


def test_errors_have_their_seven_keys() -> None:
    data = errors_json([DocumentError("builds/x.yaml", 3, 5, "wrong", found="a", nearest="b")])
    assert data == {
        "rigbook": 1,
        "errors": [
            {"file": "builds/x.yaml", "line": 3, "column": 5, "says": "wrong", "found": "a", "expected": None,
             "nearest": "b"}
        ],
    }  # fmt: skip


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_may_not_leave(value: float) -> None:
    with pytest.raises(ValueError, match="not a number"):
        number(value)


def test_numbers_keep_six_digits_and_more_and_no_negative_zero() -> None:
    assert number(1.23456789012345) == 1.23456789012
    assert math.copysign(1.0, number(-0.0) or 0.0) == 1.0
    assert number(None) is None
    assert str(number(-0.0)) == "0.0", "equal numbers print alike"


def test_witnesses_and_unknown_things() -> None:
    assert witness_json(Witness((("gear", "park"),), ("brake",), None, ("x",), True)) == {
        "set": {"gear": "park"}, "lost": ["brake"], "steps": None, "assumed": ["x"], "bound": True,
    }  # fmt: skip
    with pytest.raises(TypeError, match="no place in JSON"):
        plain(object())


def test_text_has_a_line_for_each_row_and_reads_back(assessed: Assess) -> None:
    data = to_json(assessed(SMALL))
    text = dumps(data)
    assert json.loads(text) == data
    assert list(json.loads(text)) == list(data)
    rows = [f"  {json.dumps(row, ensure_ascii=False)}" for row in data["findings"]]
    assert len(rows) > 2 and set(rows) <= {line.removesuffix(",") for line in text.splitlines()}
    both = dumps([data, errors_json(())])
    assert json.loads(both) == [data, {"rigbook": 1, "errors": []}]
    assert sum(line.startswith('   {"id": ') for line in both.splitlines()) >= len(rows)
    with pytest.raises(ValueError, match="not JSON compliant"):
        dumps({"a": [{"b": float("nan")}]})
