"""Whether the tests notice small changes of the proofs' code: a sample of what `mutmut run` does in full.

The full run, on a copy of the tree: `mutmut run --max-children 1`; its outcome stands in docs/proofs-mutants.md.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = ("rigbook.proofs.gates*", "rigbook.proofs.contents*")


@pytest.mark.long
def test_a_sample_of_small_changes_is_noticed(tmp_path: Path) -> None:
    pytest.importorskip("mutmut")
    for name in ("src", "tests", "benchmarks"):
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    command = [sys.executable, "-m", "mutmut"]
    subprocess.run([*command, "run", "--max-children", "1", *SAMPLE], cwd=tmp_path, check=True, capture_output=True)
    subprocess.run([*command, "export-cicd-stats"], cwd=tmp_path, check=True, capture_output=True)
    counts = json.loads((tmp_path / "mutants" / "mutmut-cicd-stats.json").read_text())
    judged = counts["killed"] + counts["survived"] + counts["timeout"] + counts["suspicious"]
    assert judged >= 100
    assert (counts["killed"] + counts["timeout"]) / judged >= 0.85, counts
