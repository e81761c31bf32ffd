"""What every record of a document shares: frozen, closed, and knowing its place in the text.

The node walk (`documents.text`) hands pydantic a tree of `Mapping_`, list and `Scalar`; each mapping carries its own
marks, which its record takes under the key `MARKS`, so a record can say where it and each of its keys stand.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Any, NamedTuple, Self

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    PlainSerializer,
    PlainValidator,
    ValidationError,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import InitErrorDetails, PydanticCustomError

MARKS = "\x00marks"
SPELLINGS = {"color": "colour", "colors": "colours", "tires": "tyres", "one_color_at_a_time": "one_colour_at_a_time"}
"""Second spellings that a document may use, and the one the schemas use."""


class Where(NamedTuple):
    """A place in a file. Lines and columns count from 1; file is relative to the shop folder."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


NOWHERE = Where("", 0, 0)


class Scalar(str):
    """A YAML scalar as written, with its place, whether it was quoted, and what a # directly behind it cut off."""

    where: Where
    quoted: bool
    cut: str
    __slots__ = ("cut", "quoted", "where")

    @staticmethod
    def of(text: str, where: Where = NOWHERE, quoted: bool = False, cut: str = "") -> Scalar:
        """Make a scalar with its place."""
        made = Scalar(text)
        made.where = where
        made.quoted = quoted
        made.cut = cut
        return made


@dataclass(frozen=True, slots=True)
class Marks:
    """Where a mapping starts, and where each of its keys and values stands."""

    start: Where = NOWHERE
    keys: Mapping[str, Where] = field(default_factory=dict)
    values: Mapping[str, Where] = field(default_factory=dict)


class Mapping_(dict[str, Any]):
    """A YAML mapping as read, with its marks."""

    __slots__ = ("marks",)
    marks: Marks

    @staticmethod
    def of(entries: Mapping[str, Any], marks: Marks) -> Mapping_:
        """Make a mapping with its marks."""
        made = Mapping_(entries)
        made.marks = marks
        return made


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong between the values of one record.

    `key` is where it stands: a key, a path of keys and numbers (`runs/2/length`), or empty for the record itself.
    """

    key: str
    says: str
    found: str = ""
    expected: str = ""
    nearest: str = ""


def trouble(says: str, *, found: str = "", expected: str = "", nearest: str = "") -> PydanticCustomError:
    """An error of the document, carried through pydantic with what was found and expected."""
    context = {"says": says, "found": found, "expected": expected, "nearest": nearest}
    return PydanticCustomError("document", "{says}", context)


def _steps(key: str) -> tuple[str | int, ...]:
    return tuple(int(step) if step.isdecimal() else step for step in key.split("/")) if key else ()


def twice(key: str, records: Sequence[Any]) -> Iterator[Problem]:
    """Ids that stand twice in one list."""
    first: dict[str, Any] = {}
    for index, record in enumerate(records):
        if record.id in first:
            says = f"the id {record.id!r} stands twice; first in line {first[record.id].where_of('id').line}"
            yield Problem(f"{key}/{index}/id", says, record.id, "each id once")
        else:
            first[record.id] = record


def above_zero(record: Any, *keys: str) -> Iterator[Problem]:
    """Values that must be above zero."""
    for key in keys:
        if getattr(record, key) <= 0:
            yield Problem(key, f"{key} is not above zero", "0", "a value above zero")


class Record(BaseModel):
    """Base of every record: closed and frozen. Strictness of values lies in the scalar types, which read text alone."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    marks_: Annotated[Marks, PlainValidator(lambda v: v if isinstance(v, Marks) else Marks())] = Field(
        default_factory=Marks, alias="\x00marks", exclude=True, repr=False
    )

    @model_validator(mode="before")
    @classmethod
    def _take_marks(cls, data: Any) -> Any:
        if not isinstance(data, Mapping_):
            return data
        if SPELLINGS.keys().isdisjoint(data):
            taken: dict[str, Any] = {**data, MARKS: data.marks}
            return taken
        named = {_spelled(cls, key): key for key in data}
        marks = data.marks
        taken = {name: data[key] for name, key in named.items()}
        taken[MARKS] = Marks(
            marks.start,
            {name: marks.keys[key] for name, key in named.items()},
            {name: marks.values[key] for name, key in named.items()},
        )
        return taken

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values of this record. Called once all of them could be read."""
        return iter(())

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        if problems := list(self.problems_()):
            raise ValidationError.from_exception_data(
                type(self).__name__,
                [
                    InitErrorDetails(
                        type=trouble(p.says, found=p.found, expected=p.expected, nearest=p.nearest),
                        loc=_steps(p.key),
                        input=None,
                    )
                    for p in problems
                ],
            )
        return self

    @property
    def where(self) -> Where:
        """Where the record starts."""
        return self.marks_.start

    def where_of(self, key: str) -> Where:
        """Where the value of a key stands, or the record where the key is absent."""
        return self.marks_.values.get(key, self.marks_.start)


def _spelled(record: type[BaseModel], key: str) -> str:
    other = SPELLINGS.get(key)
    return other if other is not None and other in record.model_fields and key not in record.model_fields else key


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
        if value.cut:
            raise ValueError(f"a # began a comment after {str(value)!r}; put the text in quotes")
        if not value.strip():
            raise ValueError("no value is given; an expression, a name or a selector is needed here")
        return Placed(str(value), value.where, value.quoted)
    if isinstance(value, str):
        return Placed(value)
    raise ValueError("a text is needed here")


PlacedText = Annotated[
    Placed,
    PlainValidator(_placed),
    PlainSerializer(lambda p: p.text, return_type=str),
    WithJsonSchema({"type": ["string", "number", "boolean"]}),
]
