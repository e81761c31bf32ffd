"""How much a document may ask for: bounds far above any vehicle, so that a slip of a nought ends in a sentence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from rigbook.documents.errors import DocumentError
from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.vehicle import Vehicle

MOST_INSTALLED = 1_000
"""Devices of a build, every lamp of a row counted."""
MOST_IN_ROW = 200
"""Lamps of one row."""
MOST_VALUES = 100
"""Positions of a switch, values of a signal, steps of a memory."""
MOST_STATES = 200
"""Saved states: each is worked out whole."""
MOST_ROWS = 500
"""Rows of any other list of a build."""


def too_much(document: BuildDocument) -> list[DocumentError]:
    """What a build asks for beyond the bounds."""
    switching = document.switching
    lists: dict[str, Sequence[Any]] = {
        "clauses": document.clauses, "batteries": document.batteries, "links": document.links, "feeds": document.feeds,
        "duty": document.duty, "persons": document.persons, "kit": document.kit, "switches": switching.switches,
        "signals": switching.signals, "memory": switching.memory, "timers": switching.timers,
        "functions": switching.functions, "modes": switching.modes, "require": switching.require,
    }  # fmt: skip
    errors = [*_rows(lists, MOST_ROWS), *_rows({"states": document.states}, MOST_STATES)]
    errors += _installed(document)
    errors += _values([*switching.switches, *switching.signals, *switching.memory])
    return errors


def too_much_of_vehicle(vehicle: Vehicle) -> list[DocumentError]:
    """What a vehicle asks for beyond the bounds."""
    lists: dict[str, Sequence[Any]] = {"signals": vehicle.signals, "factory_lamps": vehicle.factory_lamps}
    return [*_rows(lists, MOST_ROWS), *_values(vehicle.signals)]


def _installed(document: BuildDocument) -> Iterator[DocumentError]:
    count = 0
    for row in document.install:
        own = row.along.count if row.along is not None else 1
        if row.along is not None and own > MOST_IN_ROW:
            says = f"the row {row.id} has {own:,} lamps; at most {MOST_IN_ROW} are worked out"
            yield DocumentError.at(row.along.where_of("count"), says, str(own), f"at most {MOST_IN_ROW}")
        if count <= MOST_INSTALLED < count + own:
            says = (
                f"with {row.id} the build installs {count + own:,} devices; at most {MOST_INSTALLED:,} are worked out"
            )
            yield DocumentError.at(row.where_of("id"), says, str(count + own), f"at most {MOST_INSTALLED} devices")
        count += own


def _rows(lists: dict[str, Sequence[Any]], most: int) -> Iterator[DocumentError]:
    for name, rows in lists.items():
        if len(rows) > most:
            says = f"this is row {most + 1:,} of {len(rows):,} in `{name}`; at most {most:,} are worked out"
            yield DocumentError.at(rows[most].where, says, f"{len(rows)} rows", f"at most {most} rows")


def _values(records: Iterable[Any]) -> Iterator[DocumentError]:
    for record in records:
        for key in ("positions", "values", "steps"):
            values = getattr(record, key, None)
            if values is not None and len(values) > MOST_VALUES:
                says = f"{record.id} has {len(values):,} {key}; at most {MOST_VALUES} are worked out"
                yield DocumentError.at(record.where_of(key), says, f"{len(values)} {key}", f"at most {MOST_VALUES}")
