"""Aims against every combination there is on small grids; fewest lamps against every subset."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from rigbook.documents.schema.lighting import SceneArea
from rigbook.light.aiming import Aimer, CannotAim, Need, aim, aims_of, fewest
from rigbook.light.areas import Scene
from rigbook.light.scene import Burning, Lighting
from rigbook.rig.model import Rig
from tests.light.test_scene import opened

STATE = "on-scene-night"
AREA = SceneArea(id="pad", ground=((8.0, -2.0), (11.0, 2.0)), state=STATE, least=1, spacing=0.5)
SIDE = SceneArea(id="side", ground=((9.0, 3.0), (11.0, 5.0)), state=STATE, average=1, spacing=0.5)
NEEDS = (Need(area="pad", least=10.0, average=20.0), Need(area="side", least=None, average=3.0))
LAMPS = ("scene-rear", "bed-lamp")
STEP = {"step_deg": 20.0, "turn_deg": 40.0}


@pytest.fixture(scope="module")
def pickup() -> tuple[Rig, Scene]:
    return opened("boat-crew-pickup")


@pytest.fixture(scope="module")
def lighting(pickup: tuple[Rig, Scene]) -> Lighting:
    rig = pickup[0]
    made = replace(rig, build=rig.build.model_copy(update={"scene": [AREA, SIDE]}))
    return Lighting(made, pickup[1].lighting.sources, pickup[1].lighting.prisms)


@pytest.mark.outside
def test_the_best_aims_are_the_best_of_every_combination(lighting: Lighting) -> None:
    """Brute force: every pair of aims, each judged at every point."""
    aimer = Aimer(lighting, NEEDS, LAMPS)
    found = aim(aimer, **STEP, refine=False)
    candidates = {name: aims_of(now, **STEP) for name, now in aimer.now().items()}
    assert len(candidates) == 2
    best, tried = 0.0, 0
    for pair in itertools.product(*candidates.values()):
        best = max(best, aimer.proposal(dict(zip(candidates, pair, strict=True))).share)
        tried += 1
    assert tried == len(candidates["scene-rear.white"]) * len(candidates["bed-lamp.white"]) > 400
    assert found.on_grid.share == pytest.approx(best, rel=2e-3)  # a lamp that gains a thousandth stays where it is
    assert found.bound == pytest.approx(best, rel=1e-6) and found.gap < 1e-5
    assert found.before.share < best and found.aims_tried == sum(map(len, candidates.values()))


def test_refining_never_makes_it_worse_and_is_judged_at_every_point(lighting: Lighting) -> None:
    aimer = Aimer(lighting, NEEDS, LAMPS)
    found = aim(aimer, **STEP)
    assert found.refined.share >= found.on_grid.share >= found.before.share
    assert aimer.proposal(found.refined.aims) == found.refined
    turned = {n: a for n, a in found.refined.aims.items() if a != aimer.now()[n]}
    assert turned and all(-90 <= tilt <= 90 and 0 <= facing < 360 for facing, tilt in turned.values())


def test_the_share_is_of_what_is_asked(lighting: Lighting) -> None:
    aimer = Aimer(lighting, NEEDS, LAMPS)
    twice = Aimer(
        lighting,
        [replace(n, least=None if n.least is None else 2 * n.least, average=2 * n.average) for n in NEEDS],
        LAMPS,
    )
    now = aimer.now()
    assert aimer.proposal(now).share == pytest.approx(2 * twice.proposal(now).share)
    by_area = {row.area: row for row in aimer.proposal(now).areas}
    assert aimer.proposal(now).share == pytest.approx(
        min(by_area["pad"].least_lx / 10, by_area["pad"].average_lx / 20, by_area["side"].average_lx / 3)
    )


def test_a_lamp_whose_turn_gains_nothing_stays(lighting: Lighting) -> None:
    """The side area alone is asked for: what cannot reach it keeps its aim."""
    only = (Need(area="side", least=None, average=3.0),)
    aimer = Aimer(lighting, only, LAMPS)
    found = aim(aimer, **STEP)
    for name, one in found.refined.aims.items():
        back = aimer.proposal({**found.refined.aims, name: aimer.now()[name]})
        assert one == aimer.now()[name] or back.share < found.refined.share


def test_aims_stand_on_whole_steps_and_hold_the_present_one() -> None:
    aims = aims_of((272.0, -25.0), step_deg=5, turn_deg=10)
    assert (272.0, -25.0) in aims and {a for a, _ in aims} == {265.0, 270.0, 272.0, 275.0, 280.0}
    assert {a for a, _ in aims_of((2.0, 0.0), step_deg=5, turn_deg=7)} == {355.0, 0.0, 2.0, 5.0}
    assert aims_of((90.0, -20.0), step_deg=5, turn_deg=0).count((90.0, -20.0)) == 1


def lamps_at(lighting: Lighting, *places: tuple[float, float, float]) -> dict[str, Burning]:
    lamp = next(s for s in lighting.sources if s.device_id == "scene-rear")
    made = {}
    for number, at in enumerate(places):
        source = replace(lamp, device_id=f"offer-{number}", at_m=at, azimuth_deg=180.0, tilt_deg=-20.0)
        made[f"offer-{number}"] = Burning(source=source, share=1.0, start=at, inside=False)
    return made


@pytest.mark.outside
def test_fewest_lamps_are_the_fewest_of_every_subset(lighting: Lighting) -> None:
    """Brute force: every subset of four lamps with every combination of their aims, smallest first."""
    needs = (Need(area="pad", least=12.0, average=None),)
    aimer = Aimer(lighting, needs, ())
    offers = lamps_at(lighting, (5.1, -0.9, 1.2), (5.1, 0.9, 1.2), (5.1, 0.0, 1.3), (5.1, 0.5, 0.8))
    found = fewest(aimer, offers, step_deg=20, turn_deg=20)
    assert found.after.share >= 1 - 1e-9 and found.before.share < 1 and len(found.taken) == found.bound
    from rigbook.light import aiming

    judge = aiming._with_candidates(aimer, offers)
    grids = {n: aims_of((180.0, -20.0), step_deg=20, turn_deg=20) for n in offers}
    lux = {n: [judge.lux(judge.spots[0], b, one) for one in grids[n]] for n, b in offers.items()}
    fixed, tried, least = judge.spots[0].fixed, 0, None
    for count in range(len(found.taken) + 1):
        for subset in itertools.combinations(offers, count):
            for picked in itertools.product(*(lux[n] for n in subset)):
                tried += 1
                if float((fixed + np.sum(picked, axis=0) if picked else fixed).min()) >= 12.0 * (1 - 1e-9):
                    least = count if least is None else least
    assert least == len(found.taken) >= 2 and tried > 500


def test_what_cannot_be_aimed_is_said(lighting: Lighting) -> None:
    with pytest.raises(CannotAim, match="asks for light"):
        Aimer(lighting, (Need(area="pad", least=None, average=None),), LAMPS)
    with pytest.raises(CannotAim, match="none of these lamps"):
        aim(Aimer(lighting, NEEDS, ("no-such-lamp",)))
    with pytest.raises(CannotAim, match="at best"):
        fewest(
            Aimer(lighting, (Need(area="pad", least=5000.0, average=None),), ()),
            lamps_at(lighting, (5.1, 0, 1)),
            step_deg=20,
        )
