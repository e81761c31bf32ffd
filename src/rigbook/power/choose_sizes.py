"""Choosing fuses and wire sizes: the smallest stock that meets ampacity, trade practice and the drop limit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rigbook.documents.schema.base import Where
from rigbook.power.ampacity import allowed_a
from rigbook.power.choose_routes import Routed
from rigbook.power.conductors import (
    loaded_conductor_c,
    practice_max_fuse_a,
    voltage_drop_v,
)
from rigbook.power.stock import Stock, kept_share, metre_resistance_ohm, stock_ratings_a
from rigbook.quantities.gauge import Gauge, parse_gauge
from rigbook.quantities.parse import QuantityError, parse_quantity
from rigbook.rig.model import Chosen, Conductor, How
from rigbook.rig.open_model import OpenFeed, OpenRig
from rigbook.rig.plan import Plan, PlannedSegment
from rigbook.rig.report import Report

FUSE_USE = 0.8
"""A fuse carries at most this share of its rating all day [common practice, no source]."""
LEAST_WIRE = Gauge("AWG", 18)
"""Least single wire that is not a device's own lead [common practice, no source]."""
Stretches = tuple[tuple[float, int], ...]
"""(ambient in C, conductors loaded at once) of each stretch of a way."""
DROP_SHARE = {"critical": 0.03, "ordinary": 0.10}
_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Loads:
    """Greatest (RMS, peak) of each conductor and greatest RMS of each feed over every reachable state, A."""

    wires: Mapping[str, tuple[float, float]]
    feeds: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Guard:
    """What protects a conductor: a fuse, or the limit of an electronic output."""

    id: str
    rating_a: float
    electronic: bool


def governing(*, rule: str, gauge: Gauge, insulation_c: float, stretches: Stretches) -> tuple[float, int]:
    """The stretch (ambient, conductors) where a wire may carry least, the first on a tie."""

    def carries(stretch: tuple[float, int]) -> float:
        found = allowed_a(
            rule=rule, gauge=gauge, insulation_c=insulation_c, ambient_c=stretch[0], bundled=stretch[1]
        )  # fmt: skip
        return found if found is not None else 0.0

    return min(stretches, key=carries)


def least_allowed_a(*, rule: str, gauge: Gauge, insulation_c: float, stretches: Stretches) -> float:
    """Amperes a wire may carry on its way: of its worst stretch, by a rule; 0 where the rule has no figure."""
    ambient_c, bundled = governing(rule=rule, gauge=gauge, insulation_c=insulation_c, stretches=stretches)
    found = allowed_a(rule=rule, gauge=gauge, insulation_c=insulation_c, ambient_c=ambient_c, bundled=bundled)
    return found if found is not None else 0.0


