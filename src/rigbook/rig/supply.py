"""Banks, links and feeds: where power comes from, battery outward."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rigbook.documents.schema import vehicle as vehicle_schema
from rigbook.documents.schema.build import BuildDocument, Feed, Link
from rigbook.documents.schema.parts import Battery, Breaker, BusBar, FuseBlock
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.rig.model import Bank, Device, Point, Stud
from rigbook.rig.open_model import OpenFeed, OpenLink
from rigbook.rig.places import as_point
from rigbook.rig.placing import Placing
from rigbook.rig.report import Report

BATTERY = "battery"
BLOCK_KINDS = ("fuse-block", "bus-bar")
SWITCH_KINDS = ("relay", "contactor", "disconnect")
MOST_SHED_STEP = 9


class Supply:
    """Resolves banks, links and feeds of one build; thrown away after."""

    def __init__(
        self, *, vehicle: Vehicle, build: BuildDocument, parts: Mapping[str, Any], devices: Mapping[str, Device],
        placing: Placing, report: Report,
    ) -> None:  # fmt: skip
        self.vehicle = vehicle
        self.build = build
        self.parts = parts
        self.devices = devices
        self.placing = placing
        self.report = report
        self.banks: dict[str, Bank] = {}
        self.bank_at: dict[str, Point] = {}
        self.feeds: dict[str, OpenFeed] = {}
        self.links: dict[str, OpenLink] = {}

    # --- banks and studs ------------------------------------------------------------------------

    def resolve_banks(self) -> None:
        """Banks of the vehicle, then those the build adds."""
        rows = [(bank, True) for bank in self.vehicle.batteries] + [(bank, False) for bank in self.build.batteries]
        for bank, own in rows:
            if bank.id in self.banks:
                self.report.error(bank.where_of("id"), f"there are two banks named {bank.id}", found=bank.id)
                continue
            part = self.parts.get(bank.part)
            if not isinstance(part, Battery):
                batteries = [name for name, each in self.parts.items() if isinstance(each, Battery)]
                self.report.unknown(bank.where_of("part"), "battery part", bank.part, batteries)
                continue
            self.banks[bank.id] = self._bank(bank, own)

    def _bank(self, bank: vehicle_schema.Bank, own: bool) -> Bank:
        at, node, area = None, bank.node, None
        if bank.place is not None:
            place = self.placing.places.get(bank.place)
            if place is None:
                self.report.unknown(bank.where_of("place"), "place", bank.place, self.placing.places)
            else:
                at, node, area = as_point(place.at), node or place.node, place.area
        elif bank.at is not None:
            at = as_point(bank.at)
        nodes = self.placing.nodes
        if node is not None and node not in nodes:
            self.report.unknown(bank.where_of("node"), "route node", node, nodes)
            node = None
        elif node is None and at is not None and nodes:
            node, away = self.placing.node_near(at)
            if node is None:
                self.report.error(
                    bank.where, f"bank {bank.id} is {away:.2f} m from the nearest route node; name its node"
                )  # fmt: skip
        elif node is None:
            node = next((name for name in (bank.id, BATTERY) if name in nodes), None)
            if node is not None and not own:
                says = f"bank {bank.id} has no place: it is taken to stand at route node {node}"
                self.report.note("position-assumed", bank.id, says, bank.where)
        if at is None and node is not None:
            at = nodes[node]
        if at is not None:
            self.bank_at[bank.id] = at
        return Bank(
            bank.id, bank.part, bank.count, at, node, area or self.placing.area_of(node), bank.negative_sensor, own,
            bank.where.file, bank.where.line,
        )  # fmt: skip

    def studs(self) -> dict[str, Stud]:
        """Ground studs of the vehicle with their nodes."""
        made: dict[str, Stud] = {}
        for ground in self.vehicle.grounds:
            at = as_point(ground.at)
            node = ground.node
            if node is not None and node not in self.placing.nodes:
                self.report.unknown(ground.where_of("node"), "route node", node, self.placing.nodes)
                node = None
            elif node is None:
                node, _ = self.placing.node_near(at)
            made[ground.id] = Stud(ground.id, at, node, ground.resistance)
        return made

    # --- links ------------------------------------------------------------------------------------

    def resolve_links(self) -> None:
        """Conductors between banks."""
        for link in self.build.links:
            if link.id in self.links:
                self.report.error(link.where_of("id"), f"there are two links named {link.id}", found=link.id)
                continue
            ends = [self._bank_ref(str(link.from_), link, "from"), self._bank_ref(str(link.to), link, "to")]
            if ends[0] is None or ends[1] is None:
                continue
            if ends[0] == ends[1]:
                self.report.error(link.where, f"link {link.id} starts and ends at bank {ends[0]}")
                continue
            if link.through is not None and link.through not in self.devices:
                self.report.unknown(link.where_of("through"), "installed device", link.through, self.devices)
                continue
            load_a, why = self._link_load(link)
            fuses = [end for end in (link.fuse.start, link.fuse.end) if isinstance(end, float | int)]
            if fuses and min(fuses) < load_a:
                load_a, why = min(fuses), f"{why}; its fuse of {min(fuses):g} A passes no more for long"
            self.links[link.id] = OpenLink(
                id=link.id, from_bank=ends[0], to_bank=ends[1], through=link.through,
                start_fuse_a=link.fuse.start if isinstance(link.fuse.start, float | int) else None,
                end_fuse_a=link.fuse.end if isinstance(link.fuse.end, float | int) else None,
                wire=None if isinstance(link.wire, str) else link.wire,
                route=self._route(link.route, link),
                load_a=load_a, load_why=why, where=link.where,
            )  # fmt: skip

    def _bank_ref(self, ref: str, link: Link, key: str) -> str | None:
        head, dot, bank = ref.partition(".")
        if head == BATTERY and dot and bank in self.banks:
            return bank
        self.report.unknown(link.where_of(key), "bank", ref, [f"{BATTERY}.{name}" for name in self.banks])
        return None

    def _link_load(self, link: Link) -> tuple[float, str]:
        """What a link is sized for: what its isolator or charger passes, but never more than the source can give."""
        charging = self.vehicle.charging
        points = [a for _, a in (*charging.cold, *charging.hot)]
        source_a = charging.output if charging.output is not None else max(points, default=0.0)
        device = self.devices.get(link.through) if link.through else None
        part = self.parts.get(device.part_id or "") if device else None
        limit = getattr(part, "limit", None) or getattr(part, "output", None)
        if limit is None:
            return source_a, f"the charging source gives up to {source_a:g} A"
        if source_a and source_a < limit:
            return source_a, f"{link.through} passes {limit:g} A, the charging source gives up to {source_a:g} A"
        return limit, f"{link.through} passes up to {limit:g} A"

    def _route(self, route: Any, record: Any) -> tuple[str, ...] | None:
        if not isinstance(route, list):
            return None
        for node in route:
            if node not in self.placing.nodes:
                self.report.unknown(record.where_of("route"), "route node", node, self.placing.nodes)
                return None
        return tuple(route)

    # --- feeds ------------------------------------------------------------------------------------

    def resolve_feeds(self) -> None:
        """Feeds with the block or bank they start from, their chain checked for circles."""
        supplies = self._supplies()
        seen_positions: dict[tuple[str, int], str] = {}
        for feed in self.build.feeds:
            if feed.id in self.feeds:
                self.report.error(feed.where_of("id"), f"there are two feeds named {feed.id}", found=feed.id)
                continue
            start = self._start(feed, supplies)
            if start is None:
                continue
            bank_id, block_id, position = start
            if block_id is not None and position is not None:
                other = seen_positions.setdefault((block_id, position), feed.id)
                if other != feed.id:
                    self.report.error(
                        feed.where_of("from"), f"position {position} of {block_id} already holds the fuse of {other}",
                        found=f"{block_id}.{position}",
                    )  # fmt: skip
            self.feeds[feed.id] = self._feed(feed, bank_id, block_id, position, supplies)
        self._check_circles()

    def _supplies(self) -> dict[str, str]:
        supplies: dict[str, str] = {}
        for feed in self.build.feeds:
            if feed.to is None:
                continue
            device = self.devices.get(str(feed.to))
            if device is None or device.part_kind not in BLOCK_KINDS:
                blocks = [each.id for each in self.devices.values() if each.part_kind in BLOCK_KINDS]
                self.report.unknown(feed.where_of("to"), "installed fuse block or bus bar", str(feed.to), blocks)
            elif device.id in supplies:
                self.report.error(
                    feed.where_of("to"), f"{device.id} is already supplied by feed {supplies[device.id]}"
                )  # fmt: skip
            else:
                supplies[device.id] = feed.id
        return supplies

    def _start(self, feed: Feed, supplies: Mapping[str, str]) -> tuple[str | None, str | None, int | None] | None:
        """(bank, block, position) a feed starts from; None with an error."""
        ref = str(feed.from_)
        head, dot, tail = ref.partition(".")
        where = feed.where_of("from")
        if head == BATTERY and dot:
            if tail in self.banks:
                return tail, None, None
            self.report.unknown(where, "bank", ref, [f"{BATTERY}.{name}" for name in self.banks])
            return None
        device = self.devices.get(head)
        part = self.parts.get(device.part_id or "") if device else None
        if not isinstance(part, FuseBlock | BusBar):
            names = [f"{BATTERY}.{name}" for name in self.banks]
            names += [each.id for each in self.devices.values() if each.part_kind in BLOCK_KINDS]
            self.report.unknown(where, "bank, fuse block or bus bar", ref, names)
            return None
        if head not in supplies:
            self.report.error(where, f"no feed supplies {head}: give one feed `to: {head}`", found=ref)
            return None
        if not dot:
            if isinstance(part, BusBar):
                return None, head, None
            self.report.error(where, f"{head} is a fuse block: name the position, as {head}.1", found=ref)
            return None
        positions = part.positions if isinstance(part, FuseBlock) else part.studs
        if not tail.isdigit() or not 1 <= int(tail) <= positions:
            self.report.error(where, f"{head} has positions 1 to {positions}, not {tail}", found=ref)
            return None
        return None, head, int(tail)

    def _feed(
        self, feed: Feed, bank_id: str | None, block_id: str | None, position: int | None, supplies: Mapping[str, str]
    ) -> OpenFeed:
        if feed.through is not None:
            device = self.devices.get(feed.through)
            if device is None or device.part_kind not in SWITCH_KINDS:
                switches = [each.id for each in self.devices.values() if each.part_kind in SWITCH_KINDS]
                self.report.unknown(feed.where_of("through"), "installed relay", feed.through, switches)
        breaker_a = self._breaker_a(feed)
        if isinstance(feed.sheds, int) and not 1 <= feed.sheds <= MOST_SHED_STEP:
            self.report.error(
                feed.where_of("sheds"), f"a feed sheds at step 1 to {MOST_SHED_STEP}, or never", found=str(feed.sheds)
            )
        part = self.parts.get(self.devices[block_id].part_id or "") if block_id else None
        return OpenFeed(
            id=feed.id,
            parent=supplies.get(block_id) if block_id else None,
            bank_id=bank_id,
            block_id=block_id,
            block_position=position,
            to=str(feed.to) if feed.to is not None and str(feed.to) in supplies else None,
            fuse_a=feed.fuse if isinstance(feed.fuse, float | int) else breaker_a,
            wire=None if isinstance(feed.wire, str) else feed.wire,
            route=self._route(feed.route, feed),
            drop=feed.drop,
            load_class=feed.load_class,
            sheds=feed.sheds if isinstance(feed.sheds, int) else None,
            starts_after_s=feed.starts_after,
            live_when=None if feed.live_when is None else str(feed.live_when),
            live_when_at=feed.where_of("live_when"),
            through=feed.through,
            form=part.form if isinstance(part, FuseBlock) else None,
            where=feed.where,
            breaker=feed.breaker if breaker_a is not None else None,
        )

    def _breaker_a(self, feed: Feed) -> float | None:
        """Rating of the installed breaker that a feed names."""
        if feed.breaker is None:
            return None
        device = self.devices.get(feed.breaker)
        part = self.parts.get(device.part_id or "") if device else None
        if isinstance(part, Breaker):
            other = next((each.id for each in self.feeds.values() if each.breaker == feed.breaker), None)
            if other is not None:
                self.report.error(
                    feed.where_of("breaker"), f"breaker {feed.breaker} stands at the start of {other} already",
                    found=feed.breaker,
                )  # fmt: skip
            return float(part.rating)
        breakers = [each.id for each in self.devices.values() if each.part_kind == "breaker"]
        self.report.unknown(feed.where_of("breaker"), "installed breaker", feed.breaker, breakers)
        return None

    def _check_circles(self) -> None:
        for feed in self.feeds.values():
            seen = {feed.id}
            parent = feed.parent
            while parent is not None and parent in self.feeds:
                if parent == feed.id:
                    self.report.error(feed.where, f"feed {feed.id} supplies itself in a circle")
                    break
                if parent in seen:
                    break
                seen.add(parent)
                parent = self.feeds[parent].parent


def head_bank(feeds: Mapping[str, OpenFeed], feed_id: str) -> str | None:
    """The bank at the head of a feed's chain; None where an error broke the chain."""
    seen: set[str] = set()
    current: str | None = feed_id
    while current is not None and current in feeds and current not in seen:
        seen.add(current)
        if feeds[current].bank_id is not None:
            return feeds[current].bank_id
        current = feeds[current].parent
    return None
