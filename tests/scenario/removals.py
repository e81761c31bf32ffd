"""What notices that a device or a function is gone: removal from the text, and the names of what then fails."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from tests.scenario.inspections import draws, failing_steps, looked_for, vehicle_of
from tests.scenario.shop import COMPLETE, MIDDLE, SMALL, SOUND, judge, text, without

DOCUMENT = Path(__file__).parents[2] / "docs" / "scenario.md"
NAMES = {SMALL: "small", MIDDLE: "middle", COMPLETE: "complete"}
BUILDS = {name: build for build, name in NAMES.items()}
WORDS = {
    "clauses": "clause", "install": "device", "feeds": "feed", "links": "link", "require": "requirement",
    "functions": "function", "switches": "switch", "states": "state", "duty": "duty", "inputs": "input",
    "modes": "mode", "dim": "function", "batteries": "battery", "memory": "memory", "timers": "timer",
}  # fmt: skip
STEP = "inspection step"
ORDER = (
    "requirement",
    "inspection",
    "clause",
    "function",
    "finding",
    "device",
    "feed",
    "link",
    "switch",
    "input",
    "state",
    "duty",
)


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
    """What fails once something is removed, the most telling first: requirements, inspection steps, clauses …"""
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
    found.update(dict.fromkeys(missed_by_inspection(build, what, name)))
    return sorted(found, key=lambda each: ORDER.index(each.split(" ", 1)[0]) if each.split(" ", 1)[0] in ORDER else 99)


def unheld(source: str, name: str) -> str:
    """The text with a name taken off the lists of what the joints hold."""
    return re.sub(
        r"(?m)^(    holds: \[)(.+)\]$",
        lambda m: m[1] + ", ".join(each for each in m[2].split(", ") if each != name) + "]",
        source,
    )


def missed_by_inspection(build: str, what: str, name: str) -> list[str]:
    """Steps of the delivered vehicle's form that fail without something.

    Clauses, requirements and legs of the duty day that name it are struck out with it: they are no part of the vehicle. A
    joint that holds it holds the rest. Struck out too are devices that draw no current (a radio's antenna): no circuit
    misses them. Where more names it, the vehicle cannot be described without it: then only the steps that look for the
    missing thing itself are judged, and those of the functions that name it.
    """
    own = sorted(looked_for(build, name), key=lambda step: (not step.endswith(f" {name}"), step))
    return [f"{STEP} {step}" for step in dict.fromkeys((*own, *_steps_without(build, what, name)))]


def _steps_without(build: str, what: str, name: str) -> list[str]:
    """Steps that fail on the vehicle that is left, if one is; else the functions that name what is missing."""
    source = unheld(without(text(build), what, name), name)
    while True:
        rig, errors = vehicle_of(build, source)
        if rig is not None:
            return failing_steps(build, rig, name)
        owners = dict.fromkeys(owner(source, error.line).partition(" ")[::2] for error in errors)
        for kind, item in owners:
            if kind not in ("clause", "requirement", "duty") and not (kind == "device" and not draws(build, item)):
                return [
                    f"Fuse {item}" if kind == "feed" else item for kind, item in owners if kind in ("function", "feed")
                ]
            if not item or (kind == "duty" and f"  - {{name: {item}," not in source):
                return []
            source = without(source, kind, item)


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
