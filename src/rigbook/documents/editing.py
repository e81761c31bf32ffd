"""Edits that change only what was meant: values are spliced between their marks, keys and items by whole lines.

Comments, order, layout and line ends of everything else stay as they are. Every edit is read back: what it gives is
what was asked for, and nothing else of the data has changed, or it is refused with an `EditError`.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from typing import Any

from rigbook.documents.outline import Outline, Part, outline_of
from rigbook.documents.text import read_tree
from rigbook.documents.writing import block_lines, flow_text, plain_key, scalar_text

Step = str | int
Path = tuple[Step, ...]
_STEP = re.compile(r"([^.\[\]]+)|\[([^\]]*)\]")


class EditError(ValueError):
    """An edit that cannot be made, and why."""


def parse_path(text: str) -> Path:
    """`install[grille-left].wire` as steps; a number in brackets is an index, anything else an id or a key.

    Raises:
        EditError: the text is no path.
    """
    steps: list[Step] = []
    position = 0
    while position < len(text):
        if steps and text[position] == ".":
            position += 1
        match = _STEP.match(text, position)
        if match is None:
            raise EditError(f"{text!r} is no path; write it as install[grille-left].wire")
        plain, bracketed = match.groups()
        steps.append(plain if plain is not None else int(bracketed) if bracketed.isdecimal() else bracketed)
        position = match.end()
    return tuple(steps)


def format_path(path: Sequence[Step], lists: Sequence[bool] = ()) -> str:
    """Steps as text; a step into a list, or one that is no plain name, stands in brackets."""
    text = ""
    for index, step in enumerate(path):
        bracketed = isinstance(step, int) or (index < len(lists) and lists[index]) or re.search(r"[.\[\]]", str(step))
        text += f"[{step}]" if bracketed else f".{step}" if text else str(step)
    return text


def value_at(text: str, path: Path) -> Any:
    """The plain data at a path: str, list and dict.

    Raises:
        EditError: nothing stands there.
    """
    return _data(_find(readable_outline(text), path))


def set_value(text: str, path: Path, value: str, *, fragment: bool = False) -> str:
    """Set the value at a path, adding the last key where it is absent.

    Args:
        text: the whole document.
        path: keys, ids of list items, or indexes.
        value: the new value; quoted as needed, or written as it is where `fragment` says that it is a piece of YAML
            (`{blue: control.3}`).

    Raises:
        EditError: nothing stands there, a block of several lines stands there, or the result would not read back.
    """
    root = readable_outline(text)
    parent = _find(root, path[:-1])
    if parent.keys is not None and isinstance(path[-1], str) and path[-1] not in parent.keys:
        return add_key(text, path, value, fragment=fragment)
    part = _find(root, path)
    if part.block and part.scalar is None:
        raise EditError(f"{format_path(path)} is a block of several lines; edit its members")
    written = _written(value, part, fragment)
    if part.start == part.end and text[part.start - 1 : part.start] not in ("", " ", "\n", "\t"):
        written = " " + written
    edited = text[: part.start] + written + text[part.end :]
    return verified(text, edited, lambda data: _put(data, path, _fragment(value) if fragment else value))


def add_key(text: str, path: Path, value: Any, *, fragment: bool = False) -> str:
    """Add a key as the last of the mapping that the path names; the value may be a text, a list or a mapping.

    Raises:
        EditError: the mapping does not exist, or has the key already.
    """
    parent, key = _find(readable_outline(text), path[:-1]), str(path[-1])
    if parent.keys is None:
        raise EditError(f"{format_path(path[:-1]) or 'the document'} is not a mapping")
    if key in parent.keys:
        raise EditError(f"{format_path(path)} is there already")
    name = plain_key(key)
    if not parent.block:
        written = f"{name}: {value if fragment else flow_text(value)}"
        last = max((member.end for member in parent.members.values()), default=None)
        edited = _insert_flow(text, parent, last, written)
    else:
        indent = " " * parent.column
        if fragment or isinstance(value, str):
            written = value if fragment else scalar_text(value, flow=False, indent=parent.column)
            lines = [f"{indent}{name}: {written}"]
        else:
            lines = [indent + line for line in block_lines({key: value})]
        edited = _insert_lines(text, line_end(text, parent.last), lines)
    plain = _fragment(value) if fragment else value
    return verified(text, edited, lambda data: _put(data, path, plain))


def remove_key(text: str, path: Path) -> str:
    """Remove a key with its value; comments on lines of their own stay.

    Raises:
        EditError: it is not there, or is the last key of a block (remove the block then).
    """
    parent, key = _find(readable_outline(text), path[:-1]), str(path[-1])
    if parent.keys is None or key not in parent.keys:
        raise EditError(f"{format_path(path)} is not there")
    names = list(parent.keys)
    index = names.index(key)
    start, part = parent.keys[key], parent.members[key]
    if not parent.block:
        spans = [(parent.keys[name], parent.members[name].end) for name in names]
        edited = _cut_flow(text, spans, index)
    elif len(names) == 1:
        raise EditError(f"{format_path(path)} is the last key of its mapping; remove the whole of it")
    elif text[_line_start(text, start) : start].strip():  # shares its line with the dash of its item
        edited = text[:start] + text[parent.keys[names[1]] :]
    else:
        edited = text[: _line_start(text, start)] + text[line_end(text, part.last) :]
    return verified(text, edited, lambda data: _drop(data, path))


def append_item(text: str, path: Path, item: Any) -> str:
    """Append an item (text, list or mapping) to a list, in the style of its last one."""
    return insert_item(text, (*path, len(list_at(text, path).items or ())), item)


def insert_item(text: str, path: Path, item: Any) -> str:
    """Insert an item so that it stands at the index that ends the path.

    Raises:
        EditError: no list, or no such index.
    """
    part, index = list_at(text, path[:-1]), path[-1]
    items = part.items or []
    if not isinstance(index, int) or not 0 <= index <= len(items):
        raise EditError(f"{index} is no place in a list of {len(items)}")
    if not part.block:
        if index == len(items):
            edited = _insert_flow(text, part, items[-1].end if items else None, flow_text(item))
        else:
            at = items[index].start
            edited = text[:at] + flow_text(item) + ", " + text[at:]
    else:
        like = items[min(index, len(items) - 1)]
        inner = [flow_text(item)] if not like.block or not isinstance(item, dict | list) else block_lines(item)
        lines = [" " * part.column + ("- " if i == 0 else "  ") + line for i, line in enumerate(inner)]
        at = line_end(text, items[-1].last) if index == len(items) else dash_line(text, part, index)
        edited = _insert_lines(text, at, lines)
    return verified(text, edited, lambda data: _get(data, path[:-1]).insert(index, copy.deepcopy(item)))


def duplicate_item(text: str, path: Path, new_id: str | None = None) -> str:
    """Write an item once more, right behind itself, under another id; its layout and comments are copied.

    Raises:
        EditError: no such item, or a new id for an item that has none.
    """
    part, index, whole = item_at(text, path)
    if part.block:
        start, end = dash_line(text, part, index), line_end(text, whole.last)
    else:
        start, end = whole.start, whole.end
    copied = text[start:end]
    if new_id is not None:
        if "id" not in whole.members:
            raise EditError(f"{format_path(path)} has no id")
        name = whole.members["id"]
        copied = text[start : name.start] + scalar_text(new_id, flow=not whole.block) + text[name.end : end]
    if not part.block:
        copied = ", " + copied
    elif not text[:end].endswith("\n"):
        copied = newline(text) + copied
    edited = text[:end] + copied + text[end:]

    def change(data: Any) -> None:
        items = _get(data, path[:-1])
        twin = copy.deepcopy(items[index])
        if new_id is not None:
            twin["id"] = new_id
        items.insert(index + 1, twin)

    return verified(text, edited, change)


def remove_item(text: str, path: Path) -> str:
    """Remove an item of a list; a list that loses its last item is written `[]`.

    Raises:
        EditError: no such item.
    """
    part, index, whole = item_at(text, path)
    items = part.items or []
    if not part.block:
        edited = _cut_flow(text, [(item.start, item.end) for item in items], index)
    else:
        start, end = dash_line(text, part, index), line_end(text, whole.last)
        if len(items) > 1:
            edited = text[:start] + text[end:]
        else:
            colon = text.rindex(":", 0, start) + 1
            if text[colon:start].split("#")[0].strip():
                raise EditError(f"{format_path(path)} is the last item of its list; remove the whole of it")
            edited = text[:colon] + " []" + text[colon:start] + text[end:]
    return verified(text, edited, lambda data: _get(data, path[:-1]).pop(index))


# --- finding -------------------------------------------------------------------------------------


@lru_cache(maxsize=4)
def _tree(text: str) -> Any:
    tree = read_tree(text.encode("utf-8", "surrogatepass"), "")
    if tree.errors:
        raise EditError(f"the document cannot be edited before it can be read: {tree.errors[0].says}")
    return tree.tree


@lru_cache(maxsize=4)
def readable_outline(text: str) -> Outline:
    """The outline of a document that can be read; not to be changed, since it is kept for the next who asks.

    Raises:
        EditError: the document cannot be read.
    """
    _tree(text)
    return outline_of(text)


def _find(outline: Outline, path: Path) -> Part:
    part = outline
    for depth, step in enumerate(path):
        found: Part | None = None
        if part.items is not None:
            index = part.index_of(step)
            found = part.items[index] if index is not None else None
        elif part.keys is not None:
            found = part.members.get(str(step))
        if found is None:
            raise EditError(f"there is no {format_path(path[: depth + 1])}")
        part = found
    return part


def list_at(text: str, path: Path) -> Part:
    """The list at a path."""
    part = _find(readable_outline(text), path)
    if part.items is None:
        raise EditError(f"{format_path(path)} is not a list")
    return part


def item_at(text: str, path: Path) -> tuple[Part, int, Part]:
    """A list, the index of one of its items, and the item."""
    part = list_at(text, path[:-1])
    index = part.index_of(path[-1])
    if index is None or part.items is None:
        raise EditError(f"there is no {format_path(path)}")
    return part, index, part.items[index]


def _written(value: str, part: Part, fragment: bool) -> str:
    if fragment:
        return value
    return scalar_text(value, flow=part.in_flow, style=part.style, indent=part.indent)


# --- splicing ------------------------------------------------------------------------------------


def newline(text: str) -> str:
    """The line end the text uses."""
    return "\r\n" if "\r\n" in text else "\n"


def _line_start(text: str, at: int) -> int:
    return text.rfind("\n", 0, at) + 1


def line_end(text: str, last: int) -> int:
    """Just behind the line that holds the last character of something."""
    stop = text.find("\n", max(last - 1, 0))
    return len(text) if stop < 0 else stop + 1


def dash_line(text: str, part: Part, index: int) -> int:
    """Where the line with the dash of an item starts."""
    item = (part.items or [])[index]
    start = _line_start(text, item.start)
    while start > 0 and text[start + part.column : start + part.column + 1] != "-":
        start = _line_start(text, start - 1)
    if text[start : start + part.column].strip():
        raise EditError("this item shares its line with something else")
    return start


def _insert_lines(text: str, at: int, lines: Sequence[str]) -> str:
    line_break = newline(text)
    before, after = text[:at], text[at:]
    if before and not before.endswith("\n"):
        return before + line_break + line_break.join(lines) + after
    return before + line_break.join(lines) + line_break + after


def _insert_flow(text: str, part: Part, last: int | None, written: str) -> str:
    if last is None:
        return text[: part.start + 1] + written + text[part.end - 1 :]
    return text[:last] + ", " + written + text[last:]


def _cut_flow(text: str, spans: Sequence[tuple[int, int]], index: int) -> str:
    if index + 1 < len(spans):
        return text[: spans[index][0]] + text[spans[index + 1][0] :]
    if index > 0:
        return text[: spans[index - 1][1]] + text[spans[index][1] :]
    return text[: spans[0][0]] + text[spans[0][1] :]


# --- reading back --------------------------------------------------------------------------------


def _data(part: Part) -> Any:
    if part.items is not None:
        return [_data(item) for item in part.items]
    if part.keys is not None:
        return {key: _data(member) for key, member in part.members.items()}
    return part.scalar


def _fragment(value: str) -> Any:
    return _data(_find(readable_outline(f"- {value}\n"), (0,)))


def _get(data: Any, path: Path) -> Any:
    for step in path:
        if isinstance(data, list):
            data = data[_index(data, step)]
        else:
            data = data[step]
    return data


def _index(items: list[Any], step: Step) -> int:
    if isinstance(step, int):
        return step
    return next(
        i for i, item in enumerate(items) if isinstance(item, dict) and step in (item.get("id"), item.get("name"))
    )


def _put(data: Any, path: Path, value: Any) -> None:
    holder, step = _get(data, path[:-1]), path[-1]
    if isinstance(holder, list):
        holder[_index(holder, step)] = value
    else:
        holder[step] = value


def _drop(data: Any, path: Path) -> None:
    del _get(data, path[:-1])[path[-1]]


def _texts(data: Any) -> Any:
    """Plain data as texts, the way the outline has them."""
    if isinstance(data, Mapping):
        return {str(key): _texts(value) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [_texts(value) for value in data]
    if data is None:
        return {}
    return {True: "yes", False: "no"}[data] if isinstance(data, bool) else str(data)


def verified(before: str, after: str, change: Callable[[Any], object]) -> str:
    """The new text, read back: it must give the old data after the change, and nothing else."""
    wanted = _texts(_tree(before))
    change(wanted)
    got = _texts(_tree(after))
    if got != _texts(wanted):
        raise EditError("this edit cannot be made without touching other parts of the document; edit the text")
    return after
