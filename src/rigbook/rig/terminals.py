"""Terminals: what flows into each device, and whether a feed or an output gives it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from rigbook.documents.schema.base import Where
from rigbook.documents.schema.build import BuildDocument, Install, OutputsFrom, OutputsTogether
from rigbook.documents.schema.parts import Charger, DcDc, ElectricBase, Lamp, Lightbar, PartBase
from rigbook.quantities.gauge import Gauge
from rigbook.rig.model import Device, Module
from rigbook.rig.open_model import OpenFeed, OwnLead, Terminal
from rigbook.rig.report import Report

POWER = "power"
FED_DRIVES = ("select-wire", "self-flashing", "data-link")
AUTO_OUTPUT_KINDS = ("lamp", "lightbar", "relay", "contactor", "buzzer", "fan", "request", "appliance")


@dataclass(frozen=True, slots=True)
class Channel:
    """Something an output may drive: a lamp's colour or a device's state, and what flows when it does."""

    device: Device
    key: str
    draws: tuple[tuple[str, str], ...]


class Terminals:
    """Makes the terminals of one build; thrown away after."""

    def __init__(
        self, *, build: BuildDocument, parts: Mapping[str, Any], devices: dict[str, Device],
        feeds: Mapping[str, OpenFeed], modules: Mapping[str, Module], report: Report,
    ) -> None:  # fmt: skip
        self.build = build
        self.parts = parts
        self.devices = devices
        self.feeds = feeds
        self.modules = modules
        self.report = report
        self.made: dict[str, Terminal] = {}
        self.set_by: dict[str, str] = {}
        self.unpowered: set[str] = {link.through for link in build.links if link.through}

    def row(self, row: Install) -> None:
        """Add the terminals of one installed row."""
        part = self.parts.get(row.part)
        members = [each for each in self.devices.values() if each.row == row.id and each.part_kind != "factory-lamp"]
        if part is None or not members:
            return
        feeds = self._feeds_of(row, part)
        if row.id in self.modules:
            self._module(row, part)
        elif not isinstance(part, ElectricBase):
            self._passive(row, part)
        elif isinstance(part, Lamp | Lightbar):
            self._lamps(row, part, members, feeds)
        else:
            self._other(row, part, members, feeds)
        if row.sense_feed is not None:
            self._sense(row, members)

    # --- feeds ------------------------------------------------------------------------------------

    def _feeds_of(self, row: Install, part: Any) -> dict[str, str]:
        """Terminal name -> feed, of the feeds a row names; those that do not exist are errors."""
        if row.feed is None:
            return {}
        named = {POWER: row.feed} if isinstance(row.feed, str) else dict(row.feed)
        found: dict[str, str] = {}
        for name, feed in named.items():
            if feed in self.feeds:
                found[name] = feed
            elif row.id not in self.modules:
                self.report.unknown(row.where_of("feed"), "feed", feed, self.feeds)
        return found

    def _sense(self, row: Install, members: Sequence[Device]) -> None:
        assert row.sense_feed is not None
        if row.sense_feed not in self.feeds:
            self.report.unknown(row.where_of("sense_feed"), "feed", row.sense_feed, self.feeds)
            return
        for device in members:
            if device.inside_of is None:
                self._add(row, device.id, "sense", (), signal=True, feed=row.sense_feed)

    def _passive(self, row: Install, part: PartBase) -> None:
        for key in ("outputs", "feed"):
            if getattr(row, key) is None:
                continue
            kind = getattr(part, "kind", "part")
            fed = [feed.id for feed in self.feeds.values() if feed.to == row.id]
            if key == "feed" and row.feed in fed:
                continue
            self.report.error(row.where_of(key), f"{row.id} is a {kind}: it takes no `{key}`")

    def _module(self, row: Install, part: Any) -> None:
        module = self.modules[row.id]
        draws = tuple((row.id, draw.channel) for draw in self.devices[row.id].draws)
        if row.outputs is not None:
            self.report.error(row.where_of("outputs"), f"{row.id} has outputs of its own and takes none")
        if row.feed is None:
            says = f"{row.id} has no feed: nothing it drives can work; name one with `feed:`"
            self.report.note("no-feed", row.id, says, row.where, "fail")
            return
        if isinstance(row.feed, str):
            banks = tuple(bank.id for bank in module.banks)
            if row.feed in self.feeds:
                self._add(row, row.id, POWER, draws, feed=row.feed, module=row.id, banks=banks)
            return
        for bank in module.banks:
            if bank.feed_id is None:
                says = f"bank {bank.id} of {row.id} has no feed: its outputs stay dead"
                self.report.note("no-feed", row.id, says, row.where, "caution")
                continue
            self._add(row, row.id, bank.id, draws, feed=bank.feed_id, module=row.id, banks=(bank.id,))
            draws = ()

    # --- lamps ------------------------------------------------------------------------------------

    def _lamps(
        self, row: Install, part: Lamp | Lightbar, members: Sequence[Device], feeds: Mapping[str, str]
    ) -> None:  # fmt: skip
        lamps = [device for device in members if device.part_kind == "lamp"]
        drives = {str(part.driven or (device.driven if isinstance(part, Lightbar) else "")) for device in lamps}
        fed = bool(drives & set(FED_DRIVES))
        channels = [Channel(lamp, colour, ((lamp.id, colour),)) for lamp in lamps for colour in lamp.colours]
        if "data-link" in drives:
            if row.controller is None:
                self.report.error(row.where, f"{row.id} is driven over a data link: name its `controller:`")
            if row.outputs is not None:
                self.report.error(row.where_of("outputs"), f"{row.id} is driven over a data link and takes no outputs")
        if feeds:
            if not fed and row.outputs is not None:
                says = f"{row.id} has a wire per colour: its outputs power it, so `feed:` cannot stand beside them"
                self.report.error(row.where_of("feed"), says)
                return
            self._fed_lamps(row, part, members, lamps, feeds)
            signalled = fed and "data-link" not in drives and (row.outputs is not None or bool(self.modules))
            if signalled:
                self._outputs(row, channels, signal=True)
            return
        if fed and row.outputs is None:
            says = f"{row.id} has no feed: power for a {'/'.join(sorted(drives))} lamp comes from a feed"
            self.report.note("no-feed", row.id, says, row.where, "fail")
            return
        self._outputs(row, channels, signal=False)
        for device in members:
            if device.part_kind == "lightbar" and device.draws:
                self._nothing_powers(row, device.id)

    def _fed_lamps(
        self, row: Install, part: Lamp | Lightbar, members: Sequence[Device], lamps: Sequence[Device],
        feeds: Mapping[str, str],
    ) -> None:  # fmt: skip
        name, feed = next(iter(feeds.items()))
        if isinstance(part, Lightbar):
            draws = tuple((device.id, draw.channel) for device in members for draw in device.draws)
            self._add(row, row.id, name, draws, feed=feed)
        else:
            for lamp in lamps:
                self._add(row, lamp.id, name, tuple((lamp.id, draw.channel) for draw in lamp.draws), feed=feed)
        for more, other in list(feeds.items())[1:]:
            holder = row.id if isinstance(part, Lightbar) else lamps[0].id
            self._add(row, holder, more, (), feed=other)

    # --- other devices ----------------------------------------------------------------------------

    def _other(
        self, row: Install, part: ElectricBase, members: Sequence[Device], feeds: Mapping[str, str]
    ) -> None:  # fmt: skip
        kind = getattr(part, "kind", "")
        for device in members:
            draws = tuple((device.id, draw.channel) for draw in device.draws)
            for name, feed in feeds.items():
                self._add(row, device.id, name, draws, feed=feed)
                draws = ()
        channels = [channel for device in members for channel in self._state_channels(device, part, bool(feeds))]
        wired = part.driven == "wire-per-state" or kind in ("relay", "contactor")
        if row.outputs is not None or (
            channels and self.modules and (wired or not feeds) and (wired or kind in AUTO_OUTPUT_KINDS)
        ):
            if not feeds and row.id in self.unpowered:
                return
            self._outputs(row, channels, signal=bool(feeds))
        elif not feeds and any(draw.current_a > 0 for device in members for draw in device.draws):
            self._nothing_powers(row, row.id)

    def _state_channels(self, device: Device, part: ElectricBase, fed: bool) -> list[Channel]:
        """A wire for each state off rest; one wire for a part that only knows draw states."""
        declared = [draw for draw in device.draws if draw.kind == "state"]
        if not declared:
            wanted = tuple((device.id, draw.channel) for draw in device.draws)
            return [Channel(device, POWER, wanted)] if wanted and not fed else []
        return [
            Channel(device, draw.channel, ((device.id, draw.channel),))
            for draw in declared
            if draw.channel != device.rest
        ]

    def _nothing_powers(self, row: Install, device_id: str) -> None:
        if row.id in self.unpowered:
            return
        says = f"{device_id} draws current, but nothing feeds it: name its `feed:` or `outputs:`"
        self.report.note("no-feed", device_id, says, row.where, "fail")

    # --- outputs ----------------------------------------------------------------------------------

    def _outputs(self, row: Install, channels: Sequence[Channel], *, signal: bool) -> None:
        outputs = row.outputs
        allowed = tuple(self.modules)
        if isinstance(outputs, OutputsFrom):
            for name in outputs.from_:
                if name not in self.modules:
                    self.report.unknown(outputs.where_of("from"), "controller or module", name, self.modules)
            allowed = tuple(name for name in self.modules if name in outputs.from_)
        if outputs is None or isinstance(outputs, str | OutputsFrom):
            for channel in channels:
                self._output(row, channel, signal, None, allowed)
            return
        refs = self._set_refs(row, channels)
        for channel in channels:
            ref = refs.get((channel.device.id, channel.key))
            if ref is not None:
                self._output(row, channel, signal, ref, ())
        self._disconnect(row, [c for c in channels if (c.device.id, c.key) not in refs], signal)

    def _output(
        self, row: Install, channel: Channel, signal: bool, ref: str | None, modules: tuple[str, ...]
    ) -> None:  # fmt: skip
        name = channel.key
        key = (channel.device.id, channel.key)
        if ref is not None and not self._check_ref(row, ref):
            return
        self._add(
            row, channel.device.id, name, () if signal else channel.draws, signal=signal, need=key, output=ref,
            modules=modules,
        )  # fmt: skip

    def _check_ref(self, row: Install, ref: str) -> bool:
        name, dot, number = ref.rpartition(".")
        where = row.where_of("outputs")
        module = self.modules.get(name)
        if not dot or module is None:
            self.report.unknown(where, "controller or module", name or ref, self.modules)
            return False
        if not number.isdigit() or not 1 <= int(number) <= module.outputs:
            self.report.error(where, f"{name} has outputs 1 to {module.outputs}, not {number}", found=ref)
            return False
        if f"{name}.{int(number)}" != ref:
            self.report.error(where, f"write {ref} as {name}.{int(number)}", found=ref)
            return False
        other = self.set_by.setdefault(ref, row.id)
        if other != row.id:
            says = f"output {ref} carries both {other} and {row.id}: they can only do the same"
            self.report.note("shared-output", ref, says, row.where, "caution")
        return True

    def _set_refs(self, row: Install, channels: Sequence[Channel]) -> dict[tuple[str, str], str]:
        """(device, key) -> output, as a person wrote it in a list, a map or `together`."""
        outputs = row.outputs
        where = row.where_of("outputs")
        keys = list(dict.fromkeys(channel.key for channel in channels))
        ids = list(dict.fromkeys(channel.device.id for channel in channels))
        if isinstance(outputs, OutputsTogether):
            if len(keys) != 1:
                self.report.error(where, f"{row.id} has {len(keys)} colours: one output cannot drive them together")
                return {}
            return {(device, keys[0]): str(outputs.together) for device in ids}
        if isinstance(outputs, list):
            if len(keys) != 1:
                self.report.error(where, f"{row.id} has the colours {', '.join(keys)}: give a list for each in a map")
                return {}
            return self._spread(row, keys[0], ids, [str(ref) for ref in outputs], where)
        assert isinstance(outputs, dict)
        refs: dict[tuple[str, str], str] = {}
        for key, value in outputs.items():
            if key not in keys:
                self.report.unknown(where, f"colour or state of {row.id}", key, keys)
                continue
            having = [channel.device.id for channel in channels if channel.key == key]
            given = [str(ref) for ref in value] if isinstance(value, list) else [str(value)]
            refs |= self._spread(row, key, having, given, where)
        return refs

    def _spread(
        self, row: Install, key: str, ids: Sequence[str], refs: Sequence[str], where: Where
    ) -> dict[tuple[str, str], str]:
        if len(refs) != len(ids):
            self.report.error(
                where,
                f"{row.id} has {len(ids)} lamps and {len(refs)} outputs for {key}: "
                "give one for each, or `together: OUTPUT`",
                found=", ".join(refs),
            )  # fmt: skip
            return {}
        return {(device, key): ref for device, ref in zip(ids, refs, strict=True)}

    def _disconnect(self, row: Install, left_out: Sequence[Channel], signal: bool) -> None:
        """Colours and states a map leaves out stay without a wire; a lamp loses such a colour."""
        for channel in left_out:
            device = self.devices[channel.device.id]
            if device.part_kind == "lamp" and not self.report.errors:
                colours = tuple(colour for colour in device.colours if colour != channel.key)
                draws = tuple(draw for draw in device.draws if signal or draw.channel != channel.key)
                self.devices[device.id] = replace(device, colours=colours, draws=draws)
                says = f"{channel.key} of {device.id} has no output: it stays dark"
                self.report.note("not-connected", device.id, says, row.where)

    # --- one terminal -------------------------------------------------------------------------------

    def _add(
        self, row: Install, device_id: str, name: str, draws: tuple[tuple[str, str], ...], *, signal: bool = False,
        feed: str | None = None, need: tuple[str, str] | None = None, output: str | None = None,
        modules: tuple[str, ...] = (), module: str | None = None, banks: tuple[str, ...] = (),
    ) -> None:  # fmt: skip
        device = self.devices[device_id]
        holder = device.inside_of or device_id
        part = self.parts[device.part_id] if device.part_id else None
        node = f"{device_id}:{name}"
        self.made[node] = Terminal(
            node=node,
            device_id=device_id,
            name=name,
            draws=draws,
            signal=signal,
            return_point=None if signal else f"{holder}:return",
            feed_id=feed,
            need=need,
            output=output,
            modules=modules,
            module_id=module,
            bank_ids=banks,
            wire=self._wire(row, feed),
            lead=own_lead(part, name),
            return_lead=None if signal else own_lead(part, "return"),
            supplies_a=part.output if feed is not None and isinstance(part, Charger | DcDc) else 0.0,
            chain=row.id if row.along is not None else None,
            where=row.where,
        )

    def _wire(self, row: Install, feed: str | None) -> Gauge | None:
        """The wire a person chose: the row's, else that of a feed that leads to its rows and to no block."""
        if isinstance(row.wire, Gauge):
            return row.wire
        line = self.feeds.get(feed or "")
        return line.wire if line is not None and line.to is None and isinstance(line.wire, Gauge) else None


def own_lead(part: Any, carries: str) -> OwnLead | None:
    """The part's own lead for a colour, a state, `power`, `return` or `sense`."""
    for lead in getattr(part, "leads", ()):
        if lead.for_ == carries or carries in [word.strip() for word in lead.for_.split(",")]:
            return OwnLead(lead.name, lead.gauge, lead.length)
    return None
