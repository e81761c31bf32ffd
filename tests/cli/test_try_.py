"""`rigbook try`: stepping through states in the terminal."""

from __future__ import annotations

from pathlib import Path

from .runner import BUILD, program, rigbook


def test_try_reads_from_a_pipe(shop: Path) -> None:
    done = program("try", shop / BUILD, stdin="press warn\n\n# a remark\nset gear drive\nundo\nquit\npress nothing\n")
    assert done.returncode == 0, done.stderr
    assert "switches: warn yes" in done.stdout
    assert "average: " in done.stdout
    assert done.stdout.count("> press warn") == 1
    assert "nothing" not in done.stdout, "quit ends it"


def test_try_says_which_line_it_cannot_carry_out_and_goes_on(shop: Path) -> None:
    done = rigbook("try", shop / BUILD, stdin="prss warn\npress warn\n")
    assert done.returncode == 2
    assert done.stderr.startswith("prss warn: ")
    assert "switches: warn yes" in done.stdout


def test_try_starts_from_a_saved_state(shop: Path) -> None:
    done = rigbook("try", shop / BUILD, "--state", "on-scene", stdin="")
    assert done.returncode == 0
    assert "switches: warn yes" in done.stdout
    wrong = rigbook("try", shop / BUILD, "--state", "on-scen", stdin="")
    assert wrong.returncode == 2
    assert "there are: on-scene" in wrong.stderr
