"""Time-current chart of a chain of fuses: gates, load, inrush and the line where the wire is damaged."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rigbook.papers.canvas import SHEET_MM, Canvas, Plate
from rigbook.papers.svg import Box, element, number
from rigbook.power import fuse_chain, fuses, protection
from rigbook.rig.model import Rig

WIDTH_MM, HEIGHT_MM = SHEET_MM, 130.0
PLOT = Box(18.0, 12.0, 124.0, 112.0)
SIZE = 3.0
LEAST_S, MOST_S = 0.001, 10_000.0
INKS = ("#1f5fbf", "#b3541e", "#3c7d3c", "#7a3f8f", "#666666")
DASHES = ("none", "3 1.2", "1 1", "4 1 1 1", "2 2")


@dataclass(frozen=True, slots=True)
class Band:
    """A fuse: fast and slow edges as (current in A, time in s), rising current."""

    label: str
    fast: tuple[tuple[float, float], ...]
    slow: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Chain:
    """What a chart shows. `wire_heat_a2s`: damage of the thinnest wire; loads in A; inrush (A, s)."""

    title: str
    bands: tuple[Band, ...]
    wire_label: str
    wire_heat_a2s: float | None
    load_a: float
    inrush: tuple[float, float] | None
    fault_a: float | None


def _span(chain: Chain) -> tuple[float, float]:
    amps = [a for band in chain.bands for a, _ in (*band.fast, *band.slow)]
    amps += [chain.load_a] + ([chain.fault_a] if chain.fault_a else []) + ([chain.inrush[0]] if chain.inrush else [])
    known = [a for a in amps if a > 0]
    low, high = min(known, default=1.0), max(known, default=1000.0)
    return 10.0 ** math.floor(math.log10(low)), 10.0 ** math.ceil(math.log10(high * 1.01))


class _Scale:
    def __init__(self, chain: Chain) -> None:
        self.low_a, self.high_a = _span(chain)

    def x(self, amps: float) -> float:
        share = math.log(max(amps, self.low_a) / self.low_a) / math.log(self.high_a / self.low_a)
        return PLOT.left + min(1.0, share) * (PLOT.right - PLOT.left)

    def y(self, seconds: float) -> float:
        kept = min(max(seconds, LEAST_S), MOST_S)
        return PLOT.bottom - math.log(kept / LEAST_S) / math.log(MOST_S / LEAST_S) * (PLOT.bottom - PLOT.top)

    def path(self, points: Iterable[tuple[float, float]]) -> str:
        return "M" + " L".join(f"{number(self.x(a))} {number(self.y(s))}" for a, s in points)


def _grid(canvas: Canvas, scale: _Scale) -> None:
    canvas.rect(PLOT.left, PLOT.top, PLOT.right - PLOT.left, PLOT.bottom - PLOT.top, stroke="#222", stroke_width=0.3)
    for power in range(round(math.log10(scale.low_a)), round(math.log10(scale.high_a)) + 1):
        x = scale.x(10.0**power)
        canvas.line(x, PLOT.top, x, PLOT.bottom, stroke="#ccc", width=0.15)
        canvas.text(f"{10.0**power:g}", x, PLOT.bottom + 4.5, size=SIZE, key=f"amps:{power}", anchor="middle")
    for power in range(round(math.log10(LEAST_S)), round(math.log10(MOST_S)) + 1):
        y = scale.y(10.0**power)
        canvas.line(PLOT.left, y, PLOT.right, y, stroke="#ccc", width=0.15)
        canvas.text(f"{10.0**power:g}", PLOT.left - 1.5, y + 1.1, size=SIZE, key=f"seconds:{power}", anchor="end")
    middle = (PLOT.left + PLOT.right) / 2
    canvas.text("current, A", middle, PLOT.bottom + 10, size=3.6, key="current", anchor="middle")
    canvas.text("time, s", PLOT.left - 1.5, PLOT.top - 5.0, size=3.6, key="time", anchor="end")


def _lines(chain: Chain, scale: _Scale) -> list[tuple[str, str, str, str]]:
    """(path, ink, dash, label) of every line but the fuses' own areas."""
    made: list[tuple[str, str, str, str]] = []
    if chain.wire_heat_a2s is not None:
        points = [(math.sqrt(chain.wire_heat_a2s / s), s) for s in (5.0, 1.0, 0.1, 0.01, LEAST_S)]
        inside = [(a, s) for a, s in points if scale.low_a <= a <= scale.high_a]
        if len(inside) > 1:
            made.append((scale.path(inside), "#c01020", "none", f"damage of {chain.wire_label}"))
    if chain.load_a > 0:
        made.append((scale.path([(chain.load_a, MOST_S), (chain.load_a, 10.0)]), "#222", "2 1", "load"))
    if chain.inrush is not None and chain.inrush[0] > 0:
        made.append(
            (scale.path([(chain.inrush[0], chain.inrush[1]), (chain.inrush[0], LEAST_S)]), "#222", "none", "inrush")
        )
    if chain.fault_a is not None:
        made.append((scale.path([(chain.fault_a, 10.0), (chain.fault_a, LEAST_S)]), "#c01020", "1 1", "far-end short"))
    return made


