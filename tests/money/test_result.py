from __future__ import annotations

from dataclasses import fields

from rigbook.money.result import MoneyResult


def test_every_promised_key_stands() -> None:
    assert {"parts", "labour_h", "labour", "total", "currency"} <= {f.name for f in fields(MoneyResult)}
