"""Each rule about warning light that ships: a small build that breaks it, what the user reads, and a shop's own row."""

from __future__ import annotations

from pathlib import Path

import pytest
from syrupy.assertion import SnapshotAssertion

from rigbook.assess.assessment import Assessment, assess
from rigbook.assess.text import finding_lines
from rigbook.documents.loader import load_build

from .shipped import SHOP, pack_rows

BUILD, VAN, PARTS, HOUSE = "builds/small.yaml", "vehicles/van.yaml", "parts/all.yaml", "shop.yaml"
Change = tuple[str, str, str]


def shining(blue: str = "3000 cd", white: str = "3000 cd", more: str = "") -> list[Change]:
    """Both colours of the lamp with a peak and a beam."""
    return [
        (PARTS, "blue: {current: 1.0 A}", f"blue: {{current: 1.0 A, candela: {blue}, beam: [60 deg, 20 deg]{more}}}"),
        (PARTS, "white: {current: 1.0 A}", f"white: {{current: 1.0 A, candela: {white}, beam: [60 deg, 20 deg]}}"),
    ]


def recoloured(colour: str, candela: str = "3000 cd") -> list[Change]:
    """The lamps' white as another colour."""
    return [
        (PARTS, "blue: {current: 1.0 A}", "blue: {current: 1.0 A, candela: 3000 cd, beam: [60 deg, 20 deg]}"),
        (PARTS, "white: {current: 1.0 A}", f"{colour}: {{current: 1.0 A, candela: {candela}, beam: [60 deg, 20 deg]}}"),
        (BUILD, "blue: control.1, white: control.2", f"blue: control.1, {colour}: control.2"),
        (BUILD, "blue: control.3, white: control.4", f"blue: control.3, {colour}: control.4"),
        (BUILD, "white: {pattern", f"{colour}: {{pattern"),
    ]


def flashing(*times: int) -> list[Change]:
    return [(HOUSE, "single: [400, 400]", f"single: {list(times)}")]


def fitted(rows: str) -> list[Change]:
    return [(BUILD, "  - {id: control, part", f"{rows}  - {{id: control, part")]


def tagged(tag: str) -> list[Change]:
    return [(BUILD, "{id: nose-lamp, part: lamp, place: nose, tags: [warning]", f"{{id: nose-lamp, part: lamp, place: nose, tags: [warning, {tag}]")]  # fmt: skip


def flood(at: str, facing: int, tilt: int) -> list[Change]:
    row = f"  - {{id: flood, part: lamp, at: {at}, facing: {facing} deg, tilt: {tilt} deg, tags: [scene], node: rear, outputs: auto, ground: stud-rear}}\n"
    return fitted(row)


def factory(tag: str, times: str) -> list[Change]:
    lamp = f"  factory_lamps:\n    - {{id: own-lamp, at: [-0.9 m, 0.6 m, 0.8 m], facing: 0 deg, colour: white, current: 4 A, commanded_when: engine_running, tags: [{tag}]}}\n"
    show = "    - name: Flasher\n      rank: warning\n      when: warn\n      show:\n        - {lamps: own-lamp, colour: white, pattern: own}\n  modes:\n"
    return [
        (VAN, "  areas:\n", f"{lamp}  areas:\n"),
        (BUILD, "  modes:\n", show),
        (HOUSE, "single: [400, 400]", f"single: [400, 400]\n    own: {times}"),
    ]


BOARD = "  - {id: board, part: lamp, along: {from: [3.9 m, -0.5 m, 2 m], to: [3.9 m, 0.5 m, 2 m], count: 2}, facing: 180 deg, tags: [arrow-board-a], node: rear, outputs: auto, ground: stud-rear}\n"
ARROW = [(BUILD, "  modes:\n", "    - name: Arrow\n      rank: warning\n      when: warn\n      show:\n        - {lamps: board, colour: white, pattern: own}\n  modes:\n")]  # fmt: skip


def arrow(times: str) -> list[Change]:
    return [*shining(), *fitted(BOARD), *ARROW, (HOUSE, "single: [400, 400]", f"single: [400, 400]\n    own: {times}")]


