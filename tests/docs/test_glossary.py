"""Every key of `check --json` is a term of the glossary, and no term is given twice."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from rigbook.desk.checking import check

ROOT = Path(__file__).resolve().parents[2]
BUILDS = sorted((ROOT / "src/rigbook/data/example_shop/builds").glob("*.yaml"))
# Names of places and plain English words that explain themselves in the JSON.
PLAIN = {
    "id",
    "title",
    "name",
    "build",
    "vehicle",
    "file",
    "line",
    "switching",
    "power",
    "light",
    "body",
    "radio",
    "sound",
    "money",
    "devices",
    "whole",
    "supply",
    "states",
    "axles",
    "rigbook",
    "limit",
    "colour",
    "worked_in_s",
    "notes",
}


def keys_of(value: Any) -> set[str]:
    if isinstance(value, dict):
        inner = (
            item for key, item in value.items() if not key.endswith("witness")
        )  # states name the build's own switches
        return {key for key in value if re.fullmatch(r"[a-z][a-z0-9_]*", key)} | set().union(
            *map(keys_of, inner), set()
        )
    if isinstance(value, list):
        return set().union(*map(keys_of, value), set())
    return set()


@pytest.mark.parametrize("build", BUILDS, ids=lambda path: path.stem)
def test_every_key_of_the_results_is_explained(build: Path) -> None:
    result = check(build).data
    assert "errors" not in result, result
    for finding in result["findings"]:
        finding.pop("witness", None)
    used = keys_of({key: value for key, value in result.items() if key != "witness"})
    assert len(used) > 60
    glossary = set(re.findall(r"`([a-z][a-z0-9_]*)`", (ROOT / "docs/glossary.md").read_text(encoding="utf-8")))
    ids = {row["id"] for row in result["power"]["feeds"]} | set(
        (result["light"]["around"] or {}).get("cd_s_per_min", ())
    )
    ids |= {name for row in result["power"]["duty"] or () for name in row["bank"]}
    missing = used - glossary - PLAIN - ids
    assert not missing, sorted(missing)


def test_it_looks_at_every_example_build() -> None:
    assert len(BUILDS) == 4


def test_no_term_is_given_twice() -> None:
    terms = re.findall(r"^\| ([^|]+?) \|", (ROOT / "docs/glossary.md").read_text(encoding="utf-8"), flags=re.M)
    terms = [term for term in terms if term not in ("term", "---")]
    assert len(terms) > 60
    assert len(terms) == len(set(terms))
