"""The plan, the front and the rear of the silhouettes (the sides are in `silhouette_sides`).

Plan: nose to the left, the driver's right toward the top of the page (u = metres behind the foremost point, v = y).
Front: seen from ahead, so u = -y. Rear: seen from behind, so u = y. Both stand on the ground at v = 0.
"""

from __future__ import annotations

from rigbook.papers.silhouette_sides import side
from rigbook.papers.silhouettes import Corner, Frame, Shape, ViewName, box, line, mirrored, rounded


def shapes_of(f: Frame, view: ViewName) -> list[Shape]:
    """The picture of one view, back to front."""
    if view in ("left", "right"):
        return side(f, right=view == "right")
    return {"plan": plan, "front": front, "rear": rear}[view](f)


def _both(shapes: list[Shape]) -> list[Shape]:
    return shapes + mirrored(shapes, 0.0)


# --- front and rear ----------------------------------------------------------------------------------------------------


def _section(f: Frame, top: float) -> Shape:
    """The widest cross-section of the body, to a roof of this height."""
    half = f.width / 2
    tuck = 0.10 if f.body == "van" else 0.20
    shoulder = f.bonnet_height + 0.05
    right: list[Corner] = [
        (half - 0.05, f.clearance, 0.08),
        (half, f.clearance + 0.42, 0.12),
        (half, shoulder, 0.12),
        (half - tuck, top - 0.05, 0.22),
        (half - tuck - 0.22, top, 0.20),
    ]
    return rounded("body", right + [(-u, v, r) for u, v, r in reversed(right)])


def _tyres(f: Frame, track: float) -> list[Shape]:
    half, broad = track / 2, 0.115
    return _both([box("tyre", half - broad, 0.0, half + broad, f.tyre * 0.72, 0.05)])


def _mirrors(f: Frame) -> list[Shape]:
    half = f.width / 2
    high = 0.34 if f.body == "van" else 0.22
    return _both(
        [
            line("line", (half - 0.05, f.belt + 0.06), (half + 0.07, f.belt + 0.10)),
            box("bumper", half + 0.04, f.belt + 0.02, half + 0.22, f.belt + 0.02 + high, 0.06),
        ]
    )


def _screen_top(f: Frame) -> float:
    return min(f.height - 0.15, f.bonnet_height + 1.00) if f.body == "van" else f.height - 0.13


def front(f: Frame) -> list[Shape]:
    """Seen from ahead."""
    half = f.width / 2
    hood, glass_top = f.bonnet_height, _screen_top(f)
    tuck = 0.17 if f.body == "van" else 0.27
    lamp_low, lamp_high = 0.60 * hood + 0.03, 0.82 * hood
    lamps = _both(
        [
            rounded(
                "light",
                [
                    (half - 0.50, lamp_low + 0.03, 0.05),
                    (half - 0.07, lamp_low, 0.06),
                    (half - 0.09, lamp_high, 0.06),
                    (half - 0.42, lamp_high - 0.03, 0.05),
                ],
            )
        ]
    )
    grille_half = half - 0.58
    bars = [
        line("faint", (-grille_half + 0.04, v), (grille_half - 0.04, v))
        for v in (lamp_low + (lamp_high - lamp_low) * s for s in (0.25, 0.5, 0.75))
    ]
    return [
        *_tyres(f, f.track_front),
        *_mirrors(f),
        _section(f, f.height),
        rounded(
            "glass",
            [
                (-half + 0.14, hood + 0.06, 0.10),
                (half - 0.14, hood + 0.06, 0.10),
                (half - tuck - 0.03, glass_top, 0.12),
                (-half + tuck + 0.03, glass_top, 0.12),
            ],
        ),
        rounded(
            "line",
            [
                (-half + 0.08, lamp_high, 0.0),
                (-half + 0.20, hood, 0.12),
                (half - 0.20, hood, 0.12),
                (half - 0.08, lamp_high, 0.0),
            ],
            closed=False,
        ),
        *lamps,
        box("line", -grille_half, lamp_low - 0.02, grille_half, lamp_high - 0.02, 0.06),
        *bars,
        box("bumper", -half + 0.04, f.clearance + 0.06, half - 0.04, f.clearance + 0.34, 0.10),
        box("line", -0.26, f.clearance + 0.15, 0.26, f.clearance + 0.27, 0.02),
        line("line", (-0.52, hood + 0.09), (-0.06, hood + 0.15)),
        line("line", (0.06, hood + 0.09), (0.52, hood + 0.15)),
    ]


