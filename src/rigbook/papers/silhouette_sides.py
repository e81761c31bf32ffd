"""The sides of the silhouettes: wheels, doors, windows of van, utility and pick-up, nose to the left."""

from __future__ import annotations

import math

from rigbook.papers.silhouettes import Corner, Frame, Shape, box, circle, line, mirrored, rounded


def _arch(centre: float, radius: float, sill: float, axle: float) -> list[Corner]:
    """Points of a wheel arch along the sill, from the rear edge to the front edge."""
    rise = max(0.0, min(1.0, (sill - axle) / radius))
    start = math.asin(rise)
    steps = 14
    angles = [start + (math.pi - 2 * start) * i / steps for i in range(steps + 1)]
    return [(centre + radius * math.cos(a), axle + radius * math.sin(a), 0.0) for a in angles]


def _wheel(u: float, tyre: float) -> list[Shape]:
    radius = tyre / 2
    shapes = [circle("tyre", u, radius, radius), circle("rim", u, radius, radius * 0.60)]
    for spoke in range(5):
        angle = math.radians(90 + spoke * 72)
        inner, outer = radius * 0.14, radius * 0.5
        shapes.append(
            line(
                "faint",
                (u + inner * math.cos(angle), radius + inner * math.sin(angle)),
                (u + outer * math.cos(angle), radius + outer * math.sin(angle)),
            )
        )
    shapes.append(circle("line", u, radius, radius * 0.12))
    return shapes


def side(f: Frame, *, right: bool) -> list[Shape]:
    """The left side, nose to the left; the right side is its mirror with that side's own doors."""
    outline = {"van": _side_van, "pickup": _side_pickup, "utility": _side_utility}[f.body]
    shapes = outline(f, right)
    shapes += _wheel(f.front, f.tyre) + _wheel(f.front + f.wheelbase, f.tyre)
    return mirrored(shapes, f.length / 2) if right else shapes


def _underside(f: Frame, front_low: float, rear_low: float) -> list[Corner]:
    """From the lower rear corner forward to the lower front corner, round both wheel arches."""
    radius, axle = f.tyre / 2 + 0.075, f.tyre / 2
    sill = f.clearance
    rear_axle = f.front + f.wheelbase
    return [
        (f.length - 0.03, rear_low, 0.05),
        *_arch(rear_axle, radius, sill, axle),
        *_arch(f.front, radius, sill, axle),
        (0.06, front_low, 0.06),
    ]


def _nose(f: Frame) -> list[Corner]:
    return [
        (0.0, f.clearance + 0.30, 0.08),
        (0.03, 0.60 * f.bonnet_height + 0.04, 0.08),
        (0.14, 0.86 * f.bonnet_height, 0.14),
        (f.bonnet, f.bonnet_height, 0.10),
    ]


def _headlamp(f: Frame) -> Shape:
    low, high = 0.60 * f.bonnet_height + 0.03, 0.82 * f.bonnet_height
    return rounded("light", [(0.05, low, 0.03), (0.36, low + 0.03, 0.05), (0.46, high, 0.05), (0.13, high, 0.05)])


def _mirror_side(f: Frame) -> Shape:
    u = f.bonnet + 0.33 * (f.roof - f.bonnet) + 0.12
    return box("bumper", u, f.belt + 0.02, u + 0.16, f.belt + 0.30, 0.05)


def _pillar(f: Frame, v: float) -> float:
    """Where the windscreen line stands at height v."""
    share = (v - f.bonnet_height) / max(0.05, f.height - 0.06 - f.bonnet_height)
    return f.bonnet + (f.roof - f.bonnet) * share


def _front_window(f: Frame, top: float, back: float) -> Shape:
    return rounded(
        "glass",
        [
            (_pillar(f, f.belt) + 0.16, f.belt, 0.04),
            (back, f.belt, 0.06),
            (back, top, 0.07),
            (_pillar(f, top) + 0.13, top, 0.06),
        ],
    )


