from __future__ import annotations

import pytest

from rigbook.papers.silhouette_ends import shapes_of
from rigbook.papers.silhouettes import VIEW_NAMES, Shape, frame, mirrored, rounded, tyre_diameter

from .hand_rig import vehicle


def points(shape: Shape) -> list[tuple[float, float]]:
    return [(a[i], a[i + 1]) for _, a in shape.commands for i in range(0, len(a), 2)]


@pytest.mark.outside
@pytest.mark.parametrize(
    ("size", "diameter_m"),
    # rim in inches of 25.4 mm, twice the aspect share of the width: ISO 4000-1 designation of passenger tyres
    [("245/75R16", 0.7739), ("225/65R17", 0.7243), ("195/75 R 16", 0.6989)],
)
def test_tyre_diameter_from_the_sidewall(size: str, diameter_m: float) -> None:
    assert tyre_diameter(size) == pytest.approx(diameter_m, abs=5e-5)


def test_a_size_that_is_none_gives_no_diameter() -> None:
    assert tyre_diameter("as delivered") is None


@pytest.mark.parametrize("body", ["van", "pickup", "utility"])
@pytest.mark.parametrize("view", VIEW_NAMES)
def test_the_picture_keeps_to_the_dimensions_of_the_vehicle(body: str, view: str) -> None:
    f = frame(vehicle(body))
    across = {
        "plan": (0, f.length, -f.width / 2, f.width / 2),
        "left": (0, f.length, 0, f.height),
        "right": (0, f.length, 0, f.height),
    }
    u0, u1, v0, v1 = across.get(view, (-f.width / 2, f.width / 2, 0, f.height))
    shapes = shapes_of(f, view)  # type: ignore[arg-type]
    body_points = [p for s in shapes if s.style == "body" for p in points(s)]
    # the outline fills the stated size to the centimetre (tyres carry it down to the ground) and never leaves it
    assert min(u for u, _ in body_points) == pytest.approx(u0, abs=0.01)
    assert max(u for u, _ in body_points) == pytest.approx(u1, abs=0.01)
    assert max(v for _, v in body_points) == pytest.approx(v1, abs=0.01)
    everything = [p for s in shapes for p in points(s)]
    assert min(v for _, v in everything) >= v0 - (0.24 if view == "plan" else 1e-9)
    mirrors = 0.23
    assert all(u0 - mirrors <= u <= u1 + mirrors for u, _ in everything)


@pytest.mark.parametrize("body", ["van", "pickup", "utility"])
def test_wheels_stand_at_the_wheelbase(body: str) -> None:
    f = frame(vehicle(body))
    tyres = [s for s in shapes_of(f, "left") if s.style == "tyre"]
    centres = sorted((min(u for u, _ in points(t)) + max(u for u, _ in points(t))) / 2 for t in tyres)
    assert centres == pytest.approx([f.front, f.front + f.wheelbase])
    assert all(min(v for _, v in points(t)) == pytest.approx(0) for t in tyres)


def test_kinds_of_body_differ() -> None:
    drawn = {
        body: shapes_of(
            frame(vehicle(body, length=5.5, width=2.0, height=2.0, wheelbase=3.2, front_overhang=0.9)), "left"
        )
        for body in ("van", "pickup", "utility")
    }
    assert len({str(s) for s in drawn.values()}) == 3


def test_mirroring_twice_gives_the_same() -> None:
    shapes = [rounded("body", [(0, 0, 0.1), (1, 0, 0), (1, 2, 0.3)])]
    there = mirrored(shapes, 3.0)
    assert points(there[0])[1] == (6, 0), "the corner at u = 0 lands at twice the axis"
    back = [n for p in points(mirrored(there, 3.0)[0]) for n in p]
    assert back == pytest.approx([n for p in points(shapes[0]) for n in p])
