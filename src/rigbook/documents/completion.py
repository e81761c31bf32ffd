"""What may stand at a place of a build's text: keys of the record there, or names that its value may take."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel

from rigbook.documents.describing import meanings
from rigbook.documents.reference import default_words, describe, records_of
from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.parts import PartsDocument
from rigbook.documents.schema.shop import RulesDocument, ShopDocument
from rigbook.documents.schema.vehicle import VehicleDocument

_LINE = re.compile(r"^(?P<indent>\s*(?:- )*)(?:(?P<key>[^\s:#'\"{}\[\],][^:#{}]*?)\s*:(?=\s|$))?")
_WORD = re.compile(r"[\w.-]*$")
_FLOW_KEY = re.compile(r"([\w-]+)\s*:\s*[^,{}]*$")
NAMES_BY_KEY: Mapping[str, tuple[str, ...]] = {
    "part": ("parts",), "place": ("places",), "node": ("nodes",), "area": ("areas",), "tags": ("tags",),
    "feed": ("feeds",), "sense_feed": ("feeds",), "ground": ("grounds",), "controller": ("install",),
    "outputs": ("outputs", "install"), "through": ("install",), "lamps": ("tags", "install", "zones"),
    "cut": ("tags", "install", "zones"), "device": ("install",), "colour": ("colours",), "pattern": ("patterns",),
    "rank": ("ranks",), "vehicle": ("vehicles",), "rules": ("packs",), "met_by": ("install", "tags", "functions"),
    "when": ("variables", "conditions", "words"), "never": ("variables", "conditions", "words", "predicates"),
    "always": ("variables", "conditions", "words", "predicates"), "live_when": ("variables", "words"),
    "warning_when": ("variables", "conditions", "words"), "releases_when": ("variables", "conditions", "words"),
    "set_when": ("variables", "conditions", "words"), "clear_when": ("variables", "conditions", "words"),
    "from": ("outputs", "install"), "to": ("install",), "amplifier": ("install",), "antenna": ("install",),
}  # fmt: skip
"""Kinds of names that a key's value may take."""


@dataclass(frozen=True, slots=True)
class Option:
    """One thing that may stand there."""

    label: str
    kind: Literal["key", "value"]
    detail: str
    about: str


@dataclass(frozen=True, slots=True)
class FieldWords:
    """A key of a record as a person reads it."""

    key: str
    value: str
    needed: bool
    default: str
    about: str


def fields_of(record: type[BaseModel]) -> tuple[FieldWords, ...]:
    """Every key of a record: what its value is with its unit, whether it is needed, default and meaning."""
    about = meanings(record)
    return tuple(
        FieldWords(
            field.alias or name,
            re.sub(r"\]\(#[^)]*\)", "", describe(field.annotation, tuple(field.metadata)))
            .replace("[", "")
            .replace("`", ""),
            field.is_required(),
            "" if field.is_required() else default_words(field),
            about.get(name, ""),
        )
        for name, field in record.model_fields.items()
        if name != "marks_"
    )


def parents(lines: Sequence[str], row: int) -> list[str]:
    """The keys that hold the line `row` (from 0), outermost first: those above it that stand further left."""
    found: list[str] = []
    own = _LINE.match(lines[row])
    least = len(own.group("indent")) if own and lines[row].strip() else len(lines[row])
    for line in reversed(lines[:row]):
        match = _LINE.match(line)
        if not line.strip() or line.lstrip().startswith("#") or match is None or match.group("key") is None:
            continue
        column = len(match.group("indent"))
        if column < least:
            found.append(match.group("key"))
            least = column
            if "- " in match.group("indent"):
                least = min(least, match.group("indent").index("- "))
                if line[:least].strip() == "" and least == 0:
                    continue
    return found[::-1]


def record_at(path: Sequence[str], root: type[BaseModel] = BuildDocument) -> type[BaseModel] | None:
    """The record that keys of a path lead to; None where they lead to none."""
    record: type[BaseModel] | None = root
    for step in path:
        if record is None:
            return None
        field = next((f for n, f in record.model_fields.items() if step in (n, f.alias)), None)
        if field is None:
            continue  # a key of a map: what it holds was found already
        record = next(records_of(field.annotation), None)
    return record


def root_of(file: str) -> type[BaseModel]:
    """The record a whole document of the shop is, by its file's name."""
    folder = file.split("/", 1)[0]
    roots: dict[str, type[BaseModel]] = {
        "shop.yaml": ShopDocument, "vehicles": VehicleDocument, "parts": PartsDocument, "rules": RulesDocument
    }  # fmt: skip
    return roots.get(folder, BuildDocument)


def complete(
    text: str, line: int, column: int, names: Mapping[str, Sequence[str]], root: type[BaseModel] = BuildDocument
) -> tuple[int, tuple[Option, ...]]:
    """Options at a place of a document's text, and the column from which they replace.

    Args:
        text: the whole text, saved or not.
        line: from 1.
        column: from 1.
        names: names by kind: parts, places, tags, variables …
        root: the record the whole document is.
    """
    lines = text.splitlines() or [""]
    row = min(max(line, 1), len(lines)) - 1
    before = lines[row][: max(column - 1, 0)]
    word = _WORD.search(before)
    start = word.start() if word else len(before)
    ahead = before[:start]
    if "#" in ahead and ahead[: ahead.index("#")].strip(" -") == "":
        return start + 1, ()
    flow = ahead.count("{") > ahead.count("}")
    opened = _LINE.match(ahead)
    key = opened.group("key") if opened else None
    path = parents(lines, row)
    if flow:
        inside = _FLOW_KEY.search(ahead[ahead.rindex("{") :])
        if inside:
            return start + 1, _values(inside.group(1), record_at(path, root), names)
        record = record_at([*path, key] if key else path, root)
        return start + 1, _keys(record)
    if key is not None:
        return start + 1, _values(key, record_at(path, root), names)
    if ahead.strip(" -") == "":
        return start + 1, (*_keys(record_at(path, root)), *(_values(path[-1], None, names) if path else ()))
    return start + 1, ()


def _keys(record: type[BaseModel] | None) -> tuple[Option, ...]:
    if record is None:
        return ()
    return tuple(Option(f.key, "key", f.value, f.about) for f in fields_of(record))


def _values(key: str, record: type[BaseModel] | None, names: Mapping[str, Sequence[str]]) -> tuple[Option, ...]:
    options = [Option(w, "value", "", "") for w in _literals(key, record)]
    for kind in NAMES_BY_KEY.get(key, ()):
        options += [Option(name, "value", kind.removesuffix("s"), "") for name in names.get(kind, ())]
    if not options and record is not None and record.__name__ == "Switching" and key not in record.model_fields:
        options = [Option(n, "value", k, "") for k in ("variables", "conditions", "words") for n in names.get(k, ())]
    return tuple({o.label: o for o in options}.values())


def _literals(key: str, record: type[BaseModel] | None) -> list[str]:
    if record is None:
        return []
    field = next((f for n, f in record.model_fields.items() if key in (n, f.alias)), None)
    return [] if field is None else _words(field.annotation)


def _words(annotation: Any) -> list[str]:
    if get_origin(annotation) is Literal:
        return [str(a) for a in get_args(annotation)]
    found: list[str] = []
    for argument in get_args(annotation):
        found += _words(argument)
    return found