THREE = "".join(f"  - {{id: more-{n}, part: lamp, at: [-0.9 m, 0.{n} m, 1.2 m], facing: 0 deg, level: upper, tags: [warning], node: front, outputs: auto, ground: stud-front}}\n" for n in (1, 3, 5))  # fmt: skip
BREAKS: dict[str, dict[str, list[Change]]] = {
    "optical-warning": {
        "fire-optical-total": shining(),
        "fire-optical-point": shining(),
        "fire-optical-raised": shining(),
        "fire-flash-rate-lamp": [*shining(), *flashing(500, 500)],
        "fire-flash-rate-point": shining(),
        "fire-amber-ahead": recoloured("amber"),
        "fire-white-behind": shining(),
        "fire-white-blocking": shining(),
        "fire-other-colour": recoloured("green"),
    },
    "ambulance-optical": {
        "ambulance-rate-least": [*shining(), *flashing(500, 500)],
        "ambulance-rate-most": [*shining(), *flashing(200, 200)],
        "ambulance-flood-height": [*shining(), *flood("[2 m, 1 m, 1.5 m]", 90, -15)],
        "ambulance-flood-down-least": [*shining(), *flood("[2 m, 1 m, 2 m]", 90, -5)],
        "ambulance-flood-down-most": [*shining(), *flood("[2 m, 1 m, 2 m]", 270, -25)],
        "ambulance-flood-peak": [*shining(white="500 cd"), *flood("[2 m, 1 m, 2 m]", 90, -15)],
        "ambulance-loading-peak": [*shining(white="400 cd"), *flood("[4 m, 0 m, 2 m]", 180, -15)],
    },
    "un-r65": {
        "r65-frequency-least": shining(),
        "r65-frequency-most": [*shining(), *flashing(100, 100)],
        "r65-on-time": shining(),
        "r65-off-time": [*shining(), *flashing(200, 80)],
        "r65-intensity-least": shining(blue="100 cd"),
        "r65-intensity-most": shining(),
        "r65-colour": shining(),
    },
    "state-texts": {
        "wa-headlamp-flasher-least": [*shining(), *factory("headlamp", "[1000, 1000]")],
        "wa-headlamp-flasher-most": [*shining(), *factory("headlamp", "[200, 200]")],
        "hazard-flasher-least": [*shining(), *factory("hazard", "[1000, 1000]")],
        "hazard-flasher-most": [*shining(), *factory("hazard", "[160, 200, 160, 200, 160, 620]")],
        "ca-white-ahead": [*shining(), *fitted(THREE)],
        "ca-blue": shining(),
        "mo-red-ahead": recoloured("red"),
        "ca-817-class-a": [*recoloured("red", "200 cd"), *tagged("class-a")],
        "ca-817-class-b": [*shining(blue="40 cd"), *tagged("class-b")],
        "ca-817-class-c": [*shining(blue="40 cd"), *tagged("class-c")],
        "ca-817-class-d": [*recoloured("red", "20 cd"), *tagged("class-d")],
    },
    "arrow-board": {
        "arrow-rate-least": arrow("[2000, 2000]"),
        "arrow-rate-most": arrow("[500, 500]"),
        "arrow-on-time": arrow("[900, 1100]"),
        "arrow-elements": arrow("[1000, 1000]"),
        "arrow-width": arrow("[1000, 1000]"),
    },
    "photosensitive": {"pulses-seen": [*shining(), *flashing(100, 100)]},
    "signal-colours": {
        "colour-federal": shining(more=", chromaticity: [0.18, 0.25]"),
        "colour-vertices": shining(more=", chromaticity: [0.1297, 0.0555]"),
        "colour-ambulance-red": [(c[0], c[1], c[2].replace("[60 deg, 20 deg]}", "[60 deg, 20 deg], chromaticity: [0.6945, 0.3054]}")) if "red:" in c[2] else c for c in recoloured("red")],
    },
}  # fmt: skip
EVERY = [(pack, rule) for pack, rules in BREAKS.items() for rule in rules]


def assessed(changes: list[Change], pack: str, **more: str) -> Assessment:
    texts = {name: (SHOP / name).read_text() for name in (BUILD, VAN, PARTS, HOUSE)}
    for name, old, new in [*changes, (HOUSE, "rules: [wiring, altered-vehicle]", f"rules: [{pack}]")]:
        assert texts[name].count(old) == 1, (name, old, texts[name].count(old))
        texts[name] = texts[name].replace(old, new)
    texts |= {name.replace("__", "/") + ".yaml": text for name, text in more.items()}
    return assess(load_build(SHOP, Path(BUILD), {name: text.encode() for name, text in texts.items()}))


