"""What every record of a document shares: frozen, closed, and knowing its place in the text.

The node walk (`documents.text`) hands pydantic a tree of dict, list and `Scalar`; each mapping
carries its own marks under the key `MARKS`, so a record can say where it and each of its keys stand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, PlainSerializer, PlainValidator

MARKS = "\x00marks"


@dataclass(frozen=True, slots=True)
class Where:
    """A place in a file. Lines and columns count from 1; file is relative to the shop folder."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


NOWHERE = Where("", 0, 0)


class Scalar(str):
    """A YAML scalar as written, with its place and whether it was quoted."""

    where: Where
    quoted: bool
    __slots__ = ("where", "quoted")

    @staticmethod
    def of(text: str, where: Where = NOWHERE, quoted: bool = False) -> Scalar:
        made = Scalar(text)
        made.where = where
        made.quoted = quoted
        return made


@dataclass(frozen=True, slots=True)
class Marks:
    """Where a mapping starts, and where each of its keys and values stands."""

    start: Where = NOWHERE
    keys: Mapping[str, Where] = field(default_factory=dict)
    values: Mapping[str, Where] = field(default_factory=dict)


class Record(BaseModel):
    """Base of every record: strict, closed, frozen."""

    model_config = ConfigDict(
        strict=True, extra="forbid", frozen=True, use_attribute_docstrings=True, populate_by_name=True
    )

    marks_: Annotated[Marks, PlainValidator(lambda v: v if isinstance(v, Marks) else Marks())] = Field(
        default_factory=Marks, alias=MARKS, exclude=True, repr=False
    )

    @property
    def where(self) -> Where:
        """Where the record starts."""
        return self.marks_.start

    def where_of(self, key: str) -> Where:
        """Where the value of a key stands, or the record where the key is absent."""
        return self.marks_.values.get(key, self.marks_.start)


@dataclass(frozen=True, slots=True)
class Placed:
    """A text that knows where it stands: expressions, selectors, references."""

    text: str
    where: Where = NOWHERE
    quoted: bool = False

    def __str__(self) -> str:
        return self.text


def _placed(value: Any) -> Placed:
    if isinstance(value, Placed):
        return value
    if isinstance(value, Scalar):
        return Placed(str(value), value.where, value.quoted)
    if isinstance(value, str):
        return Placed(value)
    raise ValueError("a text is needed here")


PlacedText = Annotated[Placed, PlainValidator(_placed), PlainSerializer(lambda p: p.text, return_type=str)]
