"""Published examples of masses, balance, stability and costing against our functions. One vector, one check.

Ids name the source; *computed* marks arithmetic done again from stated inputs and a stated formula.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from rigbook.body import beams, fasteners, statics, tyres, warmth
from rigbook.body.bolt_group import bolt_group
from rigbook.body.gas_springs import Swing, force_at_n, quick_force_n, quick_hand_n
from rigbook.money import costing
from rigbook.quantities.units import POUND_KG

pytestmark = pytest.mark.outside

# the worked statics table: item, mass kg, x mm, y mm, z mm; wheelbase 2950 mm, track 1690 mm
TABLE = (
    ("base vehicle", 2050, 1350, 0, 680),
    ("occupant left", 113.4, 1500, -380, 800),
    ("occupant right", 113.4, 1500, 380, 800),
    ("roof lighting", 18, 1450, 0, 1830),
    ("front guard", 32, -850, 0, 620),
    ("partition", 27, 1850, 0, 1000),
    ("console and radios", 30, 1200, 0, 700),
    ("rear cabinet and gear", 120, 3350, 100, 900),
    ("second battery", 25, 3300, -450, 650),
)
LOADS = tuple(statics.PointLoad(mass, x / 1000, y / 1000, z / 1000) for _, mass, x, y, z in TABLE)


def pounds(threshold_of_lb: float) -> float:
    return statics.added_weight_threshold_kg(gvwr_kg=threshold_of_lb * POUND_KG) / POUND_KG


def overhang(mass_kg: float, x_m: float, wheelbase_m: float) -> tuple[float, float]:
    return statics.axle_loads_kg([statics.PointLoad(mass_kg, x_m, 0, 0.5)], wheelbase_m=wheelbase_m)


def lifted_mm(axle_line_m: float) -> float:
    return 1000 * statics.lifted_cg_height_m(
        wheelbase_m=3.0, mass_kg=2400, rise_m=0.6, gain_kg=66, axle_line_m=axle_line_m
    )


GROUP = bolt_group([(-5, 4), (-5, -4), (5, 4), (5, -4)], force=(250, 100, 1000), moment=(-250, 250, 1000), at=(0, 0, 5))


def grade_2_preload() -> float:
    proof = fasteners.inch_load_lbf(diameter_in=0.25, threads_per_in=20, grade="2", of="proof")
    return fasteners.preload(proof=proof)


def metric(thread: str, column: str) -> float:
    return fasteners.bolt(thread=thread, column=column)


SWING = Swing(
    mass_kg=20,
    centre_m=0.40,
    body_x_m=0.10,
    body_y_m=-0.25,
    stud_m=0.30,
    count=2,
    force_n=120,
    ratio=1.3,
    closed_deg=0,
    open_deg=90,
    gravity=9.81,
)


def battery_gas(current: float, opening: bool) -> float:
    air = warmth.battery_gas_m3_h(cells=6, gas_ma_per_ah=current, capacity_ah=100)
    return 1e4 * warmth.battery_opening_m2(air_m3_h=air) if opening else air


def shelf_sag_in(below: float) -> float:
    inertia = beams.sheet_inertia(width=12, thickness=0.125)
    if below:
        inertia, _ = beams.flanged_inertia(width=12, thickness=0.125, below=below)
    return beams.sag_uniform(load_per_length=40 / 24, span=24, modulus=10.2e6, inertia=inertia)


JOB = ([1_800_000, 1_800_000, 1_800_000], [0.60, 0.25, 0.10])


NEAR = [
    # id, computed, expected, absolute tolerance
    ("1 72 FR 68442, added-weight threshold at GVWR 7,100 lb", lambda: pounds(7100), 100.0, 1e-9),
    ("2 72 FR 68442, added-weight threshold at GVWR 6,000 lb", lambda: pounds(6000), 90.0, 1e-9),
    ("2 72 FR 68442, added-weight threshold at GVWR 4,500 lb", lambda: pounds(4500), 67.5, 1e-9),
    ("3 72 FR 68442, just below the cross-over, 6,666 lb", lambda: pounds(6666), 99.99, 0.01),
    ("3 72 FR 68442, just above the cross-over, 6,668 lb", lambda: pounds(6668), 100.0, 0.01),
    ("4 placard 1,609 lb less 412 lb, computed", lambda: statics.placard_left(capacity=1609, added=412), 1197, 1),
    ("4 placard 730 kg less 412 lb in kg, computed",
     lambda: statics.placard_left(capacity=730, added=412 * POUND_KG), 543, 1),
    ("5 49 CFR 575.6 steps, 1,400 lb and five persons",
     lambda: statics.cargo_left(capacity=1400, persons=5, person=150), 650, 0),
    ("6 letter GF004408, largest rated cargo",
     lambda: statics.largest_cargo_rating(gvwr=7100, unladen=5200, seats=5, person=150), 1150, 0),
    ("9 statics table, computed: mass kg", lambda: statics.total_mass_kg(LOADS), 2528.8, 0.02),
    ("9 statics table, computed: rear axle kg",
     lambda: statics.axle_loads_kg(LOADS, wheelbase_m=2.95)[1], 1246.46, 0.02),
    ("9 statics table, computed: front axle kg",
     lambda: statics.axle_loads_kg(LOADS, wheelbase_m=2.95)[0], 1282.34, 0.02),
    ("9 statics table, computed: X mm", lambda: 1000 * statics.centre_of_mass_m(LOADS)[0], 1454.07, 0.01),
    ("9 statics table, computed: Y mm", lambda: 1000 * statics.centre_of_mass_m(LOADS)[1], 0.297, 0.01),
    ("9 statics table, computed: Z mm", lambda: 1000 * statics.centre_of_mass_m(LOADS)[2], 711.99, 0.01),
    ("10 pick-up owner's manual 1999 page 240, 700 lb 4 ft ahead, front",
     lambda: overhang(700, -4, 10)[0], 980, 0.5),
    ("10 pick-up owner's manual 1999 page 240, 700 lb 4 ft ahead, rear",
     lambda: overhang(700, -4, 10)[1], -280, 0.5),
    ("11 150 kg 900 mm behind the rear axle, computed: rear", lambda: overhang(150, 3.9, 3.0)[1], 195, 0.01),
    ("11 150 kg 900 mm behind the rear axle, computed: front", lambda: overhang(150, 3.9, 3.0)[0], -45, 0.01),
    ("12 static stability factor of the table, computed",
     lambda: statics.static_stability_factor(track_m=1.690, height_m=0.71199), 1.1868, 5e-4),
    ("12 its rigid tilt angle deg, computed",
     lambda: statics.tilt_angle_deg(half_track_m=0.845, height_m=0.71199), 49.88, 0.01),
    ("13 h/T 0.80, computed", lambda: statics.static_stability_factor(track_m=1.0, height_m=0.80), 0.625, 5e-4),
    ("13 h/T 0.80 in deg, computed", lambda: statics.tilt_angle_deg(half_track_m=0.5, height_m=0.80), 32.005, 5e-4),
    ("13 a tilt of 26.5 deg is a factor of 0.4986, computed",
     lambda: statics.tilt_angle_deg(half_track_m=0.4986, height_m=1.0), 26.5, 0.01),
    ("13 a tilt of 27 deg is a factor of 0.5095, computed",
     lambda: statics.tilt_angle_deg(half_track_m=0.5095, height_m=1.0), 27.0, 0.01),
    ("14 tilt with the centre of gravity 30 mm to the low side, computed",
     lambda: statics.tilt_angle_deg(half_track_m=0.845, height_m=0.760, offset_m=0.030), 47.00, 0.01),
    ("14 tilt with it in the middle, computed",
     lambda: statics.tilt_angle_deg(half_track_m=0.845, height_m=0.760), 48.03, 0.01),
    *(
        (f"15 68 FR 59249 curve (coefficients from memory), no tip-up, {factor}",
         lambda factor=factor: statics.rollover_risk(stability_factor=factor), risk, 5e-4)
        for factor, risk in ((1.04, 0.3563), (1.17, 0.2044), (1.25, 0.1595), (1.45, 0.1006))
    ),
    *(
        (f"16 68 FR 59249 curve (coefficients from memory), tip-up, {factor}",
         lambda factor=factor: statics.rollover_risk(stability_factor=factor, tips_up=True), risk, 5e-4)
        for factor, risk in ((1.17, 0.2374), (1.25, 0.1869))
    ),
    *(
        (f"17 star bands of the rating page, risk {risk}", lambda risk=risk: statics.stars(risk=risk), band, 0)
        for risk, band in ((0.0999, 5), (0.1999, 4), (0.25, 3), (0.35, 2), (0.41, 1))
    ),
    ("18 lifting one axle, racing guide's form: slope",
     lambda: statics.lift_slope(wheelbase_m=3.0, rise_m=0.6), 0.204124, 1e-6),
    ("18 lifting one axle, racing guide's form: height mm", lambda: lifted_mm(0.340), 744.17, 0.05),
    ("19 unequal radii: height of the axle line mm",
     lambda: 1000 * statics.axle_line_height_m(
         front_radius_m=0.340, rear_radius_m=0.365, x_m=1.350, wheelbase_m=3.0), 351.25, 0.05),
    ("19 unequal radii: height mm", lambda: lifted_mm(0.35125), 755.42, 0.05),
    ("20 wheelbase 110 in lifted 18 in, published slope",
     lambda: statics.lift_slope(wheelbase_m=110, rise_m=18), 0.16587, 1e-4),
    ("21 sensitivity of that method, mm per kg, computed",
     lambda: 1000 * statics.lifted_cg_sensitivity_m_per_kg(wheelbase_m=3.0, mass_kg=2400, rise_m=0.6), 6.124, 5e-3),
    *(
        (f"22 load index table, {index}", lambda index=index: statics.load_index_kg(load_index=index), mass, 0)
        for index, mass in ((91, 615), (100, 800), (109, 1030), (121, 1450))
    ),
    ("23 pressure for 1,100 kg of 1,500 kg at 50 psi, club page prints 34",
     lambda: tyres.pressure_kpa(load_kg=1100, rated_load_kg=1500, rated_pressure_kpa=50), 33.93, 0.02),
    ("23 pressure for 1,300 kg of 1,500 kg at 50 psi, club page prints 42",
     lambda: tyres.pressure_kpa(load_kg=1300, rated_load_kg=1500, rated_pressure_kpa=50), 41.81, 0.02),
    ("48 letter of 17 November 1976, passenger-car tyre of 1,200 kg on another vehicle",
     lambda: tyres.passenger_tyre_on_truck_kg(load_kg=1200), 1090.9, 0.1),
    *(
        (f"24 stress area of M{d}, suppliers' table after ISO 898-1 rounds it",
         lambda d=d, p=p: fasteners.stress_area_mm2(diameter_mm=d, pitch_mm=p), area, 0.02)
        for d, p, area in ((5, 0.8, 14.18), (6, 1, 20.12), (8, 1.25, 36.61), (10, 1.5, 57.99), (12, 1.75, 84.27))
    ),
    *(
        (f"25 suppliers' table after ISO 898-1, {thread} {column}", lambda t=thread, c=column: metric(t, c), load, 0)
        for thread, column, load in (("M8", "proof_8.8", 21200), ("M8", "ultimate_8.8", 29200),
                                     ("M6", "proof_10.9", 16700), ("M6", "ultimate_10.9", 20900))
    ),
    *(
        (f"26 suppliers' table after SAE J429, 5/16-18 grade 5 {of}",
         lambda of=of: fasteners.inch_load_lbf(diameter_in=0.3125, threads_per_in=18, grade="5", of=of), load, 5)
        for of, load in (("proof", 4457), ("tensile", 6292))
    ),
    ("27 fastener notes, grade 2 1/4-20 preload lbf", grade_2_preload, 1312, 1),
    ("27 fastener notes, grade 2 1/4-20 torque ft lbf",
     lambda: fasteners.torque(preload=grade_2_preload(), diameter=0.25) / 12, 5.47, 0.1),
    *(
        (f"28 calculator's bolt group case 1, bolt {n + 1} axial lbf", lambda n=n: GROUP[n].axial, axial, 0.01)
        for n, axial in enumerate((278.125, 371.875, 128.125, 221.875))
    ),
    *(
        (f"28 calculator's bolt group case 1, bolt {n + 1} shear lbf", lambda n=n: GROUP[n].shear, shear, 0.01)
        for n, shear in enumerate((38.50, 87.06, 67.31, 103.10))
    ),
    ("28 calculator's bolt group case 1, axial forces add to the force",
     lambda: sum(one.axial for one in GROUP), 1000, 1e-9),
    ("29 worksheet after EN 1993-1-8, M20 4.6 shear kN",
     lambda: fasteners.shear_resistance_n(area_mm2=245, strength_mpa=400) / 1e3, 47.04, 0.01),
    ("29 worksheet after EN 1993-1-8, M20 4.6 tension kN",
     lambda: fasteners.tension_resistance_n(area_mm2=245, strength_mpa=400) / 1e3, 70.56, 0.01),
    ("29 worksheet after EN 1993-1-8, punching kN",
     lambda: fasteners.punching_resistance_n(mean_diameter_mm=30, thickness_mm=8, sheet_mpa=360) / 1e3, 130.29, 0.01),
    ("30 EN 1993-1-8 bearing with the sheet's strength kN, computed (the worksheet takes the bolt's)",
     lambda: fasteners.bearing_resistance_n(diameter_mm=20, hole_mm=22, end_mm=26.4, edge_mm=26.4, thickness_mm=8,
                                            sheet_mpa=360, bolt_mpa=400) / 1e3, 30.60, 0.01),
    *(
        (f"31 trade quotations, {mass} kg at {factor} g",
         lambda m=mass, f=factor: fasteners.restraint_load_n(mass_kg=m, factor=f), load, 0.1)
        for mass, factor, load in ((11.3, 9, 997.3), (11.3, 3, 332.4), (8, 10, 784.5))
    ),
    ("32 laboratory's summary of SAE J3043, 15 lb at 20 g",
     lambda: fasteners.static_test_load(weight=15, peak=20), 450, 0),
    *(
        (f"46 torque of a {thread} {body} rivet nut, computed from a maker's table",
         lambda t=thread, b=body: fasteners.rivet_nut_torque_n_m(thread=t, body=b), torque, 0.01)
        for thread, body, torque in (("M6", "hex", 8.6), ("M8", "hex", 15.52), ("M8", "round", 5.28))
    ),
    ("47 20 kg at 9 g", lambda: fasteners.restraint_load_n(mass_kg=20, factor=9), 1765.2, 0.1),
    ("47 carmaker's standard of 1993, M6 thread against it",
     lambda: 1e3 * fasteners.rivet_nut(thread="M6", column="pull_out_kn") / 1765.2, 5.67, 0.01),
    ("47 carmaker's standard of 1993, M6 push-out floor against it",
     lambda: 1e3 * fasteners.rivet_nut(thread="M6", column="push_out_round_kn") / 1765.2, 1.02, 0.01),
    ("47 carmaker's standard of 1993, M8 pull-out over stress area",
     lambda: 1e3 * fasteners.rivet_nut(thread="M8", column="pull_out_kn") / metric("M8", "area_mm2"), 500, 0.1),
    *(
        (f"35 public worked example of quick sizing, arm {arm} m",
         lambda arm=arm, n=n: quick_force_n(mass_kg=50, centre_m=0.8, count=n, arm_m=arm, gravity=9.81), force, 0.1)
        for arm, n, force in ((0.25, 2, 784.8), (0.20, 2, 981.0))
    ),
    *(
        (f"35 public worked example of quick sizing, hand, arm {arm} m",
         lambda arm=arm, f=force: quick_hand_n(force_n=f, count=2, arm_m=arm, length_m=1.2), 327, 0.1)
        for arm, force in ((0.25, 784.8), (0.20, 981.0))
    ),
    *(
        (f"36 lid on two springs, computed, {angle} deg", lambda a=angle: SWING.net_n_m(a), net, 0.02)
        for angle, net in ((0, -5.39), (45, -14.09), (60, -7.75), (75, 1.69), (90, 12.88))
    ),
    ("36 lid on two springs, computed, balance deg", lambda: SWING.balance_deg() or 0.0, 72.56, 0.02),
    ("36 lid on two springs, computed, closed at 60 C", lambda: SWING.net_n_m(0, 60), 4.58, 0.02),
    ("36 lid on two springs, computed, closed at -20 C", lambda: SWING.net_n_m(0, -20), -15.36, 0.02),
    *(
        (f"37 a maker's page, 500 N at {c} C", lambda c=c: force_at_n(force_20_n=500, temperature_c=c), force, 0.2)
        for c, force in ((40, 534.1), (0, 465.9))
    ),
    *(
        (f"38 a component maker's fan rule, 100 W at {rise} K, cfm",
         lambda rise=rise: warmth.fan_flow_m3_s(power_w=100, rise_k=rise) / (0.3048**3 / 60), cfm, 0.05)
        for rise, cfm in ((10, 17.6), (35, 5.02))
    ),
    *(
        (f"39 EN 50272 pages, 100 Ah of 6 cells at {current} mA/Ah, {what}",
         lambda i=current, opening=what == "cm2": battery_gas(i, opening), value, 0.05 if what == "cm2" else 0.005)
        for current, what, value in ((8, "m3/h", 0.240), (8, "cm2", 6.72), (20, "m3/h", 0.600), (20, "cm2", 16.8))
    ),
    *(
        (f"53 enclosure of 500 W at 15 K, k {k}, m2",
         lambda k=k: warmth.wall_area_m2(power_w=500, rise_k=15, k_w_m2k=k), area, 0.01)
        for k, area in ((5.5, 6.06), (12.0, 2.78), (6.5, 5.13))
    ),
    ("33 engineering tables' beam, stress N/mm2",
     lambda: beams.stress_uniform(load_per_length=6, span=5000, far=150, inertia=81.96e6), 34.32, 0.01),
    ("33 engineering tables' beam, sag mm",
     lambda: beams.sag_uniform(load_per_length=6, span=5000, modulus=200e3, inertia=81.96e6), 2.979, 0.01),
    ("34 shelf of 0.125 in aluminium, computed: sag in", lambda: shelf_sag_in(0.0), 0.3614, 0.0018),
    ("34 shelf of 0.125 in aluminium, computed: stress psi",
     lambda: beams.stress_uniform(load_per_length=40 / 24, span=24, far=0.0625,
                                  inertia=beams.sheet_inertia(width=12, thickness=0.125)), 3840, 19),
    ("34 the same with edges 1 in below the sheet, computed: sag in", lambda: shelf_sag_in(1.0), 0.00779, 0.00004),
    ("40 mark-up 25 % is a margin of 20 %, computed", lambda: costing.margin_of_mark_up(mark_up=0.25), 0.20, 1e-4),
    ("40 mark-up 50 % is a margin of 33.33 %, computed", lambda: costing.margin_of_mark_up(mark_up=0.5), 0.3333, 1e-4),
    ("40 margin 30 % is a mark-up of 42.86 %, computed", lambda: costing.mark_up_of_margin(margin=0.3), 0.4286, 1e-4),
    ("41 trade magazine's job of three parts, price",
     lambda: costing.job_price_cents(costs_cents=JOB[0], mark_ups=JOB[1]) / 100, 71100, 0.01),
    ("41 trade magazine's job of three parts, overall mark-up %",
     lambda: 100 * (costing.job_price_cents(costs_cents=JOB[0], mark_ups=JOB[1]) / sum(JOB[0]) - 1), 31.67, 0.01),
    ("41 trade magazine's job of three parts, margin %",
     lambda: 100 * costing.margin_of_mark_up(
         mark_up=costing.job_price_cents(costs_cents=JOB[0], mark_ups=JOB[1]) / sum(JOB[0]) - 1), 24.05, 0.01),
]  # fmt: skip


@pytest.mark.parametrize(
    ("computed", "expected", "absolute"), [pytest.param(*row[1:], id=row[0]) for row in NEAR]
)  # fmt: skip
def test_figure(computed: Callable[[], float], expected: float, absolute: float) -> None:
    assert computed() == pytest.approx(expected, rel=0, abs=absolute or 1e-12)


@pytest.mark.parametrize(
    ("thread", "body", "torque", "holds"),
    [("M8", "round", 21, False), ("M8", "hex", 21, False), ("M5", "hex", 5.0, True)],
)
def test_45_rivet_nuts_that_spin(thread: str, body: str, torque: float, holds: bool) -> None:
    """A second maker's measured spin limits in 0.76 mm steel."""
    assert fasteners.rivet_nut_holds(thread=thread, body=body, torque_n_m=torque) is holds


def test_load_index_grows() -> None:
    masses = [statics.load_index_kg(load_index=index) for index in range(75, 127)]
    assert len(masses) == 52
    assert masses == sorted(set(masses))
