"""The engine of masses, balance and stability (first figures); see `work_out` and `explain`."""

from rigbook.body.explain import explain
from rigbook.body.figures import work_out
from rigbook.body.result import BodyResult

__all__ = ["BodyResult", "explain", "work_out"]
