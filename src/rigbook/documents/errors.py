"""What is wrong with a document: one record for each error, never an exception for what the user wrote."""

from __future__ import annotations

from dataclasses import dataclass

from rigbook.documents.schema.base import Where


@dataclass(frozen=True, slots=True, order=True)
class DocumentError:
    """An error of a document. Lines and columns count from 1; `file` is relative to the shop folder."""

    file: str
    line: int
    column: int
    says: str
    found: str = ""
    expected: str = ""
    nearest: str = ""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}: {self.says}"

    @staticmethod
    def at(where: Where, says: str, found: str = "", expected: str = "", nearest: str = "") -> DocumentError:
        """An error at a place."""
        return DocumentError(where.file, where.line, where.column, says, found, expected, nearest)
