from __future__ import annotations

from rigbook.papers.panel_faces import faces

from .opened import example


def test_controls_are_numbered_from_one_on_each_face_and_know_what_excludes_them() -> None:
    found = faces(example("flood-support-van").worked)
    assert [f.id for f in found] == ["panel-console", "panel-rear", "elsewhere"]
    for face in found:
        assert [c.number for c in face.controls] == list(range(1, len(face.controls) + 1))
    by_switch = {c.switch.id: c for f in found for c in f.controls if c.switch}
    assert by_switch["cruise"].exclusive == ("command",) and by_switch["command"].exclusive == ("cruise",)
    assert by_switch["arrow"].positions == ("off", "left", "right", "both", "caution")
