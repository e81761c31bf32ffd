"""Names that point from one row to another: ids given twice, amplifiers, antennas, clauses, duty, vehicle rows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from rigbook.documents.schema.base import Record
from rigbook.documents.schema.build import BuildDocument, Install
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.rig.model import Device
from rigbook.rig.report import Report

ANTENNA_USERS = ("radio", "modem")
AMPLIFIERS = ("siren-amplifier", "radio")
SPEAKERS = ("siren-speaker", "speaker")


def check_twice(what: str, records: Iterable[Any], report: Report) -> None:
    """An id given twice among records of one kind is an error at the second."""
    seen: dict[str, Record] = {}
    for record in records:
        first = seen.setdefault(record.id, record)
        if first is not record:
            report.error(
                record.where_of("id"), f"the {what} {record.id} stands twice; first at {first.where}", found=record.id
            )  # fmt: skip


def check_vehicle(vehicle: Vehicle, report: Report) -> None:
    """Runs between nodes that exist, through areas that exist."""
    check_twice("place", vehicle.places, report)
    check_twice("ground stud", vehicle.grounds, report)
    check_twice("area", vehicle.areas, report)
    check_twice("seat", vehicle.seats, report)
    check_twice("factory lamp", vehicle.factory_lamps, report)
    nodes = vehicle.routes.nodes
    areas = [area.id for area in vehicle.areas]
    for run in vehicle.routes.runs:
        for name in (name for name in run.between if name not in nodes):
            report.unknown(run.where_of("between"), "route node", name, nodes)
        if run.area not in areas:
            report.unknown(run.where_of("area"), "area", run.area, areas)


def check_build(build: BuildDocument, vehicle: Vehicle, parts: Mapping[str, Any], report: Report) -> None:
    """Ids given twice, and ids that are also tags."""
    check_twice("installed row", build.install, report)
    check_twice("kit", build.kit, report)
    factory = {lamp.id: lamp for lamp in vehicle.factory_lamps}
    for row in build.install:
        if row.id in factory:
            report.error(row.where_of("id"), f"{row.id} is already a factory lamp of the vehicle", found=row.id)
        if row.commanded_when is not None:
            says = f"{row.id} is installed: only factory lamps of the vehicle are commanded by it"
            report.error(row.where_of("commanded_when"), says)


def check_ties(build: BuildDocument, parts: Mapping[str, Any], devices: Mapping[str, Device], report: Report) -> None:
    """Amplifiers, antennas and ground studs that rows name."""
    kinds = {device.row: device.part_kind for device in devices.values() if device.inside_of is None}
    antennas = [row for row, kind in kinds.items() if kind == "antenna"]
    amplifiers = [row for row, kind in kinds.items() if kind in AMPLIFIERS]
    taken: dict[str, str] = {}
    for row in build.install:
        if row.antenna is not None:
            if row.antenna not in antennas:
                report.unknown(row.where_of("antenna"), "installed antenna", row.antenna, antennas)
            elif kinds.get(row.id) not in ANTENNA_USERS:
                report.error(row.where_of("antenna"), f"{row.id} is no radio or modem and takes no antenna")
            else:
                other = taken.setdefault(row.antenna, row.id)
                if other != row.id:
                    says = f"{other} and {row.id} share the antenna {row.antenna}: only one may use it at a time; fit one each"
                    report.note("shared-antenna", row.antenna, says, row.where, "caution")
        if row.amplifier is not None and row.amplifier not in amplifiers:
            report.unknown(row.where_of("amplifier"), "installed siren amplifier or radio", row.amplifier, amplifiers)
        if kinds.get(row.id) == "radio" and row.antenna is None:
            report.note("no-antenna", row.id, f"{row.id} names no antenna", row.where, "caution")
        if kinds.get(row.id) in SPEAKERS and row.amplifier is None:
            report.note("no-amplifier", row.id, f"{row.id} names no amplifier that drives it", row.where, "caution")


def check_clauses(build: BuildDocument, parts: Mapping[str, Any], report: Report) -> None:
    """What meets a clause is a part, an installed id, a tag, a function, a requirement, a feed, a switch or a mode."""
    switching = build.switching
    known: set[str] = set(parts)
    for row in build.install:
        known |= {row.id, *row.tags}
    known |= {function.name for function in switching.functions}
    known |= {requirement.name for requirement in switching.require}
    known |= {feed.id for feed in build.feeds} | {link.id for link in build.links}
    known |= {bank.id for bank in build.batteries} | {switch.id for switch in switching.switches}
    known |= {mode.id for mode in switching.modes}
    for clause in build.clauses:
        for name in clause.met_by:
            if name not in known:
                report.unknown(
                    clause.where_of("met_by"), "part, installed id, tag, function or requirement", name, known
                )


def check_duty(build: BuildDocument, devices: Mapping[str, Device], report: Report) -> None:
    """Stretches name saved states, and shares of draw states that devices have."""
    states = [state.id for state in build.states]
    rows: dict[str, Device] = {}
    for device in devices.values():
        rows.setdefault(device.row, device)
        rows[device.id] = device
    for stretch in build.duty:
        if stretch.state is not None and stretch.state not in states:
            report.unknown(stretch.where_of("state"), "saved state", stretch.state, states)
        if stretch.state is not None and stretch.set is not None:
            report.error(stretch.where_of("set"), f"{stretch.name}: a saved state or values, not both")
        for name, shares in stretch.draws.items():
            if name not in rows:
                report.unknown(stretch.where_of("draws"), "installed device", name, rows)
                continue
            channels = [draw.channel for draw in rows[name].draws]
            for channel in shares:
                if channel not in channels:
                    report.unknown(stretch.where_of("draws"), f"draw state of {name}", channel, channels)


def grounds_set(
    build: BuildDocument, devices: Mapping[str, Device], studs: Mapping[str, Any], report: Report
) -> dict[str, str]:
    """Device -> stud, where a person set it."""
    named: dict[str, Install] = {row.id: row for row in build.install if row.ground is not None}
    found: dict[str, str] = {}
    for row in named.values():
        if row.ground not in studs:
            report.unknown(row.where_of("ground"), "ground stud", str(row.ground), studs)
    for device in devices.values():
        row_ = named.get(device.row)
        if row_ is not None and row_.ground in studs and device.part_kind != "factory-lamp":
            found[device.id] = str(row_.ground)
    return found
