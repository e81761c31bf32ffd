from __future__ import annotations

import xml.etree.ElementTree as ElementTree

import pytest

from rigbook.papers.switch_panels import acts, faces, switch_panels

from .opened import example

BUILDS = ("flood-support-van", "boat-crew-pickup", "duty-officer-utility")


@pytest.mark.parametrize("build", BUILDS)
def test_every_switch_sits_once_on_a_face_with_its_legend(build: str) -> None:
    rig = example(build).worked
    found = [c.switch.id for face in faces(rig) for c in face.controls if c.switch]
    assert sorted(found) == sorted(s.id for s in rig.build.switching.switches)
    words = " ".join(t for p in switch_panels(rig) for t in ElementTree.fromstring(p.document).itertext())
    for switch in rig.build.switching.switches:
        for word in (switch.label or switch.id).split():
            assert word in words
        for position in switch.positions or ():
            assert position in words


def test_dimensions_are_the_parts() -> None:
    rig = example("flood-support-van").worked
    depth, width, height = rig.parts["panel-sixteen-slide"].size
    face = next(f for f in faces(rig) if f.id == "panel-console")
    assert face.size_m == (width, height, depth)
    text = "".join(ElementTree.fromstring(switch_panels(rig)[0].document).itertext())
    assert f"{width / 0.0254:.2f} in ({width * 1000:.0f} mm)" in text
    assert "centres" not in text and "centers" in text, "a shop that works in US units reads US spelling"


def test_spare_keys_are_counted() -> None:
    rig = example("flood-support-van").worked
    face = next(f for f in faces(rig) if f.id == "panel-rear")
    assert [c.legend for c in face.controls] == ["REAR DARK", "SCENE REAR", "LOCK", "spare"]


def test_what_a_control_does_under_a_finger() -> None:
    rig = example("flood-support-van").worked
    labels = {s.id: s.label or s.id for s in rig.build.switching.switches}
    said = {c.switch.id: acts(c, labels) for face in faces(rig) for c in face.controls if c.switch}
    assert said["cruise"] == "press on, press off; lets go of COMMAND, and the other way round"
    assert said["horn_ring"] == "on while pressed; a tap is under 400 ms"
    assert said["winch"].endswith("lets go by itself, and cannot be pressed on, when gear == drive")
    assert said["response"] == "stays where it is put"
