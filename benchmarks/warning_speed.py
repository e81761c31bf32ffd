"""How long the warning grid of a build takes against a plain loop over lamps and points, one core, the same run.

    python benchmarks/warning_speed.py [BUILD.yaml]

Prints seconds for what all lamps send along the grid, shadowed by the outline; for the sums of every zone and level over
every joint of a mode; and for the same by plain loops over a few joints, taken per joint. Then the whole engine of warning.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from rigbook.assess.assessment import decide_rig
from rigbook.documents.loader import load_build
from rigbook.light.engine import Light, work_out
from rigbook.light.grid import BEARINGS_DEG, ELEVATIONS_DEG, seen, zone_points
from rigbook.light.outline import Prism, blocked, outline_of, start_of
from rigbook.light.result import LEVELS
from rigbook.light.sources import Source, directions_of
from rigbook.light.warning import ZONES, ModeLight

ROOT = Path(__file__).resolve().parents[1]
EXAMPLE = ROOT / "src/rigbook/data/example_shop/builds/flood-support-van.yaml"


@dataclass(frozen=True, slots=True)
class Speed:
    """Seconds: of the grid, of the sums of one joint, and of each by plain loops."""

    grid_s: float
    plain_grid_s: float
    joint_s: float
    plain_joint_s: float
    whole_s: float
    lamps: int
    joints: int


def least_s(work: Callable[[], object], runs: int) -> float:
    """Least processor seconds of several runs."""
    found = []
    for _ in range(runs):
        start = time.process_time()
        work()
        found.append(time.process_time() - start)
    return min(found)


def plain_grid(sources: tuple[Source, ...], prisms: tuple[Prism, ...]) -> list[list[list[float]]]:
    """What each lamp sends to each point, one at a time."""
    found = []
    for source in sources:
        start = start_of(prisms, source.at_m, source.axes[0], behind_glass=source.passes_share < 1)
        rows = []
        for elevation in ELEVATIONS_DEG:
            row = []
            for bearing in BEARINGS_DEG:
                way = directions_of(bearing, elevation)
                hidden = start is None or bool(blocked(prisms, start, way))
                row.append(0.0 if hidden else float(source.candela(way)))
            rows.append(row)
        found.append(rows)
    return found


def plain_sums(mode: ModeLight, joint: int) -> list[float]:
    """Sums of every zone and level in one joint, one column and one point at a time."""
    sums = []
    for level in LEVELS:
        for zone in ZONES:
            total = 0.0
            for point in zone_points(zone):
                for place, column in enumerate(mode.columns):
                    if mode.on[joint, place] and mode.of_level[level][place]:
                        candela = float(mode.seen.candela[column.source, 0, point])
                        total += column.flashing.cd_s_per_min(candela)
            sums.append(total)
    return sums


def quick_sums(mode: ModeLight) -> list[list[float]]:
    """The same of every joint at once, by the engine."""
    fresh = ModeLight(mode.behaviours, mode.seen, mode.asked, mode.found, mode.unlost)
    rows = [fresh.power(level)[:, 0, zone_points(zone)].sum(axis=1) for level in LEVELS for zone in ZONES]
    return [[float(row[joint]) for row in rows] for joint in range(len(mode.found))]


def measure(build: Path, *, runs: int = 3) -> tuple[Speed, Light]:
    """Measure one build."""
    loaded = load_build(build.parents[1], Path("builds") / build.name)
    rig, errors = decide_rig(loaded)
    if rig is None:
        raise SystemExit("\n".join(map(str, errors)))
    light = work_out(rig, loaded.light)
    prisms = outline_of(rig.vehicle)
    mode = light.modes[0]
    count = len(mode.found)
    return Speed(
        grid_s=least_s(lambda: seen(light.sources, prisms), runs),
        plain_grid_s=least_s(lambda: plain_grid(light.sources, prisms), 1),
        joint_s=least_s(lambda: quick_sums(mode), runs) / count,
        plain_joint_s=least_s(lambda: plain_sums(mode, 0), 1),
        whole_s=least_s(lambda: work_out(rig, loaded.light), runs),
        lamps=len(light.sources),
        joints=count,
    ), light


def main() -> None:
    """Print the table."""
    build = Path(sys.argv[1]).resolve() if len(sys.argv) > 1 else EXAMPLE
    found, _ = measure(build)
    print(f"{build.stem}: {found.lamps} lamp colours and poses, {found.joints} joints in the first mode")
    print(f"grid of all lamps      {1e3 * found.grid_s:8.2f} ms   plain loop {1e3 * found.plain_grid_s:8.2f} ms")
    print(f"sums of one joint      {1e3 * found.joint_s:8.3f} ms   plain loop {1e3 * found.plain_joint_s:8.2f} ms")
    print(f"whole engine of light  {1e3 * found.whole_s:8.2f} ms")


if __name__ == "__main__":
    main()