def _door(u0: float, u1: float, low: float, top: float, lean: float = 0.0) -> Shape:
    return rounded("line", [(u0, low, 0.08), (u1, low, 0.08), (u1, top, 0.08), (u0 + lean, top, 0.08)])


def _handle(u: float, v: float) -> Shape:
    return box("bumper", u - 0.09, v - 0.02, u + 0.09, v + 0.02, 0.02)


def _sills(f: Frame) -> list[Shape]:
    front, rear = f.front, f.front + f.wheelbase
    gap = f.tyre / 2 + 0.12
    return [line("faint", (front + gap, f.clearance + 0.10), (rear - gap, f.clearance + 0.10))]


def _side_van(f: Frame, right: bool) -> list[Shape]:
    top = f.height
    rear = f.length
    screen_top = min(top - 0.10, f.bonnet_height + 1.02)
    body = [
        *_nose(f),
        (_pillar(f, screen_top), screen_top, 0.25),
        (f.roof + 0.42, top - 0.02, 0.45),
        (rear - 0.10, top, 0.22),
        (rear - 0.02, f.bonnet_height, 0.10),
        (rear, f.clearance + 0.36, 0.04),
        *_underside(f, f.clearance + 0.02, f.clearance + 0.12),
    ]
    window_top = min(screen_top - 0.10, f.belt + 0.78)
    door_back = _pillar(f, window_top) + 1.02
    door_front = _pillar(f, f.belt) + 0.04
    slide_end = min(door_back + 1.32, f.front + f.wheelbase - f.tyre / 2 - 0.08)
    low = f.clearance + 0.13
    shapes = [
        rounded("body", body),
        rounded(
            "glass",
            [
                (_pillar(f, f.bonnet_height) + 0.05, f.bonnet_height + 0.05, 0.02),
                (_pillar(f, f.bonnet_height) + 0.12, f.bonnet_height + 0.05, 0.02),
                (_pillar(f, screen_top) + 0.10, screen_top - 0.06, 0.02),
                (_pillar(f, screen_top) + 0.03, screen_top - 0.06, 0.02),
            ],
        ),
        _front_window(f, window_top, door_back - 0.09),
        rounded(
            "line",
            [
                (f.front + f.tyre / 2 + 0.12, low, 0.06),
                (door_back, low, 0.06),
                (door_back, window_top + 0.08, 0.08),
                (_pillar(f, window_top) + 0.06, window_top + 0.08, 0.08),
                (door_front, f.belt - 0.05, 0.02),
                (f.front + f.tyre / 2 + 0.12, f.tyre + 0.02, 0.10),
            ],
        ),
        _handle(door_back - 0.18, f.belt - 0.14),
        _headlamp(f),
        rounded(
            "light",
            [
                (rear - 0.13, f.belt - 0.28, 0.02),
                (rear - 0.03, f.belt - 0.28, 0.02),
                (rear - 0.04, f.belt + 0.42, 0.02),
                (rear - 0.13, f.belt + 0.42, 0.02),
            ],
        ),
        line("faint", (door_back + 0.06, f.belt - 0.02), (rear - 0.16, f.belt - 0.02)),
        line("faint", (f.roof + 0.35, top - 0.16), (rear - 0.14, top - 0.16)),
        _mirror_side(f),
        *_sills(f),
        line(
            "line",
            (0.02, f.clearance + 0.30),
            (0.40, f.clearance + 0.30),
            (f.front - f.tyre / 2 - 0.08, f.clearance + 0.16),
        ),
        line(
            "line", (rear - 0.01, f.clearance + 0.34), (f.front + f.wheelbase + f.tyre / 2 + 0.10, f.clearance + 0.34)
        ),
    ]
    return shapes + (_sliding_door(f, door_back, slide_end, low, window_top) if right else [_panel_seam(f, door_back)])


