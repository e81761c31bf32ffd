"""Single edits of the complete van that the body must notice: each an error or a finding, at the line that was changed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from rigbook.assess.assessment import begin, packs_of
from rigbook.body import work_out
from rigbook.documents.loader import load_build
from rigbook.rules.judge import judge
from rigbook.rules.measures import Results, registry

from .shop import SHOP

BUILD = "builds/flood-support-van.yaml"
VEHICLE = "vehicles/high-roof-van.yaml"
BODY = "parts/body.yaml"
WHEELS = "weighed: {state: laden, wheels: {front_left: 740 kg, front_right: 750 kg, rear_left: 890 kg, rear_right: 900 kg}, whole: 3280 kg}"


@dataclass(frozen=True)
class Planted:
    """One edit: what must be told (a rule, or words of an error), at a line that holds `at`."""

    id: str
    file: str
    was: str
    now: str
    told: str
    at: str


PLANTED = (
    Planted("centre of gravity behind the rear axle", BUILD, "{id: pump-and-hose, mass: 62 kg, at: [4.30 m, 0.10 m, 0.75 m]}", "{id: pump-and-hose, mass: 9000 kg, at: [5.30 m, 0.10 m, 0.75 m]}", "axle-lifts", "build:"),
    Planted("more than the gross rating", BUILD, "mass: 62 kg", "mass: 1500 kg", "gross-rating", "ratings"),
    Planted("more than the rear axle carries", BUILD, "mass: 62 kg", "mass: 1000 kg", "axle-rating", "ratings"),
    Planted("tyres too small", VEHICLE, "load_index: 120", "load_index: 95", "tyre-load", "tyres"),
    Planted("zero bolts", BUILD, "    bolts: [[3.42 m, -0.80 m, 0.60 m], [3.78 m, -0.80 m, 0.60 m], [3.42 m, -0.58 m, 0.60 m], [3.78 m, -0.58 m, 0.60 m]]", "    bolts: []", "holds nothing", "bolts"),
    Planted("two bolts in one place", BUILD, "[[3.42 m, -0.80 m, 0.60 m], [3.78 m, -0.80 m, 0.60 m],", "[[3.42 m, -0.80 m, 0.60 m], [3.42 m, -0.80 m, 0.60 m],", "two bolts stand in one place", "bolts"),
    Planted("bolts in one line", BUILD, "[[3.42 m, -0.80 m, 0.60 m], [3.78 m, -0.80 m, 0.60 m], [3.42 m, -0.58 m, 0.60 m], [3.78 m, -0.58 m, 0.60 m]]", "[[3.42 m, -0.80 m, 0.60 m], [3.78 m, -0.80 m, 0.60 m]]", "mount-in-line", "battery-tray"),
    Planted("sheet too thin for its load", BUILD, "    fastening: rivet-nut-hex\n    pull_out: 4 kN", "    fastening: rivet-nut-hex\n    pull_out: 0.3 kN", "mount-capacity", "cabinet-radio"),
    Planted("hole over the edge of the sheet", BUILD, "sheet: {thickness: 1.2 mm, edge: 20 mm}", "sheet: {thickness: 1.2 mm, edge: 3 mm, hole: 9 mm}", "over the edge of the sheet", "sheet"),
    Planted("rule of load factors that is not there", BUILD, "rule: any-direction", "rule: any-directions", "rule of load factors", "any-directions"),
    Planted("two joints hold one thing", BUILD, "    holds: [bar]", "    holds: [bar, cabinet-radio]", "hangs on cabinet-radio already", "holds"),
    Planted("heavy thing without a joint", BUILD, "holds: [cabinet-radio, shelf-radio,", "holds: [shelf-radio,", "heavy-without-mount", "cabinet-radio"),
    Planted("spring that cannot reach", BUILD, "springs: {part: gas-spring-120n, count: 2, body: auto, room: {out: [60 mm, 160 mm], up: [-320 mm, -220 mm]}}", "springs: {part: gas-spring-120n, count: 2, body: [400 mm, -900 mm], radius: 300 mm}", "spring-reach", "springs"),
    Planted("stud beyond the lid", BUILD, "count: 2, body: auto,", "count: 2, radius: 900 mm, body: auto,", "beyond the edge of the lid", "radius"),
    Planted("no room said for a stud left open", BUILD, "body: auto, room: {out: [60 mm, 160 mm], up: [-320 mm, -220 mm]}", "body: auto", "needs the room", "body"),
    Planted("lid that closes upward", BUILD, "    open: 85 deg", "    open: -5 deg", "opens upward", "open"),
    Planted("spring too weak for the board", BODY, "    force: 120 N", "    force: 6 N", "lid-stays-open", "map-table"),
    Planted("cut-out larger than its bezel", BODY, "    cut_out: [190 mm, 92 mm]", "    cut_out: [290 mm, 92 mm]", "larger than what covers it", "cut_out"),
    Planted("cut-out larger than the face", BUILD, "    size: [290 mm, 300 mm]", "    size: [150 mm, 300 mm]", "larger than the face", "cups"),
    Planted("cut-out over the edge", BUILD, "on: {panel: console-face, at: [145 mm, 178 mm], use: 9}", "on: {panel: console-face, at: [100 mm, 178 mm], use: 9}", "reaches over the edge", "panel-console"),
    Planted("cut-outs that overlap", BUILD, "on: {panel: cabinet-front, at: [450 mm, 850 mm]}", "on: {panel: cabinet-front, at: [450 mm, 650 mm]}", "face-overlap", "drawer"),
    Planted("cut-out near the edge", BUILD, "on: {panel: cabinet-front, at: [450 mm, 250 mm]}", "on: {panel: cabinet-front, at: [450 mm, 90 mm]}", "face-edge", "drawer-lower"),
    Planted("too deep for its face", BUILD, "    depth: 230 mm", "    depth: 120 mm", "face-depth", "pocket"),
    Planted("something stands behind the cut-out", BUILD, "at: [4.20 m, 0.50 m, 0.95 m]", "at: [4.20 m, 0.50 m, 1.10 m]", "face-depth", "drawer-middle"),
    Planted("out of reach", BUILD, "reach: {seat: driver, within: 0.75 m}\n    holds", "reach: {seat: driver, within: 0.45 m}\n    holds", "face-reach", "console"),
    Planted("drawer that meets the wall board", BUILD, "{of: drawer-middle, out: 400 mm}", "{of: drawer-middle, out: 1400 mm}", "swing-blocked", "drawer-middle"),
    Planted("radio behind a crate", BUILD, "holds: [radio-ops, radio-county, shelf-radio, modem]\n    access: [front, top]", "holds: [radio-ops, radio-county, shelf-radio, modem]\n    access: [bottom]", "reached-behind", "holds"),
    Planted("face on no cabinet", BUILD, "    host: cabinet-rear", "    host: cabinet-reer", "there is no installed console, cabinet or board", "cabinet-reer"),
    Planted("shelf that carries too much", BUILD, "spare: 8 kg", "spare: 80 kg", "shelf-rating", "shelf-radio"),
    Planted("too warm inside", BUILD, "limit: 70 C, note: Open top", "limit: 61 C, note: Open top", "too-warm-inside", "radio-cabinet"),
    Planted("enclosure without a way out for heat", BUILD, "faces: [front, top], fan: cabinet-fan, limit: 65 C", "faces: [], limit: 65 C", "heat has no way out", "faces"),
    Planted("weights that do not add up", BUILD, "# ---- what holds the heavy things", WHEELS.replace("whole: 3280 kg", "whole: 3480 kg") + "\n# ---- what holds the heavy things", "differ by more than", "whole"),
    Planted("scales far from arithmetic", BUILD, "# ---- what holds the heavy things", WHEELS.replace("rear_left: 890", "rear_left: 1290").replace("3280", "3680") + "\n# ---- what holds the heavy things", "weighing-residual", "weighed"),
    Planted("lifted axle that gains nothing", BUILD, "# ---- what holds the heavy things", WHEELS[:-1] + ", lifted: {axle: rear, rise: 600 mm, other: 1400 kg, radius_front: 340 mm, radius_rear: 340 mm}}\n# ---- what holds the heavy things", "gains when the other is lifted", "other"),
    Planted("in an air bag", BUILD, "{id: reminder, part: buzzer-85db, at: [0.90 m, -0.30 m, 1.00 m]", "{id: reminder, part: buzzer-85db, at: [1.90 m, -0.85 m, 1.50 m]", "keep-out", "reminder"),
)  # fmt: skip


@cache
def text_of(file: str) -> str:
    return (SHOP / file).read_text(encoding="utf-8")


def told_by(files: dict[str, bytes]) -> list[tuple[str, str, int]]:
    """Errors as (words, file, line), or findings of the body as (rule, file, line)."""
    begun = begin(load_build(SHOP, Path(BUILD), files))
    if begun.rig is None:
        return [(error.says, error.file, error.line) for error in begun.errors]
    packs, _ = packs_of(begun.loaded)
    body = work_out(begun.rig)
    found = judge(packs, Results(rig=begun.rig, body=body), registry(), "us")
    told = [(f.rule, f.file or "", f.line or 0) for f in found if f.severity != "note"]
    return told + [(n.rule, n.file, n.line) for n in body.notes if n.severity != "note"]


@cache
def good() -> frozenset[tuple[str, str, int]]:
    return frozenset(told_by({}))


def test_enough_is_planted_and_the_van_itself_is_sound() -> None:
    assert len(PLANTED) >= 20 and len({p.id for p in PLANTED}) == len(PLANTED)
    assert not {rule for rule, _, _ in good()} & {p.told for p in PLANTED}


@pytest.mark.parametrize("planted", PLANTED, ids=[p.id for p in PLANTED])
def test_each_is_told_where_it_stands(planted: Planted) -> None:
    text = text_of(planted.file)
    assert text.count(planted.was) >= 1, "the van no longer has what this edits"
    changed = text.replace(planted.was, planted.now, 1)
    told = told_by({planted.file: changed.encode()})
    hits = [hit for hit in told if planted.told in hit[0]]
    assert hits, told
    lines = {planted.file: changed.splitlines()}
    said = []
    for _, file, line in hits:
        here = lines.setdefault(file, text_of(file).splitlines())
        said.append("\n".join(here[line - 1 : line + 1]))
    assert any(planted.at in words for words in said), (hits, said)
