"""The quick shadow against the general one, against sampling along the way, and by hand."""

from __future__ import annotations

import numpy as np
import pytest

from rigbook.light.outline import Prism, blocked, prism
from rigbook.light.shadow import reached, shade

BODY = prism(name="body", corners=[(0.0, 0.3), (4.0, 0.3), (4.0, 2.0), (0.0, 2.0)], width_m=2.0)
BONNET = prism(name="bonnet", corners=[(-1.0, 0.3), (0.0, 0.3), (0.0, 1.0), (-1.0, 0.8)], width_m=1.8)


def test_a_body_hides_what_lies_behind_it_and_nothing_beside_it() -> None:
    lamp = (2.0, 1.2, 1.5)
    points = np.array([(2.0, 3.0, 0.0), (2.0, -3.0, 0.0), (2.0, -3.0, 4.0), (10.0, 1.2, 0.0)]).T
    assert list(reached((BODY,), lamp, points)) == [True, False, False, True]
    assert list(shade((BODY,), [lamp])(0, points)) == [True, False, False, True]


def test_light_passes_under_the_floor() -> None:
    assert reached((BODY,), (2.0, 1.2, 0.25), np.array([[2.0], [-3.0], [0.1]]))[0]


def test_touching_a_face_hides_nothing() -> None:
    assert reached((BODY,), (2.0, 1.0, 1.5), np.array([[2.0], [1.0], [0.0]]))[0]  # down along the skin
    assert not reached((BODY,), (2.0, 0.9, 1.5), np.array([[2.0], [0.9], [0.0]]))[0]


@pytest.mark.parametrize("seed", range(6))
def test_the_quick_answer_is_the_general_one(seed: int) -> None:
    rng = np.random.default_rng(seed)
    bodies: tuple[Prism, ...] = (BODY, BONNET)
    start = tuple(float(v) for v in rng.uniform((-3, -3, 0.1), (6, 3, 3)))
    points = rng.uniform((-8, -8, 0), (12, 8, 3), (400, 3)).T
    quick = reached(bodies, start, points)
    general = ~blocked(bodies, np.array(start), points.T - np.array(start), up_to_m=1.0)
    assert (quick == general).all()
    assert 20 < quick.sum() < 400  # both kinds were met


@pytest.mark.outside
def test_it_agrees_with_sampling_along_the_way() -> None:
    """Brute force: 4,000 samples along each way, inside a body or not."""
    rng = np.random.default_rng(7)
    start = np.array((5.0, 1.5, 1.2))
    points = rng.uniform((-3, -4, 0), (5, 4, 2.5), (300, 3)).T
    quick = reached((BODY, BONNET), tuple(float(v) for v in start), points)
    along = np.linspace(0, 1, 4000)[:, None]
    hit, near = np.zeros(300, bool), np.zeros(300, bool)
    for number in range(300):
        way = start + along * (points[:, number] - start)
        for body in (BODY, BONNET):
            depth = (body.offsets - way @ body.normals.T).min(axis=1).max()
            hit[number] |= depth > 0
            near[number] |= abs(depth) < 2e-3  # closer to a face than sampling tells
    assert (quick == ~hit)[~near].all()
    assert 50 < hit.sum() < 250 and near.sum() < 30
