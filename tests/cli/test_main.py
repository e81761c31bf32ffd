"""The front door: help without heavy imports, and three kinds of trouble kept apart."""

from __future__ import annotations

import importlib
import subprocess
import sys
import time
from pathlib import Path

import click
import pytest

from rigbook.cli import main, status

from .runner import BUILD, SMALL

HEAVY = (
    "numpy", "scipy", "pydantic", "networkx", "fastapi", "sqlalchemy", "typst", "ezdxf", "shapely", "pysat",
    "ortools", "rich", "yaml", "jinja2",
)  # fmt: skip


def test_help_imports_none_of_the_heavy_modules() -> None:
    code = (
        "import sys\nfrom rigbook.cli.main import run\n"
        "assert run(['--help']) == 0\n"
        f"print('LOADED', [m for m in {HEAVY!r} if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "LOADED []" in done.stdout
    for name in main.COMMANDS:
        assert f"\n  {name} " in done.stdout, name


@pytest.mark.parametrize("name", list(main.COMMANDS))
def test_each_commands_help_imports_none_of_the_heavy_modules(name: str) -> None:
    code = (
        "import sys\nfrom rigbook.cli.main import run\n"
        f"assert run([{name!r}, '--help']) == 0\n"
        f"print('LOADED', [m for m in {HEAVY!r} if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "LOADED []" in done.stdout


def test_help_costs_little_more_than_the_interpreter() -> None:
    """A ratio, so that a slow machine does not fail it: help against starting Python and importing click."""

    def best(code: str) -> float:
        times = []
        for _ in range(5):
            started = time.perf_counter()
            subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
            times.append(time.perf_counter() - started)
        return min(times)

    bare = best("import click")
    whole = best("from rigbook.cli.main import run; run(['--help'])")
    assert whole < 2.0 * bare, (whole, bare)


def test_every_command_of_the_table_is_there_and_says_what_it_does() -> None:
    for name, (module, about) in main.COMMANDS.items():
        command = importlib.import_module(module).command
        assert isinstance(command, click.Command)
        assert command.name == name
        assert command.help
        assert about.endswith(".")


def test_version() -> None:
    done = subprocess.run([sys.executable, "-m", "rigbook.cli.main", "--version"], capture_output=True, text=True)
    assert done.returncode == 0
    assert "rigbook" in done.stdout


def test_an_unknown_command_names_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main.run(["chek"]) == status.WRONG_INPUT
    assert "Did you mean 'check'?" in capsys.readouterr().err


def test_a_wrong_option_is_the_commands_trouble(capsys: pytest.CaptureFixture[str]) -> None:
    assert main.run(["check", "--jsn", "x.yaml"]) == status.WRONG_INPUT
    assert "Traceback" not in capsys.readouterr().err


def test_our_own_fault_is_one_line_and_a_report(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    from rigbook.desk import checking

    def broken(*args: object, **kwargs: object) -> None:
        raise ZeroDivisionError("nobody thought of this")

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(checking, "check_all", broken)
    assert main.run(["check", "x.yaml"]) == status.OWN_FAULT
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 1
    assert "a fault of our own, ZeroDivisionError: nobody thought of this" in lines[0]
    reports = list(tmp_path.glob("rigbook-fault-*.txt"))
    assert len(reports) == 1
    assert str(reports[0]) in lines[0]
    assert "nobody thought of this" in reports[0].read_text()
    assert "Traceback" in reports[0].read_text()


def test_ctrl_c_is_one_line(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    from rigbook.desk import checking

    def stopped(*args: object, **kwargs: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(checking, "check_all", stopped)
    assert main.run(["check", "x.yaml"]) == status.INTERRUPTED
    assert capsys.readouterr().err.strip() == "rigbook: stopped"


def test_a_closed_pipe_is_no_error() -> None:
    command = f"{sys.executable} -m rigbook.cli.main --help | head -1; echo ${{PIPESTATUS[0]}}"
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True)
    assert done.stdout.splitlines()[-1] == "0"
    assert done.stderr == ""


def test_a_pipe_closed_between_lines_does_not_read_as_a_finding() -> None:
    command = f"{sys.executable} -m rigbook.cli.main check {SMALL / BUILD} | true; exit ${{PIPESTATUS[0]}}"
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, timeout=120)
    assert (done.returncode, done.stderr) == (0, "")
