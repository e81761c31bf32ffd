"""Masses beside the curb masses, and watts that stay as heat."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.parts import Radio
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.rig.model import Bank, Device, HeatSource, Point, PointMass, Segment
from rigbook.rig.nameplate import draws_peak_a
from rigbook.rig.places import as_point
from rigbook.rig.report import Report


def point_masses(
    *, build: BuildDocument, vehicle: Vehicle, parts: Mapping[str, Any], devices: Mapping[str, Device],
    banks: Mapping[str, Bank], report: Report,
) -> tuple[PointMass, ...]:  # fmt: skip
    """Equipment, added batteries, persons, kit, and fuel beyond what the curb masses were taken with."""
    made = [
        PointMass(device.id, device.mass_kg, device.placement.at, "equipment", device.file, device.line)
        for device in devices.values()
        if device.bought and device.mass_kg > 0
    ]
    for bank in banks.values():
        if bank.own:
            continue
        if bank.at is None:
            says = f"bank {bank.id} has no place, so its mass stays out of the axle loads: give `at` or `place`"
            report.note("no-position", bank.id, says, build.where, "caution")
            continue
        mass_kg = parts[bank.part_id].mass * bank.count
        made.append(PointMass(f"battery.{bank.id}", mass_kg, bank.at, "battery", bank.file, bank.line))
    seats = {seat.id: seat for seat in vehicle.seats}
    taken: set[str] = set()
    for person in build.persons:
        if person.seat not in seats:
            report.unknown(person.where_of("seat"), "seat", person.seat, seats)
        elif person.seat in taken:
            report.error(person.where_of("seat"), f"seat {person.seat} is taken twice", found=person.seat)
        else:
            taken.add(person.seat)
            at = as_point(seats[person.seat].at)
            made.append(
                PointMass(f"person.{person.seat}", person.mass, at, "person", person.where.file, person.where.line)
            )
    for kit in build.kit:
        made.append(PointMass(f"kit.{kit.id}", kit.mass, as_point(kit.at), "kit", kit.where.file, kit.where.line))
    if vehicle.fuel is not None and vehicle.fuel.curb_at < 1.0:
        fuel = vehicle.fuel
        mass_kg = fuel.capacity * fuel.density * (1.0 - fuel.curb_at)
        made.append(PointMass("fuel", mass_kg, as_point(fuel.at), "fuel", fuel.where.file, fuel.where.line))
    return tuple(made)


def harness_mass(
    *, segments: Iterable[Segment], parts: Mapping[str, Any], points: Mapping[str, Point], ends: Mapping[str, Point]
) -> PointMass | None:
    """All wire as one mass: each conductor's metres times its part's mass, at the mean of where it passes.

    `points` are route nodes, `ends` the places of electrical nodes. Leads are part of their device.
    """
    total = x = y = z = 0.0
    for segment in segments:
        part = parts.get(segment.conductor.part_id or "")
        if part is None or segment.role == "lead":
            continue
        passed = [ends[name] for name in (segment.from_point, segment.to_point) if name in ends]
        passed += [points[node] for node in segment.route if node in points]
        if not passed:
            continue
        mass_kg = part.mass * segment.length_m
        total += mass_kg
        x += mass_kg * sum(point.x_m for point in passed) / len(passed)
        y += mass_kg * sum(point.y_m for point in passed) / len(passed)
        z += mass_kg * sum(point.z_m for point in passed) / len(passed)
    if total <= 0:
        return None
    return PointMass("harness", total, Point(x / total, y / total, z / total), "wire")


def heat_sources(devices: Mapping[str, Device], parts: Mapping[str, Any]) -> tuple[HeatSource, ...]:
    """Watts each device turns to heat at its highest draw; what a radio puts on its antenna leaves the vehicle."""
    made = []
    for device in devices.values():
        if not device.draws or device.part_kind == "factory-lamp":
            continue
        peak_a = draws_peak_a(device.draws, one_colour_at_a_time=device.one_colour_at_a_time)
        if peak_a <= 0:
            continue
        at_v = max(device.draws, key=lambda draw: draw.current_a).at_v
        part = parts.get(device.part_id or "")
        radiated_w = part.antenna.power if isinstance(part, Radio) else 0.0
        made.append(HeatSource(device.id, max(0.0, peak_a * at_v - radiated_w), device.placement.area))
    return tuple(made)