def _legend(canvas: Canvas, entries: Sequence[tuple[str, str, str]]) -> None:
    y = PLOT.top + 4.0
    for row, (ink, dash, label) in enumerate(entries):
        canvas.line(PLOT.right + 4, y - 1, PLOT.right + 10, y - 1, stroke=ink, width=0.7, dash=dash)
        lines_end = canvas.lines(
            label, PLOT.right + 12, y, width=WIDTH_MM - PLOT.right - 12.5, size=SIZE, key=f"legend:{row}"
        )
        y = max(lines_end, y + 4.0) + 1.6


def time_current(chain: Chain) -> str:
    """The chart as a whole SVG document."""
    return plate_of(chain, "chart").document


def plate_of(chain: Chain, key: str) -> Plate:
    """The chart as a plate. Fuses are told apart by ink and dash; the legend names every line."""
    canvas, scale, entries = Canvas(), _Scale(chain), []
    _grid(canvas, scale)
    for index, band in enumerate(chain.bands):
        ink, dash = INKS[index % len(INKS)], DASHES[index % len(DASHES)]
        area = scale.path([*band.fast, *reversed(band.slow)]) + " Z"
        canvas.add(element("path", d=area, fill=ink, fill_opacity=0.12, stroke="none"))
        for edge in (band.fast, band.slow):
            canvas.add(
                element("path", d=scale.path(edge), fill="none", stroke=ink, stroke_width=0.5, stroke_dasharray=dash)
            )
        entries.append((ink, dash, band.label))
    for path, ink, dash, label in _lines(chain, scale):
        canvas.add(element("path", d=path, fill="none", stroke=ink, stroke_width=0.7, stroke_dasharray=dash))
        entries.append((ink, dash, label))
    _legend(canvas, entries)
    return canvas.plate(key, chain.title, height=HEIGHT_MM, width=WIDTH_MM)


def chain_chart(rig: Rig, feed_id: str) -> str:
    """The chart of a feed's fuse and those above it, with load, inrush, far-end short and wire damage."""
    return time_current(chain_of_feed(rig, feed_id))


def chain_of_feed(rig: Rig, feed_id: str) -> Chain:
    """What the chart of a feed shows. The load is the greatest RMS, the name-plate sum where that is not worked out."""
    feed = rig.feeds[feed_id]
    form = protection.form_of(rig, feed_id, feed.fuse_a)
    kind = fuses.form_row(form=form, rating_a=feed.fuse_a)["class"]
    short = protection.worst_short(protection.shorts(rig, feed_id), fuse_class=kind, fuse_a=feed.fuse_a)
    inrush = protection.inrush(rig, feed_id)
    return Chain(
        title=f"Time-current chart of {feed_id}",
        bands=tuple(
            Band(f"{each.id}, {each.fuse_a:g} A {each.form}", each.fast, each.slow)
            for each in fuse_chain.chain_of(rig, feed_id)
        ),
        wire_label="" if short is None else str(short.weakest.conductor.gauge),
        wire_heat_a2s=None if short is None else short.heat_a2s,
        load_a=load_of(rig, feed_id),
        inrush=inrush if inrush[0] > 0 else None,
        fault_a=None if short is None else short.current_a,
    )


def load_of(rig: Rig, feed_id: str) -> float:
    """What heats a feed's fuse: the RMS of its first conductor, else its name-plate sum."""
    feed = rig.feeds[feed_id]
    circuit = rig.circuits.get(feed_id)
    if feed.segment is not None:
        return rig.segments[feed.segment].heating_a
    members = [] if circuit is None else [m for m in circuit.members if not m.signal]
    if len(members) == 1 and members[0].feed_path:
        return rig.segments[members[0].feed_path[0]].heating_a
    return feed.nameplate_a


def plates(rig: Rig, *, telling: bool = False) -> list[Plate]:
    """A plate for each feed. telling: only each feed straight at a battery, and below each block the one whose chain
    is hardest to keep apart: least short of which its own fuse is surely the first to open."""
    wanted = list(rig.feeds)
    if telling:
        closest: dict[str, tuple[tuple[float, float], str]] = {}
        for found in protection.protections(rig):
            if found.above is not None and found.selective_to_a is not None and found.prospective_a:
                ratio = (found.selective_to_a / found.prospective_a, -found.fuse_a)
                known = closest.get(found.above)
                if known is None or ratio < known[0]:
                    closest[found.above] = (ratio, found.id)
        chosen = {name for _, name in closest.values()}
        wanted = [f.id for f in rig.feeds.values() if f.id in chosen or (f.parent is None and f.to is None)]
    if not wanted:
        canvas = Canvas()
        canvas.text("This build has no feed of its own.", 0.0, 4.0, size=SIZE, key="none")
        return [canvas.plate("time-current", "Time-current charts", height=8.0)]
    return [plate_of(chain_of_feed(rig, name), f"time-current-{name}") for name in wanted]
