"""Bolted joints: every direction of the named rule, every bolt, every link of the load path; the weakest on record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from rigbook.body import fasteners, statics
from rigbook.body.bolt_group import BoltForce, Vector, bolt_group
from rigbook.body.statics import PointLoad
from rigbook.documents.schema.mounting import JointMount
from rigbook.quantities.units import STANDARD_GRAVITY_M_S2
from rigbook.rig.model import PointMass, Rig, RigNote

WAYS: Mapping[str, Vector] = MappingProxyType(
    {
        "forward": (-1.0, 0.0, 0.0),
        "rearward": (1.0, 0.0, 0.0),
        "left": (0.0, -1.0, 0.0),
        "right": (0.0, 1.0, 0.0),
        "up": (0.0, 0.0, 1.0),
        "down": (0.0, 0.0, -1.0),
    }
)
"""Directions of the load, in vehicle axes (x backward)."""
_AXIS = {"up": (2, 1.0), "down": (2, -1.0), "back": (0, 1.0), "ahead": (0, -1.0), "right": (1, 1.0), "left": (1, -1.0)}
HEAVY_KG = 10.0
"""From what mass on a thing needs a joint on record. Source: practice-mounting."""


@dataclass(frozen=True, slots=True)
class Direction:
    """One direction of the rule. `used_share` is load over capacity of the link that governs; None: not worked out."""

    id: str
    factor: float
    load_n: float
    used_share: float | None
    link: str | None


@dataclass(frozen=True, slots=True)
class MountResult:
    """One joint. Load and capacity are those of the direction that uses most; reserve is capacity / load - 1."""

    id: str
    holds: tuple[str, ...]
    mass_kg: float
    rule: str
    worst: str | None
    load_n: float | None
    capacity_n: float | None
    reserve: float | None
    weakest: str | None
    bolt: str
    bolts: int
    torque_n_m: float
    directions: tuple[Direction, ...]


def held(rig: Rig, mount: JointMount) -> tuple[PointMass, ...]:
    """The masses that hang on a joint, rows with all their lamps."""
    rows = {device.id: device.row for device in rig.devices.values()}
    named = {*mount.holds, *(f"kit.{name}" for name in mount.kit)}
    return tuple(mass for mass in rig.masses if mass.id in named or rows.get(mass.id) in named)


def links(mount: JointMount, force: BoltForce, sign: float) -> Iterator[tuple[str, float]]:
    """Name and used share of every link at one bolt. Compression bears on the sheet and pulls no bolt."""
    diameter = fasteners.bolt(thread=mount.bolt, column="diameter_mm")
    area = fasteners.bolt(thread=mount.bolt, column="area_mm2")
    strength = fasteners.nominal_strength_mpa(property_class=mount.class_)
    pull, shear = max(0.0, sign * force.axial), force.shear
    sheet = mount.sheet
    thickness, sheet_mpa, edge = sheet.thickness * 1e3, sheet.strength / 1e6, sheet.edge * 1e3
    hole = diameter + 0.6 if sheet.hole is None else sheet.hole * 1e3
    shear_of = fasteners.shear_resistance_n(area_mm2=area, strength_mpa=strength, brittle=mount.class_ == "10.9")
    tension_of = fasteners.tension_resistance_n(area_mm2=area, strength_mpa=strength)
    yield (
        "bolt",
        fasteners.combined(shear_n=shear, shear_resistance=shear_of, tension_n=pull, tension_resistance=tension_of),
    )
    bearing = fasteners.bearing_resistance_n(
        diameter_mm=diameter, hole_mm=hole, end_mm=edge, edge_mm=edge, thickness_mm=thickness, sheet_mpa=sheet_mpa,
        bolt_mpa=strength,
    )  # fmt: skip
    yield "sheet in bearing", shear / bearing if bearing > 0 else (0.0 if shear == 0 else 1e9)
    if mount.fastening == "nut":
        washer = 2 * diameter if sheet.washer is None else sheet.washer * 1e3
        through = fasteners.punching_resistance_n(mean_diameter_mm=washer, thickness_mm=thickness, sheet_mpa=sheet_mpa)
        yield "sheet in pull-through", pull / through
        return
    body = mount.fastening.removeprefix("rivet-nut-")
    out = mount.pull_out or 1e3 * fasteners.rivet_nut(thread=mount.bolt, column=f"push_out_{body}_kn")
    own = fasteners.rivet_nut(thread=mount.bolt, column="shear_n")
    yield "rivet nut in the sheet", pull / out + shear / own


def bracket_share(mount: JointMount, load_n: float) -> float:
    """Used share of the brackets, as cantilevers bent across their thin side."""
    assert mount.bracket is not None
    bracket = mount.bracket
    stress = fasteners.bending_stress_mpa(
        moment_n_mm=load_n / bracket.count * bracket.arm * 1e3, width_mm=bracket.width * 1e3,
        thickness_mm=bracket.thickness * 1e3,
    )  # fmt: skip
    return stress / (bracket.yield_ / 1e6)


def local(mount: JointMount, vector: Vector) -> Vector:
    """A vector with the bolts' axis as z, right-handed."""
    axis = _AXIS[mount.stands_off][0]
    return vector[(axis + 1) % 3], vector[(axis + 2) % 3], vector[axis]


