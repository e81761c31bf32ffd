from __future__ import annotations

import pytest

from rigbook.money import work_out
from tests.money.test_takeoff import priced


def test_the_total_is_parts_and_labour() -> None:
    result = work_out(priced())
    assert result.total == pytest.approx(result.parts + result.labour, abs=1e-9)
    assert result.labour == 190.0 and result.labour_h == 2.0 and result.currency == "USD"
    assert result.parts == pytest.approx(sum(line.amount for line in result.lines) + result.sundries, abs=1e-9)
    assert round(100 * result.total) == pytest.approx(100 * result.total, abs=1e-6)


def test_a_line_says_piece_or_metre() -> None:
    lines = {line.id: line for line in work_out(priced()).lines}
    assert (lines["single"].per, lines["single"].unit_price, lines["single"].amount) == ("piece", 40.0, 160.0)
    assert lines["wire-18"].per == "m" and lines["wire-18"].unit_price == 0.40


def test_what_has_no_price_or_time_is_told() -> None:
    notes = {note.subject: note.says for note in work_out(priced()).notes}
    assert "a price or a time" in notes["bar"]
    assert "single" not in notes and "wire-18" not in notes
