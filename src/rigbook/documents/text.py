"""Bytes to a tree of mappings, lists and scalars that know their place; strict YAML, all slips told at once.

The tree is built from the parser's events, so that no nesting, alias or tag of the text can do more than be reported.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

import yaml

from rigbook.documents.errors import DocumentError
from rigbook.documents.schema.base import SPELLINGS, Mapping_, Marks, Scalar, Where

LARGEST_BYTES = 5_000_000
DEEPEST = 40
MOST_ERRORS = 200
_LONGEST_KEY = 200


@dataclass(frozen=True, slots=True)
class Tree:
    """A read file: the tree (None where nothing could be read), its text with LF line ends, and its errors."""

    tree: Any
    text: str
    errors: tuple[DocumentError, ...]


def decode(data: bytes, file: str) -> str | DocumentError:
    """Bytes to text with LF line ends: UTF-8 with or without a byte order mark, LF, CRLF or CR."""
    if len(data) > LARGEST_BYTES:
        return DocumentError(
            file,
            1,
            1,
            f"the file has {len(data):,} bytes; at most {LARGEST_BYTES:,} are read",
            f"{len(data)} bytes",
            f"at most {LARGEST_BYTES} bytes",
        )
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return DocumentError(
            file, 1, 1, "the file is UTF-16 text; save it as UTF-8", "UTF-16 byte order mark", "UTF-8 text"
        )
    data = data.removeprefix(b"\xef\xbb\xbf")
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8", "replace").replace("\r\n", "\n").replace("\r", "\n")
        return DocumentError(
            file,
            before.count("\n") + 1,
            len(before) - (before.rfind("\n") + 1) + 1,
            "the file is not UTF-8 text (an older code page?); save it as UTF-8",
            f"byte 0x{data[error.start]:02x}",
            "UTF-8 text",
        )
    return text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in text else text


_FORBIDDEN = re.compile("[^\t\n\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def read_tree(data: bytes, file: str) -> Tree:
    """Read a file's bytes into a tree. Never raises for what they hold."""
    text = decode(data, file)
    if isinstance(text, DocumentError):
        return Tree(None, "", (text,))
    if (bad := _FORBIDDEN.search(text)) is not None:
        line = text.count("\n", 0, bad.start()) + 1
        column = bad.start() - (text.rfind("\n", 0, bad.start()) + 1) + 1
        code = f"U+{ord(bad.group()):04X}"
        says = f"the character {code} may not stand in a document"
        return Tree(None, text, (DocumentError(file, line, column, says, code, "printable text"),))
    walk = _Walk(file, text)
    tree = walk.read()
    return Tree(tree, text, tuple(walk.errors))


@dataclass(slots=True)
class _Open:
    """A collection that is being read."""

    start: Where
    flow: bool
    entries: dict[str, Any] | None
    items: list[Any] | None
    keys: dict[str, Where] = field(default_factory=dict)
    values: dict[str, Where] = field(default_factory=dict)
    key: str | None = None
    key_where: Where | None = None
    key_end: int = 0
    awaits_value: bool = False
    last_key: str = ""


_SKIP = "\x00skip"


