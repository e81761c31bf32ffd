"""The example shop, loaded with changed texts: what the scenario's tests stand on."""

from __future__ import annotations

import re
from collections.abc import Mapping
from importlib import resources
from pathlib import Path

from rigbook.assess.assessment import Assessment, assess
from rigbook.documents.loader import Loaded, load_build, load_shop

SHOP = Path(str(resources.files("rigbook.data"))) / "example_shop"
SMALL = "builds/duty-officer-utility.yaml"
MIDDLE = "builds/boat-crew-pickup.yaml"
COMPLETE = "builds/flood-support-van.yaml"
PLANTED = "builds/planted-faults.yaml"
SOUND = (SMALL, MIDDLE, COMPLETE)


def text(name: str) -> str:
    """A file of the example shop."""
    return (SHOP / name).read_text(encoding="utf-8")


def load(build: str, changed: Mapping[str, str] | None = None) -> Loaded:
    """A build with some files' texts changed."""
    overlay = {name: new.encode() for name, new in (changed or {}).items()}
    return load_build(SHOP, Path(build), overlay)


def load_all() -> Loaded:
    """The whole shop."""
    return load_shop(SHOP)


def judge(build: str, changed: Mapping[str, str] | None = None) -> Assessment:
    """A build worked out with some files' texts changed."""
    return assess(load(build, changed))


def without(source: str, key: str, value: str) -> str:
    """The text without the list item that has `key: value` first; exactly one must have it."""
    start = re.compile(rf"^(\s*)- (?:\{{)?{key}: {re.escape(value)}(?:[,}}\s]|$)")
    kept: list[str] = []
    lines = source.splitlines(keepends=True)
    removed = 0
    number = 0
    while number < len(lines):
        found = start.match(lines[number])
        if found is None:
            kept.append(lines[number])
            number += 1
            continue
        removed += 1
        deep = len(found.group(1))
        number += 1
        while number < len(lines) and (lines[number].strip() and len(lines[number]) - len(lines[number].lstrip()) > deep):
            number += 1
    assert removed == 1, f"{removed} items have {key}: {value}"
    return "".join(kept)


def changed_once(source: str, old: str, new: str) -> str:
    """The text with one passage replaced; it must stand there exactly once."""
    assert source.count(old) == 1, f"{source.count(old)} times: {old!r}"
    return source.replace(old, new)