def _sliding_door(f: Frame, door_back: float, slide_end: float, low: float, window_top: float) -> list[Shape]:
    return [
        _door(door_back + 0.05, slide_end, low, min(f.height - 0.26, window_top + 0.22)),
        _handle(door_back + 0.22, f.belt - 0.14),
        line("bumper", (door_back + 0.2, f.belt + 0.06), (f.length - 0.5, f.belt + 0.06)),
        box("glass", door_back + 0.16, f.belt + 0.14, slide_end - 0.12, window_top, 0.08),
    ]


def _panel_seam(f: Frame, door_back: float) -> Shape:
    u = door_back + 0.62 * (f.length - door_back)
    return line("faint", (u, f.belt - 0.02), (u, f.height - 0.16))


def _side_utility(f: Frame, right: bool) -> list[Shape]:
    top, rear = f.height, f.length
    body = [
        *_nose(f),
        (f.roof, top - 0.05, 0.28),
        (f.roof + 0.5, top, 0.5),
        (rear - 0.42, top - 0.04, 0.18),
        (rear - 0.10, f.belt + 0.04, 0.14),
        (rear - 0.02, f.clearance + 0.46, 0.06),
        (rear, f.clearance + 0.34, 0.05),
        *_underside(f, f.clearance - 0.02, f.clearance + 0.06),
    ]
    window_top = top - 0.17
    b_pillar = f.front + 0.46 * f.wheelbase + 0.10
    c_pillar = f.front + f.wheelbase - 0.10
    low = f.clearance + 0.14
    rear_axle = f.front + f.wheelbase
    return [
        rounded("body", body),
        _front_window(f, window_top, b_pillar - 0.06),
        *_utility_glass(f, window_top, b_pillar, c_pillar),
        *_utility_doors(f, window_top, b_pillar, c_pillar, low),
        _handle(b_pillar - 0.20, f.belt - 0.13),
        _handle(c_pillar - 0.22, f.belt - 0.13),
        _headlamp(f),
        rounded(
            "light",
            [
                (rear - 0.31, f.belt - 0.22, 0.04),
                (rear - 0.09, f.belt - 0.22, 0.03),
                (rear - 0.14, f.belt - 0.02, 0.03),
                (rear - 0.28, f.belt - 0.02, 0.04),
            ],
        ),
        *_utility_rail(f),
        _mirror_side(f),
        line(
            "line",
            (0.02, f.clearance + 0.30),
            (0.38, f.clearance + 0.30),
            (f.front - f.tyre / 2 - 0.09, f.clearance + 0.18),
        ),
        line("line", (rear - 0.02, f.clearance + 0.36), (rear_axle + f.tyre / 2 + 0.11, f.clearance + 0.36)),
    ]


def _utility_glass(f: Frame, window_top: float, b_pillar: float, c_pillar: float) -> list[Shape]:
    rear = f.length
    return [
        rounded(
            "glass",
            [
                (b_pillar + 0.05, f.belt, 0.05),
                (c_pillar - 0.02, f.belt, 0.05),
                (c_pillar - 0.02, window_top, 0.06),
                (b_pillar + 0.05, window_top, 0.06),
            ],
        ),
        rounded(
            "glass",
            [
                (c_pillar + 0.07, f.belt + 0.02, 0.05),
                (rear - 0.34, f.belt + 0.06, 0.08),
                (rear - 0.52, window_top - 0.02, 0.08),
                (c_pillar + 0.07, window_top, 0.06),
            ],
        ),
    ]


def _utility_doors(f: Frame, window_top: float, b_pillar: float, c_pillar: float, low: float) -> list[Shape]:
    rear_axle = f.front + f.wheelbase
    return [
        line("line", (b_pillar, window_top + 0.05), (b_pillar, low)),
        rounded(
            "line",
            [
                (c_pillar + 0.03, window_top + 0.04, 0),
                (c_pillar + 0.03, f.belt - 0.02, 0.10),
                (rear_axle - f.tyre / 2 - 0.10, f.tyre / 2 + 0.30, 0.2),
                (rear_axle - f.tyre / 2 - 0.14, low, 0),
            ],
            closed=False,
        ),
        rounded(
            "line",
            [
                (_pillar(f, f.belt) + 0.04, f.belt - 0.02, 0),
                (f.front + f.tyre / 2 + 0.14, f.belt - 0.14, 0.1),
                (f.front + f.tyre / 2 + 0.14, low, 0),
            ],
            closed=False,
        ),
        line("line", (f.front + f.tyre / 2 + 0.14, low), (rear_axle - f.tyre / 2 - 0.14, low)),
    ]


