"""The equipment list by place, and the lamp list."""

from __future__ import annotations

from collections.abc import Sequence

from rigbook.documents.schema.build import Install
from rigbook.papers.chapter import Desk
from rigbook.papers.chapters import circuit_ranges
from rigbook.papers.pieces import DASH, Piece, column, drawing, group, heading, paragraph, small, table
from rigbook.quantities.show import convert
from rigbook.rig.model import Device, Rig

INSIDE = "Inside"


def side_of(device: Device) -> str:
    """Where on the vehicle something is, as a person walking round it finds it: front, left, right, rear, roof, inside."""
    at = device.placement
    if at.inside:
        return INSIDE
    pose = at.poses[0]
    zones = [z for z in ("front", "left", "right", "rear") if z in pose.zones]
    if pose.all_round or (at.level == "upper" and not zones):
        return "Roof and all round"
    if zones:
        return f"Outside, {zones[0]}"
    return "Elsewhere on the body"


ORDER = (
    "Roof and all round",
    "Outside, front",
    "Outside, left",
    "Outside, right",
    "Outside, rear",
    "Elsewhere on the body",
    INSIDE,
)


def place_words(desk: Desk, device: Device) -> str:
    """The named place, the panel, or the route node nearby."""
    at = device.placement
    if at.place:
        return at.place.replace("-", " ")
    if at.panel:
        return f"on {at.panel}"
    return f"by {at.node.replace('-', ' ')}" if at.node else DASH


def point_words(desk: Desk, device: Device) -> tuple[str, str, str]:
    """Back from the front axle, right of the middle, up: whole numbers in the shop's small unit."""
    p = device.placement.poses[0].at
    unit = desk.small_unit
    x, y, z = (round(convert(v, "length", unit)) for v in (p.x_m, p.y_m, p.z_m))
    return str(x), str(y), str(z)


def equipment(desk: Desk) -> list[Piece]:
    """What is fitted, by place: side of the vehicle, then front to rear."""
    rig = desk.rig
    if not rig.build.install:
        return [heading("Equipment"), paragraph("Nothing is fitted.")]
    rows: list[Sequence[str] | dict[str, str]] = []
    grouped: dict[str, list[tuple[Install, Device | None]]] = {}
    for row in rig.build.install:
        device = first_of(rig, row.id)
        grouped.setdefault(side_of(device) if device else "Elsewhere on the body", []).append((row, device))
    for side in sorted(grouped, key=ORDER.index):
        rows.append(group(side))
        for row, device in sorted(grouped[side], key=lambda p: _front_to_rear(p[1], p[0].id)):
            part = rig.parts[row.part]
            x, y, z = point_words(desk, device) if device else (DASH, DASH, DASH)
            where = place_words(desk, device) if device else (row.place or DASH)
            quantity = str(row.along.count if row.along else 1)
            rows.append([where, x, y, z, row.id, part.title, quantity, circuit_ranges(rig, row), row.note or ""])
    columns = [
        column("Place"), column("x", number=True), column("y", number=True), column("z", number=True), column("Item"),
        column("Part", share=1), column("Qty", number=True), column("Circuits"), column("Note", share=0.8),
    ]  # fmt: skip
    unit = desk.small_unit
    note = f"x back from the front axle, y to the right of the middle (left: minus), z up from the ground, in {unit}. Places are the vehicle file's; `by` names the nearest cable route."
    return [
        heading("Equipment"),
        table(caption="Equipment by place, front to rear", columns=columns, rows=rows, size=8),
        small(note),
    ]


def first_of(rig: Rig, row: str) -> Device | None:
    """The first device of an installed row."""
    return next((d for d in rig.devices.values() if d.row == row), None)


def _front_to_rear(device: Device | None, name: str) -> tuple[float, float, str]:
    if device is None:
        return (0.0, 0.0, name)
    at = device.placement.poses[0].at
    return (round(at.x_m, 3), round(at.y_m, 3), name)


def lamps(desk: Desk) -> list[Piece]:
    """The lamp map with every lamp's colours, aim and height."""
    rig = desk.rig
    found = [d for d in rig.devices.values() if d.colours]
    if not found:
        return [heading("Lamp map"), paragraph("No lamp is fitted.")]
    rows = [lamp_row(desk, d) for d in found]
    unit = desk.small_unit
    columns = [
        column("Lamp"), column(desk.words("Colours")), column("Zones", share=1), column("Level"), column("Aim deg", number=True),
        column("Tilt deg", number=True), column(f"x {unit}", number=True), column(f"y {unit}", number=True),
        column(f"Height {unit}", number=True),
    ]  # fmt: skip
    note = "Aim is clockwise from straight ahead, tilt up from the horizon, doors closed. Factory lamps are the vehicle's own."
    return [
        heading("Lamp map"),
        drawing(desk.lamp_map, caption="Lamp map, to scale from the vehicle file"),
        table(
            caption="Lamps: colors, aim and height" if desk.us else "Lamps: colours, aim and height",
            columns=columns,
            rows=rows,
            size=8,
        ),
        small(note),
    ]


def lamp_row(desk: Desk, device: Device) -> list[str]:
    """One lamp as printed."""
    pose = device.placement.poses[0]
    x, y, z = point_words(desk, device)
    zones = (
        "all round"
        if pose.all_round
        else ", ".join(z for z in ("front", "right", "rear", "left") if z in pose.zones) or "inside"
    )
    aim = "round" if pose.all_round else DASH if pose.facing_deg is None else f"{pose.facing_deg:g}"
    factory = " (factory)" if device.part_kind == "factory-lamp" else ""
    return [
        device.id + factory,
        ", ".join(device.colours),
        zones,
        device.placement.level or DASH,
        aim,
        f"{pose.tilt_deg:g}",
        x,
        y,
        z,
    ]
