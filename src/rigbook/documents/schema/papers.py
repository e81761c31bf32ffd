"""Sections of a build that only its papers read: the quote and the tests of the final inspection."""

# ruff: noqa: RUF012 -- records are frozen, and pydantic copies their defaults

from __future__ import annotations

from collections.abc import Iterator

from pydantic import Field

from rigbook.documents.schema.base import Problem, Record, twice
from rigbook.documents.schema.scalars import Count, Duration, Minutes, Money, Name, Share, Text, YesNo


class OptionPart(Record):
    part: Name
    """Part of the catalogue."""
    count: Count = 1
    """How many."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.count < 1:
            yield Problem("count", "an option has at least one of a part", str(self.count), "1 or more")


class QuoteOption(Record):
    id: Name
    """Name of the option."""
    title: Text
    """As printed."""
    does: Text | None = None
    """What the crew gains by it."""
    parts: list[OptionPart] = []
    """Parts it adds; their prices and times make its price."""
    labour: Minutes = 0.0
    """Minutes of work beside fitting its parts."""
    price: Money | None = None
    """Price agreed on, instead of the one made from parts and time."""
    chosen: YesNo = False
    """The customer has taken it: it counts in the total."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        if self.price is None and not self.parts and self.labour == 0:
            says = f"the option {self.id} has no parts, no labour and no price: nothing says what it costs"
            yield Problem("", says, "no price", "parts:, labour: or price:")


class Discount(Record):
    share: Share
    """Share of build and chosen options."""
    why: Text
    """As printed."""


class Quote(Record):
    number: Text | None = None
    """Number of the quote."""
    introduction: Text | None = None
    """First sentences to the customer."""
    options: list[QuoteOption] = []
    """What may be added."""
    discount: Discount | None = None
    """What is taken off."""
    deposit: Share | None = None
    """Share of the total that is paid with the order."""
    validity: Duration | None = None
    """How long the price stands, from the date of the build."""
    delivery: Text | None = None
    """When and where the vehicle is handed over."""
    terms: Text | None = None
    """Terms of sale instead of the shop's."""

    def problems_(self) -> Iterator[Problem]:
        """What is wrong between the values."""
        yield from twice("options", self.options)


class InspectionTest(Record):
    id: Name
    """Name of the test."""
    step: Text
    """What is tested."""
    do: Text
    """What the inspector does."""
    see: Text
    """What is seen or measured."""
    expected: Text
    """What must come out, with its tolerance."""
    by: Text | None = Field(default=None)
    """Who must do it, where not everybody may."""