def _utility_rail(f: Frame) -> list[Shape]:
    """The roof rail on its feet: with the tall wheels what tells a utility from a saloon."""
    top, rear = f.height, f.length
    return [
        line(
            "line",
            (f.roof + 0.42, top - 0.01),
            (f.roof + 0.50, top + 0.04),
            (rear - 0.80, top + 0.02),
            (rear - 0.72, top - 0.02),
        ),
        line("line", ((f.roof + rear) / 2 - 0.10, top - 0.01), ((f.roof + rear) / 2 - 0.10, top + 0.03)),
    ]


def _side_pickup(f: Frame, right: bool) -> list[Shape]:
    top, rear = f.height, f.length
    bed = f.bed_height
    body = [
        *_nose(f),
        (f.roof, top - 0.05, 0.25),
        (f.roof + 0.4, top, 0.4),
        (f.cab - 0.14, top - 0.03, 0.14),
        (f.cab, bed, 0.02),
        (rear - 0.03, bed, 0.05),
        (rear - 0.03, f.clearance + 0.38, 0.02),
        (rear, f.clearance + 0.36, 0.03),
        *_underside(f, f.clearance, f.clearance + 0.16),
    ]
    window_top = top - 0.17
    rear_axle = f.front + f.wheelbase
    b_pillar = (_pillar(f, f.belt) + f.cab) / 2 + 0.06
    low = f.clearance + 0.14
    return [
        rounded("body", body),
        _front_window(f, window_top, b_pillar - 0.06),
        rounded(
            "glass",
            [
                (b_pillar + 0.05, f.belt, 0.05),
                (f.cab - 0.20, f.belt, 0.05),
                (f.cab - 0.28, window_top, 0.07),
                (b_pillar + 0.05, window_top, 0.06),
            ],
        ),
        line("line", (b_pillar, window_top + 0.05), (b_pillar, low)),
        rounded("line", [(f.cab - 0.12, window_top, 0), (f.cab - 0.08, low, 0)], closed=False),
        rounded(
            "line",
            [
                (_pillar(f, f.belt) + 0.04, f.belt - 0.02, 0),
                (f.front + f.tyre / 2 + 0.14, f.belt - 0.14, 0.1),
                (f.front + f.tyre / 2 + 0.14, low, 0),
            ],
            closed=False,
        ),
        line("line", (f.front + f.tyre / 2 + 0.14, low), (f.cab - 0.08, low)),
        line("line", (f.cab + 0.03, bed), (f.cab + 0.03, f.clearance + 0.16)),
        line("bumper", (f.cab + 0.04, bed + 0.012), (rear - 0.05, bed + 0.012)),
        line("faint", (f.cab + 0.05, bed - 0.16), (rear - 0.05, bed - 0.16)),
        _handle(b_pillar - 0.20, f.belt - 0.13),
        _handle(f.cab - 0.30, f.belt - 0.13),
        _headlamp(f),
        box("light", rear - 0.15, bed - 0.46, rear - 0.035, bed - 0.08, 0.02),
        _mirror_side(f),
        line(
            "line",
            (0.02, f.clearance + 0.32),
            (0.40, f.clearance + 0.32),
            (f.front - f.tyre / 2 - 0.09, f.clearance + 0.20),
        ),
        line("line", (rear - 0.01, f.clearance + 0.36), (rear_axle + f.tyre / 2 + 0.11, f.clearance + 0.36)),
    ]
