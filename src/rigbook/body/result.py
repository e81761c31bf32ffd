"""What the body engine returns: the `body` block of the results, keys as printed."""

from __future__ import annotations

from dataclasses import dataclass

from rigbook.rig.model import RigNote


@dataclass(frozen=True, slots=True)
class Axle:
    """Load of an axle against its rating, kg; `tyre_kg` is what its tyres carry, None where no table says."""

    id: str
    load_kg: float
    rating_kg: float
    margin_kg: float
    tyre_kg: float | None


@dataclass(frozen=True, slots=True)
class Centre:
    """Centre of gravity in vehicle axes, m."""

    x_m: float
    y_m: float
    z_m: float


@dataclass(frozen=True, slots=True)
class LoadCase:
    """One loading of the vehicle: all of it, or without persons and kit."""

    id: str
    title: str
    mass_kg: float
    front_kg: float
    rear_kg: float
    front_share: float


@dataclass(frozen=True, slots=True)
class BodyResult:
    """Masses, balance and stability. `mounts`, `lids`, `panels`, `heat` come with their engines."""

    axles: tuple[Axle, ...]
    mass_kg: float
    rating_kg: float
    payload_remaining_kg: float
    left_share: float
    cg: Centre
    stability_factor: float
    curb_stability_factor: float
    added_kg: float
    added_threshold_kg: float
    added_beyond_threshold: bool
    cases: tuple[LoadCase, ...]
    mounts: tuple[()] = ()
    lids: tuple[()] = ()
    panels: tuple[()] = ()
    heat: tuple[()] = ()
    notes: tuple[RigNote, ...] = ()