def direction(rig: Rig, mount: JointMount, way: str) -> Direction | None:
    """One direction of the rule, self-weight added downward; None where the rule names no factor for it."""
    factor = fasteners.restraint_factor(rule=mount.rule, direction=way)
    if factor is None:
        return None
    masses = [PointLoad(m.mass_kg, m.at.x_m, m.at.y_m, m.at.z_m) for m in held(rig, mount)]
    mass = statics.total_mass_kg(masses)
    load = fasteners.restraint_load_n(mass_kg=mass, factor=factor)
    x, y, z = WAYS[way]
    force = (x * load, y * load, z * load - mass * STANDARD_GRAVITY_M_S2)
    centre = local(mount, statics.centre_of_mass_m(masses))
    bolts = [local(mount, point) for point in mount.bolts]
    plane = sum(bolt[2] for bolt in bolts) / len(bolts)
    at = (centre[0], centre[1], centre[2] - plane)
    try:
        forces = bolt_group([bolt[:2] for bolt in bolts], force=local(mount, force), at=at)
    except ValueError:
        return Direction(way, factor, load, None, None)
    sign = _AXIS[mount.stands_off][1]
    used = [(share, name) for one in forces for name, share in links(mount, one, sign)]
    if mount.bracket is not None:
        size = float(sum(part * part for part in force) ** 0.5)
        used.append((bracket_share(mount, size), "bracket in bending"))
    share, name = max(used, key=lambda pair: pair[0])
    return Direction(way, factor, load, share, name)


def torque_n_m(mount: JointMount) -> float:
    """Torque to print. Sources: preload-torque, practice-rivet-nuts."""
    own = mount.torque
    if mount.fastening != "nut":
        body = mount.fastening.removeprefix("rivet-nut-")
        return fasteners.rivet_nut_torque_n_m(thread=mount.bolt, body=body, supplier_n_m=own)
    if own is not None:
        return own
    proof = fasteners.bolt(thread=mount.bolt, column=f"proof_{mount.class_}")
    diameter = fasteners.bolt(thread=mount.bolt, column="diameter_mm") / 1e3
    return fasteners.torque(preload=fasteners.preload(proof=proof), diameter=diameter)


def mount_result(rig: Rig, mount: JointMount) -> MountResult:
    """Everything of one joint."""
    directions = tuple(found for way in WAYS if (found := direction(rig, mount, way)) is not None)
    mass = statics.total_mass_kg(PointLoad(m.mass_kg, 0, 0, 0) for m in held(rig, mount))
    known = [one for one in directions if one.used_share is not None]
    worst = max(known, key=lambda one: one.used_share or 0.0) if len(known) == len(directions) else None
    load = capacity = reserve = None
    if worst is not None and worst.used_share:
        load, capacity, reserve = worst.load_n, worst.load_n / worst.used_share, 1.0 / worst.used_share - 1.0
    return MountResult(
        mount.id, tuple(mount.holds), mass, mount.rule, worst.id if worst else None, load, capacity, reserve,
        worst.link if worst else None, f"{mount.bolt} {mount.class_}", len(mount.bolts), torque_n_m(mount), directions,
    )  # fmt: skip


def work_out(rig: Rig) -> tuple[MountResult, ...]:
    """Every joint of the build."""
    return tuple(mount_result(rig, mount) for mount in rig.build.mounts)


def notes(rig: Rig, results: tuple[MountResult, ...]) -> tuple[RigNote, ...]:
    """Heavy things without a joint, joints with their bolts in one line, and things far from their joint."""
    made = []
    on_record = {mass.id for mount in rig.build.mounts for mass in held(rig, mount)}
    for mass in rig.masses:
        if mass.why in ("equipment", "battery") and mass.mass_kg >= HEAVY_KG and mass.id not in on_record:
            says = f"{mass.id} has {mass.mass_kg:.3g} kg and no joint under `mounts:` that holds it: prove one"
            made.append(RigNote("heavy-without-mount", mass.id, "caution", says, mass.file, mass.line))
    for mount, result in zip(rig.build.mounts, results, strict=True):
        if result.reserve is None:
            says = f"the bolts of {mount.id} stand in one line: the sheet alone keeps it from turning, which is not worked out"
            made.append(RigNote("mount-in-line", mount.id, "caution", says, mount.where.file, mount.where.line))
    return tuple(made)
