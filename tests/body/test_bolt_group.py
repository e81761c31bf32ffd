"""The bolt group against statics: forces and moments of the bolts balance the load. Published case: tests/outside."""

from __future__ import annotations

import math
import random

import pytest

from rigbook.body.bolt_group import bolt_group


def test_bolts_balance_every_load() -> None:
    chance = random.Random(3)
    seen = set()
    for _ in range(200):
        count = chance.randint(3, 9)
        seen.add(count)
        bolts = [(chance.uniform(-1, 1), chance.uniform(-1, 1)) for _ in range(count)]
        force = tuple(chance.uniform(-9, 9) for _ in range(3))
        moment = tuple(chance.uniform(-9, 9) for _ in range(3))
        at = tuple(chance.uniform(-2, 2) for _ in range(3))
        found = bolt_group(bolts, force=force, moment=moment, at=at)  # type: ignore[arg-type]
        assert sum(b.shear_x for b in found) == pytest.approx(force[0])
        assert sum(b.shear_y for b in found) == pytest.approx(force[1])
        assert sum(b.axial for b in found) == pytest.approx(force[2])
        about_z = sum(x * b.shear_y - y * b.shear_x for (x, y), b in zip(bolts, found, strict=True))
        assert about_z == pytest.approx(at[0] * force[1] - at[1] * force[0] + moment[2])
    assert seen == set(range(3, 10))


def test_symmetric_groups_balance_bending_too() -> None:
    bolts = [(x, y) for x in (-0.3, 0.1, 0.5) for y in (-0.2, 0.2)]
    found = bolt_group(bolts, force=(10, -20, 30), at=(0.4, 0.1, 0.7))
    about_x = sum(y * b.axial for (_, y), b in zip(bolts, found, strict=True))
    about_y = sum(-x * b.axial for (x, _), b in zip(bolts, found, strict=True))
    assert about_x == pytest.approx(0.1 * 30 - 0.7 * -20)
    assert about_y == pytest.approx(0.7 * 10 - 0.4 * 30)


def test_forces_superpose_and_turn_with_the_group() -> None:
    bolts = [(0.0, 0.0), (0.4, 0.0), (0.4, 0.3), (0.0, 0.3)]
    one = bolt_group(bolts, force=(5, 0, 0), at=(0.2, 0.15, 0.5))
    two = bolt_group(bolts, force=(0, 0, -8), at=(0.2, 0.15, 0.5))
    both = bolt_group(bolts, force=(5, 0, -8), at=(0.2, 0.15, 0.5))
    for a, b, c in zip(one, two, both, strict=True):
        assert c.axial == pytest.approx(a.axial + b.axial)
    turned = bolt_group([(-y, x) for x, y in bolts], force=(0, 5, 0), at=(-0.15, 0.2, 0.5))
    assert [b.axial for b in turned] == pytest.approx([b.axial for b in one])
    assert [b.shear for b in turned] == pytest.approx([b.shear for b in one])


def test_one_line_takes_no_moment_about_itself() -> None:
    line = [(0.0, 0.0), (0.1, 0.0), (0.2, 0.0)]
    with pytest.raises(ValueError, match="one line"):
        bolt_group(line, force=(0, 5, 0), at=(0.1, 0.0, 0.4))
    straight = bolt_group(line, force=(0, 0, 6), at=(0.1, 0.0, 0.4))
    assert [b.axial for b in straight] == pytest.approx([2, 2, 2])
    with pytest.raises(ValueError, match="at least one"):
        bolt_group([], force=(0, 0, 1), at=(0, 0, 0))
    assert bolt_group([(1.0, 1.0)], force=(3, 4, 5), at=(1, 1, 0))[0].shear == pytest.approx(math.hypot(3, 4))
