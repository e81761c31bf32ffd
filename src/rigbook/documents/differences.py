"""What differs between two documents: records with a path by ids, the value before and the value after."""

from __future__ import annotations

import fractions
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from rigbook.documents.schema.base import NOWHERE, Placed, Where
from rigbook.quantities.gauge import Gauge

_NAMES = ("id", "name")


@dataclass(frozen=True, slots=True)
class Difference:
    """One value that differs. `None` before: added; `None` after: removed."""

    path: str
    """Keys, with ids of list items in brackets: install[grille-left].wire."""
    before: Any
    after: Any
    where_before: Where = NOWHERE
    where_after: Where = NOWHERE


def differences(before: BaseModel | None, after: BaseModel | None) -> tuple[Difference, ...]:
    """All differences of two documents of one kind, in the order of the schema, then of the lists.

    Items of lists are matched by id or name, else by position; a list whose items only changed places differs at
    `PATH(order)`. Comments and layout are no differences, nor is a default written out.
    """
    return tuple(_differ("", before, after, NOWHERE, NOWHERE))


def _plain(value: Any) -> Any:
    if isinstance(value, Placed):
        return value.text
    if isinstance(value, Gauge | fractions.Fraction):
        return str(value)
    if isinstance(value, BaseModel):
        return {key: _plain(item) for key, item in _members(value).items() if item is not None}
    if isinstance(value, dict):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return value


def _members(record: BaseModel) -> dict[str, Any]:
    fields = type(record).model_fields
    return {field.alias or name: getattr(record, name) for name, field in fields.items() if name != "marks_"}


def _place(value: Any, key: str, otherwise: Where) -> Where:
    if isinstance(value, Placed):
        return value.where
    marks = getattr(value, "marks_", None)
    if marks is None or not marks.start.line:
        return otherwise
    place: Where = marks.values.get(key, marks.start) if key else marks.start
    return place


def _differ(path: str, before: Any, after: Any, where: Where, where_after: Where) -> Iterator[Difference]:
    if isinstance(before, BaseModel) and type(before) is type(after):
        theirs = _members(after)
        for key, value in _members(before).items():
            yield from _differ(
                f"{path}.{key}" if path else key,
                value,
                theirs[key],
                _place(before, key, where),
                _place(after, key, where_after),
            )
    elif isinstance(before, dict) and isinstance(after, dict):
        for key in [*before, *(key for key in after if key not in before)]:
            yield from _differ(f"{path}[{key}]", before.get(key), after.get(key), where, where_after)
    elif _named(before) and _named(after):
        yield from _by_name(path, before, after, where, where_after)
    elif _plain(before) != _plain(after):
        yield Difference(path, _plain(before), _plain(after), where, where_after)


def _name(item: Any) -> str | None:
    return next((str(getattr(item, key)) for key in _NAMES if isinstance(getattr(item, key, None), str)), None)


def _named(items: Any) -> bool:
    return (
        isinstance(items, list)
        and all(_name(item) is not None for item in items)
        and (len({_name(item) for item in items}) == len(items))
    )


def _by_name(path: str, before: list[Any], after: list[Any], where: Where, where_after: Where) -> Iterator[Difference]:
    ours, theirs = {_name(item): item for item in before}, {_name(item): item for item in after}
    for name in [*ours, *(name for name in theirs if name not in ours)]:
        one, other = ours.get(name), theirs.get(name)
        if one is None or other is None or type(one) is not type(other):
            yield Difference(
                f"{path}[{name}]",
                None if one is None else _plain(one),
                None if other is None else _plain(other),
                _place(one, "", where),
                _place(other, "", where_after),
            )
        else:
            yield from _differ(f"{path}[{name}]", one, other, _place(one, "", where), _place(other, "", where_after))
    common, common_after = [n for n in ours if n in theirs], [n for n in theirs if n in ours]
    if common != common_after:
        yield Difference(f"{path}(order)", common, common_after, where, where_after)
