"""What a build says of its faces, against its vehicle, parts and what is fitted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rigbook.documents.schema.build import BuildDocument, Install
from rigbook.documents.schema.panels import Panel
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.rig.faces import Footprint, Rectangle, footprint_of, rows_on
from rigbook.rig.report import Report

HOSTS = ("console", "cabinet", "board")
MOVING = ("drawer", "board", "hardware")


def check_panels(build: BuildDocument, vehicle: Vehicle, parts: Mapping[str, Any], report: Report) -> None:
    """Faces belong to what is fitted, and what sits on them can sit there at all."""
    rows = {row.id: row for row in build.install}
    for panel in build.panels:
        _names(panel, build, vehicle, parts, rows, report)
        for row in rows_on(panel, build, parts):
            _fits(row, footprint_of(row, parts[row.part], panel, build), panel, report)


def _names(
    panel: Panel, build: BuildDocument, vehicle: Vehicle, parts: Mapping[str, Any], rows: Mapping[str, Install],
    report: Report,
) -> None:  # fmt: skip
    kinds = {name: getattr(parts.get(row.part), "kind", "") for name, row in rows.items()}
    if panel.id in rows:
        says = f"{panel.id} is a face here and the id of something fitted; one name may not be both"
        report.error(panel.where_of("id"), says, found=panel.id, expected="another id")
    if panel.id in {place.id for place in vehicle.places}:
        says = f"{panel.id} is a face here and a place of the vehicle; one name may not be both"
        report.error(panel.where_of("id"), says, found=panel.id, expected="another id")
    hosts = [name for name, kind in kinds.items() if kind in HOSTS]
    if panel.host is not None and panel.host not in hosts:
        report.unknown(panel.where_of("host"), "installed console, cabinet or board", panel.host, hosts)
    if panel.node is not None and panel.node not in vehicle.routes.nodes:
        report.unknown(panel.where_of("node"), "route node", panel.node, vehicle.routes.nodes)
    areas = [area.id for area in vehicle.areas]
    if panel.area is not None and panel.area not in areas:
        report.unknown(panel.where_of("area"), "area", panel.area, areas)
    seats = [seat.id for seat in vehicle.seats]
    if panel.reach is not None and panel.reach.seat not in seats:
        report.unknown(panel.reach.where_of("seat"), "seat", panel.reach.seat, seats)
    for name in panel.holds:
        if name not in rows:
            report.unknown(panel.where_of("holds"), "installed thing", name, rows)
        elif (on := rows[name].on) is not None and on.panel == panel.id:
            says = f"{name} sits on {panel.id} itself; `holds` is for what lies behind it"
            report.error(panel.where_of("holds"), says, found=name)
    here = [row.id for row in rows_on(panel, build, parts)]
    for move in panel.moves:
        if move.of not in here:
            report.unknown(move.where_of("of"), f"thing on {panel.id}", move.of, here)
        elif kinds[move.of] not in MOVING:
            report.error(move.where_of("of"), f"{move.of} is a {kinds[move.of]}, and neither drawer nor door",
                         found=kinds[move.of], expected="a drawer, board or hardware")  # fmt: skip


def _fits(row: Install, footprint: Footprint, panel: Panel, report: Report) -> None:
    assert row.on is not None
    wide, high = panel.size
    cut = footprint.cut or footprint.bezel
    if cut[0] > wide + 1e-12 or cut[1] > high + 1e-12:
        what = "the cut-out" if footprint.cut else "what covers the face"
        says = f"{what} of {row.id} is larger than the face {panel.id}"
        report.error(row.on.where, says, found=_mm(cut), expected=f"at most {_mm(panel.size)}; another face, or a turn")
        return
    if not isinstance(row.on.at, tuple):
        return
    x, y = row.on.at
    if not (0 <= x <= wide and 0 <= y <= high):
        says = f"{row.id} sits beside the face {panel.id}"
        report.error(row.on.where_of("at"), says, found=_mm(row.on.at), expected=f"within {_mm(panel.size)}")
    elif footprint.cut is not None and footprint.opening(row.on.at).room_in(Rectangle(0, 0, wide, high)) < -1e-9:
        opening = footprint.opening(row.on.at)
        says = f"the cut-out of {row.id} reaches over the edge of {panel.id}"
        found = f"{1e3 * opening.left:g} to {1e3 * opening.right:g} mm across, {1e3 * opening.bottom:g} to {1e3 * opening.top:g} mm up"
        report.error(row.on.where_of("at"), says, found=found, expected=f"within {_mm(panel.size)}")


def _mm(pair: tuple[float, float]) -> str:
    return f"{1e3 * pair[0]:g} by {1e3 * pair[1]:g} mm"