class _Walk:
    """One pass over the events of one text."""

    def __init__(self, file: str, text: str) -> None:
        self.file = file
        self.text = text
        self.errors: list[DocumentError] = []
        self.stack: list[_Open] = []
        self.root: Any = None
        self.documents = 0

    def where(self, mark: Any) -> Where:
        return Where(self.file, mark.line + 1, mark.column + 1)

    def error(self, where: Where, says: str, found: str = "", expected: str = "", nearest: str = "") -> None:
        if len(self.errors) < MOST_ERRORS:
            self.errors.append(DocumentError.at(where, says, found, expected, nearest))

    def read(self) -> Any:
        parser = yaml.CBaseLoader(self.text)
        try:
            while True:
                event = parser.get_event()
                if isinstance(event, yaml.ScalarEvent):
                    self.scalar(event)
                elif isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
                    if len(self.stack) >= DEEPEST:
                        self.error(self.where(event.start_mark), f"nested deeper than {DEEPEST} levels")
                        return None
                    self.open(event)
                elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
                    self.close()
                elif isinstance(event, yaml.AliasEvent):
                    self.error(
                        self.where(event.start_mark),
                        f"*{event.anchor} is an alias; write the value out",
                        f"*{event.anchor}",
                        "the value itself",
                    )
                    self.put(Scalar.of(f"*{event.anchor}", self.where(event.start_mark), True), None)
                elif isinstance(event, yaml.DocumentStartEvent):
                    self.documents += 1
                    if self.documents == 2:
                        self.error(
                            self.where(event.start_mark), "a second document begins; one file holds one document"
                        )
                        return self.root
                elif isinstance(event, yaml.StreamEndEvent):
                    return self.root
        except yaml.YAMLError as error:
            self.refused(error)
            return None
        finally:
            parser.dispose()

    def open(self, event: Any) -> None:
        start = self.where(event.start_mark)
        self.plainness(event, start)
        mapping = isinstance(event, yaml.MappingStartEvent)
        if self.stack and self.stack[-1].entries is not None and not self.stack[-1].awaits_value:
            self.error(start, "a key must be a plain text, not a list or a mapping")
        self.stack.append(_Open(start, bool(event.flow_style), {} if mapping else None, None if mapping else []))

    def close(self) -> None:
        done = self.stack.pop()
        if done.entries is not None:
            self.put(Mapping_.of(done.entries, Marks(done.start, done.keys, done.values)), done.start)
        else:
            self.put(done.items, done.start)

    def plainness(self, event: Any, where: Where) -> None:
        if event.anchor:
            self.error(
                where, f"&{event.anchor} is an anchor; write the value out where it is needed", f"&{event.anchor}"
            )
        if event.tag:
            self.error(where, f"{event.tag} is a tag; a value is read by what its key expects", str(event.tag))

    def scalar(self, event: Any) -> None:
        mark, value = event.start_mark, event.value
        where = Where(self.file, mark.line + 1, mark.column + 1)
        if event.anchor or event.tag:
            self.plainness(event, where)
        quoted = event.style in ("'", '"', "|", ">")
        top = self.stack[-1] if self.stack else None
        if top is not None and top.entries is not None and not top.awaits_value:
            self.take_key(top, event, where, quoted)
            return
        cut = ""
        if not quoted:
            end = event.end_mark.index
            if self.text[end : end + 1] in (" ", "\t"):
                cut = self.cut(end)
            if top is not None and top.flow and ("(" in value or ")" in value) and not self.balanced(value, where):
                value = ""
                quoted = True
            elif not value and top is not None and top.flow and top.entries is not None and self.bare(top, end):
                self.no_colon(top)
                top.key = _SKIP
        self.put(Scalar.of(value, where, quoted, cut), where)

    def bare(self, top: _Open, end: int) -> bool:
        """Whether a key in braces has no colon behind it."""
        return ":" not in self.text[top.key_end : end]

    def cut(self, end: int) -> str:
        stop = self.text.find("\n", end)
        rest = self.text[end : stop if stop >= 0 else len(self.text)].lstrip(" \t")
        return rest if len(rest) > 1 and rest[0] == "#" and rest[1] not in " \t#-=" else ""

    def balanced(self, value: str, where: Where) -> bool:
        if value.count("(") == value.count(")"):
            return True
        self.error(
            where,
            f"a comma ended {value!r}; inside braces or brackets an expression with a comma must be in quotes",
            value,
            "the whole expression in quotes",
        )
        return False

    def no_colon(self, top: _Open) -> None:
        key, where = top.key or "", top.key_where or top.start
        if re.match(r"[A-Za-z_]\w*:\S", key):
            name, value = key.split(":", 1)
            self.error(
                where, f"a blank is missing after the colon of {key!r}", key, f"{name}: {value}", f"{name}: {value}"
            )
        elif ")" in key and "(" not in key:
            return  # the other half of an expression already reported
        elif top.last_key:
            self.error(
                where,
                f"a comma ended the value of {top.last_key!r} before {key!r}; inside braces a text with a comma must be "
                "in quotes, and a number has a decimal point",
                key,
                "KEY: VALUE",
            )
        else:
            self.error(where, f"{key!r} has no value; write KEY: VALUE", key, "KEY: VALUE")

    def take_key(self, top: _Open, event: Any, where: Where, quoted: bool) -> None:
        key = event.value
        if top.key is not None and top.key != _SKIP:
            top.last_key = top.key
        top.awaits_value = True
        top.key, top.key_where, top.key_end = key, where, event.end_mark.index
        entries = top.entries
        assert entries is not None
        if key == "<<" and not quoted:
            self.error(where, "<< merges mappings; write the keys out", "<<")
        elif len(key) > _LONGEST_KEY or "\x00" in key:
            self.error(where, f"this key is longer than {_LONGEST_KEY} characters", f"{key[:40]}…")
        elif key in entries:
            self.error(where, f"the key {key!r} stands twice; first in line {top.keys[key].line}", key, "each key once")
        elif (other := _OTHER_SPELLING.get(key)) is not None and other in entries:
            self.error(
                where,
                f"the keys {other!r} and {key!r} are one key in two spellings; first in line {top.keys[other].line}",
                key,
                "each key once",
            )
        else:
            return
        top.key = _SKIP

    def put(self, value: Any, where: Where | None) -> None:
        if not self.stack:
            self.root = value
            return
        top = self.stack[-1]
        if top.items is not None:
            top.items.append(value)
            return
        if not top.awaits_value:  # a collection or alias as a key: reported, its value is dropped
            top.awaits_value, top.key = True, _SKIP
            return
        top.awaits_value = False
        if top.key is None or top.key == _SKIP or top.entries is None:
            return
        key = top.key
        top.entries[key] = value
        top.keys[key] = top.key_where or top.start
        top.values[key] = where or top.start

    def refused(self, error: yaml.YAMLError) -> None:
        mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        where = self.where(mark) if mark is not None else Where(self.file, 1, 1)
        problem = str(getattr(error, "problem", None) or error).split("\n")[0]
        lines = self.text.split("\n")
        line = lines[where.line - 1] if where.line <= len(lines) else ""
        before = line[: where.column - 1]
        if "\t" in before[:1] + line[where.column - 1 : where.column] or line.lstrip(" ").startswith("\t"):
            says = "a tab stands where only blanks may stand; indent with blanks"
        elif "mapping values are not allowed" in problem:
            says = "a colon and a blank begin a value here; put a text with a colon in quotes, or mend the indentation"
        elif "could not find expected ':'" in problem:
            says = "a key without its value; is a colon, or the blank after it, missing here or in the line above?"
        elif "expected ',' or" in problem:
            says = "a closing brace or bracket, or a comma, is missing here or above"
        elif "unexpected end of stream" in problem:
            says = "a quotation mark that opened above is never closed"
        elif "did not find expected key" in problem or "block end" in problem or "'-' indicator" in problem:
            says = "this line does not fit the indentation of the lines above"
        elif "maximum nesting" in problem:
            says = f"nested deeper than {DEEPEST} levels"
        elif "cannot start any token" in problem:
            character = line[where.column - 1 : where.column]
            says = f"no value may begin with {character!r}; put it in quotes"
        else:
            says = f"this is not YAML: {problem}"
        self.error(where, says, line.strip()[:80])


_OTHER_SPELLING = {**SPELLINGS, **{new: old for old, new in SPELLINGS.items()}}