def rear(f: Frame) -> list[Shape]:
    """Seen from behind."""
    return [
        *_tyres(f, f.track_rear),
        *_mirrors(f),
        *{"van": _rear_van, "utility": _rear_utility, "pickup": _rear_pickup}[f.body](f),
    ]


def _plate(v: float, u: float = 0.0) -> Shape:
    return box("line", u - 0.26, v, u + 0.26, v + 0.13, 0.02)


def _rear_van(f: Frame) -> list[Shape]:
    half, top = f.width / 2, f.height
    low, door = f.clearance + 0.36, half - 0.16
    glass_low, glass_top = f.belt + 0.02, min(f.belt + 0.66, top - 0.30)
    doors = _both(
        [
            rounded(
                "line",
                [
                    (0.012, low, 0.02),
                    (door, low, 0.06),
                    (door, f.belt, 0.05),
                    (door - 0.10, top - 0.20, 0.12),
                    (0.012, top - 0.20, 0.02),
                ],
            ),
            rounded(
                "glass",
                [
                    (0.11, glass_low, 0.07),
                    (door - 0.12, glass_low, 0.07),
                    (door - 0.17, glass_top, 0.07),
                    (0.11, glass_top, 0.07),
                ],
            ),
            box("light", half - 0.13, f.belt - 0.34, half - 0.03, f.belt + 0.34, 0.03),
            line("bumper", (door + 0.015, low + 0.25), (door + 0.015, low + 0.40)),
            line("bumper", (door - 0.015, f.belt + 0.45), (door - 0.03, f.belt + 0.60)),
        ]
    )
    return [
        _section(f, top),
        *doors,
        box("bumper", 0.05, f.belt - 0.28, 0.09, f.belt - 0.05, 0.02),
        _plate(low + 0.16, -door / 2),
        box("bumper", -half + 0.04, f.clearance + 0.08, half - 0.04, f.clearance + 0.33, 0.07),
    ]


def _rear_utility(f: Frame) -> list[Shape]:
    half, top = f.width / 2, f.height
    low = f.clearance + 0.38
    return [
        _section(f, top),
        rounded(
            "line",
            [
                (-half + 0.14, low, 0.05),
                (half - 0.14, low, 0.05),
                (half - 0.12, f.belt - 0.05, 0.05),
                (half - 0.30, top - 0.09, 0.14),
                (-half + 0.30, top - 0.09, 0.14),
                (-half + 0.12, f.belt - 0.05, 0.05),
            ],
        ),
        rounded(
            "glass",
            [
                (-half + 0.22, f.belt + 0.04, 0.08),
                (half - 0.22, f.belt + 0.04, 0.08),
                (half - 0.35, top - 0.20, 0.10),
                (-half + 0.35, top - 0.20, 0.10),
            ],
        ),
        rounded(
            "bumper",
            [
                (-half + 0.30, top - 0.06, 0.02),
                (half - 0.30, top - 0.06, 0.02),
                (half - 0.34, top - 0.12, 0.02),
                (-half + 0.34, top - 0.12, 0.02),
            ],
        ),
        *_both(
            [
                rounded(
                    "light",
                    [
                        (half - 0.34, f.belt - 0.22, 0.03),
                        (half - 0.03, f.belt - 0.22, 0.03),
                        (half - 0.05, f.belt - 0.02, 0.04),
                        (half - 0.28, f.belt - 0.02, 0.04),
                    ],
                )
            ]
        ),
        line("faint", (-half + 0.36, f.belt - 0.20), (half - 0.36, f.belt - 0.20)),
        _plate(f.belt - 0.42),
        box("bumper", -half + 0.03, f.clearance + 0.06, half - 0.03, f.clearance + 0.34, 0.09),
    ]


