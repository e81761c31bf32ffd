"""Each rule that ships: a small build that breaks it, and exactly what the user reads."""

from __future__ import annotations

from pathlib import Path

import pytest
from syrupy.assertion import SnapshotAssertion

from rigbook.assess.assessment import Assessment, assess
from rigbook.assess.text import finding_lines
from rigbook.documents.loader import load_build

from .test_rules_day import OF_DAY
from .test_rules_scene import OF_PLACES

SHOP = Path(__file__).parent / "shop"
OF_LIGHT = (
    "optical-warning", "ambulance-optical", "un-r65", "state-texts", "arrow-board", "photosensitive", "signal-colours",
)  # fmt: skip
"""Packs whose rows are broken in `test_rules_light`."""
LOCAL = Path(__file__).parents[2] / "src" / "rigbook" / "data" / "example_shop" / "rules" / "larkmoor-local.yaml"
BUILD, VAN, PARTS, HOUSE = "builds/small.yaml", "vehicles/van.yaml", "parts/all.yaml", "shop.yaml"
Change = tuple[str, str, str]
LONG = (VAN, "length: 3 m}", "length: 14 m}")
LOCAL_RULES = (HOUSE, "rules: [wiring, altered-vehicle]", "rules: [larkmoor-local]")


SPRING = "  - {{id: strut, kind: gas-spring, title: Spring, mass: 0.3 kg, size: [18 mm, 18 mm, 420 mm], force: {force} N, stroke: 200 mm}}\n  - id: lamp\n"
LID = (
    BUILD,
    "persons:\n",
    "lids:\n  - {id: hatch, board: nose-lamp, mass: 20 kg, length: 0.8 m, centre: 0.4 m, closed: 0 deg, open: 90 deg, springs: {part: strut, body: [0.10 m, -0.25 m], radius: 0.30 m}}\npersons:\n",
)


def recoloured(colour: str) -> list[Change]:
    """The lamps' white as another colour."""
    return [
        (PARTS, "white: {current: 1.0 A}", f"{colour}: {{current: 1.0 A}}"),
        (BUILD, "white: control.2", f"{colour}: control.2"),
        (BUILD, "white: control.4", f"{colour}: control.4"),
        (BUILD, "white: {pattern", f"{colour}: {{pattern"),
    ]


