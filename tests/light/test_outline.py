"""What the outline hides: hand cases, and random rays against points walked along them."""

from __future__ import annotations

import numpy as np
import pytest

from rigbook.documents.schema.vehicle import Outline, Size, Vehicle
from rigbook.light.outline import blocked, depth_inside_m, leaves_m, outline_of, prism, start_of
from rigbook.light.sources import directions_of

BOX = prism(name="body", corners=[(0, 0.2), (4, 0.2), (4, 2), (0, 2)], width_m=2)


def vehicle(body: str) -> Vehicle:
    size = Size.model_construct(length=6.0, width=2.0, height=2.0, wheelbase=3.6, front_overhang=1.0)
    return Vehicle.model_construct(size=size, outline=Outline.model_construct(body=body))


@pytest.mark.parametrize(
    ("start", "azimuth", "elevation", "hidden"),
    [
        ((-0.1, 0, 1), 0, 0, False),
        ((-0.1, 0, 1), 180, 0, True),
        ((0, 0, 2.1), 180, -1, False),  # over four metres it falls 0.07 m: just clears the roof
        ((0, 0, 2.1), 180, -5, True),
        ((2, 1.0, 1), 90, 0, False),  # on the right side
        ((2, 1.0, 1), 0, 0, False),  # along the side: touching hides nothing
        ((2, 1.1, 1), 270, 0, True),
    ],
)
def test_hand_cases(start: tuple[float, ...], azimuth: float, elevation: float, hidden: bool) -> None:
    assert bool(blocked([BOX], start, directions_of(azimuth, elevation))) is hidden


@pytest.mark.parametrize("body", ["van", "utility", "pickup"])
def test_rays_and_segments_are_hidden_where_a_point_on_them_lies_inside(body: str) -> None:
    prisms = outline_of(vehicle(body))
    assert len(prisms) == (6 if body == "pickup" else 3)
    random = np.random.default_rng(11)
    starts = random.uniform((-3, -3, 0), (8, 3, 4), (400, 3))
    targets = random.uniform((-3, -3, 0), (8, 3, 4), (400, 3))
    found = blocked(prisms, starts, targets - starts, up_to_m=1.0)
    along = np.linspace(0, 1, 2001)[:, None, None]
    points = starts + along * (targets - starts)
    depth = np.max([(p.offsets - points @ p.normals.T).min(axis=-1) for p in prisms], axis=(0, 1))
    sure = np.abs(depth) > 0.01  # what a walk of fine steps can tell
    assert sure.sum() > 300 and found[sure].any() and not found[sure].all()
    assert (found[sure] == (depth[sure] > 0)).all()
    rays = blocked(prisms, starts, targets - starts)
    assert (rays >= found).all()


def test_where_a_lamp_is_looked_at_from() -> None:
    assert start_of([BOX], (0.07, 0.3, 1), (-1, 0, 0)) == pytest.approx((-0.002, 0.3, 1))
    assert start_of([BOX], (-0.5, 0, 1), (-1, 0, 0)) == pytest.approx((-0.5, 0, 1))
    assert start_of([BOX], (2, 0, 1), (-1, 0, 0)) is None
    assert start_of([BOX], (2, 0, 1), (-1, 0, 0), behind_glass=True) == pytest.approx((-0.002, 0, 1))
    lifted = start_of([BOX], (2, 0, 1.95), (-1, 0, 0))
    assert lifted is not None and lifted[2] > 2
    assert depth_inside_m([BOX], (2, 0, 1.9)) == pytest.approx(0.1)
    assert depth_inside_m([BOX], (9, 0, 1)) < 0
    assert leaves_m([BOX], (1, 0, 1), (1, 0, 0)) == pytest.approx(3)


@pytest.mark.parametrize("corners", [[(0, 0), (1, 0)], [(0, 0), (1, 0), (2, 0)], [(0, 0), (2, 0), (1, 0.1), (1, 2)]])
def test_an_outline_that_is_none(corners: list[tuple[float, float]]) -> None:
    with pytest.raises(ValueError, match=r"corners|area"):
        prism(name="x", corners=corners, width_m=1)
