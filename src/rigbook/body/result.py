"""What the body engine returns: the `body` block of the results, keys as printed."""

from __future__ import annotations

from dataclasses import dataclass

from rigbook.body.face_fit import FaceResult
from rigbook.body.heat import GasResult, HeatResult
from rigbook.body.lids import LidResult
from rigbook.body.mounts import MountResult
from rigbook.body.shelves import ShelfResult
from rigbook.rig.model import RigNote


@dataclass(frozen=True, slots=True)
class Axle:
    """Load of an axle against its rating, kg; tyre figures are None where no table or entry says."""

    id: str
    load_kg: float
    rating_kg: float
    margin_kg: float
    tyre_kg: float | None
    tyre_margin_kg: float | None
    tyre_pressure_kpa: float | None


@dataclass(frozen=True, slots=True)
class Wheel:
    """Load under a wheel, laden. `how` says whether it was weighed or rests on an assumption."""

    id: str
    load_kg: float
    how: str


@dataclass(frozen=True, slots=True)
class Centre:
    """Centre of gravity in vehicle axes, m."""

    x_m: float
    y_m: float
    z_m: float


@dataclass(frozen=True, slots=True)
class LoadCase:
    """One loading of the vehicle. Margins are to the ratings; tilt is rigid, toward the side that tips first.

    `rollover_share` is the curve's risk of rolling over in a single-vehicle crash; None where it does not hold.
    """

    id: str
    title: str
    mass_kg: float
    margin_kg: float
    front_kg: float
    front_margin_kg: float
    rear_kg: float
    rear_margin_kg: float
    front_share: float
    left_share: float
    cg: Centre
    stability_factor: float
    tilt_deg: float
    rollover_share: float | None


@dataclass(frozen=True, slots=True)
class Item:
    """What one thing adds to the axles, kg."""

    id: str
    mass_kg: float
    front_kg: float
    rear_kg: float


@dataclass(frozen=True, slots=True)
class WeighedResult:
    """Weighed against computed, in the state on the ticket; the residual is spread over what was aboard."""

    state: str
    mass_kg: float
    residual_kg: float
    residual_front_kg: float
    residual_rear_kg: float
    residual_left_kg: float | None
    height_m: float | None
    height_per_scale_kg_m: float | None


@dataclass(frozen=True, slots=True)
class Label:
    """The load-capacity label: due or not, its figures, and what a person fills in."""

    due: bool
    reduction_kg: float
    capacity_before_kg: float
    capacity_after_kg: float
    lines: tuple[str, ...]
    certification: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Recalibrate:
    """A radar or camera that something stands in front of: its calibration goes on the inspection list."""

    sensor: str
    because_of: str


@dataclass(frozen=True, slots=True)
class BodyResult:
    """Masses, balance, stability, joints, lids, faces and heat."""

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
    wheels: tuple[Wheel, ...] = ()
    items: tuple[Item, ...] = ()
    weighed: WeighedResult | None = None
    label: Label | None = None
    mounts: tuple[MountResult, ...] = ()
    recalibrate: tuple[Recalibrate, ...] = ()
    lids: tuple[LidResult, ...] = ()
    panels: tuple[FaceResult, ...] = ()
    shelves: tuple[ShelfResult, ...] = ()
    heat: tuple[HeatResult, ...] = ()
    gas: tuple[GasResult, ...] = ()
    notes: tuple[RigNote, ...] = ()
