"""`rigbook approve`: an answer is recorded for its revision and no other."""

from __future__ import annotations

import json
from pathlib import Path

from .runner import BUILD, change, rigbook


def answer(shop: Path, path: Path, **changed: object) -> Path:
    report = json.loads(rigbook("check", shop / BUILD, "--json").stdout)["build"]
    made = {
        "rigbook_answer": 1, "build": report["id"], "title": report["title"], "digest": report["digest"], "answer": "approved with remarks",
        "name": "Ann Example", "date": "2026-05-04", "remarks": [{"about": "WARN", "text": "Slower, please."}],
    }  # fmt: skip
    path.write_text(json.dumps(made | changed, indent=1))
    return path


def records(shop: Path) -> list[Path]:
    return sorted((shop / "approvals").glob("*")) if (shop / "approvals").exists() else []


def test_an_answer_is_recorded_once(shop: Path, tmp_path: Path) -> None:
    file = answer(shop, tmp_path / "answer.json")
    before = len(records(shop))
    done = rigbook("approve", shop / BUILD, file)
    assert done.returncode == 0, done.stderr
    assert (
        "approved with remarks by Ann Example, 2026-05-04, 1 remark\n  WARN: Slower, please.\nrecorded: " in done.stdout
    )
    again = rigbook("approve", shop / BUILD, file)
    assert again.returncode == 0 and "recorded before: " in again.stdout
    assert len(records(shop)) == before + 1
    # what was recorded is no part of the build: its revision stays
    assert rigbook("approve", shop / BUILD, file, "--quiet").stdout == ""


def test_after_a_change_the_answer_is_refused(shop: Path, tmp_path: Path) -> None:
    file = answer(shop, tmp_path / "answer.json")
    text = (shop / BUILD).read_text()
    title = next(line for line in text.splitlines() if line.strip().startswith("title:"))
    change(shop, BUILD, title, title + " B")
    before = records(shop)
    done = rigbook("approve", shop / BUILD, file)
    assert done.returncode == 2 and "now is revision" in done.stderr and done.stdout == ""
    assert records(shop) == before


def test_bad_files(shop: Path, tmp_path: Path) -> None:
    before = records(shop)
    bad = answer(shop, tmp_path / "bad.json", date="soon", price=3)
    done = rigbook("approve", shop / BUILD, bad)
    assert done.returncode == 2
    lines = done.stderr.splitlines()
    assert len(lines) == 2 and all(line.startswith(f"{bad}:") for line in lines) and "bad.json:8:" in done.stderr
    other = answer(shop, tmp_path / "other.json", build="another")
    assert "not " in rigbook("approve", shop / BUILD, other).stderr
    for path, says in (
        (tmp_path, "is a folder"),
        (tmp_path / "gone.json", "is not there"),
        (Path("/dev/null"), "a device"),
    ):
        done = rigbook("approve", shop / BUILD, path)
        assert done.returncode == 2 and says in done.stderr, done.stderr
    assert records(shop) == before