def _rear_pickup(f: Frame) -> list[Shape]:
    half, top, bed = f.width / 2, f.height, f.bed_height
    cab = half - 0.16
    return [
        rounded(
            "body",
            [
                (-half + 0.08, bed - 0.1, 0),
                (half - 0.08, bed - 0.1, 0),
                (cab - 0.05, bed + 0.10, 0.05),
                (cab - 0.16, top - 0.05, 0.2),
                (cab - 0.4, top, 0.2),
                (-cab + 0.4, top, 0.2),
                (-cab + 0.16, top - 0.05, 0.2),
                (-cab + 0.05, bed + 0.10, 0.05),
            ],
        ),
        rounded(
            "glass",
            [
                (-cab + 0.20, bed + 0.06, 0.06),
                (cab - 0.20, bed + 0.06, 0.06),
                (cab - 0.28, top - 0.16, 0.08),
                (-cab + 0.28, top - 0.16, 0.08),
            ],
        ),
        rounded(
            "body",
            [
                (-half + 0.05, f.clearance, 0.08),
                (half - 0.05, f.clearance, 0.08),
                (half, f.clearance + 0.42, 0.1),
                (half - 0.03, bed, 0.05),
                (-half + 0.03, bed, 0.05),
                (-half, f.clearance + 0.42, 0.1),
            ],
        ),
        box("line", -half + 0.19, f.clearance + 0.38, half - 0.19, bed - 0.02, 0.04),
        box("faint", -half + 0.30, f.clearance + 0.50, half - 0.30, bed - 0.14, 0.05),
        box("bumper", -0.12, bed - 0.12, 0.12, bed - 0.07, 0.02),
        *_both([box("light", half - 0.17, bed - 0.46, half - 0.05, bed - 0.08, 0.02)]),
        box("bumper", -half + 0.05, f.clearance + 0.08, half - 0.05, f.clearance + 0.34, 0.05),
        _plate(f.clearance + 0.14),
    ]


# --- plan ----------------------------------------------------------------------------------------------------------------


def plan(f: Frame) -> list[Shape]:
    """Seen from above, nose to the left."""
    half, rear = f.width / 2, f.length
    nose = 0.16 if f.body == "van" else 0.20
    right: list[Corner] = [
        (0.0, half * 0.62, 0.25),
        (nose, half - 0.08, 0.22),
        (0.75, half, 0.30),
        (rear - 0.05, half - 0.02, 0.10),
        (rear, half - 0.10, 0.08),
    ]
    outline = rounded("body", right + [(u, -v, r) for u, v, r in reversed(right)])
    tuck = 0.10 if f.body == "van" else 0.19
    mirror_u = f.bonnet + 0.33 * (f.roof - f.bonnet) + 0.12
    mirrors = [
        rounded(
            "bumper",
            [
                (mirror_u, half - 0.02, 0.02),
                (mirror_u + 0.16, half - 0.02, 0.02),
                (mirror_u + 0.18, half + 0.22, 0.05),
                (mirror_u + 0.06, half + 0.22, 0.05),
            ],
        ),
    ]
    shapes = [*mirrors, *_flipped(mirrors), outline]
    shapes.append(
        rounded(
            "glass",
            [
                (f.bonnet, 0.0, 0.0),
                (f.bonnet + 0.10, half * 0.62, 0.2),
                (f.bonnet + 0.26, half - 0.10, 0.05),
                (f.roof + 0.05, half - tuck - 0.09, 0.05),
                (f.roof, half * 0.5, 0.3),
                (f.roof - 0.03, 0.0, 0.0),
                (f.roof, -half * 0.5, 0.3),
                (f.roof + 0.05, -half + tuck + 0.09, 0.05),
                (f.bonnet + 0.26, -half + 0.10, 0.05),
                (f.bonnet + 0.10, -half * 0.62, 0.2),
            ],
        )
    )
    creases = [line("faint", (0.30, half * 0.45), (f.bonnet + 0.04, half * 0.55))]
    lamps = [
        rounded(
            "light",
            [
                (0.09, half - 0.42, 0.05),
                (0.10, half - 0.16, 0.04),
                (0.40, half - 0.04, 0.05),
                (0.34, half - 0.14, 0.08),
            ],
        )
    ]
    shapes += creases + _flipped(creases) + lamps + _flipped(lamps)
    return shapes + {"van": _plan_van, "utility": _plan_utility, "pickup": _plan_pickup}[f.body](f, half, tuck)


