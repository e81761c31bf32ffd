"""Bolts, rivet nuts and the sheet they bear on. Plain numbers: mm, N, MPa, N m; inch functions say so."""

from __future__ import annotations

import math
from functools import cache

from rigbook.quantities.tables import read_table
from rigbook.quantities.units import STANDARD_GRAVITY_M_S2

PARTIAL = 1.25
"""Partial factor of joints. Source: ec3-1-8."""


def stress_area_mm2(*, diameter_mm: float, pitch_mm: float) -> float:
    """Stress area of a metric thread: pi/4 (d - 0.9382 p)^2. Source: iso-898-area (memory)."""
    return math.pi / 4.0 * (diameter_mm - 0.9382 * pitch_mm) ** 2


def stress_area_in2(*, diameter_in: float, threads_per_in: float) -> float:
    """Stress area of an inch thread: 0.7854 (d - 0.9743/n)^2. Source: j429-tables."""
    return 0.7854 * (diameter_in - 0.9743 / threads_per_in) ** 2


def inch_load_lbf(*, diameter_in: float, threads_per_in: float, grade: str, of: str) -> float:
    """Proof or tensile load of an inch bolt in lbf (`of` is proof, yield or tensile). Source: j429-tables. KeyError else."""
    area = stress_area_in2(diameter_in=diameter_in, threads_per_in=threads_per_in)
    return area * float(read_table("sae-j429").cell(row=grade, column=f"{of}_psi"))


@cache
def bolt(*, thread: str, column: str) -> float:
    """A cell of the metric bolt table: diameter_mm, area_mm2, proof_8.8 … KeyError where it has none."""
    text = read_table("iso-898-1-coarse").cell(row=thread, column=column)
    if not text:
        raise KeyError(f"{thread}: no {column}")
    return float(text)


def nominal_strength_mpa(*, property_class: str) -> float:
    """Tensile strength of a property class in MPa: 800 for 8.8, 1040 for 10.9. Source: iso-898-tables."""
    return {"4.6": 400.0, "8.8": 800.0, "10.9": 1040.0}[property_class]


def shear_resistance_n(*, area_mm2: float, strength_mpa: float, brittle: bool = False) -> float:
    """Shear of one bolt, thread in the plane: a fub As/1.25, a 0.6, or 0.5 for class 10.9. Source: ec3-1-8."""
    return (0.5 if brittle else 0.6) * strength_mpa * area_mm2 / PARTIAL


def tension_resistance_n(*, area_mm2: float, strength_mpa: float) -> float:
    """Tension of one bolt: 0.9 fub As/1.25. Source: ec3-1-8."""
    return 0.9 * strength_mpa * area_mm2 / PARTIAL


def punching_resistance_n(*, mean_diameter_mm: float, thickness_mm: float, sheet_mpa: float) -> float:
    """Pulling head or nut through the sheet: 0.6 pi dm t fu/1.25. Source: ec3-1-8."""
    return 0.6 * math.pi * mean_diameter_mm * thickness_mm * sheet_mpa / PARTIAL


def bearing_resistance_n(
    *, diameter_mm: float, hole_mm: float, end_mm: float, edge_mm: float, thickness_mm: float, sheet_mpa: float,
    bolt_mpa: float,
) -> float:  # fmt: skip
    """Bearing of one bolt on the sheet: k1 ab fu d t/1.25, fu of the sheet. Source: ec3-1-8.

    k1 = min(2.8 e2/d0 - 1.7, 2.5), never below 0; ab = min(e1/(3 d0), fub/fu, 1).
    """
    k1 = max(0.0, min(2.8 * edge_mm / hole_mm - 1.7, 2.5))
    ab = min(end_mm / (3.0 * hole_mm), bolt_mpa / sheet_mpa, 1.0)
    return k1 * ab * sheet_mpa * diameter_mm * thickness_mm / PARTIAL


def combined(*, shear_n: float, shear_resistance: float, tension_n: float, tension_resistance: float) -> float:
    """Share used by shear and tension together: V/Vr + T/(1.4 Tr), and never less than T/Tr. Source: ec3-1-8."""
    return max(
        shear_n / shear_resistance + tension_n / (1.4 * tension_resistance), tension_n / tension_resistance
    )  # fmt: skip


def preload(*, proof: float, share: float = 0.75) -> float:
    """Preload, in the unit of the proof load. Source: preload-torque."""
    return share * proof


def torque(*, preload: float, diameter: float, k: float = 0.20) -> float:
    """Tightening torque K d F, in force times the unit of the diameter; K 0.20 dry, 0.15 lubricated. Source: preload-torque."""
    return k * diameter * preload


@cache
def rivet_nut(*, thread: str, column: str) -> float:
    """A cell of the rivet-nut table. KeyError where it has none."""
    text = read_table("rivet-nuts").cell(row=thread, column=column)
    if not text:
        raise KeyError(f"{thread}: no {column}")
    return float(text)


def rivet_nut_holds(*, thread: str, body: str, torque_n_m: float) -> bool:
    """Whether a rivet nut (body round or hex) stands a torque in 0.76 mm steel without spinning. Source: rivet-nuts."""
    return rivet_nut(thread=thread, column=f"spin_{body}") >= torque_n_m


def rivet_nut_torque_n_m(*, thread: str, body: str, supplier_n_m: float | None = None) -> float:
    """Torque to print: the least of the screw's, 0.8 of the spin limit and the supplier's. Source: practice-rivet-nuts."""
    screw = rivet_nut(thread=thread, column="screw_torque_8.8")
    spin = 0.8 * rivet_nut(thread=thread, column=f"spin_{body}")
    return min(screw, spin, math.inf if supplier_n_m is None else supplier_n_m)


@cache
def restraint_factor(*, rule: str, direction: str) -> float | None:
    """Times the weight that a rule asks for in a direction; None where it names none. Source: restraint-factors."""
    text = read_table("restraint-factors").cell(row=rule, column=direction)
    return float(text) if text else None


def restraint_load_n(*, mass_kg: float, factor: float) -> float:
    """Load of a mass at a factor of standard gravity: n m g0, N."""
    return factor * mass_kg * STANDARD_GRAVITY_M_S2


def static_test_load(*, weight: float, peak: float) -> float:
    """Static load in place of a sled test: weight x peak x 1.5, in the unit of the weight. Source: j3043-static."""
    return 1.5 * weight * peak


def bending_stress_mpa(*, moment_n_mm: float, width_mm: float, thickness_mm: float) -> float:
    """Stress of a flat section in bending: M c/I = 6 M/(b t^2). Source: beam-bending."""
    return 6.0 * moment_n_mm / (width_mm * thickness_mm**2)
