"""Every key of `check --json` is a term of the glossary, and no term is given twice."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
SHOP = ROOT / "src/rigbook/data/example_shop"
# Names of places and plain English words that explain themselves in the JSON.
PLAIN = {"id", "title", "name", "build", "vehicle", "file", "line", "switching", "power", "light", "body", "radio", "sound", "money",
         "devices", "whole", "supply", "states", "axles", "rigbook", "limit", "colour", "worked_in_s", "notes"}


def keys_of(value: Any) -> set[str]:
    if isinstance(value, dict):
        inner = (item for key, item in value.items() if not key.endswith("witness"))  # states name the build's own switches
        return {key for key in value if re.fullmatch(r"[a-z_]+", key)} | set().union(*map(keys_of, inner), set())
    if isinstance(value, list):
        return set().union(*map(keys_of, value), set())
    return set()


def test_every_key_of_the_results_is_explained() -> None:
    build = sorted((SHOP / "builds").glob("*.yaml"))[0]
    run = subprocess.run(
        [sys.executable, "-m", "rigbook.cli.main", "check", "--json", str(build)], capture_output=True, text=True
    )
    assert run.returncode in (0, 1), run.stderr
    result = json.loads(run.stdout)
    for finding in result["findings"]:
        finding.pop("witness", None)
    used = keys_of({key: value for key, value in result.items() if key != "witness"})
    assert len(used) > 60
    glossary = set(re.findall(r"`([a-z_]+)`", (ROOT / "docs/glossary.md").read_text(encoding="utf-8")))
    missing = {key for key in used - glossary - PLAIN if not re.search(rf"\b{key}\b", " ".join(glossary))}
    ids = {row["id"] for row in result["power"]["feeds"]}
    assert not missing - ids, sorted(missing - ids)


def test_no_term_is_given_twice() -> None:
    terms = re.findall(r"^\| ([^|]+?) \|", (ROOT / "docs/glossary.md").read_text(encoding="utf-8"), flags=re.M)
    terms = [term for term in terms if term not in ("term", "---")]
    assert len(terms) > 60
    assert len(terms) == len(set(terms))
