"""Command trouble is one line; reports of our own faults are named by their content."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from rigbook.cli import status
from rigbook.cli.trouble import CommandTrouble, report_own_fault


def test_command_trouble_is_one_line() -> None:
    out = io.StringIO()
    trouble = CommandTrouble("there is no such thing")
    trouble.show(out)
    assert out.getvalue() == "rigbook: there is no such thing\n"
    assert trouble.exit_code == status.WRONG_INPUT


def test_the_same_fault_makes_one_report(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.chdir(tmp_path)
    fault = ValueError("first line\nsecond line")
    first, second = report_own_fault(fault, ["check"]), report_own_fault(fault, ["check"])
    assert first == second
    assert "\n" not in first
    assert len(list(tmp_path.iterdir())) == 1


def test_an_unwritable_folder_sends_the_report_to_the_temporary_one(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    here.mkdir()
    there.mkdir()
    monkeypatch.chdir(here)
    here.rmdir()
    monkeypatch.setattr("tempfile.gettempdir", lambda: str(there))
    monkeypatch.setattr(Path, "cwd", classmethod(lambda cls: here))
    line = report_own_fault(RuntimeError("x"), [])
    assert str(there) in line
    assert len(list(there.iterdir())) == 1
