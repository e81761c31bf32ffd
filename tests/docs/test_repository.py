"""What must never stand in the repository."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def tracked_texts() -> dict[str, str]:
    names = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split("\n")
    texts = {}
    for name in filter(None, names):
        path = ROOT / name
        if not path.is_file():
            continue
        try:
            texts[name] = path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue
    return texts


def test_no_registry_addresses_or_machine_paths() -> None:
    texts = tracked_texts()
    assert len(texts) > 60
    banned = re.compile(
        r"(?:pypi|npmjs|pythonhosted|deb\.debian)\.(?:org|com)|--(?:extra-)?index-url|\"resolved\": *\"http|/(?:root|home)/\w"
    )
    found = [
        f"{name}: {match[0]}"
        for name, text in texts.items()
        if name != "tests/docs/test_repository.py"
        for match in banned.finditer(text)
    ]
    assert not found


def test_the_program_never_promises_what_it_cannot_know() -> None:
    looked_at = 0
    found = []
    for path in [
        *ROOT.glob("src/rigbook/**/*.py"),
        *ROOT.glob("src/rigbook/**/*.typ"),
        *ROOT.glob("src/rigbook/**/*.html"),
    ]:
        looked_at += 1
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            if re.search(r"\b(?:is|are|fully) (?:compliant|certified)\b", line, flags=re.I):
                found.append(f"{path.relative_to(ROOT)}:{number}")
    assert looked_at > 40
    assert not found
