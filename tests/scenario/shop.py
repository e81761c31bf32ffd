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


SECTIONS = {
    "device": "install", "function": "  functions", "feed": "feeds", "link": "links", "battery": "batteries",
    "clause": "clauses", "switch": "  switches", "requirement": "  require", "duty": "duty",
}  # fmt: skip
"""What a removal is called, and the section it is removed from."""


def without(source: str, what: str, name: str) -> str:
    """The text without one item of a list: `without(text, "device", "grille-left")`."""
    head = SECTIONS[what]
    lines = source.splitlines(keepends=True)
    first = lines.index(f"{head}:\n") + 1
    deep = len(head) - len(head.lstrip()) + 2
    start = re.compile(rf"^ {{{deep}}}- (?:\{{)?(?:id|name): {re.escape(name)}(?:[,}}\s]|$)")
    last = next((n for n in range(first, len(lines)) if re.match(rf"^ {{0,{deep - 1}}}[a-z]", lines[n])), len(lines))
    found = [n for n in range(first, last) if start.match(lines[n])]
    assert len(found) == 1, f"{len(found)} items of {head} are called {name}"
    end = found[0] + 1
    while end < last and lines[end].startswith(" " * (deep + 1)):
        end += 1
    rest = lines[: found[0]] + lines[end:]
    if not any(line.startswith(" " * deep + "- ") for line in rest[first : last - (end - found[0])]):
        rest[first - 1] = f"{head}: []\n"
    return "".join(rest)


def changed_once(source: str, old: str, new: str) -> str:
    """The text with one passage replaced; it must stand there exactly once."""
    assert source.count(old) == 1, f"{source.count(old)} times: {old!r}"
    return source.replace(old, new)