def _flipped(shapes: list[Shape]) -> list[Shape]:
    return [
        Shape(s.style, tuple((c, tuple(-n if i % 2 else n for i, n in enumerate(a))) for c, a in s.commands))
        for s in shapes
    ]


def _side_glass(f: Frame, half: float, tuck: float, back: float) -> list[Shape]:
    strip = [
        rounded(
            "glass",
            [
                (f.roof - 0.35, half - 0.05, 0.03),
                (back, half - 0.04, 0.03),
                (back - 0.06, half - tuck + 0.01, 0.03),
                (f.roof + 0.10, half - tuck - 0.02, 0.03),
            ],
        )
    ]
    return strip + _flipped(strip)


def _plan_van(f: Frame, half: float, tuck: float) -> list[Shape]:
    back = f.length - 0.14
    shapes = [box("line", f.roof + 0.02, -half + tuck + 0.05, back, half - tuck - 0.05, 0.16)]
    first = f.roof + 0.7
    count = 6
    shapes += [
        line(
            "faint",
            (first + (back - 0.3 - first) * i / (count - 1), -half + tuck + 0.22),
            (first + (back - 0.3 - first) * i / (count - 1), half - tuck - 0.22),
        )
        for i in range(count)
    ]
    shapes.append(line("line", (f.length - 0.06, -0.02), (back, -0.02)))
    return shapes


def _plan_utility(f: Frame, half: float, tuck: float) -> list[Shape]:
    back = f.length - 0.46
    rails = [line("bumper", (f.roof + 0.30, half - tuck - 0.14), (back - 0.15, half - tuck - 0.14))]
    return [
        *_side_glass(f, half, tuck, back),
        box("line", f.roof + 0.02, -half + tuck + 0.05, back, half - tuck - 0.05, 0.14),
        *rails,
        *_flipped(rails),
        rounded(
            "glass",
            [
                (back + 0.04, half - tuck - 0.16, 0.06),
                (f.length - 0.14, half - 0.24, 0.08),
                (f.length - 0.14, -half + 0.24, 0.08),
                (back + 0.04, -half + tuck + 0.16, 0.06),
            ],
        ),
        line("line", (f.length - 0.07, half - 0.2), (f.length - 0.07, -half + 0.2)),
    ]


def _plan_pickup(f: Frame, half: float, tuck: float) -> list[Shape]:
    back = f.cab - 0.16
    wheel_u = f.front + f.wheelbase
    humps = [box("line", wheel_u - 0.36, half - 0.36, wheel_u + 0.36, half - 0.13, 0.05)]
    ribs = [line("faint", (f.cab + 0.14, v), (f.length - 0.14, v)) for v in (-0.4, -0.2, 0.0, 0.2, 0.4)]
    return [
        *_side_glass(f, half, tuck, back),
        box("line", f.roof + 0.02, -half + tuck + 0.05, back, half - tuck - 0.05, 0.14),
        box("glass", back + 0.02, -half + tuck + 0.16, f.cab - 0.03, half - tuck - 0.16, 0.03),
        line("line", (f.cab, half - 0.01), (f.cab, -half + 0.01)),
        box("line", f.cab + 0.06, -half + 0.12, f.length - 0.10, half - 0.12, 0.04),
        *ribs,
        *humps,
        *_flipped(humps),
        line("line", (f.length - 0.05, half - 0.12), (f.length - 0.05, -half + 0.12)),
    ]
