"""How long the body takes: the whole assessment of the complete build's body, one by one, and automatic layouts.

    python benchmarks/body_speed.py [--repeat N]

Prints JSON: processor seconds, least of several runs; for layouts also the height, what is proven, and the gap.
"""

from __future__ import annotations

import argparse
import json
import random
from collections.abc import Callable
from importlib import resources
from pathlib import Path

from check_speed import least_s

SIZES = [
    (240, 90, 9), (182, 53, 5), (182, 53, 5), (165, 65, 4), (110, 70, 3), (70, 95, 2), (70, 95, 2), (70, 95, 2), (70, 95, 2),
    (60, 45, 2), (60, 45, 2), (40, 45, 2), (200, 100, 3), (100, 60, 1),
]  # fmt: skip
"""Fourteen things of a console: width, height in mm, use."""


def body(repeat: int) -> dict[str, float]:
    """Seconds of the body of the complete build, and of its parts."""
    from rigbook.assess.assessment import begin
    from rigbook.body import balance, face_fit, heat, keepouts, lids, mounts, shelves, work_out
    from rigbook.documents.loader import load_build

    with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as shop:
        rig = begin(load_build(shop, Path("builds/flood-support-van.yaml"))).rig
    assert rig is not None
    parts: dict[str, Callable[[], object]] = {
        "whole": lambda: work_out(rig), "faces": lambda: face_fit.work_out(rig), "lids": lambda: lids.work_out(rig),
        "mounts": lambda: mounts.work_out(rig), "heat": lambda: heat.work_out(rig), "shelves": lambda: shelves.work_out(rig),
        "keep-outs": lambda: keepouts.notes(rig), "wheels": lambda: balance.wheel_loads_kg(rig),
    }  # fmt: skip
    return {name: round(least_s(work, repeat), 4) for name, work in parts.items()}


def layouts(repeat: int) -> list[dict[str, object]]:
    """Seconds, height and gap of layouts: the console of fourteen, then random things."""
    from rigbook.body.layouts import best_rows
    from rigbook.rig.faces import Piece, Room, first_rows

    cases = [("console, 14 things", [Piece(f"p{i}", w, h, h // 2, u) for i, (w, h, u) in enumerate(SIZES)], 280)]
    for count, width in ((14, 600), (20, 600), (30, 900)):
        chance = random.Random(count)
        some = [
            Piece(f"p{i}", chance.randrange(30, 220), chance.randrange(30, 120), 10, chance.randrange(1, 10))
            for i in range(count)
        ]
        cases.append((f"random, {count} things", some, width))
    best_rows(cases[0][1], Room(0, 0, 280, 2000, 6))  # the solver's import is not counted
    made = []
    for name, some, width in cases:
        room = Room(0, 0, width, 4000, 6)
        found = best_rows(some, room)
        made.append(
            {
                "case": name, "first_s": round(least_s(lambda s=some, r=room: first_rows(s, r), repeat), 6),  # type: ignore[misc]
                "best_s": round(least_s(lambda s=some, r=room: best_rows(s, r), repeat), 4),  # type: ignore[misc]
                "first_mm": found.first_mm, "height_mm": found.height_mm, "bound_mm": found.bound_mm,
                "gap_share": round(found.gap_share, 4),
            }
        )  # fmt: skip
    return made


def cut_files(repeat: int) -> dict[str, float]:
    """Seconds of a cut file with its legends."""
    from rigbook.assess.assessment import begin
    from rigbook.documents.loader import load_build
    from rigbook.papers.cut_files import cut_file

    with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as shop:
        rig = begin(load_build(shop, Path("builds/flood-support-van.yaml"))).rig
    assert rig is not None
    cut_file(rig, "console-top")
    return {
        name: round(least_s(lambda n=name: cut_file(rig, n), repeat), 4) for name in ("console-face", "console-top")
    }  # type: ignore[misc]


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--repeat", type=int, default=3)
    repeat = parser.parse_args().repeat
    print(json.dumps({"body_s": body(repeat), "layouts": layouts(repeat), "cut_files_s": cut_files(repeat)}, indent=1))


if __name__ == "__main__":
    main()
