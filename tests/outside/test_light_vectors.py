"""Published and derived check figures of light, V01 to V71: each is checked here, elsewhere by name, or has its reason.

Ids name the source. A tolerance is relative unless it stands as an absolute.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib.metadata import distribution
from pathlib import Path
from typing import Any

import pytest

from rigbook.light.beams import lobe_exponent, lobe_width_deg
from rigbook.light.colour import editions, judge_colour, locus, temperature_k
from rigbook.light.effective import (
    allard,
    blondel_rey,
    blondel_rey_rectangle,
    blondel_rey_times_s,
    faa_sum,
    form_factor,
    illuminance_lx,
    modified_allard,
    navigation_intensity_cd,
    navigation_threshold_lx,
    rectangles,
)
from rigbook.light.eulumdat import stored_planes
from rigbook.light.files import read
from rigbook.light.flashes import flashing_of, keeps_r65_times, rate_by_cycles_per_min, seen_pulses_per_min
from rigbook.light.grid import zone_of_bearing
from rigbook.light.observers import disability_glare_cd_m2
from rigbook.light.photometry import Distribution, zonal_constant_sr
from rigbook.light.photosensitive import beat_hz, distance_m, field_pixels, is_hazard
from rigbook.light.signal_class import least_share, points_of
from rigbook.power.waveform import Wave, WaveSpan, exact, mean_a
from rigbook.rules.facts import Facts, holds, read_when
from rigbook.rules.judge import keeps, read_limit
from rigbook.rules.measures import registry

from ..light.test_flashes import pattern
from ..rules.shipped import pack_rows

pytestmark = pytest.mark.outside
ROOT = Path(__file__).resolve().parents[2]
ALL = tuple(f"V{number:02d}" for number in range(1, 72))
TRIANGLE = [(0.0, 0.0), (0.2, 1.0), (0.4, 0.0)]
FEDERAL, VERTICES, _AMBULANCE = editions()


def file_of(package: str, name: str) -> Path:
    found = distribution(package)
    return Path(str(next(found.locate_file(f) for f in found.files or () if f.name == name)))


def light_of(package: str, name: str) -> Distribution:
    path = file_of(package, name)
    return read(path.name, path.read_bytes())


def lamp() -> Distribution:
    return light_of("luxpy", "luxpy_test_lid_file.ies")


def old() -> Distribution:
    return light_of("luxpy", "luxpy_test_lid_file2b.ies")


def train(*times: float, cd: float = 1000) -> list[tuple[float, float]]:
    return rectangles(intensity_cd=cd, pulses_s=times)


def colour(edition: Any, name: str, x: float, y: float) -> str:
    return judge_colour(edition=edition, colour=name, x=x, y=y)


def passes(pack: str, rule: str, value: float, **facts: str | bool) -> bool | None:
    """Whether a value keeps a shipped row; None where the row says nothing of such a subject."""
    row = next(row for row in pack_rows(pack) if row.id == rule)
    measure = registry()[row.measure]
    given: Facts = facts
    if row.when is not None and not holds(read_when(row.when.text, measure.facts), given):
        return None
    limit: Any = row.limit
    for case in row.cases:
        if holds(read_when(case.when.text, measure.facts), given):
            limit = case
            break
    if limit is None:
        return None
    how = "at_most" if limit.at_most is not None else "at_least"
    figure, _ = read_limit(limit.at_most or limit.at_least, measure)
    assert figure is not None
    return keeps(value=value, limit=figure, how=how)  # type: ignore[arg-type]


def colour_allowed(colour_name: str, zone: str, purpose: str) -> bool:
    rules = ("fire-amber-ahead", "fire-white-behind", "fire-white-blocking", "fire-other-colour")
    facts = {"mode": "m", "purpose": purpose, "zone": zone, "colour": colour_name}
    return all(passes("optical-warning", rule, 1.0, **facts) is None for rule in rules)


def arrow(*times: int) -> tuple[bool, bool]:
    found = flashing_of(pattern(*times))
    rate = all(
        passes("arrow-board", rule, found.flashes_per_min, type="a") for rule in ("arrow-rate-least", "arrow-rate-most")
    )
    return rate, bool(passes("arrow-board", "arrow-on-time", found.duty, type="a"))


def flasher(rate: float, **facts: bool) -> bool:
    name = "wa-headlamp-flasher" if facts.get("headlamp") else "hazard-flasher"
    given = {"headlamp": False, "hazard": False, **facts}
    return all(passes("state-texts", f"{name}-{end}", rate, **given) for end in ("least", "most"))


def mean_current() -> float:
    spans = tuple(WaveSpan(a, b, exact(4.0)) for a, b in ((0, 60), (120, 180)))
    return float(mean_a([Wave("c", 800, spans)]))


Row = tuple[str, Callable[[], Any], Any, float]
"""Id with its source, what is found, what is expected, relative tolerance (0: equal)."""
DOUBLE = pattern(60, 60, 60, 620)
CHECKS: tuple[Row, ...] = (
    ("V01 effective-intensity-ies, rectangle 0.1 s", lambda: blondel_rey_rectangle(intensity_cd=1000, time_s=0.1), 333.33333, 1e-6),
    ("V02 the same, 0.2 s", lambda: blondel_rey_rectangle(intensity_cd=1000, time_s=0.2), 500, 1e-5),
    ("V02 the same, 0.05 s", lambda: blondel_rey_rectangle(intensity_cd=1000, time_s=0.05), 200, 1e-5),
    ("V02 the same, 0.001 s", lambda: blondel_rey_rectangle(intensity_cd=1000, time_s=0.001), 4.9751, 1e-5),
    ("V03 the same, steady", lambda: blondel_rey_rectangle(intensity_cd=1000, time_s=1e9), 1000, 1e-6),
    ("V04 form factor, rectangle", lambda: form_factor(train(0.1)), 333.33333, 1e-6),
    ("V05 triangle, general form", lambda: blondel_rey(TRIANGLE), 0.38197, 1e-4),
    ("V05 its times", lambda: list(blondel_rey_times_s(TRIANGLE)), [0.0764, 0.3236], 1e-3),
    ("V06 triangle, form factor", lambda: form_factor(TRIANGLE), 0.5, 1e-6),
    ("V07 their ratio", lambda: form_factor(TRIANGLE) / blondel_rey(TRIANGLE), 1.309, 0.01),
    ("V08 Allard, 0.1 s", lambda: allard(train(0.1)), 393.47, 1e-4),
    ("V08 Allard, 0.2 s", lambda: allard(train(0.2)), 632.12, 1e-4),
    ("V09 modified Allard, 0.1 s", lambda: modified_allard(train(0.1, cd=1)), 0.33333, 1e-4),
    ("V10 modified Allard, two pulses", lambda: modified_allard(train(0.05, 0.05, 0.05, cd=1)), 0.295238, 1e-4),
    ("V11 Douglas, gap 50 ms", lambda: blondel_rey(train(0.05, 0.05, 0.05)), 285.714, 1e-5),
    ("V11 Douglas, gap 10 ms", lambda: blondel_rey(train(0.05, 0.01, 0.05)), 322.581, 1e-5),
    ("V12 sum form", lambda: faa_sum([(1000, 0.05), (1000, 0.05)]), 400, 1e-6),
    ("V13 Douglas at the break-even gap", lambda: blondel_rey(train(0.05, 0.2, 0.05)), 200, 1e-6),
    ("V14 Douglas, four pulses", lambda: blondel_rey(train(*[0.03] * 7)), 292.683, 1e-5),
    ("V15 double flash: period, rates, duty", lambda: [flashing_of(DOUBLE).period_ms, flashing_of(DOUBLE).flashes_per_min, flashing_of(DOUBLE).pulses_per_min, flashing_of(DOUBLE).duty], [800, 75, 150, 0.15], 1e-12),
    ("V16 four short pulses", lambda: [getattr(flashing_of(pattern(*[40] * 7, 560)), k) for k in ("flashes_per_min", "pulses_per_min", "duty")], [71.43, 285.7, 0.1905], 1e-3),
    ("V16 it fails 75", lambda: passes("optical-warning", "fire-flash-rate-lamp", 71.43), False, 0),
    ("V17 R65 times", lambda: keeps_r65_times(frequency_hz=2, on_s=0.2, off_s=0.3), True, 0),
    ("V17 R65 rows", lambda: [passes("un-r65", "r65-on-time", flashing_of(pattern(200, 300)).duty), passes("un-r65", "r65-off-time", 0.3), passes("un-r65", "r65-frequency-least", 120)], [True, True, True], 0),
    ("V18 kkk-a-1822e, 150 a minute", lambda: passes("ambulance-optical", "ambulance-rate-most", flashing_of(pattern(100, 300)).flashes_per_min), False, 0),
    ("V19 optical power", lambda: flashing_of(DOUBLE).cd_s_per_min(2500), 22500, 1e-6),
    ("V20 intensity for 10000", lambda: 10000 / flashing_of(DOUBLE).cd_s_per_min(1), 1111.1, 1e-4),
    ("V21 19 points of 10000: zone", lambda: passes("optical-warning", "fire-optical-total", 19 * 10000.0, mode="m", purpose="calling", zone="right", level="upper", size="large"), False, 0),
    ("V21 each point", lambda: passes("optical-warning", "fire-optical-point", 10000.0, mode="m", purpose="calling", zone="right", level="upper", size="large"), True, 0),
    ("V22 mutcd-2009-6f, arrow 1000/1000", lambda: list(arrow(1000, 1000)), [True, True], 0),
    ("V22 arrow 900/1100", lambda: list(arrow(900, 1100)), [True, False], 0),
    ("V22 arrow 500/500", lambda: list(arrow(500, 500)), [False, True], 0),
    ("V23 three clocks at 75", lambda: seen_pulses_per_min([(c, pattern(100, 700)) for c in "abc"]) / 60, 3.75, 1e-9),
    ("V24 beat of 75 and 90", lambda: beat_hz(one_per_min=75, other_per_min=90), 0.25, 1e-12),
    ("V25 wcag-2-3-1, pixels", lambda: field_pixels(width_px=341, height_px=256), 21824, 0),
    ("V26 wcag-2-3-1, distance", lambda: distance_m(width_m=1.2, height_m=0.25), 7.07, 1e-3),
    ("V32 zonal constants", lambda: [zonal_constant_sr(from_deg=a, to_deg=a + 10) for a in range(0, 90, 10)], [0.09546, 0.28347, 0.46286, 0.62820, 0.77445, 0.89716, 0.99262, 1.05791, 1.09106], 1e-4),
    ("V33 beam of cos^m", lambda: [lobe_width_deg(exponent=m, share=0.5) for m in (1, 4, 10, 20)], [120, 65.53, 42.18, 30.00], 2e-4),
    ("V33 field of cos^m", lambda: [lobe_width_deg(exponent=m, share=0.1) for m in (1, 4, 10, 20)], [168.52, 111.56, 74.82, 53.94], 1e-4),
    ("V33 and back", lambda: [lobe_exponent(beam_deg=lobe_width_deg(exponent=m, share=0.5)) for m in (1, 4, 10, 20)], [1, 4, 10, 20], 1e-9),
    ("V34 sample file of an open library, points", lambda: [float(lamp().intensity_cd(c, g)) for c, g in ((0, 0), (0, 45), (90, 45), (5, 60))], [1204.86, 1447.20, 943.50, 1536.42], 1e-3),
    ("V34 its peak and flux", lambda: [lamp().peak_cd, lamp().total_lm()], [1536.42, 6000 * 0.88], 1e-3),
    ("V35 the same lamp as EULUMDAT", lambda: [float(light_of("luxpy", "luxpy_test_lid_file.ldt").intensity_cd(0, 0)), 100 * light_of("luxpy", "luxpy_test_lid_file.ldt").total_lm() / 6000], [200.81 * 6, 88.01], 5e-4),
    ("V35 both agree everywhere", lambda: float(abs(light_of("luxpy", "luxpy_test_lid_file.ldt").candela - lamp().candela).max()) < 0.01, True, 0),
    ("V36 old file: zonal flux in 5 deg", lambda: [old().zonal_lm_by_constants(from_deg=0, to_deg=to, step_deg=5) for to in (180, 30, 60)], [3345.2, 1314.6, 3212.8], 1e-3),
    ("V36 fine, and a point between", lambda: [old().total_lm(), float(old().intensity_cd(33.75, 47.5))], [3340.4, 796.075], 1e-4),
    ("V37 fmvss-108-colour and sae-j578-2020, 468 nm", lambda: [colour(FEDERAL, "blue", 0.1297, 0.0555), colour(VERTICES, "blue", 0.1297, 0.0555)], ["inside", "outside"], 0),
    ("V38 multiplier of a measured file", lambda: [light_of("guv-calcs", "B1 module.ies").peak_cd, light_of("guv-calcs", "B1 module.ies").total_lm()], [150.48, 121.14], 2e-3),
    ("V38 in steps of 5 deg", lambda: light_of("guv-calcs", "B1 module.ies").zonal_lm_by_constants(from_deg=0, to_deg=180, step_deg=5), 121.66, 2e-3),
    ("V39 red", lambda: [colour(FEDERAL, "red", 0.6945, 0.3054), colour(FEDERAL, "red", 0.660, 0.333), colour(VERTICES, "red", 0.660, 0.333)], ["inside", "outside", "inside"], 0),
    ("V40 amber", lambda: [colour(FEDERAL, "amber", 0.5831, 0.4163), colour(FEDERAL, "amber", 0.56, 0.38)], ["inside", "outside"], 0),
    ("V41 white", lambda: [colour(e, "white", x, y) for e in (FEDERAL, VERTICES) for x, y in ((0.3127, 0.3290), (0.4476, 0.4074), (0.49, 0.41))], ["inside"] * 6, 0),
    ("V42 blue", lambda: [colour(FEDERAL, "blue", x, y) for x, y in ((0.15, 0.26), (0.18, 0.25), (0.20, 0.18))], ["inside", "outside", "inside"], 0),
    ("V43 cie-1931, monochromatic", lambda: [v for nm in (470, 525, 590, 625) for w, *xy in locus() if w == nm for v in xy], [0.1241, 0.0578, 0.1142, 0.8262, 0.5752, 0.4242, 0.7006, 0.2993], 1e-3),
    ("V44 mccamy-1992", lambda: temperature_k(x=0.31270, y=0.32900), 6505.08, 1.5e-6),
    ("V45 disability-glare", lambda: [disability_glare_cd_m2(illuminance_lx=1, angle_deg=5, age_years=age) for age in (70, 35)], [0.800, 0.425], 1e-4),
    ("V49 wac-204-21-130", lambda: [flasher(rate, headlamp=True) for rate in (60, 120, 130)], [True, True, False], 0),
    ("V51 Allard's law", lambda: illuminance_lx(intensity_cd=1000, distance_m=500, visibility_m=2000), 1.8915e-3, 1e-4),
    ("V52 lines of the EULUMDAT file", lambda: [26 + 6 + 10 + 144 + 91 + 37 * 91, len(file_of("luxpy", "luxpy_test_lid_file.ldt").read_text(encoding="latin-1").splitlines())], [3644, 3644], 0),
    ("V53 zones of bearings", lambda: [zone_of_bearing(b) for b in (0, 44.9, 45.1, 180, 270)], ["front", "front", "right", "rear", "left"], 0),
    ("V54 mean current", mean_current, 0.600, 1e-6),
    ("V55 nhtsa-flashers, rates averaged", lambda: rate_by_cycles_per_min([(160, 200), (160, 200), (160, 620)]), 136.8, 7e-4),
    ("V55 it fails 120", lambda: flasher(136.8, hazard=True), False, 0),
    ("V56 time averaged would pass", lambda: [3 * 60000 / 1500, flasher(120.0, hazard=True)], [120.0, True], 0),
    ("V57 by rate", lambda: rate_by_cycles_per_min([(200, 250), (200, 250), (200, 850)]), 107.9, 1e-3),
    ("V58 hazard flasher of 75, variable load", lambda: flasher(75, hazard=True), True, 0),
    ("V59 ccr-13-817, class A red at H,10", lambda: [least_share(name="A", colour="red", candela=lambda up, side, cd=cd: cd if (up, abs(side)) == (0, 10) else 1e6) >= 1 for cd in (300, 290)], [True, False], 0),  # type: ignore[misc, operator]
    ("V60 class B amber at H,10 as printed", lambda: {(up, side): cd for up, side, cd in points_of("B", "amber")}[0.0, 10.0], 190, 0),
    ("V61 colours by zone and mode", lambda: [colour_allowed(*c) for c in (("amber", "front", "calling"), ("white", "rear", "calling"), ("white", "left", "blocking"), ("red", "rear", "blocking"))], [False, False, False, True], 0),
    ("V64 stored planes of 24", lambda: [stored_planes(symmetry=s, planes=24) for s in range(5)], [24, 1, 13, 13, 7], 0),
    ("V65 expert consensus", lambda: [is_hazard(luminance_cd_m2=25, rate_hz=r, area_sr=0.006) for r in (3.0, 2.9)], [True, False], 0),
    ("V69 form factor by day and night", lambda: [form_factor(train(0.1), a_s=a) for a in (0.1, 0.2)], [500, 333.33333], 1e-6),
    ("V70 33 CFR 84.15", lambda: [navigation_intensity_cd(range_nmi=d) for d in range(1, 7)], [0.857, 4.29, 12.06, 26.80, 52.34, 94.21], 2e-3),
    ("V71 the same law inverted", lambda: navigation_threshold_lx(intensity_cd=94.21, range_nmi=6), 2.0e-7, 2e-3),
)  # fmt: skip
ELSEWHERE = {
    "V27": "tests/light/test_ground.py",
    "V28": "tests/light/test_illuminance.py",
    "V29": "tests/light/test_illuminance.py",
    "V30": "tests/light/test_illuminance.py",
    "V31": "tests/light/test_illuminance.py",
    "V46": "tests/light/test_markings.py",
    "V47": "tests/light/test_markings.py",
    "V48": "tests/light/test_markings.py",
    "V50": "tests/light/test_markings.py",
}
"""Vectors that stand in the tests of their own source file, which names them."""
REASONS = {
    "V66": "levels of the interior code stand in no rule pack",
    "V62": "a build does not say on what road its vehicle will stand; the manual's rule is for the crew",
    "V63": "as V62",
    "V67": "brake and stop lamps of the base vehicle are not in a build; a requirement line can say so",
    "V68": "required identification lamps of the base vehicle are not in a build; functions add lamps, and alter none",
}
"""Vectors that no figure of the program answers, and why."""


@pytest.mark.parametrize(
    ("found", "expected", "tolerance"), [row[1:] for row in CHECKS], ids=[row[0] for row in CHECKS]
)
def test_figure(found: Callable[[], Any], expected: Any, tolerance: float) -> None:
    value = found()
    if tolerance:
        assert value == pytest.approx(expected, rel=tolerance)
    else:
        assert value == expected


def test_every_vector_is_checked_or_has_its_reason() -> None:
    here = {row[0].split()[0] for row in CHECKS}
    assert here.isdisjoint(ELSEWHERE) and here.isdisjoint(REASONS) and set(ELSEWHERE).isdisjoint(REASONS)
    assert here | set(ELSEWHERE) | set(REASONS) == set(ALL)
    for vector, path in ELSEWHERE.items():
        assert vector in (ROOT / path).read_text(encoding="utf-8"), vector
    assert all(REASONS.values())
