"""What protects each conductor, worked through."""

from __future__ import annotations

import re

from rigbook.power import conductors, drops, fuses, protection
from rigbook.power.explain_conductors import explain_ampacity
from rigbook.power.guarded import Guarded, fuse_class_of, guarded_one
from rigbook.quantities.tables import read_table
from rigbook.quantities.working import Input, Sourced, Working
from rigbook.rig.model import Rig

GUARDED = re.compile(
    r"power\.guarded\[(.+)\]\.(guard_a|carries_a|fault_a|cleared_from_a|clears_s|withstands_s)"
)  # fmt: skip


def explain_guarded(rig: Rig, figure_id: str, name: str, key: str) -> Working:
    """One figure of one conductor. KeyError where there is none."""
    found = guarded_one(rig, name)
    if getattr(found, key) is None:
        raise KeyError(figure_id)
    if key == "guard_a":
        what = "Limit of the output" if found.kind == "output" else f"Rating of the {found.kind}"
        return Working(figure_id=figure_id, title=f"{what} {found.guard}", formula="as entered or chosen",
                       result=found.guard_a, unit="A")  # fmt: skip
    if key == "carries_a":
        return _carries(rig, figure_id, found)
    if key == "fault_a":
        return Working(
            figure_id=figure_id, title=f"Least short behind {name} through {found.guard}", formula="E / R",
            inputs=(Input(symbol="R", meaning="batteries, conductors to the farthest device and back, stud: E / I",
                          value=_volts(rig, found) / float(found.fault_a or 1.0), unit="ohm"),
                    Input(symbol="E", meaning="bank at rest", value=_volts(rig, found), unit="V")),
            result=found.fault_a, unit="A", source="network",
        )  # fmt: skip
    return _times(rig, figure_id, found, key)


def _volts(rig: Rig, found: Guarded) -> float:
    if found.guard in rig.feeds:
        return protection.rest_v(rig, rig.banks[rig.feeds[found.guard].bank_id or ""])
    link_id, _, end = found.guard.rpartition(".")
    link = rig.links[link_id]
    return protection.rest_v(rig, rig.banks[link.from_bank if end == "start" else link.to_bank])


def _carries(rig: Rig, figure_id: str, found: Guarded) -> Working:
    segment = rig.segments[found.id]
    if segment.role == "lead":
        table = read_table(conductors.PRACTICE_TABLE)
        return Working(
            figure_id=figure_id, title=f"What the lead {found.id} takes", formula="row of the trade's table",
            inputs=(Input(symbol="gauge", meaning="own lead", value=found.conductor),), result=found.carries_a, unit="A",
            source=table.source, edition=table.edition, clause=table.clause, sourced="common practice",
        )  # fmt: skip
    return explain_ampacity(figure_id, found.id, segment)


def _times(rig: Rig, figure_id: str, found: Guarded, key: str) -> Working:
    segment = rig.segments[found.id]
    heat = protection.heat_a2s(segment)
    warm_c = drops.segment_drop(segment).conductor_c
    source, mark = fuses.gates_mark(fuse_class=fuse_class_of(rig, found.guard, found.guard_a))
    sourced: Sourced = mark
    stands = Input(symbol="k2 S2", meaning=f"{found.conductor} from {warm_c:.4g} C at its load", value=heat, unit="A2s",
                   source="adiabatic", sourced="published")  # fmt: skip
    rating = Input(symbol="In", meaning=found.guard, value=found.guard_a, unit="A")
    if key == "cleared_from_a":
        return Working(
            figure_id=figure_id, title=f"Least current {found.guard} surely clears before {found.id} is damaged",
            formula="slow gate(I) x I2 = k2 S2", inputs=(rating, stands), result=found.cleared_from_a, unit="A",
            source=source, sourced=sourced,
        )  # fmt: skip
    short = Input(symbol="I", meaning="least short", value=found.fault_a, unit="A")
    if key == "clears_s":
        return Working(
            figure_id=figure_id, title=f"Longest time {found.guard} takes at that short",
            formula="slow gate at 100 x I / In, straight on log-log paper", inputs=(short, rating),
            result=found.clears_s, unit="s", source=source, sourced=sourced,
        )  # fmt: skip
    return Working(
        figure_id=figure_id, title=f"Time {found.id} stands that short", formula="k2 S2 / I2", inputs=(stands, short),
        result=found.withstands_s, unit="s", source="adiabatic", sourced="published",
    )  # fmt: skip
