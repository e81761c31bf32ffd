"""`rigbook try --drive`: what a recording came to, and what is refused."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import pytest

from .runner import BUILD, rigbook


@pytest.fixture
def example(tmp_path: Path) -> Path:
    assert rigbook("new", tmp_path / "shop").returncode == 0
    return tmp_path / "shop"


def test_a_drive_that_keeps_to_everything(example: Path, tmp_path: Path) -> None:
    outputs = [tmp_path / f"drive.{form}" for form in ("csv", "xlsx", "svg")]
    more = [part for path in outputs for part in ("-o", path)]
    done = rigbook(
        "try",
        example / "builds/flood-support-van.yaml",
        "--drive",
        example / "drives/flood-support-van-call.csv",
        *more,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("45:00 recorded, ") and "requirements broken: none" in done.stdout
    assert all(path.stat().st_size > 2_000 for path in outputs)


def test_a_drive_that_breaks_requirements(example: Path) -> None:
    done = rigbook("try", example / "builds/planted-faults.yaml", "--drive", example / "drives/planted-faults-call.csv")
    assert done.returncode == 1
    assert "requirements broken: 2" in done.stdout
    assert "  1:05 to 1:15: Siren silent in park (line " in done.stdout
    assert "  1:00 to 1:50: No white ahead when parked (line " in done.stdout


def test_what_is_refused(shop: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.csv"
    bad.write_text("time (s),nothing_such\n0,1\n")
    out = tmp_path / "out.csv"
    done = rigbook("try", shop / BUILD, "--drive", bad, "-o", out)
    assert (
        done.returncode == 2
        and done.stderr.startswith(f"{bad}:1:10: nothing is called nothing_such")
        and not out.exists()
    )
    for arguments, says in (
        (("--drive", tmp_path / "gone.csv"), "is not there"),
        (("--drive", tmp_path), "is a folder"),
        (("--drive", bad, "-o", tmp_path / "x.pdf"), "name it x.csv"),
        (("--drive", bad, "-o", bad), "the recording itself"),
        (("--drive", bad, "--state", "any"), "leave --state out"),
        (("-o", out), "belongs to --drive"),
    ):
        wrong = rigbook("try", shop / BUILD, *arguments)
        assert wrong.returncode == 2 and says in wrong.stderr, wrong.stderr
        assert "Traceback" not in wrong.stderr
    assert bad.read_text().startswith("time (s)")


def test_every_example_drive_names_its_build() -> None:
    shop = resources.files("rigbook.data").joinpath("example_shop")
    builds = {p.name.removesuffix(".yaml") for p in shop.joinpath("builds").iterdir()}
    drives = [p.name for p in shop.joinpath("drives").iterdir()]
    assert len(drives) >= 2 and all(any(d.startswith(b) for b in builds) for d in drives)
