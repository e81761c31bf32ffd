"""A figure, and how it was worked out: the records behind `explain`, the papers and the pages."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from rigbook.quantities.show import format_number

Sourced = Literal["computed", "published", "common practice", "memory"]
"""How sure a value is, surest first. `computed` is worked out or entered, and as sure as what it came from."""
_SUREST_FIRST: tuple[Sourced, ...] = ("computed", "published", "common practice", "memory")
Value = float | int | str | None
DIGITS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One quantity that goes into a formula."""

    symbol: str
    """As in the formula."""
    meaning: str
    """In words."""
    value: Value
    unit: str = ""
    source: str = ""
    """Key of the bibliography, or where in the documents it was entered (file:line)."""
    sourced: Sourced = "computed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """One figure worked through like a hand calculation."""

    figure_id: str
    """JSON path of the figure, with ids for indices: power.circuits[control.3].drop_v."""
    title: str
    """What the figure is, in words."""
    formula: str
    """The formula as text, in the symbols of the inputs."""
    inputs: tuple[Input, ...] = ()
    result: Value
    unit: str = ""
    source: str = ""
    """Key of the bibliography; empty for plain arithmetic."""
    edition: str = ""
    clause: str = ""
    sourced: Sourced = "computed"
    steps: tuple[Working | str, ...] = ()
    """What was worked out before, and remarks between."""

    def walk(self) -> Iterator[Working]:
        """This working and all those it stands on, outermost first."""
        yield self
        for step in self.steps:
            if isinstance(step, Working):
                yield from step.walk()

    @property
    def least_sure(self) -> Sourced:
        """The least sure mark of all that the figure depends on."""
        marks = [mark for w in self.walk() for mark in (w.sourced, *(i.sourced for i in w.inputs))]
        return max(marks, key=_SUREST_FIRST.index)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One number of the results, with its name, unit and where it comes from."""

    figure_id: str
    value: Value
    unit: str = ""
    source: str = ""
    sourced: Sourced = "computed"


def least_sure(*marks: Sourced) -> Sourced:
    """The least sure of several marks; `computed` of none."""
    return max(marks, key=_SUREST_FIRST.index, default="computed")


def working_to_json(working: Working) -> dict[str, Any]:
    """The working as plain data."""
    return {
        "figure_id": working.figure_id,
        "title": working.title,
        "formula": working.formula,
        "inputs": [
            {
                "symbol": i.symbol,
                "meaning": i.meaning,
                "value": i.value,
                "unit": i.unit,
                "source": i.source,
                "sourced": i.sourced,
            }
            for i in working.inputs
        ],
        "result": working.result,
        "unit": working.unit,
        "source": working.source,
        "edition": working.edition,
        "clause": working.clause,
        "sourced": working.sourced,
        "least_sure": working.least_sure,
        "steps": [step if isinstance(step, str) else working_to_json(step) for step in working.steps],
    }


def show_value(value: Value, unit: str) -> str:
    """A value with its unit at six significant digits; `not worked out` for none."""
    if value is None:
        return "not worked out"
    text = format_number(float(value), DIGITS) if isinstance(value, int | float) else value
    return f"{text} {unit}" if unit and unit not in ("1", "fraction") else text


def working_lines(working: Working, indent: str = "") -> list[str]:
    """The working as lines of text: steps first, then formula, values with units and sources, result."""
    lines = [f"{indent}{working.title}"]
    inner = indent + "  "
    for step in working.steps:
        lines.extend([inner + step] if isinstance(step, str) else working_lines(step, inner))
    lines.append(f"{inner}{working.formula}")
    for entry in working.inputs:
        origin = ", ".join(p for p in (entry.source, "" if entry.sourced == "computed" else entry.sourced) if p)
        behind = f"  [{origin}]" if origin else ""
        lines.append(f"{inner}  {entry.symbol} = {show_value(entry.value, entry.unit)}  {entry.meaning}{behind}")
    origin = ", ".join(p for p in (working.source, working.edition, working.clause) if p)
    mark = "" if working.sourced == "computed" else working.sourced
    behind = ", ".join(p for p in (origin, mark) if p)
    lines.append(f"{inner}= {show_value(working.result, working.unit)}" + (f"  [{behind}]" if behind else ""))
    return lines
