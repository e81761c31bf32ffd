"""What it is worth to know the worst cases: amperes, fuse and wire sizes and modules beside the name-plate sums.

Every size is asked for twice by the rules that choose sizes: for the name-plate sum and for the worst RMS. The drop is
left aside, as are sizes that a person set: this says what the figure is worth, not what is fitted.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from rigbook.power import drops
from rigbook.power.ampacity import allowed_a
from rigbook.power.choose_sizes import LEAST_WIRE
from rigbook.power.conductors import practice_max_fuse_a
from rigbook.power.result import CircuitFigures, FeedFigures, ModuleFigures, PowerResult, Saved, SavedOn
from rigbook.quantities.gauge import Gauge
from rigbook.rig.model import Rig, Segment

FUSE_USE = 0.8
"""Share of a fuse's rating that its load may take [common practice, no source]."""
_SLACK = 1e-9


def fuse_for_a(rig: Rig, *, load_a: float) -> float | None:
    """Smallest fuse in stock, of any form, of at least load / 0.8, A; None where none is large enough."""
    ratings = sorted({rating for fuse in rig.shop.fuses for rating in fuse.ratings})
    return next((rating for rating in ratings if rating >= load_a / FUSE_USE - _SLACK), None)


def wire_for(rig: Rig, segment: Segment, *, load_a: float, fuse_a: float | None) -> Gauge | None:
    """Thinnest wire in stock, on the way of a conductor, that carries load and fuse; None where none does."""
    needed_a = max(load_a, fuse_a or 0.0)
    for wire in sorted(rig.shop.wires, key=lambda wire: wire.gauge.area_mm2):
        carries = allowed_a(
            rule=segment.ampacity_rule, gauge=wire.gauge, insulation_c=wire.insulation, ambient_c=segment.governs_c,
            bundled=max(1, segment.governs_count),
        )  # fmt: skip
        most = practice_max_fuse_a(gauge=wire.gauge)
        thick = wire.gauge.area_mm2 >= LEAST_WIRE.area_mm2 * (1 - _SLACK)
        if thick and carries is not None and carries >= needed_a - _SLACK and (most or 0.0) >= (fuse_a or 0.0) - _SLACK:
            return wire.gauge
    return None


def saved(rig: Rig, result: PowerResult) -> Saved | None:
    """The whole block; None where the worst cases are not worked out."""
    if result.whole.worst_peak_a is None:
        return None
    rows = tuple(_rows(rig, result))
    stock_wires = sorted({str(wire.gauge): wire.gauge.area_mm2 for wire in rig.shop.wires}.items(), key=lambda w: w[1])
    wires = [name for name, _ in stock_wires]
    fuses = sorted({rating for fuse in rig.shop.fuses for rating in fuse.ratings})
    return Saved(
        spared_a=result.whole.nameplate_a - result.whole.worst_peak_a,
        fuse_sizes=sum(_apart(fuses, row.fuse_by_nameplate_a, row.fuse_by_worst_a) for row in rows),
        wire_sizes=sum(_apart(wires, row.wire_by_nameplate, row.wire_by_worst) for row in rows),
        modules=sum(modules_spared(module) for module in result.modules),
        on=rows,
    )


def modules_spared(module: ModuleFigures) -> int:
    """Modules of a kind that the name-plate sum asks for beyond those that the worst peak asks for."""
    if not module.limit_a or module.worst_peak_a is None:
        return 0
    by_nameplate, by_worst = (
        max(1, math.ceil(load_a / module.limit_a - _SLACK)) for load_a in (module.nameplate_a, module.worst_peak_a)
    )
    return by_nameplate - by_worst


def _rows(rig: Rig, result: PowerResult) -> Iterator[SavedOn]:
    for circuit in result.circuits:
        yield from _row(rig, circuit, drops.weakest(drops.own_conductors(rig, rig.circuits[circuit.id])))
    for feed in result.feeds:
        if feed.id not in rig.circuits:
            yield from _row(rig, feed, drops.weakest(drops.feed_conductors(rig, feed.id)))


def _row(rig: Rig, figure: CircuitFigures | FeedFigures, weakest: Segment | None) -> Iterator[SavedOn]:
    worst_a = figure.worst_rms_a
    if worst_a is None or figure.nameplate_a - worst_a <= _SLACK:
        return
    fused = figure.fuse_a is not None
    fuses = [fuse_for_a(rig, load_a=load_a) if fused else None for load_a in (figure.nameplate_a, worst_a)]
    wires = [
        None if weakest is None else wire_for(rig, weakest, load_a=load_a, fuse_a=fuse_a)
        for load_a, fuse_a in zip((figure.nameplate_a, worst_a), fuses, strict=True)
    ]
    texts = [None if wire is None else str(wire) for wire in wires]
    yield SavedOn(figure.id, figure.nameplate_a - worst_a, fuses[0], fuses[1], texts[0], texts[1])


def _apart(sizes: Sequence[object], larger: object, smaller: object) -> int:
    """How many sizes of the stock lie between two of them."""
    return 0 if larger is None or smaller is None else sizes.index(larger) - sizes.index(smaller)
