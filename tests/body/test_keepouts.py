"""Keep-outs and lines of sight against sampling of the boxes."""

from __future__ import annotations

import random

import pytest

from rigbook.body import keepouts, work_out
from rigbook.rig.model import Rig
from tests.rig.small import VEHICLE, build_text, worked


def car(boxes: str, at: str = "[2.5 m, 0 m, 0.7 m]", more: str = "") -> Rig:
    rows = f"  - {{id: box-1, part: plate, at: {at}, facing: 0 deg, inside: yes}}\n"
    return worked(build_text(install=rows), vehicle=VEHICLE + boxes + more)


def rules(rig: Rig) -> set[tuple[str, str, str]]:
    return {(n.rule, n.subject, n.severity) for n in work_out(rig).notes if n.rule != "balance-assumed"}


BAG = "  keep_out:\n    - {id: bag, why: air bag, box: [[2.60 m, -0.1 m, 0.6 m], [2.9 m, 0.1 m, 0.9 m]]}\n"


def test_inside_near_and_clear_of_an_air_bag() -> None:
    assert ("keep-out", "box-1-bag", "fail") in rules(car(BAG))
    assert ("air-bag-room", "box-1-bag", "caution") in rules(car(BAG, "[2.40 m, 0 m, 0.7 m]"))
    assert not any(subject == "box-1-bag" for _, subject, _ in rules(car(BAG, "[2.30 m, 0 m, 0.7 m]")))


def test_a_camera_or_radar_behind_it_goes_on_the_inspection_list() -> None:
    rig = car(BAG.replace("air bag", "radar"))
    assert ("keep-out", "box-1-bag", "caution") in rules(rig)
    assert ("bag", "box-1") in [(r.sensor, r.because_of) for r in work_out(rig).recalibrate]
    assert work_out(car(BAG)).recalibrate == ()


def test_a_line_of_sight_is_blocked_or_free() -> None:
    sight = "  sight_lines:\n    - {id: mirror, from: [1 m, 0 m, 0.7 m], to: [3.2 m, 0 m, 0.7 m]}\n"
    assert ("sight-line", "box-1-mirror", "caution") in rules(car(sight))
    assert not any(rule == "sight-line" for rule, _, _ in rules(car(sight, "[2.5 m, 0 m, 1.2 m]")))


def test_passing_agrees_with_walking_along_the_line() -> None:
    chance = random.Random(11)
    hits = 0
    for _ in range(300):
        box = tuple(sorted((chance.uniform(-1, 1), chance.uniform(-1, 1))) for _ in range(3))
        start, end = (tuple(chance.uniform(-2, 2) for _ in range(3)) for _ in range(2))
        steps = [tuple(a + (b - a) * k / 4000 for a, b in zip(start, end, strict=True)) for k in range(4001)]
        walked = any(all(lo < v < hi for (lo, hi), v in zip(box, p, strict=True)) for p in steps)
        found = keepouts.passes(box, start=start, end=end)  # type: ignore[arg-type]
        hits += walked
        assert found or not walked
        if found and not walked:  # only a graze shorter than a step may differ
            shrunk = tuple((lo + 2e-3, hi - 2e-3) for lo, hi in box)
            assert not keepouts.passes(shrunk, start=start, end=end)  # type: ignore[arg-type]
    assert 20 < hits < 280


@pytest.mark.parametrize(("facing", "half"), [(0, (0.15, 0.25)), (90, (0.25, 0.15)), (45, (0.2828, 0.2828))])
def test_a_box_turns_with_its_facing(facing: float, half: tuple[float, float]) -> None:
    rig = car("")
    device = rig.devices["box-1"]
    from dataclasses import replace

    device = replace(device, size_m=(0.3, 0.5, 0.2))
    box = keepouts.box_of(device, replace(device.placement.closed, facing_deg=float(facing)))
    assert (box[0][1] - 2.5, box[1][1]) == pytest.approx(half, abs=1e-3)
