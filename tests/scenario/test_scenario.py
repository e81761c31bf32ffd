"""The example shop's data: consistent, used, in generic words; and its builds: sound ones sound, planted faults found."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

import pytest

from rigbook.documents.loader import Loaded
from rigbook.documents.schema.parts import ElectricBase, Lamp, Lightbar
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.rig.model import Rig
from rigbook.rules.findings import Finding
from tests.scenario.shop import COMPLETE, MIDDLE, PLANTED, SHOP, SMALL, SOUND, changed_once, judge, load_all, text

SIZES = {SMALL: (12, 20), MIDDLE: (35, 50), COMPLETE: (70, 200)}


@pytest.fixture(scope="module")
def shop() -> Loaded:
    loaded = load_all()
    assert not loaded.errors, loaded.errors
    return loaded


# --- the catalogue ------------------------------------------------------------------------------------


def test_sixty_parts_and_more_each_of_a_plausible_density(shop: Loaded) -> None:
    assert len(shop.parts) >= 60
    wrong = {}
    for name, part in shop.parts.items():
        density = part.mass / (part.size[0] * part.size[1] * part.size[2])
        if not 100.0 <= density <= 8000.0:
            wrong[name] = density
    assert not wrong


def nameplate_a(part: ElectricBase) -> float:
    """Highest entered draw of one part."""
    if isinstance(part, Lamp):
        currents = [colour.current for colour in part.colours.values()]
        return max(currents) if part.one_colour_at_a_time else sum(currents)
    return max([*part.draws.values(), *(state.draw for state in part.states)], default=0.0)


def test_watts_are_volts_times_amperes(shop: Loaded) -> None:
    looked_at = 0
    for name, part in shop.parts.items():
        if not isinstance(part, ElectricBase) or isinstance(part, Lightbar):
            continue
        expected = nameplate_a(part) * part.at
        assert part.power is not None or expected == 0.0, f"{name} states no watts"
        if part.power is not None:
            looked_at += 1
            assert part.power == pytest.approx(expected, rel=0.005, abs=0.05), name
    assert looked_at >= 60


def test_states_and_draws_of_a_part_say_the_same(shop: Loaded) -> None:
    looked_at = 0
    for name, part in shop.parts.items():
        if isinstance(part, ElectricBase) and part.states and part.draws:
            looked_at += 1
            assert {state.id: state.draw for state in part.states} == dict(part.draws), name
            assert part.rest in part.draws
    assert looked_at >= 5


def test_every_part_is_fitted_or_offered_as_a_substitute(shop: Loaded) -> None:
    used = {wire.part for wire in shop.shop.wires} if shop.shop else set()
    used |= {bank.part for vehicle in shop.vehicles.values() for bank in vehicle.batteries}
    for build in shop.builds.values():
        used |= {row.part for row in build.install} | {bank.part for bank in build.batteries}
        used |= {name for marking in build.markings for name in marking.parts}
    for name in list(used):
        part = shop.parts[name]
        used |= {module.part for module in getattr(part, "modules", ())}
        used |= {connector.part for connector in part.connectors if connector.part}
    used |= {part.terminal for name in used if getattr(part := shop.parts[name], "terminal", None)}
    # the harness sheet ends each wire with the terminal of its size
    stock = {wire.gauge for wire in shop.shop.wires} if shop.shop else set()
    used |= {
        name
        for name, part in shop.parts.items()
        if part.kind == "terminal" and any(part.gauges[0] <= gauge <= part.gauges[1] for gauge in stock)
    }
    offered = {other for name in used for other in shop.parts[name].substitutes}
    assert set(shop.parts) - used - offered == set()
    assert offered <= set(shop.parts)


def test_every_kind_that_flood_rescue_needs_is_there(shop: Loaded) -> None:
    kinds = Counter(part.kind for part in shop.parts.values())
    assert len(kinds) >= 38
    sealed = [name for name, part in shop.parts.items() if part.sealed and part.kind == "connector"]
    assert len(sealed) >= 2


NAMES_OF_OTHERS = (
    "ford", "chevrolet", "chevy", "dodge", "toyota", "mercedes", "sprinter", "transit", "volkswagen", "nissan",
    "honda", "fiat", "ducato", "tahoe", "explorer", "silverado", "motorola", "kenwood", "icom", "garmin", "cisco",
    "samsung", "apple", "panasonic", "bosch", "hella", "victron", "optima", "odyssey", "varta", "deutsch", "amphenol",
    "anderson", "molex", "blue sea", "humminbird", "raymarine", "getac", "dell", "sierra wireless",
)  # fmt: skip


def test_no_name_of_a_real_maker_stands_in_the_data() -> None:
    files = sorted(path for path in SHOP.rglob("*") if path.is_file())
    assert len(files) >= 14
    for path in files:
        words = path.read_text(encoding="utf-8").lower()
        found = [name for name in NAMES_OF_OTHERS if re.search(rf"\b{name}\b", words)]
        assert not found, (path, found)


def test_the_data_says_that_it_is_invented() -> None:
    for path in [*SHOP.rglob("*.yaml"), *SHOP.rglob("*.ies")]:
        words = path.read_text(encoding="utf-8").lower()
        assert "invented" in words or "example" in words, path


# --- the vehicles -------------------------------------------------------------------------------------


def test_three_vehicles_have_the_places_the_trade_uses(shop: Loaded) -> None:
    assert set(shop.vehicles) == {"compact-utility", "crew-cab-pickup", "high-roof-van"}
    every = {place.id for vehicle in shop.vehicles.values() for place in vehicle.places}
    for word in ("bumper", "mirror", "running-board", "window", "hatch-edge"):
        assert any(word in place for place in every), word
    for vehicle in shop.vehicles.values():
        assert "example data" in vehicle.title
        assert (
            vehicle.keep_out and vehicle.fuel and vehicle.wading_line and vehicle.impossible and vehicle.factory_lamps
        )
        assert {keep.why for keep in vehicle.keep_out} >= {"air bag", "camera"}
        assert any(place.open for place in vehicle.places), vehicle.id


def volume_around(vehicle: Vehicle, at: Sequence[float]) -> str | None:
    """The keep-out that a point lies in."""
    for keep in vehicle.keep_out:
        if all(min(a, b) <= p <= max(a, b) for p, a, b in zip(at, keep.box[0], keep.box[1], strict=True)):
            return keep.id
    return None


def test_no_place_lies_in_a_volume_to_keep_clear(shop: Loaded) -> None:
    places = [(vehicle, place) for vehicle in shop.vehicles.values() for place in vehicle.places]
    assert len(places) >= 100
    for vehicle, place in places:
        assert volume_around(vehicle, place.at) is None, (vehicle.id, place.id)


@pytest.mark.parametrize("build", SOUND)
def test_nothing_fitted_stands_in_a_volume_to_keep_clear(build: str) -> None:
    rig = judge(build).worked
    inside = {
        device.id: volume
        for device in rig.devices.values()
        if (
            volume := volume_around(
                rig.vehicle, (device.placement.at.x_m, device.placement.at.y_m, device.placement.at.z_m)
            )
        )
    }
    assert not inside


# --- the builds ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("build", SOUND)
def test_a_sound_build_has_no_fail(build: str) -> None:
    assessment = judge(build)
    assert not assessment.errors, assessment.errors
    assert [finding.id for finding in assessment.findings if finding.severity == "fail"] == []
    low, high = SIZES[build]
    assert assessment.loaded.build is not None
    assert low <= len(assessment.loaded.build.install) <= high


HONEST = {
    SMALL: set(),
    MIDDLE: {"added-mass-label@vehicle"},
    COMPLETE: {
        "lost-signal@Mind the shore plug",
        "added-mass-label@vehicle",
        "larkmoor-blue-behind@blocking.rear.blue",
    },
}


@pytest.mark.parametrize("build", SOUND)
def test_the_cautions_are_the_honest_ones(build: str) -> None:
    found = {finding.id for finding in judge(build).findings if finding.severity == "caution"}
    assert found >= HONEST[build]
    switching = ("never-on", "always-overridden", "dead-position", "dead-switch", "never-lit", "lost-signal")
    assert {each for each in found if each.startswith(switching)} == {
        each for each in HONEST[build] if each.startswith(switching)
    }


@pytest.mark.parametrize("build", SOUND)
def test_lengths_follow_from_the_routes(build: str) -> None:
    """Every run of a conductor passes runs of the vehicle, one after the other, and is as long as they are and little more."""
    rig = judge(build).worked
    runs: dict[frozenset[str], float] = {}
    for run in rig.vehicle.routes.runs:
        ends = frozenset(run.between)
        a, b = (rig.vehicle.routes.nodes[end] for end in run.between)
        straight_m = sum((p - q) ** 2 for p, q in zip(a, b, strict=True)) ** 0.5
        length_m = run.length if run.length is not None else straight_m
        runs[ends] = min(length_m, runs.get(ends, length_m))
    spare_m = 2 * rig.vehicle.reach + 2 * rig.shop.service_loop
    looked_at = 0
    for segment in rig.segments.values():
        if segment.role == "lead" or len(segment.route) < 2:
            continue
        looked_at += 1
        along_m = sum(runs[frozenset(pair)] for pair in pairwise(segment.route))
        assert along_m - 1e-9 <= segment.length_m <= along_m + spare_m + 1e-9, segment.id
    assert looked_at >= {SMALL: 10, MIDDLE: 40, COMPLETE: 80}[build]


def test_a_longer_run_lengthens_what_passes_it_and_nothing_else() -> None:
    """Metamorphic: half a metre on one run is half a metre on every conductor that passes it."""
    before = judge(SMALL).worked
    vehicle = text("vehicles/compact-utility.yaml")
    old = "{between: [dash-left, sill-left], area: cabin, length: 1.3 m}"
    assert vehicle.count(old) == 1
    after = judge(SMALL, {"vehicles/compact-utility.yaml": vehicle.replace(old, old.replace("1.3 m", "1.8 m"))}).worked
    passing = 0
    for name, segment in before.segments.items():
        ways = {frozenset(pair) for pair in pairwise(segment.route)}
        longer = 0.5 if frozenset(("dash-left", "sill-left")) in ways else 0.0
        passing += bool(longer)
        assert after.segments[name].route == segment.route
        assert after.segments[name].length_m == pytest.approx(segment.length_m + longer, abs=1e-9), name
    assert passing >= 3


# --- the planted faults --------------------------------------------------------------------------------


def planted() -> list[tuple[str, str, str]]:
    """(number, severity, finding id) of the notes of the fourth build."""
    rows = re.findall(r"^  (F\d\d) (fail|caution) (.+)$", text(PLANTED), flags=re.MULTILINE)
    return [(number, severity, finding) for number, severity, finding in rows]


def lines_of(number: str) -> set[int]:
    """Lines of the build that carry a fault's mark."""
    return {n for n, line in enumerate(text(PLANTED).splitlines(), start=1) if re.search(rf"# .*\b{number}\b", line)}


