"""Fasteners at their edges. Published rows: tests/outside."""

from __future__ import annotations

import pytest

from rigbook.body import fasteners
from rigbook.quantities.tables import read_table


def test_tables_grow_with_the_thread() -> None:
    for name in ("iso-898-1-coarse", "rivet-nuts"):
        table = read_table(name)
        for column in table.columns[1:]:
            found = [float(v) for v in (row[table.columns.index(column)] for row in table.rows) if v]
            if not column.startswith(("pull_out", "push_out")):
                assert found == sorted(found), (name, column)
    for thread in ("M5", "M6", "M8", "M10", "M12"):
        area = fasteners.bolt(thread=thread, column="area_mm2")
        pitch, diameter = (fasteners.bolt(thread=thread, column=c) for c in ("pitch_mm", "diameter_mm"))
        assert fasteners.stress_area_mm2(diameter_mm=diameter, pitch_mm=pitch) == pytest.approx(area, rel=0.003)


def test_what_the_tables_lack_is_refused() -> None:
    for read in (
        lambda: fasteners.bolt(thread="M4", column="proof_8.8"),
        lambda: fasteners.rivet_nut(thread="M12", column="spin_hex"),
        lambda: fasteners.bolt(thread="M7", column="area_mm2"),
    ):
        with pytest.raises(KeyError):
            read()


def test_pull_and_shear_together() -> None:
    alone = fasteners.combined(shear_n=0, shear_resistance=10, tension_n=10, tension_resistance=10)
    assert alone == 1.0
    assert fasteners.combined(shear_n=5, shear_resistance=10, tension_n=7, tension_resistance=10) == pytest.approx(1.0)


def test_bearing_never_falls_below_nothing_and_grows_with_the_edge() -> None:
    def at(edge: float) -> float:
        return fasteners.bearing_resistance_n(
            diameter_mm=6, hole_mm=6.6, end_mm=edge, edge_mm=edge, thickness_mm=1.2, sheet_mpa=270, bolt_mpa=800
        )

    found = [at(e) for e in (3.5, 5, 8, 12, 20, 40)]
    assert found == sorted(found) and found[0] == 0
    # M6 in 1.2 mm steel, end 12 mm, the row of the sheet's example
    wide = fasteners.bearing_resistance_n(
        diameter_mm=6, hole_mm=6.6, end_mm=12, edge_mm=30, thickness_mm=1.2, sheet_mpa=270, bolt_mpa=800
    )
    assert wide == pytest.approx(2356, abs=1)


def test_the_suppliers_torque_may_be_lower_not_higher() -> None:
    assert fasteners.rivet_nut_torque_n_m(thread="M6", body="hex", supplier_n_m=7) == 7
    assert fasteners.rivet_nut_torque_n_m(thread="M6", body="hex", supplier_n_m=20) == 8.6


def test_a_flat_section_bends() -> None:
    assert fasteners.bending_stress_mpa(moment_n_mm=1000, width_mm=10, thickness_mm=10) == pytest.approx(6.0)
    assert fasteners.restraint_factor(rule="patient-area", direction="down") is None
