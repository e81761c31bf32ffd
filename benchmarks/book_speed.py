"""How long the complete build's book takes beside typst alone on the same source.

    python benchmarks/book_speed.py [BUILD...]

Prints a line a build: processor seconds of typst alone (in a process of its own, as it keeps pages it has laid out), of
the whole book (chapters, drawings, layout, typst), their ratio; then the seconds of each chapter. What is worked out
before counts with neither: the assessment, the walk of the final inspection, and the strips of sheeting laid on their
rolls, whose seconds stand by themselves.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from rigbook.assess.assessment import Assessment, assess
from rigbook.assess.results_json import to_json
from rigbook.documents.loader import load_build
from rigbook.papers.book import book, book_data
from rigbook.papers.contents import CHAPTERS, Desk
from rigbook.papers.typeset import typeset

SHOP = Path(__file__).parents[1] / "src" / "rigbook" / "data" / "example_shop"
BUILDS = ("duty-officer-utility", "boat-crew-pickup", "flood-support-van")


def assessed(build: str) -> Assessment:
    """An example build, worked out."""
    return assess(load_build(SHOP, Path("builds") / f"{build}.yaml"))


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    """Processor seconds of some work, and what it gave."""
    start = time.process_time()
    made = work()
    return time.process_time() - start, made


def typst_alone_s(data: dict[str, Any]) -> float:
    """Processor seconds that typst needs for the data in a process that has laid out nothing yet."""
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        return pool.submit(_alone, data).result()


def _alone(data: dict[str, Any]) -> float:
    import typst  # noqa: F401 -- loading the library is not laying out

    return timed(lambda: typeset("book.typ", data))[0]


def measure(build: str) -> dict[str, Any]:
    """Seconds of typst alone, of the whole book, of the walk, and of each chapter's data."""
    assessment = assessed(build)
    desk = Desk(assessment, to_json(assessment))
    walk_s, _ = timed(lambda: desk.walk)
    rolls_s, _ = timed(lambda: desk.nests)
    fresh = Desk(assessment, desk.report)
    fresh.__dict__.update(walk=desk.walk, nests=desk.nests)
    whole_s, _ = timed(lambda: book(assessment, desk=fresh))
    data = book_data(assessment, desk=desk)
    alone_s = typst_alone_s(data)
    chapters = {}
    for name in CHAPTERS:
        own = Desk(assessment, desk.report)
        own.__dict__.update(walk=desk.walk, nests=desk.nests)
        chapters[name], _ = timed(lambda name=name, own=own: book_data(assessment, only=[name], desk=own))
    return {
        "build": build, "alone_s": alone_s, "whole_s": whole_s, "ratio": whole_s / alone_s, "walk_s": walk_s, "rolls_s": rolls_s, "chapters": chapters,
    }  # fmt: skip


def main() -> None:
    """Measure the example builds, or those named."""
    for build in sys.argv[1:] or BUILDS:
        found = measure(build)
        print(
            f"{build:22s} typst alone {found['alone_s']:.2f} s, book {found['whole_s']:.2f} s, ratio {found['ratio']:.2f}; "
            f"walk {found['walk_s']:.2f} s, rolls {found['rolls_s']:.2f} s"
        )
        print("   " + ", ".join(f"{name} {took:.2f}" for name, took in found["chapters"].items()), flush=True)


if __name__ == "__main__":
    main()
