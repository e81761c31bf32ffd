"""How long a million points by 24 lamps take on one core, and a plain loop over lamps and points in the same run.

    python benchmarks/illuminance_speed.py [POINTS]

Prints seconds for round lobes, elliptic lobes and file tables, aim included; what the shadow of an outline takes besides;
the greatest memory beyond the answer; and microseconds a lamp and point for the kernel and for the plain loop.
"""

from __future__ import annotations

import math
import sys
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from rigbook.light.beams import beam
from rigbook.light.illuminance import UP, Beam, Numbers, illuminance_lx
from rigbook.light.outline import prism
from rigbook.light.shadow import shade
from rigbook.light.sources import Lobe, Shape, axes_of

LAMPS = 24
BODY = (
    prism(name="bonnet", corners=[(-1.0, 0.3), (0.0, 0.3), (0.0, 1.2), (-1.0, 1.0)], width_m=2.0),
    prism(name="windscreen", corners=[(0.0, 0.3), (0.8, 0.3), (0.8, 2.6), (0.0, 1.2)], width_m=2.0),
    prism(name="body", corners=[(0.8, 0.3), (5.0, 0.3), (5.0, 2.6), (0.8, 2.6)], width_m=2.0),
)
SHAPES: dict[str, Callable[[], Shape]] = {
    "round lobes": lambda: Lobe(peak_cd=3000, horizontal_deg=90, vertical_deg=90),
    "elliptic lobes": lambda: Lobe(peak_cd=3000, horizontal_deg=95, vertical_deg=70),
    "file tables": lambda: beam(peak_cd=3000, horizontal_deg=95, vertical_deg=70, step_deg=2.5),
}


@dataclass(frozen=True, slots=True)
class Speed:
    """Seconds of one kind of lamp, and microseconds a lamp and point of the kernel and of a plain loop."""

    kind: str
    kernel_s: float
    shadow_s: float
    kernel_us: float
    plain_us: float


def lamps_of(shape: Shape) -> list[Beam]:
    """Lamps along both sides, each with an aim of its own."""
    found = []
    for number in range(LAMPS):
        at = (0.2 + 0.2 * number, -1.01 if number % 2 else 1.01, 2.4)
        axes = axes_of(azimuth_deg=(270 if number % 2 else 90) + number - 12, tilt_deg=-15.0 - number)
        found.append(Beam(at=at, axes=axes, shape=shape, share=0.9))
    return found


def ground(points: int) -> Numbers:
    """About so many points on the ground, to 30 m on every side."""
    side = math.isqrt(points)
    x, y = np.meshgrid(np.linspace(-31, 35, side), np.linspace(-31, 31, side))
    return np.stack((x.ravel(), y.ravel(), np.zeros(x.size)))


def plain(points: Numbers, lamps: list[Beam]) -> list[float]:
    """The same law, one lamp and point after another."""
    found = []
    for x, y, z in points.T.tolist():
        total = 0.0
        for lamp in lamps:
            way = (lamp.at[0] - x, lamp.at[1] - y, lamp.at[2] - z)
            squared = sum(w * w for w in way)
            ahead, right, up = (-sum(a * b for a, b in zip(axis, way, strict=True)) for axis in lamp.axes.tolist())
            candela = float(lamp.shape.toward_cd(ahead=ahead, right=right, up=up)) * lamp.share
            total += candela * max(way[2], 0.0) / squared**1.5
        found.append(total)
    return found


def measure(kind: str, points: int = 1_000_000, loop: int = 60) -> Speed:
    """Time one kind of lamp; the plain loop takes so many of the points."""
    lamps, at = lamps_of(SHAPES[kind]()), ground(points)
    start = time.process_time()
    found = illuminance_lx(at, [UP], lamps)[0]
    kernel = time.process_time() - start
    start = time.process_time()
    illuminance_lx(at, [UP], lamps, seen=shade(BODY, [lamp.at for lamp in lamps]))
    shadow = time.process_time() - start - kernel
    some = at[:, :: max(1, at.shape[1] // loop)]
    start = time.process_time()
    by_loop = plain(some, lamps)
    loop_s = time.process_time() - start
    same = found[:: max(1, at.shape[1] // loop)]
    if not np.allclose(by_loop, same, rtol=1e-9):
        raise AssertionError("the kernel and the plain loop disagree")
    return Speed(kind, kernel, shadow, 1e6 * kernel / (at.shape[1] * LAMPS), 1e6 * loop_s / (some.shape[1] * LAMPS))


def beyond_the_answer_mb(points: int) -> float:
    """Greatest memory of the kernel beside its answer, MB."""
    at, lamps = ground(points), lamps_of(SHAPES["elliptic lobes"]())
    tracemalloc.start()
    answer = illuminance_lx(at, [UP], lamps)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return (peak - answer.nbytes) / 1e6


def main() -> None:
    """Print what was measured."""
    points = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    for kind in SHAPES:
        s = measure(kind, points)
        print(
            f"{kind}: {s.kernel_s:.2f} s for {points:,} points by {LAMPS} lamps, shadow {s.shadow_s:.2f} s more; "
            f"{s.kernel_us:.3f} us each, plain loop {s.plain_us:.1f} us ({s.plain_us / s.kernel_us:.0f} times)"
        )
    print(f"memory beside the answer: {beyond_the_answer_mb(points):.1f} MB")


if __name__ == "__main__":
    main()
