"""What pure functions gave, kept for the next time they are asked the same."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any, TypeVar

Result = TypeVar("Result")

ENTRIES_AT_MOST = 6
"""Results kept of one name: those of a few builds under work, and of the text before an undo."""

TABLE_AT_MOST = 20_000
"""Parts of results kept in one table: forty times what the largest example build asks for."""


class Kept:
    """Results by name and by all that they were worked out of. Threads may share it.

    What was given is compared, not digested: equal documents are read once, so most of it is the very same object.
    Whoever holds it decides how long it lives; a run without one works everything out.
    """

    def __init__(self) -> None:
        self._results: dict[str, list[tuple[object, Any]]] = {}
        self._guard = threading.Lock()

    def recall(self, name: str, given: object, work: Callable[[], Result]) -> Result:
        """The result kept under a name for equal input, else what `work` gives, kept from now on."""
        with self._guard:
            there = self._results.get(name, [])
            for place, (known, result) in enumerate(there):
                if known == given:
                    there.insert(0, there.pop(place))
                    return result  # type: ignore[no-any-return]
        result = work()
        with self._guard:
            there = self._results.setdefault(name, [])
            there.insert(0, (given, result))
            del there[ENTRIES_AT_MOST:]
        return result

    def table(self, name: str, given: object) -> dict[Any, Any]:
        """A table that belongs to equal input, for parts of a result; a new one once it has grown too large."""
        found: dict[Any, Any] = self.recall(name, given, dict)
        if len(found) <= TABLE_AT_MOST:
            return found
        with self._guard:  # whoever still works with the old one keeps it whole
            self._results[name] = [entry for entry in self._results[name] if entry[1] is not found]
        return self.recall(name, given, dict)
