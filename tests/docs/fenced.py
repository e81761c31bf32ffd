"""The fenced blocks of a page, and how a reader works them into the files of a shop.

A YAML block names its file in its opening line. Where there is no such file yet, the block is the file. Where there
is, the block's lines go to the end of the sections of the same name; a list item whose id or name is there already
takes its place, and a key that is there already gets the new value.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True, slots=True)
class Block:
    """One fenced block: its language, what else its opening line says, its text and where it begins."""

    language: str
    about: str
    text: str
    line: int


def blocks(path: Path) -> Iterator[Block]:
    """The fenced blocks of a page, in order."""
    opened: tuple[str, str, int] | None = None
    held: list[str] = []
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(keepends=True), start=1):
        fence = re.match(r"^```(\w*)[ \t]*(.*)$", line)
        if fence and opened is None:
            opened, held = (fence.group(1), fence.group(2).strip(), number), []
        elif fence and opened is not None:
            yield Block(opened[0], opened[1], "".join(held), opened[2])
            opened = None
        elif opened is not None:
            held.append(line)
    assert opened is None, f"{path}: a fence is not closed"


def _deep(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


def _pieces(lines: list[str], deep: int) -> list[list[str]]:
    """Lines cut before every entry that stands at a depth; what stands before the first is the first piece."""
    pieces: list[list[str]] = [[]]
    for line in lines:
        if line.strip() and _deep(line) == deep and not line.lstrip().startswith("#"):
            pieces.append([])
        pieces[-1].append(line)
    return pieces


def _name(piece: list[str]) -> str:
    """What an entry is called: its key, or the id or name of a list item."""
    if not piece:
        return ""
    item = re.match(r"\s*- (?:\{)?(?:id|name): ([^,}\n]+)", piece[0])
    key = re.match(r"\s*([a-z_][a-z0-9_-]*):", piece[0])
    return item.group(1).strip() if item else key.group(1) if key else ""


def merged(before: str, block: str, deep: int = 0) -> str:
    """The text with a block worked in."""
    mine = _pieces(before.splitlines(keepends=True), deep)
    theirs = _pieces(block.splitlines(keepends=True), deep)
    for new in theirs[1:]:
        name = _name(new)
        at = next((n for n, old in enumerate(mine) if name and _name(old) == name), None)
        if at is None:
            mine.append(new)
            continue
        inner = [line for line in new[1:] if line.strip()]
        is_list_item = new[0].lstrip().startswith("- ")
        if is_list_item or not inner:
            mine[at] = new
            continue
        body = merged("".join(mine[at][1:]), "".join(new[1:]), _deep(inner[0]))
        mine[at] = [new[0] if new[0].rstrip().endswith(":") else mine[at][0], body]
    return "".join("".join(piece) for piece in mine)
