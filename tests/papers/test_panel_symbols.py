from __future__ import annotations

from rigbook.papers.canvas import Canvas
from rigbook.papers.panel_faces import faces
from rigbook.papers.panel_symbols import DRAWN, GAP_MM, flow, kind_of, strip_height, width_of_control
from rigbook.papers.svg import Box

from .opened import example


def test_strips_hold_every_control_and_fit() -> None:
    controls = faces(example("flood-support-van").worked)[0].controls
    strips = flow(controls, 150.0)
    assert [c for strip in strips for c in strip] == list(controls)
    assert len(strips) > 2
    assert all(sum(width_of_control(c) for c in s) + GAP_MM * (len(s) - 1) <= 150.0 + 1e-6 for s in strips)


def test_every_kind_is_drawn_inside_its_own_field() -> None:
    seen = set()
    for build in ("flood-support-van", "boat-crew-pickup"):
        for face in faces(example(build).worked):
            for control in face.controls:
                canvas, high = Canvas(), strip_height([control])
                DRAWN[kind_of(control)](canvas, control, 10.0, 10.0, high)
                field = Box(10.0, 10.0, 10.0 + width_of_control(control), 10.0 + high)
                plate = canvas.plate("p", "p", height=100.0)
                assert all(box.inside(field) for _, box in plate.boxes), control.legend
                seen.add(kind_of(control))
    assert seen == set(DRAWN)
