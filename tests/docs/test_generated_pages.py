"""Generated pages are not stale, and the list of outside checks is as long as it claims."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def test_generated_pages_are_current() -> None:
    run = subprocess.run(
        [sys.executable, "tools/generate_docs.py", "--check"], cwd=ROOT, capture_output=True, text=True
    )
    assert run.returncode == 0, f"run `python3 run.py docs`: {run.stdout}{run.stderr}"


def test_there_are_enough_outside_checks() -> None:
    page = (ROOT / "docs/outside-checks.md").read_text(encoding="utf-8")
    listed = len(re.findall(r"^- ", page, flags=re.M))
    stated = int(re.search(r"^(\d+) checks", page, flags=re.M)[1])  # type: ignore[index]
    assert listed == stated
    assert listed >= 40
