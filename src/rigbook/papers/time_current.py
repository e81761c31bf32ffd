"""Time-current chart of a chain of fuses: gates, load, inrush and the line where the wire is damaged."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rigbook.papers.svg import Box, document, element, number, text, text_width
from rigbook.power import fuse_chain, fuses, protection
from rigbook.rig.model import Rig

WIDTH_MM, HEIGHT_MM = 180.0, 130.0
PLOT = Box(20.0, 12.0, 128.0, 112.0)
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


def _grid(scale: _Scale) -> list[str]:
    made = [element("rect", x=PLOT.left, y=PLOT.top, width=PLOT.right - PLOT.left, height=PLOT.bottom - PLOT.top,
                    fill="none", stroke="#222", stroke_width=0.3)]  # fmt: skip
    for power in range(round(math.log10(scale.low_a)), round(math.log10(scale.high_a)) + 1):
        x = scale.x(10.0**power)
        made.append(element("line", x1=x, x2=x, y1=PLOT.top, y2=PLOT.bottom, stroke="#ccc", stroke_width=0.15))
        made.append(text(f"{10.0**power:g}", x=x, y=PLOT.bottom + 4.5, size=3.2, text_anchor="middle"))
    for power in range(round(math.log10(LEAST_S)), round(math.log10(MOST_S)) + 1):
        y = scale.y(10.0**power)
        made.append(element("line", x1=PLOT.left, x2=PLOT.right, y1=y, y2=y, stroke="#ccc", stroke_width=0.15))
        made.append(text(f"{10.0**power:g}", x=PLOT.left - 1.5, y=y + 1.1, size=3.2, text_anchor="end"))
    made.append(text("current, A", x=(PLOT.left + PLOT.right) / 2, y=PLOT.bottom + 10, size=3.6, text_anchor="middle"))
    made.append(text("time, s", x=PLOT.left - 1.5, y=PLOT.top - 3, size=3.6, text_anchor="end"))
    return made


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


def _legend(entries: Sequence[tuple[str, str, str]]) -> list[str]:
    made = []
    for row, (ink, dash, label) in enumerate(entries):
        y = PLOT.top + 4.0 + 6.0 * row
        made.append(element("line", x1=PLOT.right + 4, x2=PLOT.right + 10, y1=y - 1, y2=y - 1, stroke=ink,
                            stroke_width=0.7, stroke_dasharray=dash))  # fmt: skip
        size = 3.2
        room = WIDTH_MM - PLOT.right - 13
        shown = label
        while shown and text_width(shown, size=size) > room:
            shown = shown[:-1]
        made.append(text(shown, x=PLOT.right + 12, y=y, size=size))
    return made


def time_current(chain: Chain) -> str:
    """The chart as SVG. Fuses are told apart by ink and dash; the legend names every line."""
    scale = _Scale(chain)
    body, entries = _grid(scale), []
    for index, band in enumerate(chain.bands):
        ink, dash = INKS[index % len(INKS)], DASHES[index % len(DASHES)]
        area = scale.path([*band.fast, *reversed(band.slow)]) + " Z"
        body.append(element("path", d=area, fill=ink, fill_opacity=0.12, stroke="none"))
        for edge in (band.fast, band.slow):
            body.append(
                element("path", d=scale.path(edge), fill="none", stroke=ink, stroke_width=0.5, stroke_dasharray=dash)
            )
        entries.append((ink, dash, band.label))
    for path, ink, dash, label in _lines(chain, scale):
        body.append(element("path", d=path, fill="none", stroke=ink, stroke_width=0.7, stroke_dasharray=dash))
        entries.append((ink, dash, label))
    body += _legend(entries)
    return document(body, width=WIDTH_MM, height=HEIGHT_MM, title=chain.title)


def chain_chart(rig: Rig, feed_id: str) -> str:
    """The chart of a feed's fuse and those above it, with name-plate load, inrush, far-end short and wire damage."""
    feed = rig.feeds[feed_id]
    form = protection.form_of(rig, feed_id, feed.fuse_a)
    kind = fuses.form_row(form=form, rating_a=feed.fuse_a)["class"]
    short = protection.worst_short(protection.shorts(rig, feed_id), fuse_class=kind, fuse_a=feed.fuse_a)
    inrush = protection.inrush(rig, feed_id)
    return time_current(
        Chain(
            title=f"Time-current chart of {feed_id}",
            bands=tuple(
                Band(f"{each.id}, {each.fuse_a:g} A {each.form}", each.fast, each.slow)
                for each in fuse_chain.chain_of(rig, feed_id)
            ),
            wire_label="" if short is None else str(short.weakest.conductor.gauge),
            wire_heat_a2s=None if short is None else short.heat_a2s,
            load_a=feed.nameplate_a,
            inrush=inrush if inrush[0] > 0 else None,
            fault_a=None if short is None else short.current_a,
        )
    )
