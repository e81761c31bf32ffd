"""A fuse with those above it: the gates each draws on paper of current and time."""

from __future__ import annotations

from dataclasses import dataclass

from rigbook.power import fuses
from rigbook.power.protection import form_of
from rigbook.rig.model import Rig


@dataclass(frozen=True, slots=True)
class FuseEdges:
    """The gates of a fuse as (current in A, time in s): fast edge and slow edge over the same span of currents."""

    id: str
    form: str
    fuse_a: float
    fast: tuple[tuple[float, float], ...]
    slow: tuple[tuple[float, float], ...]


def edges(*, name: str, form: str, fuse_a: float, steps: int = 60) -> FuseEdges:
    """Gates of a fuse from its first slow gate to ten times its rating, evenly spaced on log paper."""
    kind = fuses.form_row(form=form, rating_a=fuse_a)["class"]
    points = fuses.breakpoints(fuse_class=kind)
    first = next(p for p in points if fuses.slowest_s(fuse_class=kind, percent=p) is not None)
    last = 1000.0
    fast, slow = [], []
    for step in range(steps + 1):
        percent = first * (last / first) ** (step / steps)
        amps = percent / 100 * fuse_a
        fastest = fuses.fastest_s(fuse_class=kind, percent=percent)
        if fastest > 0:
            fast.append((amps, fastest))
        slow.append((amps, fuses.slowest_s(fuse_class=kind, percent=percent) or 0.0))
    return FuseEdges(name, form, fuse_a, tuple(fast), tuple(slow))


def chain_of(rig: Rig, feed_id: str) -> tuple[FuseEdges, ...]:
    """A feed's fuse and those above it, lowest first."""
    found, feed = [], rig.feeds.get(feed_id)
    while feed is not None:
        found.append(edges(name=feed.id, form=form_of(rig, feed.id, feed.fuse_a), fuse_a=feed.fuse_a))
        feed = rig.feeds.get(feed.parent or "")
    return tuple(found)
