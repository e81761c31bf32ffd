"""What ties the supply together: inlet to charger, display to charger, breaker to feed, disconnect to bank; the day's length."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from rigbook.documents.schema.base import Where
from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.rig.model import Device
from rigbook.rig.report import Report

DAY_S = 24 * 3600.0
NOMINAL_V = MappingProxyType({"12 V": 12.8, "24 V": 25.6})
FAR, ABOVE = 1.5, 1.25
"""Voltages further apart than this belong to two systems; a window that a charged system still reaches does not."""
_SLACK_S = 1.0


def check_supply_ties(build: BuildDocument, vehicle: Vehicle, devices: Mapping[str, Device], report: Report) -> None:
    """Names that point nowhere are errors; what nothing ties in is a note of its severity."""
    kinds = {device.row: device.part_kind for device in devices.values() if device.inside_of is None}
    _inlets(build, kinds, report)
    _displays(build, vehicle, kinds, report)
    _breakers(build, kinds, report)
    _disconnects(build, vehicle, kinds, report)
    _banks(build, vehicle, report)
    _links(build, report)
    _voltages(vehicle, devices, report)
    _day(build, report)


def _of(kinds: Mapping[str, str], *wanted: str) -> list[str]:
    return [name for name, kind in kinds.items() if kind in wanted]


def _unused(report: Report, build: BuildDocument, names: Iterable[str], rule: str, says: str) -> None:
    rows = {row.id: row for row in build.install}
    for name in names:
        report.note(rule, name, says.format(name=name), rows[name].where, "caution")


def _inlets(build: BuildDocument, kinds: Mapping[str, str], report: Report) -> None:
    inlets = _of(kinds, "shore-inlet")
    used = set()
    for row in build.install:
        if row.inlet is not None:
            used.add(row.inlet)
            if kinds.get(row.id) not in ("charger", "appliance"):
                report.error(row.where_of("inlet"), f"{row.id} is no charger and takes nothing from a shore inlet")
            elif row.inlet not in inlets:
                report.unknown(row.where_of("inlet"), "installed shore inlet", row.inlet, inlets)
        elif kinds.get(row.id) == "charger":
            says = f"{row.id} names no shore inlet that it is fed from: give it `inlet: ID`, or take it out"
            report.note("charger-without-inlet", row.id, says, row.where, "fail")
    _unused(
        report, build, (name for name in inlets if name not in used), "inlet-unused",
        "nothing is fed from the shore inlet {name}: name it as the `inlet` of a charger",
    )  # fmt: skip


def _displays(build: BuildDocument, vehicle: Vehicle, kinds: Mapping[str, str], report: Report) -> None:
    shown = _of(kinds, "charger") + [bank.id for bank in (*vehicle.batteries, *build.batteries)]
    for row in build.install:
        if row.shows is not None:
            if kinds.get(row.id) != "charge-display":
                report.error(row.where_of("shows"), f"{row.id} is no charge display and shows no charge")
            elif row.shows not in shown:
                report.unknown(row.where_of("shows"), "installed charger or bank", row.shows, shown)
        elif kinds.get(row.id) == "charge-display":
            says = f"{row.id} names nothing whose charge it shows: give it `shows: ID` of a charger or bank"
            report.note("display-without-charger", row.id, says, row.where, "caution")


def _breakers(build: BuildDocument, kinds: Mapping[str, str], report: Report) -> None:
    used = {feed.breaker for feed in build.feeds}
    _unused(
        report, build, (name for name in _of(kinds, "breaker") if name not in used), "breaker-unused",
        "the breaker {name} protects no feed: name it as the `breaker` of one",
    )  # fmt: skip


def _disconnects(build: BuildDocument, vehicle: Vehicle, kinds: Mapping[str, str], report: Report) -> None:
    switches = _of(kinds, "disconnect")
    used = {str(feed.through) for feed in build.feeds if feed.through is not None}
    for bank in (*vehicle.batteries, *build.batteries):
        if bank.disconnect is not None:
            used.add(bank.disconnect)
            if bank.disconnect not in switches:
                report.unknown(bank.where_of("disconnect"), "installed disconnect", bank.disconnect, switches)
    _unused(
        report, build, (name for name in switches if name not in used), "disconnect-unused",
        "the disconnect {name} takes nothing off: name it as the `disconnect` of a bank, or as `through` of a feed",
    )  # fmt: skip


def _banks(build: BuildDocument, vehicle: Vehicle, report: Report) -> None:
    """A bank that nothing charges gives what it holds once, and then no more."""
    linked = {str(end).partition(".")[2] for link in build.links for end in (link.from_, link.to)}
    fed = {str(feed.from_).partition(".")[2] for feed in build.feeds if str(feed.from_).startswith("battery.")}
    charged = {
        str(feed.from_).partition(".")[2]
        for row in build.install
        for feed in build.feeds
        if row.inlet is not None and feed.id in (row.feed.values() if isinstance(row.feed, dict) else [row.feed])
    }
    for bank in build.batteries:
        if bank.id not in linked | charged:
            says = f"nothing charges bank {bank.id}: link it to the vehicle's own bank, or give it a charger"
            report.note("bank-not-charged", bank.id, says, bank.where, "fail")
        elif bank.id not in fed and bank.id not in linked:
            report.note("bank-feeds-nothing", bank.id, f"bank {bank.id} feeds nothing", bank.where, "caution")


def _links(build: BuildDocument, report: Report) -> None:
    """Two links between the same banks make a loop: what opens in one stays closed through the other."""
    seen: dict[frozenset[str], str] = {}
    for link in build.links:
        ends = frozenset((str(link.from_), str(link.to)))
        other = seen.setdefault(ends, link.id)
        if other != link.id:
            says = (
                f"{other} and {link.id} both join {' and '.join(sorted(ends))}: a loop, in which what opens in one stays "
                "closed through the other; take one out"
            )
            report.note("link-loop", link.id, says, link.where, "fail")


def _voltages(vehicle: Vehicle, devices: Mapping[str, Device], report: Report) -> None:
    """Parts made for another system: the voltage they are stated at, or the window they work in, lies far from it."""
    nominal = NOMINAL_V[vehicle.system]
    told: set[str] = set()
    for device in devices.values():
        if device.row in told or device.part_kind == "factory-lamp":
            continue
        for draw in device.draws:
            window = draw.works_v
            outside = window is not None and not window[0] / ABOVE <= nominal <= window[1] * ABOVE
            far = not 1.0 / FAR <= draw.at_v / nominal <= FAR
            if draw.current_a > 0 and (outside or (window is None and far)):
                stated = f"works from {window[0]:g} to {window[1]:g} V" if window else f"is stated at {draw.at_v:g} V"
                says = (
                    f"{device.row} {stated}, and the vehicle is a {vehicle.system} one: fit a part for {vehicle.system}"
                )
                report.note("wrong-voltage", device.row, says, Where(device.file, device.line, 1), "fail")
                told.add(device.row)
                break


def _day(build: BuildDocument, report: Report) -> None:
    whole_s = sum(stretch.for_ for stretch in build.duty)
    if whole_s > DAY_S + _SLACK_S:
        says = (
            f"the stretches of the working day add to {whole_s / 3600.0:g} h, and a day has 24 h: "
            "shorten them, or read the figures as those of several days"
        )
        report.note("day-too-long", "duty", says, build.duty[0].where, "caution")
