"""What a build says of weighing, mounts, lids and faces, against its vehicle, parts and what is fitted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.rig.face_checks import check_panels
from rigbook.rig.report import Report

RULES = ("crew-area", "any-direction", "patient-area")


def check_body(build: BuildDocument, vehicle: Vehicle, parts: Mapping[str, Any], report: Report) -> None:
    """All of them."""
    check_weighed(build, vehicle, report)
    check_mounts(build, vehicle, report)
    check_lids(build, parts, report)
    check_enclosures(build, parts, report)
    check_shelves(build, parts, report)
    check_panels(build, vehicle, parts, report)


def check_lids(build: BuildDocument, parts: Mapping[str, Any], report: Report) -> None:
    """Lids are installed, and their springs are gas springs of the catalogue."""
    rows = [row.id for row in build.install]
    springs = [name for name, part in parts.items() if part.kind == "gas-spring"]
    for lid in build.lids:
        if lid.board not in rows:
            report.unknown(lid.where_of("board"), "installed board", lid.board, rows)
        if lid.springs.part != "auto" and lid.springs.part not in springs:
            report.unknown(lid.springs.where_of("part"), "gas spring of the catalogue", lid.springs.part, springs)
        elif not springs:
            report.error(
                lid.springs.where, f"the catalogue has no gas spring for {lid.id}", expected="kind: gas-spring"
            )


def check_enclosures(build: BuildDocument, parts: Mapping[str, Any], report: Report) -> None:
    """Enclosures are installed cabinets or consoles, their fans are fans, and what they hold is fitted."""
    rows = {row.id: getattr(parts.get(row.part), "kind", "") for row in build.install}
    for enclosure in build.enclosures:
        cabinets = [name for name, kind in rows.items() if kind in ("cabinet", "console")]
        if enclosure.cabinet not in cabinets:
            report.unknown(enclosure.where_of("cabinet"), "installed cabinet or console", enclosure.cabinet, cabinets)
        fans = [name for name, kind in rows.items() if kind == "fan"]
        if enclosure.fan is not None and enclosure.fan not in fans:
            report.unknown(enclosure.where_of("fan"), "installed fan", enclosure.fan, fans)
        for name in enclosure.holds:
            if name not in rows:
                report.unknown(enclosure.where_of("holds"), "installed thing", name, rows)


def check_shelves(build: BuildDocument, parts: Mapping[str, Any], report: Report) -> None:
    """Shelves and drawers are installed, and what stands on and below them is too."""
    rows = {row.id: getattr(parts.get(row.part), "kind", "") for row in build.install}
    kit = [one.id for one in build.kit]
    for carrier in build.shelves:
        shelves = [name for name, kind in rows.items() if kind in ("shelf", "drawer")]
        if carrier.of not in shelves:
            report.unknown(carrier.where_of("of"), "installed shelf or drawer", carrier.of, shelves)
        for key in ("holds", "below"):
            for name in getattr(carrier, key):
                if name not in rows:
                    report.unknown(carrier.where_of(key), "installed thing", name, rows)
        for name in carrier.kit:
            if name not in kit:
                report.unknown(carrier.where_of("kit"), "kit", name, kit)


def check_mounts(build: BuildDocument, vehicle: Vehicle, report: Report) -> None:
    """Joints hold what is fitted, by a rule of the table, and rivet nuts that the table has."""
    rows = [row.id for row in build.install]
    fitted = [*rows, *(f"battery.{bank.id}" for bank in build.batteries)]
    kit = [one.id for one in build.kit]
    taken: dict[str, str] = {}
    for mount in build.mounts:
        for name in mount.holds:
            if name not in fitted:
                report.unknown(mount.where_of("holds"), "installed thing", name, fitted)
            elif taken.setdefault(name, mount.id) != mount.id:
                says = f"{name} hangs on {taken[name]} already: give the joint that carries it alone"
                report.error(mount.where_of("holds"), says, found=name)
        for name in mount.kit:
            if name not in kit:
                report.unknown(mount.where_of("kit"), "kit", name, kit)
        if mount.rule not in RULES:
            report.unknown(mount.where_of("rule"), "rule of load factors", mount.rule, RULES)
        if mount.bolt == "M4" and mount.fastening == "nut":
            says = "an M4 bolt has no row of proof loads: take M5 or larger"
            report.error(mount.where_of("bolt"), says, found="M4", expected="M5 to M12")
        if mount.bolt == "M12" and mount.fastening != "nut":
            says = "an M12 rivet nut has no row of spin limits: take M10 or smaller, or a nut"
            report.error(mount.where_of("bolt"), says, found="M12", expected="M4 to M10")


def check_weighed(build: BuildDocument, vehicle: Vehicle, report: Report) -> None:
    """A lifted axle rises less than the wheelbase."""
    ticket = build.weighed
    if ticket is None or ticket.lifted is None:
        return
    wheelbase = vehicle.size.wheelbase
    if ticket.lifted.rise >= wheelbase / 2:
        report.error(
            ticket.lifted.where_of("rise"),
            f"a rise of {ticket.lifted.rise:g} m is no weighing: it stays below half the wheelbase of {wheelbase:g} m",
            found=f"{ticket.lifted.rise:g} m",
            expected=f"less than {wheelbase / 2:g} m",
        )
