"""The records: shortcuts agree with what they stand for, and nothing can be changed."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, fields, is_dataclass

import pytest

from rigbook.rig import choices, model, open_model, placement, plan
from tests.rig.small import build_text, worked


def test_the_program_is_the_compiled_one() -> None:
    rig = worked(build_text())
    assert rig.program is rig.compiled.program and rig.program.devices


def test_every_record_is_frozen() -> None:
    records = [
        record
        for module in (model, open_model, choices, placement, plan)
        for record in vars(module).values()
        if isinstance(record, type) and is_dataclass(record) and record.__module__ == module.__name__
    ]
    assert len(records) > 25
    assert all(record.__dataclass_params__.frozen for record in records)  # type: ignore[attr-defined]
    with pytest.raises(FrozenInstanceError):
        model.Point(0, 0, 0).x_m = 1  # type: ignore[misc]


def test_numbers_carry_their_unit_in_the_name() -> None:
    unitless = {"line", "column", "index", "port", "count", "bundle_count", "governs_count", "outputs", "inputs", "input",
                "block_position", "sheds", "glass_share", "inrush_times", "rpm",
                "channels", "modules", "modules_at_least", "modules_fitted", "spared", "gap_fraction"}  # fmt: skip
    units = ("_m", "_a", "_v", "_c", "_deg", "_kg", "_s", "_w", "_ohm", "_ohm_per_m", "watts")
    seen = 0
    rooms = (model.__name__, choices.__name__, placement.__name__)
    for record in {**vars(choices), **vars(placement), **vars(model)}.values():
        if not (isinstance(record, type) and is_dataclass(record) and record.__module__ in rooms):
            continue
        for each in fields(record):
            if str(each.type).split(" ")[0] in ("float", "int"):
                seen += 1
                assert each.name in unitless or each.name.endswith(units), f"{record.__name__}.{each.name}"
    assert seen > 40
