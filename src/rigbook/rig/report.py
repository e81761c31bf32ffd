"""Collecting what is wrong with a document, and what is worth telling, while a vehicle is worked out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from rigbook.documents.errors import DocumentError
from rigbook.documents.schema.base import Where
from rigbook.documents.validate import nearest
from rigbook.rig.model import RigNote


@dataclass(frozen=True, slots=True)
class Problems:
    """Errors of the documents: nothing can be worked out."""

    errors: tuple[DocumentError, ...]


@dataclass(slots=True)
class Report:
    """Grows while one vehicle is worked out, and is thrown away after."""

    errors: list[DocumentError] = field(default_factory=list)
    notes: list[RigNote] = field(default_factory=list)

    def error(self, where: Where, says: str, *, found: str = "", expected: str = "", near: str = "") -> None:
        """Add an error at its place."""
        self.errors.append(DocumentError.at(where, says, found, expected, near))

    def unknown(self, where: Where, kind: str, name: str, among: Iterable[str]) -> None:
        """Add the error of a name that points nowhere."""
        near = nearest(name, sorted(set(among)))
        says = f"there is no {kind} {name}" + (f"; the nearest is {near}" if near else "")
        self.error(where, says, found=name, expected=f"the id of a {kind}", near=near)

    def note(
        self, rule: str, subject: str, says: str, where: Where, severity: Literal["fail", "caution", "note"] = "note"
    ) -> None:
        """Add something to tell; it becomes a finding."""
        self.notes.append(RigNote(rule, subject, severity, says, where.file, where.line))
