"""Shelves and drawers: load against rating, sag against span, room above what stands below at each height."""

from __future__ import annotations

from dataclasses import dataclass

from rigbook.body import beams
from rigbook.documents.schema.shelving import Carrier
from rigbook.quantities.units import STANDARD_GRAVITY_M_S2
from rigbook.rig.model import Rig, RigNote


@dataclass(frozen=True, slots=True)
class ShelfResult:
    """One shelf or drawer. Sag is None where its sheet is not entered; clearance where nothing stands below it."""

    id: str
    load_kg: float
    rating_kg: float | None
    span_m: float
    sag_m: float | None
    sag_span_share: float | None
    clearance_m: float | None


def load_kg(rig: Rig, carrier: Carrier) -> float:
    """What stands and lies on it, and the spare load."""
    named = {*carrier.holds, *(f"kit.{name}" for name in carrier.kit)}
    return sum(mass.mass_kg for mass in rig.masses if mass.id in named) + carrier.spare


def sag_m(rig: Rig, carrier: Carrier) -> float | None:
    """Sag in the middle, load spread evenly over the width, held at both ends."""
    if carrier.sheet is None:
        return None
    depth, span, _ = rig.devices[carrier.of].size_m
    sheet = carrier.sheet
    inertia = beams.sheet_inertia(width=depth, thickness=sheet.thickness)
    if sheet.flange > 0:
        inertia, _ = beams.flanged_inertia(width=depth, thickness=sheet.thickness, below=sheet.flange - sheet.thickness)
    return beams.sag_uniform(
        load_per_length=load_kg(rig, carrier) * STANDARD_GRAVITY_M_S2 / span, span=span,
        modulus=beams.modulus_pa(material=sheet.material), inertia=inertia,
    )  # fmt: skip


def clearance_m(rig: Rig, carrier: Carrier) -> float | None:
    """Least room over what stands below, at the lowest height of the shelf: height, less its half, less the tallest."""
    part = rig.parts[rig.devices[carrier.of].part_id or ""]
    if not carrier.below or not getattr(part, "heights", None):
        return None
    tallest = max(rig.devices[name].size_m[2] for name in carrier.below)
    return float(min(part.heights)) - rig.devices[carrier.of].size_m[2] / 2.0 - tallest


def shelf_result(rig: Rig, carrier: Carrier) -> ShelfResult:
    """Everything of one shelf or drawer."""
    device = rig.devices[carrier.of]
    span, sag = device.size_m[1], sag_m(rig, carrier)
    return ShelfResult(
        carrier.id, load_kg(rig, carrier), getattr(rig.parts[device.part_id or ""], "rating", None), span, sag,
        None if sag is None else sag / span, clearance_m(rig, carrier),
    )  # fmt: skip


def work_out(rig: Rig) -> tuple[ShelfResult, ...]:
    """Every shelf and drawer of the build."""
    return tuple(shelf_result(rig, carrier) for carrier in rig.build.shelves)


def notes(rig: Rig, results: tuple[ShelfResult, ...]) -> tuple[RigNote, ...]:
    """Shelves too near to what stands below them."""
    made = []
    for carrier, found in zip(rig.build.shelves, results, strict=True):
        if found.clearance_m is not None and found.clearance_m < carrier.clearance - 1e-9:
            says = (
                f"{carrier.id} leaves {1e3 * found.clearance_m:.0f} mm above what stands below it at its lowest height; "
                f"{1e3 * carrier.clearance:.0f} mm is the least: raise it, or leave that height out"
            )
            made.append(RigNote("shelf-clearance", carrier.id, "caution", says, carrier.where.file, carrier.where.line))
    return tuple(made)
