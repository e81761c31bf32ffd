"""How good the outputs are that were left to `auto`, worked through."""

from __future__ import annotations

import re

from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig

OUTPUTS = re.compile(r"power\.outputs\.(copper_kg|copper_at_least_kg|gap_fraction)")


def explain_outputs(rig: Rig, figure_id: str, key: str) -> Working:
    """One figure of the outputs. KeyError where nothing was left to choose."""
    found = rig.choices.outputs_found
    if found is None:
        raise KeyError(figure_id)
    chosen = [
        f"{device} {channel}: {choice.value}"
        for (device, channel), choice in rig.choices.outputs.items()
        if choice.how == "auto"
    ]
    copper = Input(symbol="C", meaning="copper of the outputs chosen", value=found.copper_kg, unit="kg")
    least = Input(symbol="L", meaning="proven: no outputs need less", value=found.copper_at_least_kg, unit="kg")
    if key == "gap_fraction":
        return Working(
            figure_id=figure_id, title="Copper that other outputs could save at most", formula="(C - L) / C",
            inputs=(copper, least), result=found.gap_fraction, unit="fraction",
        )  # fmt: skip
    whole = key == "copper_kg"
    return Working(
        figure_id=figure_id, unit="kg", sourced="memory",
        title="Copper from outputs to what was left to auto" if whole else "Least copper any outputs need",
        formula="sum of area x length x 8960 kg/m3" if whole else "bound of the search, by linear relaxation",
        result=found.copper_kg if whole else found.copper_at_least_kg,
        steps=(
            "Area: the thinnest stock wire that practice lets behind the output's limit. Length: the shortest way, drops "
            "and service loops; lamps of a row on one output hang one behind the other.",
            *(chosen if whole else ()),
        ),
    )  # fmt: skip
