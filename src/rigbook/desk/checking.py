"""Checking builds: one in this process, several in processes of their own."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rigbook.desk.shopfolder import NotAShop, ShopFolder, find_build
from rigbook.documents.errors import DocumentError

if TYPE_CHECKING:
    from rigbook.assess.assessment import Assessment
    from rigbook.quantities.kept import Kept


@dataclass(frozen=True, slots=True)
class Checked:
    """One build checked, as plain data that travels between processes."""

    path: str
    data: dict[str, Any]
    lines: tuple[str, ...]
    severities: tuple[str, ...]

    @property
    def wrong(self) -> bool:
        """Whether the input was wrong."""
        return "errors" in self.data


def open_build(path: Path, *, judged: bool = True, kept: Kept | None = None) -> Assessment:
    """Load and assess one build file; without `judged` the rig alone is worked out.

    kept: what earlier checks of this process worked out.

    Raises:
        NotAShop: the path leads to no build of a shop folder.
    """
    from rigbook.assess.assessment import assess, assess_rig_alone

    root, name = find_build(path)
    loaded = ShopFolder(root).load(name)
    return assess(loaded, kept) if judged else assess_rig_alone(loaded)


def check(path: Path, timing: bool = False, kept: Kept | None = None) -> Checked:
    """Check one build file. A path that leads to no build gives an error like any other.

    kept: what earlier checks of this process worked out.
    """
    from rigbook.assess.results_json import errors_json, to_json
    from rigbook.assess.text import check_lines, error_lines

    started = time.perf_counter()
    try:
        assessment = open_build(path, kept=kept)
    except NotAShop as wrong:
        errors = (DocumentError(str(path), 1, 1, str(wrong), str(path), "a build file of a shop folder"),)
        return Checked(str(path), errors_json(errors), (f"rigbook: {wrong}",), ())
    worked_in_s = time.perf_counter() - started if timing else None
    if assessment.rig is None:
        lines = error_lines(assessment.errors, shown_root(path))
        return Checked(str(path), to_json(assessment), tuple(lines), ())
    lines = check_lines(assessment, worked_in_s=worked_in_s)
    severities = tuple(f.severity for f in assessment.findings)
    return Checked(str(path), to_json(assessment, worked_in_s=worked_in_s), tuple(lines), severities)


def shown_root(path: Path) -> str:
    """The shop folder as the person would write it from where they stand: the build's path without its inner part."""
    root, name = find_build(path)
    written = path.as_posix()
    return written[: -len(name)] if written.endswith(name) else f"{root.as_posix()}/"


def check_all(
    paths: Sequence[Path], timing: bool, progress: Callable[[int, int], None], processes: int | None = None
) -> list[Checked]:
    """Check several builds in parallel, in the order given.

    `progress(done, of)` is called as builds end. One build needs no process of its own.
    """
    if len(paths) == 1:
        return [check(paths[0], timing)]
    from concurrent.futures import ProcessPoolExecutor, as_completed
    from multiprocessing import get_context

    with ProcessPoolExecutor(max_workers=processes, mp_context=get_context("spawn")) as pool:
        waiting = {pool.submit(check, path, timing): index for index, path in enumerate(paths)}
        done: dict[int, Checked] = {}
        try:
            for future in as_completed(waiting):
                done[waiting[future]] = future.result()
                progress(len(done), len(paths))
        except KeyboardInterrupt:
            pool.shutdown(wait=False, cancel_futures=True)
            raise
    return [done[index] for index in range(len(paths))]