def at_its_place(finding: Finding, number: str, rig: Rig) -> bool:
    """Whether a finding points to the marked line, by its own place or in its words."""
    marked = lines_of(number)
    if finding.file == PLANTED and finding.line in marked:
        return True
    if finding.file == PLANTED and any(f"{PLANTED}:{line}" in finding.says for line in marked):
        return True
    ratings = rig.vehicle.where_of("ratings")
    return finding.file == ratings.file and finding.line == ratings.line and number in {"F22", "F23"}


def test_twenty_five_planted_faults_are_found_each_at_its_place_and_no_other_fail() -> None:
    rows = planted()
    assert len({number for number, _, _ in rows}) == 25
    assert all(len(lines_of(number)) == 1 for number, _, _ in rows)
    assessment = judge(PLANTED)
    assert not assessment.errors, assessment.errors
    found = {finding.id: finding for finding in assessment.findings}
    for number, severity, name in rows:
        assert name in found, f"{number} {name} is not found"
        assert found[name].severity == severity, number
        assert at_its_place(found[name], number, assessment.worked), (number, found[name].file, found[name].line)
    others = {f.id for f in assessment.findings if f.severity == "fail"} - {name for _, _, name in rows}
    assert not others


def test_every_finding_of_the_planted_build_says_what_to_do() -> None:
    for finding in judge(PLANTED).findings:
        assert finding.says.strip().endswith((".", "…")) or ":" in finding.says, finding.id


# --- ties the scenario asked for -------------------------------------------------------------------------


def test_wires_of_the_vehicle_end_on_controller_inputs() -> None:
    rig = judge(SMALL).worked
    assert rig.modules["control"].inputs_used == (1, 2, 3, 4)
    wrong = judge(SMALL, {SMALL: changed_once(text(SMALL), "    hatch: control.in2\n", "    gear: control.in2\n")})
    assert any("gear does not come by wire" in error.says for error in wrong.errors)
    unknown = judge(SMALL, {SMALL: changed_once(text(SMALL), "    hatch: control.in2\n", "    hutch: control.in2\n")})
    assert any("hutch" in error.says for error in unknown.errors)


def test_the_wire_of_a_feed_that_leads_to_its_rows_is_the_wire_of_their_run() -> None:
    rig = judge(COMPLETE).worked
    runs = [s for s in rig.segments.values() if "shore-charger:starter" in s.to_point and s.role == "feed"]
    assert runs and all(str(run.conductor.gauge) == "6 AWG" and run.conductor.how == "set" for run in runs)
