"""Edits of lists that splicing alone cannot make: the first item of an empty list, an item moved, one edit by name.

As in `editing`, every edit is read back and refused where it would touch anything else.
"""

from __future__ import annotations

import copy
from dataclasses import dataclass
from typing import Any, Literal, get_args

from rigbook.documents.editing import (
    EditError,
    Path,
    Step,
    add_key,
    append_item,
    dash_line,
    duplicate_item,
    format_path,
    insert_item,
    item_at,
    line_end,
    list_at,
    newline,
    parse_path,
    remove_item,
    remove_key,
    set_value,
    verified,
)
from rigbook.documents.writing import block_lines, flow_text

Kind = Literal["set", "clear", "append", "insert", "remove", "duplicate", "move"]
KINDS: tuple[str, ...] = get_args(Kind)


@dataclass(frozen=True, slots=True)
class Operation:
    """One edit as a person asks for it.

    `set` writes `value` (a text, or YAML where `fragment`), `clear` takes an optional key out, `append` and `insert`
    put an item in (an `insert` path ends in the index), `remove` takes an item out, `duplicate` writes it once more
    under `new_id`, `move` takes it to the index `to`.
    """

    do: Kind
    path: str
    value: Any = None
    fragment: bool = False
    new_id: str | None = None
    to: int | None = None


def apply(text: str, operation: Operation) -> str:
    """The text after one edit.

    Raises:
        EditError: it cannot be made; says why.
    """
    path = parse_path(operation.path)
    if not path:
        raise EditError("an edit names what it changes, as install[grille-left].wire")
    if operation.do == "set":
        return _set(text, path, operation)
    if operation.do == "clear":
        return remove_key(text, path)
    if operation.do == "append":
        return append(text, path, operation.value)
    if operation.do == "insert":
        return insert_item(text, path, operation.value)
    if operation.do == "remove":
        return remove_item(text, path)
    if operation.do == "duplicate":
        return duplicate_item(text, path, operation.new_id)
    if operation.to is None:
        raise EditError("a move says where to: the index in the list, from 0")
    return move_item(text, path, operation.to)


def _set(text: str, path: Path, operation: Operation) -> str:
    if not isinstance(operation.value, str):
        return add_key(text, path, operation.value)
    if not operation.fragment and "\n" in operation.value:
        raise EditError(f"{format_path(path)} is one line here; edit the text for longer ones")
    return set_value(text, path, operation.value, fragment=operation.fragment)


def append(text: str, path: Path, item: Any) -> str:
    """Append an item to a list that may be empty, or not there yet.

    Raises:
        EditError: the path names something that is no list, or what holds it is not there.
    """
    try:
        part = list_at(text, path)
    except EditError as absent:
        if not str(absent).startswith("there is no"):
            raise
        return add_key(text, path, [item])
    if part.items or part.in_flow:
        return append_item(text, path, item)
    indent = " " * (part.indent + 2)
    inner = block_lines(item) if isinstance(item, dict | list) else [flow_text(item)]
    lines = [indent + ("- " if i == 0 else "  ") + line for i, line in enumerate(inner)]
    edited = text[: part.start].rstrip(" ") + newline(text) + newline(text).join(lines) + text[part.end :]

    def change(data: Any) -> None:
        reach(data, path).append(copy.deepcopy(item))

    return verified(text, edited, change)


def move_item(text: str, path: Path, to: int) -> str:
    """Move an item of a list so that it stands at the index `to`; its own lines move with it.

    Raises:
        EditError: no such item or index, or a list in brackets.
    """
    part, index, whole = item_at(text, path)
    items = part.items or []
    if not 0 <= to < len(items):
        raise EditError(f"{to} is no place in a list of {len(items)}")
    if not part.block:
        raise EditError(f"{format_path(path[:-1])} stands in brackets; edit the text to order it")
    if to == index:
        return text
    start, end = dash_line(text, part, index), line_end(text, whole.last)
    taken = text[start:end]
    if not taken.endswith("\n"):
        raise EditError("the last line of the document has no end; put a line end behind it, then move")
    anchor = dash_line(text, part, to) if to < index else line_end(text, items[to].last)
    if anchor > start:
        edited = text[:start] + text[end:anchor] + taken + text[anchor:]
    else:
        edited = text[:anchor] + taken + text[anchor:start] + text[end:]

    def change(data: Any) -> None:
        moved = reach(data, path[:-1])
        moved.insert(to, moved.pop(index))

    return verified(text, edited, change)


def reach(data: Any, path: tuple[Step, ...]) -> Any:
    """The member of plain data at a path of keys, indexes, and ids or names of items."""
    for step in path:
        if isinstance(data, list) and not isinstance(step, int):
            data = next(i for i in data if isinstance(i, dict) and step in (i.get("id"), i.get("name")))
        else:
            data = data[step]
    return data
