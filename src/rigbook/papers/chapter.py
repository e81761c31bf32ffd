"""What a chapter is made from: the assessment, its report, and what several chapters need worked out once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from rigbook.papers.pieces import DASH, Piece
from rigbook.papers.spelling import spelled
from rigbook.quantities.show import UnitSystem, convert
from rigbook.rig.model import Rig
from rigbook.shop.behaviour import Bench

if TYPE_CHECKING:
    from rigbook.assess.assessment import Assessment
    from rigbook.light.nesting import DoesNotFit, Nest
    from rigbook.papers.harness import Harness
    from rigbook.papers.leads_sheet import LeadCut
    from rigbook.papers.program_lines import Lists
    from rigbook.shop.walk_form import WalkForm

ROUND_UP_M: Mapping[str, tuple[str, float]] = {"us": ("in", 0.5), "metric": ("mm", 5.0)}
"""Unit of lengths to cut, and the step they are rounded up to."""


class Desk:
    """One assessment on the desk. Nothing is changed; what is costly is worked out once."""

    def __init__(self, assessment: Assessment, report: Mapping[str, Any]) -> None:
        self.assessment = assessment
        self.report = report
        self.rig: Rig = assessment.worked

    @property
    def units(self) -> UnitSystem:
        """The shop's units."""
        return self.rig.shop.units

    @property
    def us(self) -> bool:
        """Whether the shop reads US units."""
        return self.units == "us"

    @cached_property
    def bench(self) -> Bench:
        """The program being tried out."""
        return Bench(self.rig.program)

    @cached_property
    def lists(self) -> Lists:
        """Decision lists in plain words, each proved once."""
        from rigbook.papers.program_lines import Lists

        return Lists(self)

    @cached_property
    def walk(self) -> WalkForm | None:
        """The inspection walk: some seconds' work, done once."""
        from rigbook.shop.walk_form import walk_form

        return walk_form(self.bench)

    @cached_property
    def nests(self) -> tuple[Nest, ...] | DoesNotFit:
        """Strips of sheeting laid on their rolls, or why they do not fit: some seconds' work, done once."""
        from rigbook.light.nesting import DoesNotFit, nests_of

        try:
            return nests_of(self.rig)
        except DoesNotFit as wrong:
            return wrong

    @cached_property
    def harness(self) -> Harness:
        """Every wire to cut."""
        from rigbook.papers.harness import harness_of

        return harness_of(self)

    @cached_property
    def leads(self) -> tuple[LeadCut, ...]:
        """Inputs, data links, speakers, antennas: what no circuit feeds."""
        from rigbook.papers.leads_sheet import lead_cuts

        return lead_cuts(self)

    @cached_property
    def lamp_map(self) -> str:
        """The lamp map as SVG: cover and chapter show the same one."""
        from rigbook.papers.lampsheet import lamp_map_svg

        return lamp_map_svg(self.rig)

    @cached_property
    def program_digest(self) -> str:
        """SHA-256 of the program's JSON: what the programming sheet and the vehicle carry."""
        import hashlib
        import json

        from rigbook.switching.serialise import program_to_json

        made = json.dumps(program_to_json(self.rig.program), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        return hashlib.sha256(made.encode()).hexdigest()

    @cached_property
    def normal_a(self) -> Mapping[tuple[str, str], tuple[float, str]]:
        """Highest average current over the saved states, with that state: by (circuit, feed or device; id)."""
        found: dict[tuple[str, str], tuple[float, str]] = {}
        power = self.assessment.power
        for state in power.states if power else ():
            for kind, flows in (("circuit", state.circuits), ("feed", state.feeds), ("device", state.devices)):
                for flow in flows:
                    key = (kind, flow.id)
                    if key not in found or flow.average_a > found[key][0] + 1e-12:
                        found[key] = (flow.average_a, state.title)
        return found

    def normal(self, kind: str, id_: str) -> float | None:
        """Highest average of a circuit, feed or device over the saved states; None without saved states."""
        found = self.normal_a.get((kind, id_))
        return found[0] if found else None

    def words(self, text: str) -> str:
        """Our own words as the shop spells them."""
        return spelled(text, self.units)

    def length(self, value_m: float | None) -> str:
        """A length in the shop's small unit, whole."""
        if value_m is None:
            return DASH
        unit = "in" if self.us else "mm"
        return f"{convert(value_m, 'length', unit):.0f}"

    def mark(self, figure_id: str, value: float | None) -> str:
        """The mark of a figure of the report: of the least sure thing that its hand calculation stands on; none where
        there is no value."""
        from rigbook.assess.explain import explain

        working = None if value is None else explain(self.assessment, figure_id).working
        return "" if working is None else MARKS.get(working.least_sure, "")

    def fuse_mark(self, fuse_id: str) -> str:
        """The mark of a fuse: chosen ones take load / 0.8, common practice; what a person set has none."""
        chosen = self.rig.choices.fuses.get(fuse_id)
        return MARKS["common practice"] if chosen is not None and chosen.how == "auto" else ""

    @property
    def small_unit(self) -> str:
        """Unit of `length`."""
        return "in" if self.us else "mm"


MARKS: Mapping[str, str] = MappingProxyType({"common practice": "*", "memory": "†"})
"""What stands behind a value that leans on something less sure than a published figure; the foot of every page says so."""


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter: its title in the contents list, what makes its pieces, and whether its pages lie on their side."""

    title: str
    pieces: Callable[[Desk], list[Piece]]
    flipped: bool = False


def amperes(value: float | None, decimals: int = 2) -> str:
    """A current as printed; a dash where none was worked out."""
    return DASH if value is None else f"{value:.{decimals}f}"


def rating(value: float | None) -> str:
    """A fuse as stamped: whole where it is whole."""
    return DASH if value is None else f"{value:g}"
