"""What notices that a device or a function is gone: removal from the text, and the names of what then fails."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from tests.scenario.shop import COMPLETE, MIDDLE, SMALL, SOUND, judge, text, without

DOCUMENT = Path(__file__).parents[2] / "docs" / "scenario.md"
NAMES = {SMALL: "small", MIDDLE: "middle", COMPLETE: "complete"}
BUILDS = {name: build for build, name in NAMES.items()}
WORDS = {
    "clauses": "clause", "install": "device", "feeds": "feed", "links": "link", "require": "requirement",
    "functions": "function", "switches": "switch", "states": "state", "duty": "duty", "inputs": "input",
    "modes": "mode", "dim": "function", "batteries": "battery", "memory": "memory", "timers": "timer",
}  # fmt: skip
ORDER = ("requirement", "clause", "function", "finding", "device", "feed", "link", "switch", "input", "state", "duty")


def owner(source: str, line: int) -> str:
    """The item of the text that a line belongs to, as `clause 2.1` or `requirement Siren silent in park`."""
    lines = source.splitlines()
    item = section = ""
    deep = 1_000
    for text_ in reversed(lines[:line]):
        indent = len(text_) - len(text_.lstrip())
        if not item and (found := re.match(r"\s*- (?:\{)?(?:id|name): (.+?)(?:, [a-z_]+: .*)?\}?(?:\s+#.*)?$", text_)):
            item, deep = found.group(1), indent
        elif (found := re.match(r"\s*([a-z_]+):(\s.*)?$", text_)) and indent < deep and found.group(1) in WORDS:
            section = WORDS[found.group(1)]
            if not item:
                named = re.match(r"\s*([a-z0-9_-]+):", lines[line - 1])
                item = named.group(1) if named else ""
            break
    return f"{section} {item}".strip()


@lru_cache(maxsize=8)
def usual(build: str) -> frozenset[str]:
    """Ids of the findings of a build as it stands."""
    assessment = judge(build)
    assert not assessment.errors, assessment.errors
    return frozenset(finding.id for finding in assessment.findings)


def failing(build: str, what: str, name: str) -> list[str]:
    """What fails once something is removed, the most telling first: requirements, clauses, functions, findings …"""
    source = without(text(build), what, name)
    assessment = judge(build, {build: source})
    found: dict[str, None] = {}
    for error in assessment.errors:
        assert error.file == build, error
        found.setdefault(owner(source, error.line))
    for finding in assessment.findings:
        if finding.severity != "note" and finding.id not in usual(build):
            rule, _, subject = finding.id.partition("@")
            found.setdefault(f"requirement {subject}" if rule == "broken-requirement" else f"finding {finding.id}")
    return sorted(found, key=lambda each: ORDER.index(each.split(" ", 1)[0]) if each.split(" ", 1)[0] in ORDER else 99)


def everything() -> Iterator[tuple[str, str, str]]:
    """(build, what, name) of everything that the three sound builds install, feed, link or do."""
    for build in SOUND:
        document = judge(build).loaded.build
        assert document is not None
        yield from ((build, "device", row.id) for row in document.install)
        yield from ((build, "function", function.name) for function in document.switching.functions)
        yield from ((build, "feed", feed.id) for feed in document.feeds)
        yield from ((build, "link", link.id) for link in document.links)
        yield from ((build, "battery", bank.id) for bank in document.batteries)


def table() -> list[tuple[str, str, str, str]]:
    """The rows of the table in docs/scenario.md: build, what, name, what fails."""
    rows = []
    for line in DOCUMENT.read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
        if len(cells) == 4 and cells[0] in BUILDS:
            rows.append((BUILDS[cells[0]], cells[1], cells[2], cells[3]))
    return rows


def write() -> None:
    """Write the table anew below its heading."""
    lines = ["| build | without the | named | this fails |", "| --- | --- | --- | --- |"]
    for build, what, name in everything():
        fails = failing(build, what, name)
        assert fails, f"nothing misses {what} {name} of {build}"
        lines.append(f"| {NAMES[build]} | {what} | {name} | {fails[0]} |")
    before = DOCUMENT.read_text(encoding="utf-8").partition("## What misses what")[0]
    after = "Each row is carried out by `tests/scenario/test_removals.py`; `python -m tests.scenario.removals` writes it anew."
    DOCUMENT.write_text(before + "## What misses what\n\n" + after + "\n\n" + "\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    write()