@pytest.mark.parametrize("pack", list(BREAKS))
def test_every_row_of_the_pack_is_broken_here(pack: str) -> None:
    assert {row.id for row in pack_rows(pack)} == set(BREAKS[pack])


@pytest.mark.parametrize(("pack", "rule"), EVERY, ids=[rule for _, rule in EVERY])
def test_what_the_user_reads(pack: str, rule: str, snapshot: SnapshotAssertion) -> None:
    assessment = assessed(BREAKS[pack][rule], pack)
    assert assessment.errors == ()
    found = [f for f in assessment.findings if f.rule == rule]
    assert found, [f.id for f in assessment.findings]
    assert not any(f.own_fault for f in assessment.findings)
    assert "\n".join(line for f in found[:3] for line in finding_lines(f)) == snapshot


def test_what_is_from_memory_prints_so() -> None:
    found = [f for f in assessed(shining(), "optical-warning").findings if f.rule == "fire-optical-total"]
    assert found and all(f.sourced == "memory" and "memory" in "\n".join(finding_lines(f)) for f in found)


CORRECTION = """rigbook: 1
pack: {{id: our-figures, title: Our own reading, corrects: {pack}}}
rules:
  - {{id: {rule}, measure: zone_optical_power, per: zone, limit: {{at_least: 5 cd s/min}}, severity: caution,
     source: our-copy, sourced: published, says: "{{value}} below {{limit}}", remedy: Look.}}
"""


def test_a_shop_corrects_a_row_in_one_place() -> None:
    assert any(f.rule == "fire-optical-total" for f in assessed(shining(), "optical-warning").findings)
    own = CORRECTION.format(pack="optical-warning", rule="fire-optical-total")
    corrected = assessed(shining(), "optical-warning", rules__own=own)
    assert corrected.errors == ()
    own_findings = [f for f in corrected.findings if f.rule == "fire-optical-total"]
    assert own_findings and {(f.limit, f.severity, f.sourced) for f in own_findings} == {(5.0, "caution", "published")}
    assert any(f.rule == "fire-optical-point" for f in corrected.findings)
    assert corrected.light is not None
    assert {row.required for row in corrected.light.result.warning or ()} == {5.0}
    assert corrected.worked.digest != assessed(shining(), "optical-warning").worked.digest


@pytest.mark.parametrize(
    ("pack", "rule", "found", "nearest"),
    [
        ("optical-warnign", "fire-optical-total", "optical-warnign", "optical-warning"),
        ("our-figures", "fire-optical-total", "our-figures", ""),
        ("optical-warning", "fire-optical-totl", "fire-optical-totl", "fire-optical-total"),
    ],
)
def test_a_correction_of_nothing_is_an_error_with_its_place(pack: str, rule: str, found: str, nearest: str) -> None:
    errors = assessed(shining(), "optical-warning", rules__own=CORRECTION.format(pack=pack, rule=rule)).errors
    assert [(e.found, e.nearest) for e in errors if not nearest or e.nearest] == [(found, nearest)]
    assert errors[0].file == "rules/own.yaml" and errors[0].line in (2, 4) and errors[0].column > 1


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("limit: {at_least: 5 cd s/min}, cases: [{when: level == all, at_least: 5 cd s/min}]", "a limit or cases"),
        (
            "cases: [{when: level == all, at_least: 5 cd s/min}, {when: level == upper, at_most: 5 cd s/min}]",
            "limit both ways",
        ),
        ("cases: [{when: level == all, at_least: 5 cd s/min, at_most: 6 cd s/min}]", "one of the two"),
        ("cases: [{when: level == al, at_least: 5 cd s/min}]", "level is never al"),
        ("cases: [{when: level == all, at_least: 5 lm}]", "lm"),
        ("severity: note", "a limit or cases"),
    ],
)
def test_cases_that_are_wrong(row: str, says: str) -> None:
    text = "rigbook: 1\npack: {id: own, title: Own}\nrules:\n  - {id: a, measure: zone_optical_power, per: zone, " + row
    text += ", sourced: published, says: x, remedy: y" + ("" if "severity" in row else ", severity: note") + "}\n"
    errors = assessed(shining(), "own", rules__own=text).errors
    assert errors and errors[0].file == "rules/own.yaml" and errors[0].line == 4
    assert says in f"{errors[0].says} {errors[0].found}"
