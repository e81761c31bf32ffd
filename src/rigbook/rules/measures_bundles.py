"""Measures of bundles: whether what runs together passes the hole it is led through."""

from __future__ import annotations

from collections.abc import Iterator

from rigbook.power.bundles import Bundle
from rigbook.rules.measures import Measure, Reading, Results


def _in_holes(results: Results) -> Iterator[tuple[Bundle, str, int]]:
    if results.power is None:
        return
    where = {"-".join(run.between): run.where for run in results.rig.vehicle.routes.runs if run.hole is not None}
    for bundle in results.power.bundles:
        if bundle.hole_m is not None and bundle.id in where:
            yield bundle, where[bundle.id].file, where[bundle.id].line


def bundle_outside(results: Results) -> Iterator[Reading]:
    """Outside diameter of the wires of a run that passes a hole, against the hole.

    Unit: m. Formula: the circle that holds up to seven wires, else 1.2 x sqrt(sum of d2). Limit `hole`: as entered.
    Source: circle-packing, bundle-diameter.
    """
    for bundle, file, line in _in_holes(results):
        yield Reading(
            subject=bundle.id,
            value=bundle.outside_m,
            file=file,
            line=line,
            limits={"hole": float(bundle.hole_m or 0.0)},
            words={"wires": str(bundle.conductors)},
            figure=f"power.bundles[{bundle.id}].outside_m",
        )


def hole_fill(results: Results) -> Iterator[Reading]:
    """Area of the wires of a run over that of the hole it passes.

    Unit: share. Formula: sum of d2 / hole2. Source: practice-wiring.
    """
    for bundle, file, line in _in_holes(results):
        if bundle.fill_fraction is None or bundle.outside_m > float(bundle.hole_m or 0.0):
            continue  # what does not pass at all is said by the measure above
        yield Reading(
            subject=bundle.id,
            value=bundle.fill_fraction,
            file=file,
            line=line,
            words={"wires": str(bundle.conductors)},
            figure=f"power.bundles[{bundle.id}].fill_fraction",
        )


MEASURES: tuple[Measure, ...] = (
    Measure(name="bundle_outside", per="pair", unit="m", take=bundle_outside, limits=("hole",), words=("wires",)),
    Measure(name="hole_fill", per="pair", unit="share", take=hole_fill, words=("wires",)),
)