@dataclass(slots=True)
class Sizes:
    """Sizes of one vehicle while they are chosen."""

    open: OpenRig
    plan: Plan
    routed: Mapping[str, Routed]
    stretches: Mapping[str, Stretches]
    report: Report
    stock: tuple[Stock, ...] = ()
    fuses: dict[str, Chosen] = field(default_factory=dict)
    fixed: dict[str, tuple[Stock, How, str]] = field(default_factory=dict)  # set, settled, own leads
    index: dict[str, int] = field(default_factory=dict)  # automatic ones: index in the stock
    why: dict[str, str] = field(default_factory=dict)
    carried: dict[tuple[Gauge, float, Stretches], float] = field(default_factory=dict)  # asked for again and again
    loads: Loads | None = None  # greatest currents over every reachable state, where they are worked out

    def heating_a(self, segment: PlannedSegment) -> float:
        """What heats a conductor: its greatest RMS, else its name-plate sum."""
        return segment.nameplate_a if self.loads is None else self.loads.wires[segment.id][0]

    def dropping_a(self, segment: PlannedSegment) -> float:
        """What loses voltage along a conductor: its greatest peak, else its name-plate sum."""
        return segment.nameplate_a if self.loads is None else self.loads.wires[segment.id][1]

    def feed_load_a(self, feed_id: str) -> float:
        """What heats a feed's fuse: the greatest RMS, else the name-plate sum."""
        return self.plan.feed_load_a[feed_id] if self.loads is None else self.loads.feeds[feed_id]

    def load_told(self, load_a: float, nameplate_a: float) -> str:
        """A load in words, with the name-plate sum beside it where that is another."""
        if self.loads is None or abs(load_a - nameplate_a) < 1e-9:
            return f"{load_a:.4g} A"
        return f"{load_a:.4g} A (worst RMS; name-plate {nameplate_a:.4g} A)"

    # --- what is fixed ----------------------------------------------------------------------------

    def fix(self) -> None:
        """Wires a person set, wires settled earlier, and devices' own leads."""
        for segment in self.plan.segments.values():
            if segment.lead is not None:
                lead = segment.lead
                self.fixed[segment.id] = (self._wire_of(lead.gauge), "lead", f"own lead {lead.name}, {lead.gauge}")
            elif segment.set_wire is not None:
                self.fixed[segment.id] = (self._wire_of(segment.set_wire), "set", "set in the build")
            elif segment.settles in self.open.settled:
                self._fix_settled(segment)

    def _fix_settled(self, segment: PlannedSegment) -> None:
        value = self.open.settled[segment.settles]
        try:
            gauge = parse_gauge(value)
        except QuantityError as error:
            self.report.error(self.open.settled_at[segment.settles], f"{segment.settles}: {error}", found=value)
            return
        self.fixed[segment.id] = (self._wire_of(gauge), "settled", "settled earlier")

    def _wire_of(self, gauge: Gauge) -> Stock:
        """The stock wire of a gauge, else one of the catalogue; else the lowest insulation class we stock."""
        for stock in self.stock:
            if stock.gauge == gauge:
                return stock
        for part in self.open.parts.values():
            if part.kind == "wire" and part.gauge == gauge:
                return Stock(gauge, part.id, part.insulation, part.resistance_per_metre)
        lowest = min((stock.insulation_c for stock in self.stock), default=60.0)
        return Stock(gauge, None, lowest, None)

    # --- fuses --------------------------------------------------------------------------------------

    def choose_fuses(self) -> None:
        """Fuses of feeds and of both ends of links."""
        for feed in self.open.feeds.values():
            if feed.breaker is not None:
                self._breaker(feed)
                continue
            self._fuse(
                feed.id, f"feeds.{feed.id}.fuse", feed.fuse_a, self.feed_load_a(feed.id), feed.form, feed.where,
                limit_a=self._position_limit(feed), ambient_c=self._ambient_c(feed),
            )  # fmt: skip
        for link in self.open.links.values():
            for end, set_a, bank in (
                ("start", link.start_fuse_a, link.from_bank), ("end", link.end_fuse_a, link.to_bank),
            ):  # fmt: skip
                self._fuse(
                    f"{link.id}:{end}", f"links.{link.id}.fuse.{end}", set_a, link.load_a, None, link.where, None,
                    ambient_c=self.open.ambient_c.get(self.open.banks[bank].area or ""),
                )  # fmt: skip

    def _breaker(self, feed: OpenFeed) -> None:
        """A breaker has the rating of its part."""
        load_a, rating_a = self.feed_load_a(feed.id), float(feed.fuse_a or 0.0)
        self.fuses[feed.id] = Chosen(rating_a, "set", f"breaker {feed.breaker}; the load is {load_a:.4g} A")

    def _ambient_c(self, feed: OpenFeed) -> float | None:
        """Where a feed's fuse stands: its block's area, or its battery's; None where none is named."""
        if feed.block_id is not None:
            return self.open.ambient_c.get(self.open.devices[feed.block_id].placement.area or "")
        return self.open.ambient_c.get(self.open.banks[feed.bank_id].area or "") if feed.bank_id else None

    def _position_limit(self, feed: OpenFeed) -> float | None:
        part = self.open.parts.get(self.open.devices[feed.block_id].part_id or "") if feed.block_id else None
        limit: float | None = getattr(part, "position_limit", None)
        return limit

    def _fuse(
        self, key: str, path: str, set_a: float | None, load_a: float, form: str | None, where: Where,
        limit_a: float | None, ambient_c: float | None,
    ) -> None:  # fmt: skip
        share = kept_share(ambient_c)
        needed_a = load_a / FUSE_USE / share
        at = f" / {share:.4g} at {ambient_c:g} C" if share < 1.0 else ""
        if set_a is not None:
            told = self.load_told(load_a, self.plan.feed_load_a.get(key, load_a))
            self.fuses[key] = Chosen(set_a, "set", f"set in the build; the load is {told}")
            return
        if path in self.open.settled:
            value = self.open.settled[path]
            try:
                self.fuses[key] = Chosen(parse_quantity(value, "current"), "settled", "settled earlier")
            except QuantityError as error:
                self.report.error(self.open.settled_at[path], f"{path}: {error}", found=value)
            else:
                if self.fuses[key].value < needed_a - _SLACK:
                    says = f"the settled fuse {value} of {key} is below load / 0.8{at}, {needed_a:.4g} A"
                    self.report.note("settled-misfit", path, says, self.open.settled_at[path], "caution")
            return
        most_a = self._most_a(key)
        for rating in stock_ratings_a(self.open, form):
            if rating < needed_a - _SLACK:
                continue
            if limit_a is not None and rating > limit_a + _SLACK:
                self.report.error(
                    where, f"{key} needs a fuse of {rating:g} A, its position holds at most {limit_a:g} A", found=key
                )
                return
            if rating > most_a + _SLACK:
                self.report.error(
                    where, f"{key} carries up to {load_a:.4g} A and needs a fuse of {rating:g} A; "
                    f"the wire set for it allows {most_a:.4g} A: set a thicker wire or leave it auto", found=key,
                )  # fmt: skip
                return
            self.fuses[key] = Chosen(
                rating,
                "auto",
                f"smallest in stock of at least {self.load_told(load_a, self.plan.feed_load_a.get(key, load_a))} / 0.8{at} "
                f"= {needed_a:.4g} A",
            )
            return
        kind = f"{form} fuse" if form else "fuse"
        self.report.error(
            where,
            f"{key} carries up to {load_a:.4g} A: no {kind} in stock is rated {needed_a:.4g} A or more",
            found=key,
        )

    def _most_a(self, key: str) -> float:
        """The largest fuse the wires a person set behind it allow."""
        most = float("inf")
        for segment in self.plan.segments.values():
            fixed = self.fixed.get(segment.id)
            if key in segment.guards and fixed is not None and fixed[1] == "set" and segment.id in self.routed:
                most = min(most, self.carries_a(segment, fixed[0]), practice_max_fuse_a(gauge=fixed[0].gauge) or 0.0)
        return most

    # --- wires ------------------------------------------------------------------------------------

    def carries_a(self, segment: PlannedSegment, stock: Stock) -> float:
        """Amperes a wire may carry on a conductor's way."""
        key = (stock.gauge, stock.insulation_c, self.stretches[segment.id])
        if key not in self.carried:
            self.carried[key] = least_allowed_a(
                rule=self.open.ampacity_rule, gauge=key[0], insulation_c=key[1], stretches=key[2]
            )
        return self.carried[key]

    def guards_of(self, segment: PlannedSegment) -> list[Guard]:
        """Fuses and output limits that stand before a conductor."""
        found = []
        for name in segment.guards:
            circuit = self.plan.circuits.get(name)
            if circuit is not None and circuit.kind == "output":
                found.append(Guard(name, circuit.limit_a or 0.0, True))
            elif name in self.fuses:
                found.append(Guard(name, float(self.fuses[name].value), False))
        return found

    def misfit(self, segment: PlannedSegment, stock: Stock) -> str:
        """Why a wire will not do, drop aside; empty where it will."""
        if stock.gauge.area_mm2 < LEAST_WIRE.area_mm2 * (1 - _SLACK):
            return f"{LEAST_WIRE} is the least single wire"
        carries = self.carries_a(segment, stock)
        load_a = self.heating_a(segment)
        if carries < load_a - _SLACK:
            return f"it may carry {carries:.4g} A, the load is {load_a:.4g} A"
        most = practice_max_fuse_a(gauge=stock.gauge) or 0.0
        for guard in self.guards_of(segment):
            if guard.rating_a > most + _SLACK:
                what = "output" if guard.electronic else "fuse"
                return f"practice puts at most {most:g} A on it, {what} {guard.id} gives {guard.rating_a:g} A"
            if not guard.electronic and guard.rating_a > carries + _SLACK:
                return f"it may carry {carries:.4g} A, the fuse {guard.id} is {guard.rating_a:g} A"
        return ""

    def gauge_of(self, name: str) -> Stock:
        """The wire of a conductor as things stand."""
        return self.fixed[name][0] if name in self.fixed else self.stock[self.index[name]]

    def choose_least(self) -> None:
        """For each open conductor the thinnest stock wire that carries and is protected; drop comes after."""
        for segment in self.plan.segments.values():
            if segment.id in self.fixed or segment.id not in self.routed:
                continue
            tried = ""
            for index, stock in enumerate(self.stock):
                tried = self.misfit(segment, stock)
                if not tried:
                    self.index[segment.id] = index
                    self.why[segment.id] = self.told(segment, index)
                    break
            else:
                self._none_fits(segment, tried)

    def told(self, segment: PlannedSegment, index: int) -> str:
        """Why a size was taken: what it carries, what protects it, and why the next thinner will not do."""
        told = f"thinnest stock wire that carries {self.load_told(self.heating_a(segment), segment.nameplate_a)}"
        guards = ", ".join(f"{guard.rating_a:g} A of {guard.id}" for guard in self.guards_of(segment))
        if guards:
            told += f" behind {guards}"
        if index:
            below = self.stock[index - 1]
            told += f"; {below.gauge}: {self.misfit(segment, below)}"
        return told

    def _none_fits(self, segment: PlannedSegment, tried: str) -> None:
        says = f"no stock wire does for {segment.subject}, {segment.start.point} to {segment.end.point}"
        if self.stock:
            says += f": the thickest is {self.stock[-1].gauge}, and {tried}"
        self.report.error(segment.where, says, found=segment.subject, expected="a wire in stock that does")

    def match_returns(self) -> None:
        """A return is no thinner than the feed conductors it belongs to."""
        for segment in self.plan.segments.values():
            if segment.id in self.index:
                self.lift_to_equal(segment)

    def lift_to_equal(self, segment: PlannedSegment) -> None:
        """Raise a return to the size of its thickest feed conductor, where it is thinner."""
        for name in segment.equal_to:
            wanted = self.gauge_of(name)
            while (
                self.stock[self.index[segment.id]].gauge.area_mm2 < wanted.gauge.area_mm2 * (1 - _SLACK)
                and self.index[segment.id] + 1 < len(self.stock)
            ):  # fmt: skip
                self.index[segment.id] += 1
                self.why[segment.id] = f"a return is as large as its feed, {name}"

    # --- results ------------------------------------------------------------------------------------

    def wires(self) -> dict[str, Conductor]:
        """A conductor for each segment."""
        made = {}
        for name in self.plan.segments:
            if name in self.fixed:
                stock, how, why = self.fixed[name]
            elif name in self.index:
                stock, how, why = self.stock[self.index[name]], "auto", self.why[name]
            else:
                continue
            made[name] = Conductor(
                stock.gauge, None if how == "lead" else stock.part_id, stock.insulation_c, how, why,
                stock.resistance_ohm_per_m,
            )  # fmt: skip
        return made

    def check_settled(self) -> None:
        """A settled wire that no longer does is kept, and told."""
        for segment in self.plan.segments.values():
            fixed = self.fixed.get(segment.id)
            if fixed is None or fixed[1] != "settled" or segment.id not in self.routed:
                continue
            misfit = self.misfit(segment, fixed[0])
            if misfit:
                says = f"the settled wire {fixed[0].gauge} from {segment.start.point} to {segment.end.point}: {misfit}"
                where = self.open.settled_at[segment.settles]
                self.report.note("settled-misfit", segment.settles, says, where, "caution")


def drop_v(*, sizes: Sizes, name: str) -> float:
    """Volts along one conductor at its greatest peak, as warm as its greatest RMS makes it in its hottest ambient."""
    routed, stock, segment = sizes.routed[name], sizes.gauge_of(name), sizes.plan.segments[name]
    carries = None if segment.lead is not None else sizes.carries_a(segment, stock)
    temperature_c = loaded_conductor_c(
        ambient_c=routed.hottest_c, rated_c=stock.insulation_c, current_a=sizes.heating_a(segment),
        ampacity_a=carries or None,
    )  # fmt: skip
    return voltage_drop_v(
        current_a=sizes.dropping_a(segment),
        length_m=routed.length_m,
        resistance_ohm_per_m=metre_resistance_ohm(stock=stock, temperature_c=temperature_c),
    )
