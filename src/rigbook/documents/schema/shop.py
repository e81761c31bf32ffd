"""Shop document, and rule packs."""

# ruff: noqa: RUF012 -- records are frozen, and pydantic copies their defaults

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Literal

from pydantic import Field

from rigbook.documents.schema.base import PlacedText, Problem, Record, twice
from rigbook.documents.schema.scalars import (
    Count,
    Current,
    Extent,
    FormatNumber,
    GaugeText,
    Money,
    Name,
    Share,
    Temperature,
    Text,
    Voltage,
    YesNo,
)

LABEL_FIELDS = ("circuit", "end", "feed", "from", "to", "gauge", "colour", "build", "number")


class MarkUp(Record):
    parts: Share = 0.0
    """On parts without a list price."""
    sundries: Share = 0.0
    """On parts, for small material."""


class StockWire(Record):
    part: Name
    """Wire part of the catalogue."""
    gauge: GaugeText
    """Size."""
    insulation: Temperature
    """Insulation class."""
    colours: list[Name]
    """Colours in stock."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if not self.colours:
            yield Problem("colours", f"{self.part} is in stock in no colour", "none", "[red, black]")


class StockFuse(Record):
    form: Name
    """Form: blade, maxi, bolt …"""
    ratings: list[Current]
    """Ratings in stock."""
    interrupts: Current | None = None
    """What these fuses break at the system's voltage, from their datasheet; left out, the figure printed for the form."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.interrupts is not None and self.interrupts <= 0:
            yield Problem("interrupts", "an interrupting rating is above 0 A", f"{self.interrupts:g} A", "6 kA")
        for rating in self.ratings:
            if rating <= 0:
                yield Problem("ratings", "a fuse rating is above 0 A", f"{rating:g} A", "10 A")


class LabelStock(Record):
    page: tuple[Extent, Extent] = (0.2159, 0.2794)
    """Width and height of a sheet."""
    columns: Count = 4
    """Labels side by side."""
    rows: Count = 20
    """Labels under one another."""
    left: Extent = 0.0073
    """From the left edge of the sheet to the first label."""
    top: Extent = 0.0127
    """From the upper edge of the sheet to the first label."""
    across: Extent = 0.0523
    """From the left edge of a label to that of the next."""
    down: Extent = 0.0127
    """From the upper edge of a label to that of the next."""
    width: Extent = 0.04445
    """Width of a label."""
    height: Extent = 0.0127
    """Height of a label."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        for key in ("columns", "rows"):
            if not 1 <= getattr(self, key) <= 200:
                yield Problem(key, f"a sheet has 1 to 200 {key} of labels", str(getattr(self, key)), "4")
                return
        for size, pitch, count, first, page, name in (
            ("width", "across", self.columns, self.left, self.page[0], "columns"),
            ("height", "down", self.rows, self.top, self.page[1], "rows"),
        ):
            if getattr(self, size) < 0.004:
                yield Problem(
                    size, "a label is at least 4 mm wide and high", f"{getattr(self, size) * 1000:.4g} mm", "12.7 mm"
                )
            elif count > 1 and getattr(self, pitch) < getattr(self, size) - 1e-9:
                says = f"labels of this {size} overlap at this pitch"
                yield Problem(
                    pitch, says, f"{getattr(self, pitch) * 1000:.4g} mm", f"{getattr(self, size) * 1000:.4g} mm or more"
                )
            else:
                end = first + (count - 1) * getattr(self, pitch) + getattr(self, size)
                if end > page + 1e-6:
                    says = f"the {count} {name} of labels reach {end * 1000:.4g} mm, beyond the sheet's {page * 1000:.4g} mm"
                    yield Problem(name, says, str(count), "fewer, or a smaller pitch or margin")


class Labels(Record):
    scheme: Text = "{circuit}-{end}"
    """Pattern of a circuit label."""
    both_ends: YesNo = True
    """Printed at both ends."""
    sides: Literal["driver-passenger", "street-curb", "left-right"] = "driver-passenger"
    """Words for the two sides."""
    stock: LabelStock = Field(default_factory=LabelStock)
    """Sheets that labels are printed on; a letter sheet of eighty where left out."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        for field in re.findall(r"\{([^}]*)\}", self.scheme):
            if field not in LABEL_FIELDS:
                known = ", ".join(f"{{{name}}}" for name in LABEL_FIELDS)
                yield Problem("scheme", f"a label has no field {{{field}}}", f"{{{field}}}", known)


