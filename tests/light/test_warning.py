"""Warning by zone against every state of a small vehicle, one by one, with plain loops; and hand cases."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from rigbook.assess.assessment import decide_rig
from rigbook.documents.loader import load_build
from rigbook.light.engine import Light, work_out
from rigbook.light.flashes import flashing_of, seen_flashes_per_min, seen_pulses_per_min
from rigbook.light.outline import blocked, outline_of, start_of
from rigbook.light.sources import Source, directions_of
from rigbook.proofs.acts import Act, acts_of
from rigbook.proofs.brute import Table
from rigbook.proofs.enumeration import Smallest, smallest
from rigbook.proofs.reading import lost_sets
from rigbook.proofs.witness import witness_of
from rigbook.proofs.worst_brute import goes_on
from rigbook.rig.model import Rig

SHOP = Path(__file__).resolve().parents[2] / "src/rigbook/data/example_shop"
SMALL, VAN = "builds/duty-officer-utility.yaml", "builds/flood-support-van.yaml"
MIDDLES = {"front": 0, "right": 90, "rear": 180, "left": 270}


@cache
def worked(build: str) -> tuple[Rig, Light]:
    loaded = load_build(SHOP, Path(build))
    rig, errors = decide_rig(loaded)
    assert rig is not None, errors
    return rig, work_out(rig, loaded.light)


@dataclass
class Together:
    """Acts that go on together with these poses, the smallest state that does so, and whether one does with nothing lost."""

    acts: list[Act]
    turned: dict[object, bool]
    first: Smallest
    unlost: bool


@cache
def by_looking(mode: str) -> list[Together]:
    rig, _ = worked(SMALL)
    program = rig.program
    when = next(m.when for m in program.modes if m.id == mode)
    indexes = [i for i, d in enumerate(program.devices) if "warning" in d.tags and d.colours]
    acts = [act for i in indexes for act in acts_of(program, i) if act.timeline is not None]
    poses = list(dict.fromkeys(p.when for i in indexes for p in program.devices[i].poses if p.when is not None))
    found: dict[bytes, Together] = {}
    for lost in lost_sets(program):
        table = Table(program, lost)
        counts = table.truly(when)
        columns = np.array([*(goes_on(table, act) for act in acts), *(table.truly(p) for p in poses)])
        for pattern in np.unique(columns[:, counts], axis=1).T if counts.any() else ():
            first = smallest(table, counts & (columns == pattern[:, None]).all(axis=0))
            assert first is not None
            known = found.get(pattern.tobytes())
            if known is None:
                on = [act for act, is_on in zip(acts, pattern, strict=False) if is_on]
                turned = dict(zip(poses, map(bool, pattern[len(acts) :]), strict=True))
                found[pattern.tobytes()] = Together(on, turned, first, not lost)
            else:
                known.first, known.unlost = min(known.first, first), known.unlost or not lost
    return list(found.values())


def lit(rig: Rig, light: Light, together: Together) -> list[tuple[Source, Act]]:
    """Sources that shine, each in the pose that holds."""
    found = []
    for act in together.acts:
        device = rig.program.devices[act.device]
        pose = next((n + 1 for n, p in enumerate(device.poses) if p.when is not None and together.turned[p.when]), 0)
        found += [
            (s, act) for s in light.sources
            if s.device_id == device.id and s.colour == act.channel and s.pose == pose
        ]  # fmt: skip
    return found


def power(rig: Rig, shining: list[tuple[Source, Act]], level: str, bearing: float, elevation: float) -> float:
    prisms, total = outline_of(rig.vehicle), 0.0
    direction = directions_of(bearing, elevation)
    for source, act in shining:
        if level not in ("all", source.level):
            continue
        start = start_of(prisms, source.at_m, source.axes[0], behind_glass=source.passes_share < 1)
        if start is not None and not blocked(prisms, start, direction):
            assert act.timeline is not None
            total += flashing_of(act.timeline).cd_s_per_min(float(source.candela(direction)))
    return total


@pytest.mark.parametrize("mode", ["calling", "blocking"])
def test_every_row_is_what_looking_at_every_state_gives(mode: str) -> None:
    rig, light = worked(SMALL)
    every = by_looking(mode)
    assert len(every) > (2 if mode == "calling" else 1)
    rows = [row for row in light.result.warning or () if row.mode == mode]
    assert len(rows) == 12
    shining = [lit(rig, light, each) for each in every]
    for row in rows:
        bearings = [MIDDLES[row.zone] + d for d in range(-45, 46, 5)]
        flat = [[power(rig, s, row.level, b, 0) for b in bearings] for s in shining]
        sums = [sum(values) for values in flat]
        assert row.cd_s_per_min == pytest.approx(min(sums))
        assert row.point_cd_s_per_min == pytest.approx(min(map(min, flat)))
        raised = [power(rig, s, row.level, b, e) for s in shining for b in bearings for e in (5, -5)]
        assert row.raised_cd_s_per_min == pytest.approx(min(raised))
        unlost = [total for total, each in zip(sums, every, strict=True) if each.unlost]
        assert row.nothing_lost_cd_s_per_min == pytest.approx(min(unlost))
        best = min(
            each.first for total, each in zip(sums, every, strict=True) if total <= min(sums) * (1 + 1e-9) + 1e-9
        )
        assert row.witness == witness_of(rig.program, best[1], best[2])
        halves = [total - (values[0] + values[-1]) / 2 for total, values in zip(sums, flat, strict=True)]
        assert any(row.half_ends_cd_s_per_min == pytest.approx(h) for h in halves)


@pytest.mark.parametrize("mode", ["calling", "blocking"])
def test_rates_are_what_looking_at_every_state_gives(mode: str) -> None:
    rig, light = worked(SMALL)
    every = by_looking(mode)
    prisms = outline_of(rig.vehicle)
    clocks = {d.id: d.clock for d in rig.program.devices}
    for row in (r for r in light.result.warning or () if r.mode == mode):
        flashes, pulses = [], []
        for each in every:
            shining = [(s, a) for s, a in lit(rig, light, each) if row.level in ("all", s.level)]
            for bearing in range(MIDDLES[row.zone] - 45, MIDDLES[row.zone] + 46, 5):
                seen = []
                for source, act in shining:
                    start = start_of(prisms, source.at_m, source.axes[0], behind_glass=source.passes_share < 1)
                    way = directions_of(bearing, 0)
                    bright = source.candela(way) >= 0.1 * source.peak_cd
                    if bright and start is not None and not blocked(prisms, start, way):
                        seen.append((clocks[source.device_id], act.timeline))
                flashes.append(seen_flashes_per_min(seen))
                pulses.append(seen_pulses_per_min(seen))
        assert row.flashes_per_min == pytest.approx(min(flashes))
        assert row.pulses_per_min == pytest.approx(max(pulses))


def test_rows_of_the_complete_example() -> None:
    _rig, light = worked(VAN)
    rows = light.result.warning or ()
    assert [(r.mode, r.zone, r.level) for r in rows] == [
        (m, z, level) for m in ("calling", "blocking") for z in MIDDLES for level in ("upper", "lower", "all")
    ]
    for row in rows:
        assert row.cd_s_per_min >= 19 * row.point_cd_s_per_min - 1e-6
        assert row.half_ends_cd_s_per_min <= row.cd_s_per_min <= (row.nothing_lost_cd_s_per_min or 0) * (1 + 1e-9)
        assert row.pulses_per_min >= row.flashes_per_min
    for zone in MIDDLES:
        own = {r.level: r for r in rows if r.zone == zone and r.mode == "blocking"}
        assert own["all"].cd_s_per_min >= own["upper"].cd_s_per_min + own["lower"].cd_s_per_min - 1e-6
    by_id = {lamp.id: lamp for lamp in light.result.lamps or ()}
    assert by_id["windscreen.blue"].peak_cd == pytest.approx(
        0.75 * next(s for s in light.sources if s.id == "windscreen.blue").shape.peak_cd
    )
    assert all(lamp.effective_cd is None or 0 < lamp.effective_cd < lamp.peak_cd for lamp in by_id.values())


@pytest.mark.parametrize("build", [SMALL, VAN])
def test_where_combinations_are_too_many_the_darkest_give_the_same_sums(
    build: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    rig, whole = worked(build)
    monkeypatch.setattr("rigbook.light.behaviours.MOST_JOINTS", 1)
    light = work_out(rig, load_build(SHOP, Path(build)).light)
    assert [n.subject for n in light.result.notes if n.rule == "light-darkest-alone"] == ["calling", "blocking"]
    assert sum(len(m.found) for m in light.modes) <= sum(len(m.found) for m in whole.modes)
    for one, other in zip(light.result.warning or (), whole.result.warning or (), strict=True):
        for key in ("cd_s_per_min", "point_cd_s_per_min", "raised_cd_s_per_min", "nothing_lost_cd_s_per_min"):
            assert getattr(one, key) == pytest.approx(getattr(other, key), rel=1e-9, abs=1e-9), (one.id, key)
    around, known = light.result.around, whole.result.around
    assert around is not None and known is not None
    assert [m.gaps for m in around.modes] == [m.gaps for m in known.modes]
    monkeypatch.setattr("rigbook.light.behaviours.MOST_LEAST_JOINTS", 0)
    given_up = work_out(rig, load_build(SHOP, Path(build)).light)
    assert given_up.result.warning is None and given_up.result.around is None
    assert [n.subject for n in given_up.result.notes if n.rule == "light-not-worked-out"] == ["calling", "blocking"]


def test_equal_input_equal_result() -> None:
    rig, light = worked(SMALL)
    loaded = load_build(SHOP, Path(SMALL))
    assert work_out(rig, loaded.light).result == light.result
