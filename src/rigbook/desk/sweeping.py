"""A sweep run: rows in processes of this machine or on a cluster by address, kept in a file so that it can be resumed.

A worker gets the shop folder's files with its first row and lays them into a folder of its own, so it may stand on
another machine. Every row draws from its own seed: the same sweep gives the same figures on any number of workers.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rigbook.desk.files import write_whole
from rigbook.desk.shopfolder import WATCHED, find_build

if TYPE_CHECKING:
    from rigbook.power.sweep import Followed, Spread
    from rigbook.rig.model import Rig

Files = tuple[tuple[str, bytes], ...]
Row = list[list[float]]
FORMAT = 1


class SweepTrouble(Exception):
    """The sweep cannot be run or resumed as asked; the message says why and how to mend it."""


class WrongBuild(Exception):
    """The build has errors; they are told as by `check`."""


@dataclass(frozen=True, slots=True)
class Job:
    """What a worker needs for any row."""

    files: Files
    build: str
    seed: int


@dataclass(frozen=True, slots=True)
class Swept:
    """A finished sweep."""

    build: str
    digest: str
    seed: int
    samples: int
    spreads: tuple[Spread, ...]


def pack(path: Path) -> tuple[Files, str]:
    """The files of a build's shop folder that working it out may read, and the build's name inside."""
    root, name = find_build(path)
    folders = [root / each for each in (*WATCHED, "builds") if (root / each).is_dir()]
    found = [root / "shop.yaml", *(p for folder in folders for p in sorted(folder.rglob("*")) if p.is_file())]
    return tuple((p.relative_to(root).as_posix(), p.read_bytes()) for p in found), name


@lru_cache(maxsize=2)
def prepared(files: Files, build: str) -> tuple[Rig, Followed]:
    """The rig of packed files, worked out once a process."""
    from rigbook.assess.assessment import assess_rig_alone
    from rigbook.desk.shopfolder import ShopFolder
    from rigbook.power.sweep import followed

    with tempfile.TemporaryDirectory(prefix="rigbook-sweep-") as folder:
        for name, content in files:
            at = Path(folder, name)
            at.parent.mkdir(parents=True, exist_ok=True)
            at.write_bytes(content)
        assessment = assess_rig_alone(ShopFolder(Path(folder)).load(build))
    if assessment.rig is None:
        raise WrongBuild(build)
    return assessment.rig, followed(assessment.rig)


def work_row(job: Job, number: int) -> tuple[int, Row]:
    """One row of a job, in whatever process this is."""
    from rigbook.power.sweep import row

    rig, what = prepared(job.files, job.build)
    return number, row(rig, what, seed=job.seed, number=number)


# --- the file that a sweep can be resumed from ---------------------------------------------------------------------


def _header(job: Job, digest: str) -> dict[str, Any]:
    from rigbook.power.sweep import factors

    return {"rigbook": FORMAT, "digest": digest, "seed": job.seed, "factors": [f.id for f in factors()]}


def read_rows(at: Path, header: dict[str, Any]) -> dict[int, Row]:
    """Rows of an earlier run of the same sweep; a last line cut short is left out.

    Raises:
        SweepTrouble: the file belongs to another sweep, or is none.
    """
    if not at.exists():
        return {}
    lines = at.read_text(encoding="utf-8").splitlines()
    try:
        first = json.loads(lines[0]) if lines else None
    except ValueError:
        first = None
    if first != header:
        raise SweepTrouble(
            f"{at} is not from this sweep (another build, seed or tolerances): name another file, or remove it"
        )
    found: dict[int, Row] = {}
    for line in lines[1:]:
        try:
            entry = json.loads(line)
        except ValueError:
            continue
        found[entry["row"]] = entry["values"]
    return found


class _Kept:
    """Rows as they come, appended to a file where one is named; plain in memory otherwise."""

    def __init__(self, at: Path | None, header: dict[str, Any], known: dict[int, Row]) -> None:
        self.at = at
        self.rows = dict(known)
        if at is not None:
            lines = [json.dumps(header), *(_line(number, row) for number, row in sorted(known.items()))]
            write_whole(at, ("\n".join(lines) + "\n").encode())

    def add(self, number: int, row: Row) -> None:
        """Keep a row."""
        self.rows[number] = row
        if self.at is not None:
            with self.at.open("a", encoding="utf-8") as file:
                file.write(_line(number, row) + "\n")


def _line(number: int, row: Row) -> str:
    return json.dumps({"row": number, "values": row})


# --- running ---------------------------------------------------------------------------------------------------------


def _in_processes(job: Job, numbers: Sequence[int], workers: int | None) -> Iterator[tuple[int, Row]]:
    from concurrent.futures import ProcessPoolExecutor, as_completed
    from multiprocessing import get_context

    with ProcessPoolExecutor(max_workers=workers, mp_context=get_context("spawn")) as pool:
        waiting = [pool.submit(work_row, job, number) for number in numbers]
        try:
            for future in as_completed(waiting):
                yield future.result()
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise


def _on_cluster(job: Job, numbers: Sequence[int], address: str) -> Iterator[tuple[int, Row]]:
    try:
        import distributed
    except ImportError:
        raise SweepTrouble("a cluster needs the extra `cluster`: pip install rigbook[cluster]") from None
    library: Any = distributed  # it states no types
    try:
        client = library.Client(address, timeout="10s")
    except (OSError, TimeoutError, ValueError) as wrong:
        raise SweepTrouble(f"the cluster at {address} does not answer ({wrong}): is its scheduler running?") from wrong
    with client:
        shared = client.scatter(job, broadcast=True, hash=False)
        waiting = [client.submit(work_row, shared, number, pure=False) for number in numbers]
        for future in library.as_completed(waiting):
            yield future.result()


def sweep(
    path: Path, *, samples: int, seed: int, workers: int | None = None, cluster: str | None = None,
    keep: Path | None = None, progress: Callable[[int, int], None] = lambda done, of: None,
) -> Swept:  # fmt: skip
    """Run a sweep of a build, or the rows of it that a kept file lacks. One worker works in this process.

    Raises:
        NotAShop: the path leads to no build of a shop folder.
        WrongBuild: the build has errors.
        SweepTrouble: the kept file or the cluster does not do.
    """
    from rigbook.power.sweep import evaluate, factors, spreads

    files, name = pack(path)
    job = Job(files, name, seed)
    rig, what = prepared(files, name)
    header = _header(job, rig.digest)
    kept = _Kept(keep, header, {} if keep is None else read_rows(keep, header))
    missing = [number for number in range(samples) if number not in kept.rows]
    progress(samples - len(missing), samples)
    if cluster is not None:
        rows = _on_cluster(job, missing, cluster)
    elif workers == 1 or len(missing) < 2:
        rows = (work_row(job, number) for number in missing)
    else:
        rows = _in_processes(job, missing, workers)
    for done, (number, row) in enumerate(rows, samples - len(missing) + 1):
        kept.add(number, row)
        progress(done, samples)
    nominal = evaluate(rig, what, {f.id: (0.0 if f.id == "battery_temperature" else 1.0) for f in factors()})
    found = spreads(what, nominal, [kept.rows[number] for number in range(samples)])
    return Swept(rig.build.build.id, rig.digest, seed, samples, found)
