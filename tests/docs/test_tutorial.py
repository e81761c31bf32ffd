"""The tutorial, carried out as it stands: every block worked into its file, every command run, every finding looked for."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from rigbook.assess.assessment import assess
from rigbook.cli.main import rigbook
from rigbook.documents.loader import load_build
from tests.docs.fenced import ROOT, blocks, merged

PAGE = ROOT / "docs" / "tutorial.md"
BUILD = "builds/wardens-car.yaml"
HARMLESS = {"added-mass-label@vehicle"}


def run(arguments: list[str], entered: str | None = None) -> str:
    result = CliRunner().invoke(rigbook, arguments, input=entered)
    assert result.exit_code in (0, 1), (arguments, result.output)
    assert result.exception is None or isinstance(result.exception, SystemExit), (arguments, result.exception)
    return result.output


def test_the_tutorial_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    did = {"yaml": 0, "sh": 0, "text": 0, "try": 0}
    waiting: list[str] | None = None
    for block in blocks(PAGE):
        did[block.language] += 1
        if block.language == "yaml":
            file = tmp_path / block.about
            file.parent.mkdir(exist_ok=True)
            before = file.read_text(encoding="utf-8") if file.exists() else None
            file.write_text(block.text if before is None else merged(before, block.text), encoding="utf-8")
        elif block.language == "text":
            found = {f"{f.severity} {f.id}" for f in assess(load_build(tmp_path, Path(BUILD))).findings}
            for line in block.text.splitlines():
                assert line in found, f"{PAGE.name}:{block.line}: {line!r} is not found"
        elif block.language == "try":
            assert waiting is not None
            heard = run(waiting, block.text)
            assert heard.count("siren-amp") >= 2
            waiting = None
        else:
            for line in block.text.splitlines():
                command, *arguments = shlex.split(line)
                assert command == "rigbook"
                if arguments[0] == "try":
                    waiting = arguments
                else:
                    run(arguments)
    assert did["yaml"] >= 15 and did["sh"] >= 8 and did["text"] >= 2 and did["try"] == 1
    assert (tmp_path / "circuits.csv").stat().st_size > 100
    assert (tmp_path / "lamps.svg").stat().st_size > 1000


def test_the_finished_car_is_sound_and_has_its_twelve_devices(tmp_path: Path) -> None:
    for block in blocks(PAGE):
        if block.language == "yaml":
            file = tmp_path / block.about
            file.parent.mkdir(exist_ok=True)
            before = file.read_text(encoding="utf-8") if file.exists() else None
            file.write_text(block.text if before is None else merged(before, block.text), encoding="utf-8")
    assessment = assess(load_build(tmp_path, Path(BUILD)))
    assert not assessment.errors, assessment.errors
    assert {f.id for f in assessment.findings if f.severity != "note"} <= HARMLESS
    assert assessment.loaded.build is not None
    assert len(assessment.loaded.build.install) >= 12
