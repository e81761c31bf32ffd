from __future__ import annotations

from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from rigbook.web.shapes import MOST_TEXT, CompleteIn, DraftIn, EditsIn, NewBuildIn, NudgeIn, TextIn, Trouble

SEEN = "a" * 64
EDIT = {"do": "set", "path": "build.title", "value": "x"}


@pytest.mark.parametrize(
    ("shape", "sent"),
    [
        (TextIn, {"seen": SEEN, "text": ""}),
        (DraftIn, {"base": SEEN, "text": "x"}),
        (EditsIn, {"seen": SEEN, "operations": [EDIT], "why": "title"}),
        (NudgeIn, {"seen": SEEN, "row": "lamp", "x_m": 0.5}),
        (NewBuildIn, {"id": "van-2", "title": "Van"}),
        (CompleteIn, {"text": "", "line": 1, "column": 1}),
    ],
)
def test_what_fits_is_taken_and_nothing_beside_it(shape: type[BaseModel], sent: dict[str, Any]) -> None:
    shape(**sent)
    with pytest.raises(ValidationError, match="Extra inputs"):
        shape(**sent, more=1)


@pytest.mark.parametrize(
    ("shape", "sent"),
    [
        (TextIn, {"seen": "short", "text": ""}),
        (TextIn, {"seen": SEEN.upper(), "text": ""}),
        (TextIn, {"seen": SEEN, "text": "x" * (MOST_TEXT + 1)}),
        (TextIn, {"seen": SEEN, "text": 3}),
        (EditsIn, {"seen": SEEN, "operations": []}),
        (EditsIn, {"seen": SEEN, "operations": [EDIT] * 201}),
        (EditsIn, {"seen": SEEN, "operations": [EDIT | {"do": "burn"}]}),
        (NudgeIn, {"seen": SEEN, "row": "lamp", "x_m": 0.51}),
        (NudgeIn, {"seen": SEEN, "row": "lamp", "y_m": float("nan")}),
        (NewBuildIn, {"id": "../van", "title": "Van"}),
        (NewBuildIn, {"id": "Van", "title": "Van"}),
        (NewBuildIn, {"id": "van\n", "title": "Van"}),
        (CompleteIn, {"text": "", "line": 0, "column": 1}),
    ],
)
def test_what_does_not_fit_is_refused(shape: type[BaseModel], sent: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        shape(**sent)


def test_a_refusal_says_why_and_nothing_else_by_itself() -> None:
    assert Trouble(says="no").model_dump() == {"rigbook": 1, "says": "no", "errors": [], "present": None}