BREAKS: dict[str, list[Change]] = {
    "drop-critical": [
        (BUILD, "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 10 AWG}",
         "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 18 AWG, drop: critical}"),
        (BUILD, "at: [3 m, 0.3 m, 0.9 m], node: rear, feed: heat-feed", "at: [0.5 m, 0.3 m, 0.9 m], node: front, feed: heat-feed"),
    ],
    "drop-ordinary": [
        LONG,
        (BUILD, "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 10 AWG}", "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 18 AWG}"),
        (BUILD, "at: [3 m, 0.3 m, 0.9 m], node: rear, feed: heat-feed, ground: stud-rear",
         "at: [0.5 m, 0.3 m, 0.9 m], node: front, feed: heat-feed, ground: stud-front"),
    ],
    "voltage-window": [(PARTS, "works: [10 V, 16 V]", "works: [13.55 V, 16 V]")],
    "fuse-above-practice": [
        (BUILD, "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 10 AWG}", "{id: heat-feed, from: fuses.2, fuse: 15 A, wire: 18 AWG}")
    ],
    "fuse-above-ampacity": [
        (BUILD, "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 10 AWG}", "{id: heat-feed, from: fuses.2, fuse: 40 A, wire: 18 AWG}")
    ],
    "load-above-fuse-share": [(PARTS, "draws: {running: 8 A}", "draws: {running: 8.5 A}")],
    "no-protection": [(BUILD, "node: rear, feed: control-feed, ground", "node: rear, ground")],
    "link-end-unprotected": [
        (BUILD, "fuse: {start: 80 A, end: 80 A}, wire: 2 AWG", "fuse: {start: 80 A, end: 60 A}, wire: 10 AWG")
    ],
    "link-fuse-above-ampacity": [
        (BUILD, "fuse: {start: 80 A, end: 80 A}, wire: 2 AWG", "fuse: {start: 80 A, end: 80 A}, wire: 6 AWG")
    ],
    "short-not-cleared": [
        (PARTS, "capacity: 70 Ah}", "capacity: 70 Ah, resistance: 3 mohm}"),
        (BUILD, "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 10 AWG}", "{id: heat-feed, from: fuses.2, fuse: 200 A, wire: 18 AWG}"),
    ],
    "interrupting-rating": [(PARTS, "capacity: 70 Ah}", "capacity: 70 Ah, resistance: 3 mohm}")],
    "fuse-far-from-source": [
        (BUILD, "{id: main, from: battery.second, to: fuses, fuse: 60 A, wire: 2 AWG}", "{id: main, from: battery.second, to: fuses, fuse: 60 A, fuse_after: 20 in, wire: 2 AWG}")
    ],
    "fuse-far-enclosed": [
        (BUILD, "{id: main, from: battery.second, to: fuses, fuse: 60 A, wire: 2 AWG}", "{id: main, from: battery.second, to: fuses, fuse: 60 A, fuse_after: 45 in, enclosed: yes, wire: 2 AWG}")
    ],
    "charger-lead": [
        (PARTS, "  - id: lamp\n", "  - {id: filler, kind: charger, title: Charger, mass: 1 kg, size: [0.1 m, 0.1 m, 0.1 m], output: 30 A}\n  - id: lamp\n"),
        (BUILD, "  - {id: nose-lamp,", "  - {id: filler-1, part: filler, at: [3 m, 0.2 m, 0.9 m], node: rear, feed: fill-feed, ground: stud-rear}\n  - {id: nose-lamp,"),
        (BUILD, "  - {id: heat-feed,", "  - {id: fill-feed, from: battery.second, fuse: 20 A, wire: 18 AWG}\n  - {id: heat-feed,"),
    ],
    "lead-above-practice": [
        (PARTS, "draws: {running: 8 A}", "draws: {running: 8 A}\n    leads: [{name: power, colour: red, gauge: 20 AWG, length: 0.2 m, for: power}]"),
    ],
    "both-may-open": [
        (PARTS, "capacity: 70 Ah}", "capacity: 70 Ah, resistance: 3 mohm}"),
        (BUILD, "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 10 AWG}", "{id: heat-feed, from: fuses.2, fuse: 35 A, wire: 10 AWG}"),
    ],
    "both-may-open-far": [
        (PARTS, "capacity: 70 Ah}", "capacity: 70 Ah, resistance: 3 mohm}"),
        (BUILD, "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 10 AWG}", "{id: heat-feed, from: fuses.2, fuse: 60 A, wire: 10 AWG}"),
    ],
    "inrush-eats-fuse": [(PARTS, "draws: {running: 8 A}", "draws: {running: 8 A}\n    inrush: {times: 8, for: 20 ms}")],
    "fuse-selectivity": [
        (BUILD, "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 10 AWG}", "{id: heat-feed, from: fuses.2, fuse: 35 A, wire: 10 AWG}")
    ],
    "breaker-type": [
        (PARTS, "  - id: lamp\n", "  - {id: trip, kind: breaker, title: Breaker, mass: 0.1 kg, size: [50 mm, 50 mm, 50 mm], rating: 20 A, type: I}\n  - id: lamp\n"),
        (BUILD, "  - {id: join, part: isolator", "  - {id: trip-1, part: trip, at: [3 m, 0.2 m, 0.9 m], node: rear}\n  - {id: join, part: isolator"),
    ],
    "ampacity": [
        (PARTS, "draws: {running: 8 A}", "draws: {running: 27 A}"),
        (BUILD, "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 10 AWG}", "{id: heat-feed, from: fuses.2, fuse: 40 A, wire: 18 AWG}"),
    ],
    "feed-ampacity": [
        (PARTS, "draws: {running: 8 A}", "draws: {running: 70 A}"),
        (BUILD, "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 10 AWG}", "{id: heat-feed, from: fuses.2, fuse: 100 A, wire: 2 AWG}"),
        (BUILD, "{id: main, from: battery.second, to: fuses, fuse: 60 A, wire: 2 AWG}",
         "{id: main, from: battery.second, to: fuses, fuse: 60 A, wire: 10 AWG}"),
    ],
    "thin-wire": [
        (BUILD, "{id: heat-feed, from: fuses.2, fuse: 10 A, wire: 10 AWG}", "{id: heat-feed, from: fuses.2, fuse: 5 A, wire: 20 AWG}"),
        (PARTS, "draws: {running: 8 A}", "draws: {running: 1 A}"),
        (HOUSE, "    - {part: wire-18,", "    - {part: wire-20, gauge: 20 AWG, insulation: 125 C, colours: [red]}\n    - {part: wire-18,"),
    ],
    "bundle-through-hole": [(VAN, "area: cabin, length: 3 m}", "area: cabin, length: 3 m, hole: 8 mm}")],
    "hole-fill": [(VAN, "area: cabin, length: 3 m}", "area: cabin, length: 3 m, hole: 13 mm}")],
    "output-limit": [(PARTS, "blue: {current: 1.0 A}", "blue: {current: 10.5 A}")],
    "bank-limit": [(PARTS, "limit: 40 A, id: main", "limit: 1.9 A, id: main")],
    "output-reserve": [(PARTS, "outputs: {count: 8,", "outputs: {count: 5,"), (PARTS, "outputs: 1-8", "outputs: 1-5")],
    "block-reserve": [(PARTS, "positions: 8", "positions: 2")],
    "block-limit": [(PARTS, "positions: 8, limit: 100 A", "positions: 8, limit: 10 A")],
    "idle-margin": [(VAN, "hot: [[1800, 60 A]", "hot: [[1800, 40 A]")],
    "running-margin": [(VAN, "[6000, 140 A]], cold", "[6000, 64 A]], cold"), (PARTS, "draws: {running: 8 A}", "draws: {running: 40 A}"),
                       (BUILD, "fuse: 10 A, wire: 10 AWG", "fuse: 60 A, wire: 2 AWG"), (BUILD, "rpm: 700", "rpm: 1200")],
    "alternator-limit": [(VAN, "hot: [[1800, 60 A], [6000, 140 A]]", "hot: [[1800, 40 A], [6000, 50 A]]")],
    "ground-on-sensor": [(VAN, "stud-front, at: [0.5 m, -0.5 m, 0.9 m]", "stud-front, at: [0.1 m, -0.5 m, 0.9 m]")],
    "axle-rating": [(VAN, "gawr_rear: 2100 kg", "gawr_rear: 1050 kg")],
    "axle-rating-any-loading": [
        (VAN, "gawr_front: 1700 kg", "gawr_front: 1250 kg"),
        (BUILD, "persons:\n", "kit:\n  - {id: boat, mass: 200 kg, at: [5 m, 0 m, 1 m]}\npersons:\n"),
    ],
    "mount-capacity": [(BUILD, "persons:\n", "mounts:\n  - {id: shelf, holds: [nose-lamp], bolts: [[0 m, 0 m, 1 m], [0.1 m, 0 m, 1 m], [0.1 m, 0.1 m, 1 m]], bolt: M4, fastening: rivet-nut-round, pull_out: 0.1 N, sheet: {thickness: 1 mm, edge: 12 mm}}\npersons:\n")],
    "tyre-load": [(VAN, "load_index: 115", "load_index: 87")],
    "front-axle-share": [(VAN, "front: 1200 kg, rear: 1000 kg, left: 1100 kg", "front: 300 kg, rear: 1900 kg, left: 1100 kg")],
    "axle-side-balance": [(BUILD, "persons:\n", "weighed: {state: laden, wheels: {front_left: 700 kg, front_right: 600 kg, rear_left: 560 kg, rear_right: 560 kg}}\npersons:\n")],
    "weighing-residual": [(BUILD, "persons:\n", "weighed: {state: laden, axles: {front: 1400 kg, rear: 1300 kg}}\npersons:\n")],
    "lid-stays-open": [(PARTS, "  - id: lamp\n", SPRING.format(force=60)), (LID[0], LID[1], LID[2].replace("open: 90", "open: 60"))],
    "lid-stays-closed": [(PARTS, "  - id: lamp\n", SPRING.format(force=400)), LID],
    "lid-hand": [(PARTS, "  - id: lamp\n", SPRING.format(force=2000)), LID],
    "too-warm-inside": [
        (PARTS, "  - id: lamp\n", "  - {id: case, kind: cabinet, title: Case, mass: 3 kg, size: [0.3 m, 0.3 m, 0.3 m]}\n  - id: lamp\n"),
        (BUILD, "  - {id: nose-lamp,", "  - {id: case-1, part: case, at: [3 m, 0 m, 0.9 m]}\n  - {id: nose-lamp,"),
        (BUILD, "persons:\n", "enclosures:\n  - {id: inside, cabinet: case-1, holds: [nose-lamp], limit: 70 C}\npersons:\n"),
    ],
    "shelf-rating": [
        (PARTS, "  - id: lamp\n", "  - {id: plank, kind: shelf, title: Shelf, mass: 2 kg, size: [0.3 m, 0.6 m, 20 mm], rating: 15 kg}\n  - id: lamp\n"),
        (BUILD, "  - {id: nose-lamp,", "  - {id: plank-1, part: plank, at: [3 m, 0 m, 0.9 m]}\n  - {id: nose-lamp,"),
        (BUILD, "persons:\n", "shelves:\n  - {id: plank, of: plank-1, spare: 20 kg}\npersons:\n"),
    ],
    "shelf-sag": [
        (PARTS, "  - id: lamp\n", "  - {id: plank, kind: shelf, title: Shelf, mass: 2 kg, size: [0.3 m, 0.6 m, 20 mm], rating: 15 kg}\n  - id: lamp\n"),
        (BUILD, "  - {id: nose-lamp,", "  - {id: plank-1, part: plank, at: [3 m, 0 m, 0.9 m]}\n  - {id: nose-lamp,"),
        (BUILD, "persons:\n", "shelves:\n  - {id: plank, of: plank-1, spare: 14 kg, sheet: {thickness: 2 mm}}\npersons:\n"),
    ],
    "gross-rating": [(VAN, "gvwr: 3500 kg", "gvwr: 2300 kg")],
    "person-allowance": [(VAN, "gvwr: 3500 kg", "gvwr: 2360 kg"), (BUILD, "  - {seat: passenger}\n", "")],
    "side-balance": [(VAN, "left: 1100 kg", "left: 1000 kg")],
    "added-mass-label": [(PARTS, "title: Heater\n    mass: 2 kg", "title: Heater\n    mass: 60 kg")],
    "unsealed-in-water": [(VAN, "reach: 2 m", "reach: 2 m\n  wading_line: 0.79 m")],
    "larkmoor-no-red-ahead": [LOCAL_RULES, *recoloured("red")],
    "larkmoor-green-stands-still": [LOCAL_RULES, *recoloured("green")],
    "larkmoor-blue-ahead": [LOCAL_RULES, (BUILD, "      when: warn\n", "      when: warn and gear == park\n")],
    "larkmoor-blue-behind": [LOCAL_RULES, (BUILD, "      when: warn\n", "      when: warn and gear == drive\n")],
}  # fmt: skip


