from __future__ import annotations

import itertools
import xml.etree.ElementTree as ElementTree

import pytest

from rigbook.papers.lampmap import LAMP_MM, lamp_map
from rigbook.papers.lamps import aim_on_page, project
from rigbook.papers.lampsheet import lamp_map_svg, sheet_of
from rigbook.papers.silhouettes import frame
from rigbook.papers.svg import Box
from rigbook.rig.model import Device, Point

from .hand_rig import lamp, pose, rig, usual_devices, vehicle

SVG = "{http://www.w3.org/2000/svg}"


def crowd(count: int) -> list[Device]:
    return [
        lamp(
            f"lamp-with-a-long-name-{i}",
            (-0.8 + 4.0 * (i % 20) / 20, -0.9 + 1.8 * (i // 20) / max(1, count // 20), 0.5 + (i % 7) * 0.1),
            (i * 37) % 360,
            ("blue", "white"),
        )
        for i in range(count)
    ]


@pytest.mark.parametrize("body", ["van", "pickup", "utility"])
@pytest.mark.parametrize("devices", [usual_devices(), crowd(60), []], ids=["usual", "crowd", "none"])
def test_no_text_overlaps_another_or_leaves_the_sheet(body: str, devices: list[Device]) -> None:
    made = rig(devices, body=body)
    drawn = lamp_map(made)
    markup, boxes = sheet_of(made, drawn)
    root = ElementTree.fromstring(markup)
    width, height = (float(root.attrib[k].removesuffix("mm")) for k in ("width", "height"))
    assert len(boxes) >= 5 + len(devices and drawn.key)
    for (name_a, a), (name_b, b) in itertools.combinations(boxes.items(), 2):
        assert not a.overlaps(b), f"{name_a} lies on {name_b}"
    for name, box in boxes.items():
        assert box.inside(Box(0, 0, width, height)), f"{name} leaves the sheet"


def test_no_label_lies_on_a_lamp() -> None:
    for view in lamp_map(rig(usual_devices())).views:
        lamps = [Box(m.x - LAMP_MM, m.y - LAMP_MM, m.x + LAMP_MM, m.y + LAMP_MM) for m in view.marks]
        assert view.labels
        assert not any(b.box.overlaps(o) for b in view.labels for o in lamps)


def test_every_lamp_is_in_the_plan_and_named_by_id_number_or_note() -> None:
    made = rig(usual_devices())
    drawn = lamp_map(made)
    assert {m.device_id for m in drawn.view("plan").marks} == {d.id for d in usual_devices()}
    words = " ".join(ElementTree.fromstring(lamp_map_svg(made)).itertext())
    for group in {d.row for d in usual_devices()}:
        assert group in words
    assert drawn.unplaced == ()


def test_ids_stand_at_the_lamps_where_they_have_room() -> None:
    few = [lamp("grille-left", (-0.88, -0.32, 0.72), 0, ("blue",)), lamp("rear", (3.6, 0, 1.0), 180, ("red",))]
    drawn = lamp_map(rig(few))
    assert not drawn.numbered
    assert "grille-left" in [b.text for b in drawn.view("plan").labels]


def test_a_crowd_is_numbered_and_the_key_names_all() -> None:
    made = rig(crowd(60))
    drawn = lamp_map(made)
    assert drawn.numbered
    words = list(ElementTree.fromstring(lamp_map_svg(made)).itertext())
    assert sum("lamp-with-a-long-name" in w and w[0].isdigit() for w in words) == 60


def test_letters_stand_with_every_colour() -> None:
    drawn = lamp_map(rig(usual_devices()))
    strong = {b.key: b.strong for b in drawn.view("plan").labels}
    assert strong["bumper-left"] == "B R" and strong["stick"] == "A" and strong["quarter-left"] == "B W"


@pytest.mark.parametrize(
    ("facing", "view", "direction"),
    [
        (0, "plan", (-1, 0)),
        (90, "plan", (0, 1)),
        (180, "plan", (1, 0)),
        (270, "plan", (0, -1)),
        (0, "left", (-1, 0)),
        (0, "right", (1, 0)),
        (90, "front", (-1, 0)),
        (90, "rear", (1, 0)),
    ],
)
def test_arrows_follow_the_axes_of_the_build_file(facing: float, view: str, direction: tuple[float, float]) -> None:
    assert aim_on_page(pose((0, 0, 0), facing), view) == pytest.approx(direction, abs=1e-9)  # type: ignore[arg-type]


@pytest.mark.parametrize(("facing", "view"), [(0, "front"), (180, "rear"), (90, "right")])
def test_a_lamp_that_looks_at_the_reader_has_no_arrow(facing: float, view: str) -> None:
    assert aim_on_page(pose((0, 0, 0), facing), view) is None  # type: ignore[arg-type]


def test_the_drivers_right_is_up_in_the_plan_and_left_in_the_front_view() -> None:
    f = frame(vehicle())
    right = Point(0.0, 0.5, 1.0)
    assert project(right, f, "plan")[1] > 0
    assert project(right, f, "front")[0] < 0 < project(right, f, "rear")[0]


def test_views_are_to_one_scale() -> None:
    drawn = lamp_map(rig(usual_devices()))
    plan = {m.device_id: m for m in drawn.view("plan").marks if m.pose == 0}
    apart = plan["stick.8"].y - plan["stick.1"].y
    assert -apart / drawn.mm_per_m == pytest.approx(7 * 0.128, abs=1e-6)
    front = {m.device_id: m for m in drawn.view("front").marks}
    assert (front["grille-left"].x - front["grille-right"].x) / drawn.mm_per_m == pytest.approx(0.64, abs=1e-6)


def test_a_door_lamp_shows_both_its_places() -> None:
    marks = [m for m in lamp_map(rig(usual_devices())).view("rear").marks if m.device_id == "hatch"]
    assert [m.pose for m in marks] == [0, 1] and marks[1].y < marks[0].y


def test_equal_rigs_give_equal_bytes() -> None:
    assert lamp_map_svg(rig(usual_devices())) == lamp_map_svg(rig(usual_devices()))


def test_a_title_in_any_script_stays_well_formed() -> None:
    made = rig(usual_devices(), title='<b>"Größe" & مرحبا \x07')
    assert ElementTree.fromstring(lamp_map_svg(made)).find(f"{SVG}title") is not None


def test_metric_shops_get_a_metric_scale_bar() -> None:
    assert " m" in " ".join(
        lamp_map_svg(rig(usual_devices(), units="metric")).split(">")
    ) and "ft<" not in lamp_map_svg(rig(usual_devices(), units="metric"))
    assert "ft<" in lamp_map_svg(rig(usual_devices(), units="us"))
