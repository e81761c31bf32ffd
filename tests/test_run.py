"""The front door: what it needs and what it says."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
import run  # noqa: E402


def test_it_needs_the_standard_library_alone() -> None:
    tree = ast.parse((ROOT / "run.py").read_text())
    names = {node.names[0].name.split(".")[0] for node in ast.walk(tree) if isinstance(node, ast.Import)}
    names |= {str(node.module).split(".")[0] for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert names
    assert names <= set(sys.stdlib_module_names)


@pytest.mark.parametrize("command", ["demo", "test", "lint", "docs", "bench"])
def test_every_command_has_help(command: str) -> None:
    done = subprocess.run([sys.executable, str(ROOT / "run.py"), command, "--help"], capture_output=True, text=True)
    assert done.returncode == 0
    assert "usage: run.py" in done.stdout


def test_requirements_are_hashed_and_pinned() -> None:
    for name in ("run", "test"):
        text = (ROOT / "requirements" / f"{name}.txt").read_text()
        pins = re.findall(r"^([\w.-]+)==", text, flags=re.M)
        blocks = re.split(r"^(?=[\w.-]+==)", text, flags=re.M)[1:]
        assert len(pins) == len(blocks) > 10
        assert all("--hash=sha256:" in block for block in blocks)


def test_every_declared_dependency_is_pinned() -> None:
    declared = re.findall(r'^  "([\w.-]+)[<>=]', (ROOT / "pyproject.toml").read_text(), flags=re.M)
    pinned = {
        pin.lower() for pin in re.findall(r"^([\w.-]+)==", (ROOT / "requirements/run.txt").read_text(), flags=re.M)
    }
    assert declared
    assert {name.lower() for name in declared} <= pinned


def test_missing_programs_without_apt_are_named(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(run.shutil, "which", lambda name: None)
    with pytest.raises(SystemExit) as stopped:
        run.ensure_system_programs()
    assert stopped.value.code == 3
    said = capsys.readouterr().err
    assert all(package in said for package in run.SYSTEM_PROGRAMS.values())


def test_missing_programs_without_the_right_are_named(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(run.shutil, "which", lambda name: "/usr/bin/apt-get" if name == "apt-get" else None)
    monkeypatch.setattr(run.os, "geteuid", lambda: 1000, raising=False)
    with pytest.raises(SystemExit) as stopped:
        run.ensure_system_programs()
    assert stopped.value.code == 3
    assert "as root: apt-get install" in capsys.readouterr().err
