"""Shelves as beams. Plain numbers in any one set of units. Source: beam-bending."""

from __future__ import annotations

from rigbook.quantities.tables import read_table


def sheet_inertia(*, width: float, thickness: float) -> float:
    """Second moment of a flat sheet: b t^3/12."""
    return width * thickness**3 / 12.0


def flanged_inertia(*, width: float, thickness: float, below: float) -> tuple[float, float]:
    """Second moment of a sheet with two edges folded down, and the distance from its axis to the far edge.

    The edges reach `below` under the sheet, each as thick as it.
    """
    top, legs = width * thickness, 2.0 * thickness * below
    y_top, y_legs = below + thickness / 2.0, below / 2.0
    axis = (top * y_top + legs * y_legs) / (top + legs)
    inertia = (
        sheet_inertia(width=width, thickness=thickness) + top * (y_top - axis) ** 2
        + 2.0 * sheet_inertia(width=thickness, thickness=below) + legs * (y_legs - axis) ** 2
    )  # fmt: skip
    return inertia, max(axis, below + thickness - axis)


def sag_uniform(*, load_per_length: float, span: float, modulus: float, inertia: float) -> float:
    """Sag in the middle of a simply supported beam under an even load: 5 w L^4/(384 E I).

    Beyond about half its thickness a flat sheet is stiffer than this says.
    """
    return 5.0 * load_per_length * span**4 / (384.0 * modulus * inertia)


def stress_uniform(*, load_per_length: float, span: float, far: float, inertia: float) -> float:
    """Stress at the far edge of that beam: w L^2/8 c/I."""
    return load_per_length * span**2 / 8.0 * far / inertia


def modulus_pa(*, material: str) -> float:
    """Stiffness of a material. Source: stiffness (memory). KeyError for another."""
    return float(read_table("stiffness").cell(row=material, column="modulus_gpa")) * 1e9
