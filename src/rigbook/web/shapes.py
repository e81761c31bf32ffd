"""Shapes of what the browser sends and gets: the OpenAPI document is made of them.

Pydantic reads the annotations as they stand, so none are postponed here.
"""

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

MOST_TEXT = 900_000
Digest = Field(pattern="^[0-9a-f]{64}$", description="SHA-256 of the saved text the person saw")
Text = Field(max_length=MOST_TEXT, description="the whole text")


class _Sent(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)


class DocumentErrorOut(BaseModel):
    """One error of a document, at its place."""

    file: str
    line: int
    column: int
    says: str
    found: str | None
    expected: str | None
    nearest: str | None


class PresentText(BaseModel):
    """The text as it stands on disk now."""

    text: str
    digest: str


class Trouble(BaseModel):
    """Every answer that is no success has this shape."""

    rigbook: Literal[1] = 1
    says: str
    errors: list[DocumentErrorOut] = []
    present: PresentText | None = None


class DraftOut(BaseModel):
    """Unsaved typing. `base` is the digest of the text it was typed over."""

    text: str
    base: str


class SectionOut(BaseModel):
    """Lines of one section of the text, from 1, both included."""

    path: str
    first_line: int
    last_line: int


class TextOut(BaseModel):
    """The text of a build, and what can be taken back."""

    file: str
    text: str
    digest: str
    draft: DraftOut | None
    undo: str | None = Field(description="why the edit was made that undo takes back")
    redo: str | None
    sections: list[SectionOut]


class TextIn(_Sent):
    """A whole text to save over the one that was seen."""

    seen: str = Digest
    text: str = Text


class OperationIn(_Sent):
    """One edit. `path` is written as install[grille-left].wire."""

    do: Literal["set", "clear", "append", "insert", "remove", "duplicate", "move"]
    path: str = Field(min_length=1, max_length=400)
    value: str | dict[str, Any] | list[Any] | None = None
    fragment: bool = False
    new_id: str | None = Field(default=None, max_length=100)
    to: int | None = Field(default=None, ge=0, le=100_000)


class EditsIn(_Sent):
    """Edits to make, all of them or none."""

    seen: str = Digest
    operations: list[OperationIn] = Field(min_length=1, max_length=200)
    why: str = Field(default="edit", max_length=200)


class NudgeIn(_Sent):
    """A small step of one installed row, in vehicle axes."""

    seen: str = Digest
    row: str = Field(min_length=1, max_length=100, description="id of the row")
    x_m: float = Field(default=0.0, ge=-0.5, le=0.5, allow_inf_nan=False, description="backward")
    y_m: float = Field(default=0.0, ge=-0.5, le=0.5, allow_inf_nan=False, description="to the right")
    z_m: float = Field(default=0.0, ge=-0.5, le=0.5, allow_inf_nan=False, description="up")


class DraftIn(_Sent):
    """Unsaved typing to keep."""

    base: str = Digest
    text: str = Text


class Checked(BaseModel):
    """What is wrong in an unsaved text."""

    errors: list[DocumentErrorOut]


class NewBuildIn(_Sent):
    """A new build from a vehicle or from another build."""

    id: str = Field(pattern="^[a-z][a-z0-9_-]{0,59}$")
    title: str = Field(min_length=1, max_length=200)
    customer: str | None = Field(default=None, max_length=200)
    vehicle: str | None = Field(default=None, max_length=100)
    build: str | None = Field(default=None, max_length=100)


class Made(BaseModel):
    """The new build."""

    id: str


class CompleteIn(_Sent):
    """A place in a text; line and column from 1."""

    text: str = Text
    line: int = Field(ge=1, le=1_000_000)
    column: int = Field(ge=1, le=1_000_000)


class OptionOut(BaseModel):
    """What may stand there."""

    label: str
    kind: str
    detail: str
    about: str


class Completed(BaseModel):
    """Options, and the column from which one of them replaces what stands there."""

    from_column: int
    options: list[OptionOut]


class PartOut(BaseModel):
    """A part of the catalogue."""

    id: str
    kind: str
    title: str
    colours: list[str]
    current_a: float | None
    mass_kg: float
    cost: str | None
    list_price: str | None


class CatalogueOut(BaseModel):
    """Parts that fit, how many there are, and how many each filter would leave."""

    parts: list[PartOut]
    total: int
    kinds: dict[str, int]
    colours: dict[str, int]


class FieldOut(BaseModel):
    """A key of a record: what its value is, whether it is needed, default and meaning."""

    key: str
    value: str
    needed: bool
    default: str
    about: str


class PaperOut(BaseModel):
    """One paper, where to see it and where to fetch it."""

    id: str
    title: str
    group: str
    about: str
    preview: str | None
    files: dict[str, str]


class WorkingOut(BaseModel):
    """A hand calculation."""

    id: str
    finding: str | None
    lines: list[str]
