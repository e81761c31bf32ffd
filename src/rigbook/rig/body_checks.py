"""What a build says of weighing, mounts, lids and faces, against its vehicle, parts and what is fitted."""

from __future__ import annotations

from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.rig.report import Report


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
