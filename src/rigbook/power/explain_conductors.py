"""Figures of conductors worked through: ampacity, largest fuse, drop."""

from __future__ import annotations

from rigbook.power import ampacity, conductors, drops
from rigbook.power.drops import SegmentDrop
from rigbook.quantities.tables import read_table
from rigbook.quantities.working import Input, Sourced, Working
from rigbook.rig.model import Segment


def where_of(file: str, line: int) -> str:
    """A place in a document; empty for none."""
    return f"{file}:{line}" if file else ""


def explain_ampacity(figure_id: str, what: str, segment: Segment | None) -> Working:
    """Ampacity of a conductor, factor by factor. KeyError without a conductor."""
    if segment is None:
        raise KeyError(figure_id)
    wire = segment.conductor
    found = ampacity.allowed(
        rule=segment.ampacity_rule, gauge=wire.gauge, insulation_c=wire.insulation_c, ambient_c=segment.governs_c,
        bundled=max(1, segment.governs_count),
    )  # fmt: skip
    if found is None:
        raise KeyError(figure_id)
    table = read_table(found.table)
    passed = ", ".join(segment.areas) or "its way"
    note = f"{wire.gauge}, {segment.from_point} to {segment.to_point}; {wire.why}"
    inputs = [
        Input(symbol="I", meaning=f"table, {wire.gauge} at {found.column_c:g} C", value=found.table_a, unit="A",
              source=table.source, sourced="published"),
        Input(symbol="Tc", meaning="insulation class", value=wire.insulation_c, unit="C"),
        Input(symbol="Ta", meaning=f"ambient of the stretch that limits it, of {passed}", value=segment.governs_c, unit="C"),
    ]  # fmt: skip
    inputs += [
        Input(symbol=symbol, meaning=meaning, value=factor, source=source, sourced="published")
        for symbol, meaning, factor, source in found.factors
    ]
    formula = " x ".join(["I", *(symbol for symbol, _, _, _ in found.factors)])
    if segment.ampacity_rule == "corrected":
        formula += ", F(Ta) = sqrt((Tc - Ta)/(Tc - 30))"
    return Working(
        figure_id=figure_id, title=f"Ampacity of the weakest conductor of {what}", formula=formula, inputs=tuple(inputs),
        result=drops.ampacity_a(segment), unit="A", source=table.source, edition=table.edition, clause=table.clause,
        sourced="published", steps=(f"by the rule {segment.ampacity_rule}", note),
    )  # fmt: skip


def explain_practice(figure_id: str, what: str, segment: Segment | None) -> Working:
    """Row of the trade's table of largest fuses. KeyError without a conductor."""
    if segment is None:
        raise KeyError(figure_id)
    table = read_table(conductors.PRACTICE_TABLE)
    return Working(
        figure_id=figure_id, title=f"Largest fuse on the weakest conductor of {what}",
        formula="row of the trade's table", result=conductors.practice_max_fuse_a(gauge=segment.conductor.gauge),
        inputs=(Input(symbol="gauge", meaning=f"{segment.from_point} to {segment.to_point}",
                      value=str(segment.conductor.gauge)),),
        unit="A", source=table.source, edition=table.edition, clause=table.clause, sourced="common practice",
    )  # fmt: skip


def _resistance_mark(segment: Segment) -> tuple[str, Sourced]:
    if segment.conductor.resistance_ohm_per_m is not None:
        return segment.conductor.part_id or "", "computed"
    return conductors.resistance_source(gauge=segment.conductor.gauge)


def flowing_as(segment: Segment) -> str:
    """What the current of a drop is, in words."""
    if segment.load_peak_a is None:
        return "name-plate current"
    return f"greatest peak over every reachable state; name-plate {segment.nameplate_a:.4g} A"


def explain_segment(part: SegmentDrop) -> Working:
    """Drop of one conductor."""
    segment = part.segment
    source, mark = _resistance_mark(segment)
    at_20 = drops.resistance_ohm_per_m(segment, temperature_c=20.0)
    return Working(
        figure_id="",
        title=f"{segment.role}, {segment.conductor.gauge}, {segment.from_point} to {segment.to_point}",
        formula="I x L x r20 x (234.5 + T)/254.5",
        inputs=(
            Input(symbol="I", meaning=flowing_as(segment), value=part.current_a, unit="A"),
            Input(symbol="L", meaning="length", value=segment.length_m, unit="m",
                  source=where_of(segment.file, segment.line)),
            Input(symbol="r20", meaning="resistance at 20 C", value=at_20, unit="ohm/m", source=source, sourced=mark),
            Input(symbol="T", meaning=f"conductor, in {segment.hottest_c:g} C", value=part.conductor_c, unit="C",
                  source="ac-43-13-1b", sourced="published"),
        ),
        result=part.drop_v, unit="V", source="ac-43-13-1b", clause="page 11-22", sourced="published",
    )  # fmt: skip
