"""A sweep as text and as JSON. Formatters: they copy and round, and work nothing out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from rigbook.assess.results_json import FORMAT, number
from rigbook.power.sweep import Spread, factors

DRIVERS = 3
"""How many factors are named beside a figure."""
LEAST_SHARE = 0.01


def sweep_json(*, build: str, digest: str, seed: int, samples: int, spreads: Sequence[Spread]) -> dict[str, Any]:
    """A sweep as plain data: per figure its nominal value, percentiles and variance shares by factor."""
    return {
        "rigbook": FORMAT,
        "build": build,
        "digest": digest,
        "seed": seed,
        "samples": samples,
        "tolerances": [
            {"id": f.id, "title": f.title, "distribution": f.distribution, "middle": f.middle, "spread": f.spread}
            for f in factors()
        ],
        "figures": [
            {
                "id": s.output.id,
                "title": s.output.title,
                "unit": s.output.unit,
                "nominal": number(s.nominal),
                "mean": number(s.mean),
                "deviation": number(s.deviation),
                "percentiles": {str(level): number(value) for level, value in s.percentiles.items()},
                "first_order_share": {name: number(value) for name, value in s.first_order.items()},
                "total_share": {name: number(value) for name, value in s.total.items()},
            }
            for s in spreads
        ],
    }


def sweep_lines(*, build: str, seed: int, samples: int, spreads: Sequence[Spread]) -> Iterator[str]:
    """A sweep for a terminal: nominal, middle, the bad end at 5 and 1 %, and what drives it."""
    titles = {f.id: f.title.lower() for f in factors()}
    yield f"{build}: {samples} rows of {len(titles) + 2} samples, seed {seed}; tolerances are common practice, no source"
    yield ""
    yield f"{'figure':58} {'entered':>9} {'middle':>9} {'1 in 20':>9} {'1 in 100':>9}  driven by (share of the variance)"
    for s in spreads:
        bad, worst = (s.percentiles[5], s.percentiles[1]) if s.output.least else (s.percentiles[95], s.percentiles[99])
        drivers = sorted(s.total.items(), key=lambda pair: (-pair[1], pair[0]))[:DRIVERS]
        told = ", ".join(f"{titles[name]} {100 * share:.0f} %" for name, share in drivers if share >= LEAST_SHARE)
        values = " ".join(f"{_shown(value, s):>9}" for value in (s.nominal, s.percentiles[50], bad, worst))
        yield f"{s.output.title:58} {values}  {told or 'nothing: it does not vary'}"


def _shown(value: float, spread: Spread) -> str:
    if spread.output.unit == "":
        return f"{100 * value:.2f} %"
    return f"{value:.4g} {spread.output.unit}"
