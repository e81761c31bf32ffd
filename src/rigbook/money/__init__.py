"""The engine of prices (first figures); see `work_out` and `explain`."""

from rigbook.money.explain import explain
from rigbook.money.figures import work_out
from rigbook.money.result import MoneyResult

__all__ = ["MoneyResult", "explain", "work_out"]
