"""A sweep run, kept, resumed, on one and two workers, and on a cluster of this machine."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from rigbook.desk.sweeping import SweepTrouble, WrongBuild, pack, read_rows, sweep
from tests.scenario.shop import SHOP, SMALL

BUILD = SHOP / SMALL


def test_one_worker_and_a_resumed_one_give_the_same(tmp_path: Path) -> None:
    keep = tmp_path / "rows.jsonl"
    told: list[tuple[int, int]] = []
    plain = sweep(BUILD, samples=4, seed=2, workers=1)
    part = sweep(BUILD, samples=2, seed=2, workers=1, keep=keep)
    assert len(keep.read_text().splitlines()) == 3 and part.samples == 2
    with keep.open("a") as file:
        file.write('{"row": 2, "val')  # a line cut short is worked out again
    resumed = sweep(BUILD, samples=4, seed=2, workers=1, keep=keep, progress=lambda done, of: told.append((done, of)))
    assert resumed.spreads == plain.spreads
    assert told == [(2, 4), (3, 4), (4, 4)]
    assert len({json.loads(line)["row"] for line in keep.read_text().splitlines()[1:]}) == 4


def test_a_file_of_another_sweep_is_refused(tmp_path: Path) -> None:
    keep = tmp_path / "rows.jsonl"
    sweep(BUILD, samples=2, seed=2, workers=1, keep=keep)
    with pytest.raises(SweepTrouble, match="not from this sweep"):
        sweep(BUILD, samples=2, seed=3, workers=1, keep=keep)
    keep.write_text("something else\n")
    with pytest.raises(SweepTrouble, match="name another file"):
        read_rows(keep, {"rigbook": 1})


def test_a_build_with_errors_is_told_as_such(tmp_path: Path) -> None:
    import shutil

    shutil.copytree(SHOP, tmp_path / "shop")
    build = tmp_path / "shop" / SMALL
    build.write_text(build.read_text().replace("part: agm-55,", "part: agm-56,"))
    with pytest.raises(WrongBuild):
        sweep(build, samples=2, seed=1, workers=1)


def test_the_pack_holds_what_working_out_reads() -> None:
    files, name = pack(BUILD)
    names = [each for each, _ in files]
    assert name == SMALL and {"shop.yaml", SMALL, "parts/power.yaml"} <= set(names)


@pytest.mark.long
def test_two_workers_give_the_same_as_one() -> None:
    assert sweep(BUILD, samples=4, seed=2, workers=2).spreads == sweep(BUILD, samples=4, seed=2, workers=1).spreads


@pytest.mark.long
def test_a_cluster_by_address_gives_the_same() -> None:
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(n_workers=1, threads_per_worker=1, dashboard_address=None) as cluster:
        there = sweep(BUILD, samples=3, seed=2, cluster=cluster.scheduler_address)
    assert there.spreads == sweep(BUILD, samples=3, seed=2, workers=1).spreads


@pytest.mark.long
def test_a_cluster_that_does_not_answer_is_named() -> None:
    pytest.importorskip("distributed")
    with pytest.raises(SweepTrouble, match="does not answer"):
        sweep(BUILD, samples=2, seed=1, cluster="tcp://127.0.0.1:1")
