"""What the commands share."""

from __future__ import annotations

from pathlib import Path

import click
import pytest

from rigbook.cli import status
from rigbook.cli.common import assess_or_stop, painted, with_colour, write_output
from rigbook.cli.trouble import CommandTrouble

from .runner import BUILD, change


def test_colour_marks_the_severity_alone() -> None:
    assert painted("fail     x", True).startswith("\x1b[31m")
    assert painted("fail     x", False) == "fail     x"
    assert painted("verdict: fail", True) == "verdict: fail"


def test_colour_only_on_a_terminal_and_where_not_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdout.isatty", lambda: True, raising=False)
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert with_colour(False)
    assert not with_colour(True)
    monkeypatch.setenv("NO_COLOR", "1")
    assert not with_colour(False)
    monkeypatch.setenv("NO_COLOR", "")
    assert with_colour(False), "an empty NO_COLOR does not count"


def test_wrong_builds_stop_with_2(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert assess_or_stop(shop / BUILD).rig is not None
    change(shop, BUILD, "fuse: 10 A", "fuse: ten")
    with pytest.raises(click.exceptions.Exit) as stopped:
        assess_or_stop(shop / BUILD)
    assert stopped.value.exit_code == status.WRONG_INPUT
    assert f"{BUILD}:" in capsys.readouterr().err
    with pytest.raises(CommandTrouble, match="is not there"):
        assess_or_stop(shop / "builds/nothing.yaml")


def test_outputs_are_said_unless_quiet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_output(tmp_path / "a", b"x")
    write_output(tmp_path / "b", b"x", quiet=True)
    assert capsys.readouterr().err == f"written: {tmp_path / 'a'}\n"
    with pytest.raises(CommandTrouble, match="there is no folder"):
        write_output(tmp_path / "c" / "d", b"x")
