from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigbook.desk.nudging import LONGEST_STEP_M, Step, moved, nudge
from rigbook.documents.arranging import apply
from rigbook.documents.editing import EditError, value_at
from rigbook.quantities.parse import parse_quantity
from rigbook.rig.placement import Placement, Point, Pose

TEXT = """rigbook: 1
install:
  - {id: lamp, part: x, at: [0.50 m, -14 in, 900 mm]}  # a remark
  - id: stick
    part: y
    along: {from: [4.9 m, -0.5 m, 2.4 m], to: [4.9 m, 0.5 m, 2.4 m], count: 8}
  - {id: named, part: x, place: grille-left, tags: [warning]}
  - {id: dial, part: x, on: {panel: face}}
"""


def placement(*, doors: int = 0, glass: float = 1.0, facing: float | None = 0.0, tilt: float = 0.0) -> Placement:
    closed = Pose(Point(-0.95, -0.35, 0.75), facing, False, tilt, None, frozenset({"front"}), frozenset({"front"}))
    opened = Pose(Point(0.0, 0.0, 1.0), facing, False, tilt, "door", frozenset(), frozenset())
    return Placement(
        (closed, *[opened] * doors), "grille-left", "grille", 0.1, "engine-bay", "lower", False, None, glass
    )


def after(row: str, by: Step, placed: Placement | None = None) -> str:
    text = TEXT
    for operation in nudge(row, value_at(text, ("install", row)), by, placed):
        text = apply(text, operation)
    return text


def test_coordinates_move_in_their_own_units_and_the_rest_stays_to_the_letter() -> None:
    text = after("lamp", Step(0.01, 0.0254, -0.005))
    assert text == TEXT.replace("[0.50 m, -14 in, 900 mm]", "[0.51 m, -13 in, 895 mm]")


def test_a_row_of_lamps_moves_at_both_ends() -> None:
    assert value_at(after("stick", Step(0, 0, 0.1)), ("install", "stick", "along")) == {
        "from": ["4.9 m", "-0.5 m", "2.5 m"], "to": ["4.9 m", "0.5 m", "2.5 m"], "count": "8",
    }  # fmt: skip


def test_off_a_named_place_everything_the_place_told_is_written() -> None:
    row = value_at(after("named", Step(0, 0.05, 0), placement(tilt=5.0)), ("install", "named"))
    assert row == {
        "id": "named", "part": "x", "tags": ["warning"], "at": ["-0.95 m", "-0.3 m", "0.75 m"], "facing": "0 deg",
        "tilt": "5 deg", "level": "lower", "node": "grille", "area": "engine-bay",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("row", "placed", "says"),
    [
        ("named", placement(doors=1), "a part that opens"),
        ("named", placement(glass=0.7), "behind glass"),
        ("named", None, "before the build can be worked out"),
        ("dial", placement(), "under `on`"),
    ],
)
def test_what_cannot_be_moved_says_why(row: str, placed: Placement | None, says: str) -> None:
    with pytest.raises(EditError, match=says):
        nudge(row, value_at(TEXT, ("install", row)), Step(0.01, 0, 0), placed)


def test_a_long_step_is_no_nudge() -> None:
    with pytest.raises(EditError, match="at most"):
        nudge("lamp", value_at(TEXT, ("install", "lamp")), Step(LONGEST_STEP_M * 1.01, 0, 0), None)


def test_what_is_no_length_is_refused() -> None:
    with pytest.raises(EditError, match="cannot be moved"):
        moved("here", 0.01)


@settings(max_examples=150, deadline=None)
@given(
    value=st.floats(-9, 9), unit=st.sampled_from(["m", "mm", "cm", "in", "ft"]), step=st.sampled_from([0.005, 0.00635, -0.0127, 0.05]),
    times=st.integers(1, 6),
)  # fmt: skip
def test_steps_there_and_back_come_home(value: float, unit: str, step: float, times: int) -> None:
    written = f"{value:.3f} {unit}"
    start_m = parse_quantity(written, "length")
    text = written
    for _ in range(times):
        text = moved(text, step)
    assert text.endswith(f" {unit}")
    finest_m = {"m": 1e-4, "cm": 1e-4, "mm": 1e-4, "in": 2.54e-4, "ft": 3.1e-4}[unit]
    assert math.isclose(parse_quantity(text, "length"), start_m + times * step, abs_tol=finest_m * times)
    for _ in range(times):
        text = moved(text, -step)
    assert math.isclose(parse_quantity(text, "length"), start_m, abs_tol=2 * finest_m * times)