def assessed(changes: list[Change]) -> Assessment:
    texts = {name: (SHOP / name).read_text() for name in (BUILD, VAN, PARTS, HOUSE)}
    texts["rules/larkmoor-local.yaml"] = LOCAL.read_text()
    for name, old, new in changes:
        assert texts[name].count(old) == 1, (name, old, texts[name].count(old))
        texts[name] = texts[name].replace(old, new)
    return assess(load_build(SHOP, Path(BUILD), {name: text.encode() for name, text in texts.items()}))


def test_the_unchanged_build_breaks_no_rule() -> None:
    assessment = assessed([])
    assert assessment.errors == ()
    assert [f.id for f in assessment.findings if f.rule in BREAKS] == []


def test_every_row_that_ships_or_stands_in_the_example_is_broken_here() -> None:
    loaded = load_build(SHOP, Path(BUILD), {"rules/larkmoor-local.yaml": LOCAL.read_bytes()})
    rows = {row.id for name, pack in loaded.packs.items() if name not in OF_LIGHT for row in pack.rules}
    assert rows - set(OF_DAY) - set(OF_PLACES) == set(BREAKS)


@pytest.mark.parametrize("rule", list(BREAKS))
def test_what_the_user_reads(rule: str, snapshot: SnapshotAssertion) -> None:
    assessment = assessed(BREAKS[rule])
    assert assessment.errors == ()
    found = [f for f in assessment.findings if f.rule == rule]
    assert found, [f.id for f in assessment.findings]
    assert not any(f.own_fault for f in assessment.findings)
    assert "\n".join(line for f in found for line in finding_lines(f)) == snapshot
