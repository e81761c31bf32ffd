"""Collecting the compiler's errors and notes, each with its place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from rigbook.documents.schema.base import Placed, Where
from rigbook.switching.language import LanguageError, place_of
from rigbook.switching.program import CompileProblem, ProgramNote

T = TypeVar("T")


@dataclass
class Trouble:
    """What one run of the compiler found wrong (`problems`) or worth saying (`notes`)."""

    problems: list[CompileProblem] = field(default_factory=list)
    notes: list[ProgramNote] = field(default_factory=list)

    def at(self, where: Where, says: str, *, found: str = "", expected: str = "", nearest: str = "") -> None:
        """An error at a place; a nearest name is added to the sentence by whoever prints it."""
        problem = CompileProblem(where.file, where.line, where.column, says, found, expected, nearest)
        if problem not in self.problems:
            self.problems.append(problem)

    def note(self, where: Where, says: str, subject: str = "") -> None:
        """A remark that is no error."""
        self.notes.append(ProgramNote(says, where.file, where.line, subject))

    def guarded(self, placed: Placed, work: Callable[[], T]) -> T | None:
        """What `work` gives, or None with its LanguageError entered at its place in `placed`."""
        try:
            return work()
        except LanguageError as error:
            where = error.where or place_of(placed, error.position)
            self.at(where, error.says, found=error.found, expected=error.expected, nearest=error.nearest)
            return None