class Shop(Record):
    title: Text
    """Name of the shop."""
    address: list[Text] = []
    """Address lines."""
    units: Literal["us", "metric"] = "us"
    """Units on screens and papers."""
    currency: Text = "USD"
    """Currency of prices."""
    labour_rate: Money
    """Per hour."""
    mark_up: MarkUp = Field(default_factory=MarkUp)
    """Mark-ups."""
    rules: list[Name] = []
    """Default rule packs."""
    drop_from: Voltage = 13.6
    """Voltage drops are shares of this."""
    service_loop: Extent = 0.15
    """Spare length at each end of a wire."""
    wires: list[StockWire] = []
    """Wire in stock, any order."""
    fuses: list[StockFuse] = []
    """Fuses in stock."""
    patterns: dict[Name, list[Count]] = {}
    """Flash patterns: on and off times in ms."""
    labels: Labels = Field(default_factory=Labels)
    """Label scheme."""
    terms: Text | None = None
    """Terms of sale."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        for name, times in self.patterns.items():
            if not times or len(times) % 2 or min(times) < 1:
                says = f"the pattern {name} is not pairs of on and off times in whole ms, each at least 1"
                yield Problem(f"patterns/{name}", says, str(times), "[100, 100]")
        if not re.fullmatch(r"[A-Z]{3}", self.currency):
            yield Problem("currency", f"{self.currency!r} is no currency code", self.currency, "three capitals, as USD")


class ShopDocument(Record):
    rigbook: FormatNumber
    """Format of the document."""
    shop: Shop
    """The shop."""


class Limit(Record):
    at_most: Text | None = None
    """Upper limit, with unit."""
    at_least: Text | None = None
    """Lower limit, with unit."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if (self.at_most is None) == (self.at_least is None):
            found = "neither" if self.at_most is None else "both"
            yield Problem("", "a limit is at_most or at_least, one of the two", found, "at_most: 3 %")


class Case(Record):
    when: PlacedText
    """Facts of the subject, in the condition grammar."""
    at_most: Text | None = None
    """Upper limit there, with unit."""
    at_least: Text | None = None
    """Lower limit there, with unit."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if (self.at_most is None) == (self.at_least is None):
            found = "neither" if self.at_most is None else "both"
            yield Problem("", "a case is at_most or at_least, one of the two", found, "at_least: 400000 cd s/min")


class RuleRow(Record):
    id: Name
    """Name of the rule; findings are RULE@SUBJECT."""
    measure: Name
    """Named measure of the results."""
    per: Literal[
        "whole",
        "circuit",
        "feed",
        "module",
        "device",
        "zone",
        "mode",
        "axle",
        "side",
        "mount",
        "lid",
        "face",
        "area",
        "pair",
    ]
    """What it is judged for."""
    limit: Limit | None = None
    """The limit."""
    cases: list[Case] = []
    """A table instead of one limit: the first case that holds of a subject gives its limit; none holds: not judged."""
    severity: Literal["fail", "caution", "note"]
    """How bad a breach is."""
    clause: Text | None = None
    """Clause of the source."""
    source: Text | None = None
    """Key of the bibliography."""
    edition: Text | None = None
    """Edition of the source."""
    sourced: Literal["published", "common practice", "memory"]
    """How sure the figure is."""
    says: Text
    """Sentence with {subject}, {value}, {limit}."""
    remedy: Text
    """What to do."""
    when: PlacedText | None = None
    """Facts of the subject, in the condition grammar."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if (self.limit is None) == (not self.cases):
            found = "neither" if self.limit is None else "both"
            yield Problem("", f"rule {self.id} has a limit or cases, one of the two", found, "limit: {at_most: 3 %}")
        sides = {case.at_most is None for case in self.cases}
        if len(sides) > 1:
            yield Problem("cases", f"the cases of {self.id} limit both ways", "at_most and at_least", "one of them")


class RulePack(Record):
    id: Name
    """Name of the pack."""
    title: Text
    """As printed."""
    about: Text | None = None
    """What it covers and where it comes from."""
    ampacity: Literal["corrected", "33-cfr-183", "e-11", "ac-43-13"] | None = None
    """Rule by which wires are judged where this pack is used: Table 5 corrected for ambient and bundle (the rule where no
    pack names one), the regulation as printed, E-11, or AC 43.13 Table 11-9."""
    corrects: Name | None = None
    """Another pack: rows here take the place of its rows with the same id, wherever that pack is used."""


class RulesDocument(Record):
    rigbook: FormatNumber
    """Format of the document."""
    pack: RulePack
    """The pack."""
    rules: list[RuleRow]
    """Its rows."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from twice("rules", self.rules)
