"""Cut files read back by GDAL's DXF driver: closed, on their layers, none twice, true to a hundredth of a millimetre."""

from __future__ import annotations

import io
import math
from pathlib import Path

import ezdxf
import numpy as np
import pyogrio
import pytest
import shapely

from rigbook.papers.cut_files import LAYERS, CannotCut, cut_file
from rigbook.papers.cut_outlines import Outline, cuts_of, words_of
from rigbook.rig.model import Rig
from tests.rig.faced import car, face_text

from .opened import example

TRUE_MM = 0.01
VAN = "flood-support-van"
FACES = ("console-face", "console-top", "cabinet-front", "radio-front")


@pytest.fixture(scope="module", autouse=True)
def fine_arcs() -> None:
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": 0.5, "DXF_CLOSED_LINE_AS_POLYGON": True})


def read(path: Path) -> tuple[list[str], list[shapely.Geometry]]:
    _, _, shapes, fields = pyogrio.raw.read(path)
    layers = next(column for column in fields if any(value in LAYERS for value in column))
    return [str(layer) for layer in layers], list(shapely.from_wkb(shapes))


def far(one: shapely.Geometry, other: shapely.Geometry) -> float:
    """The farthest any corner of one is from the other, both ways."""
    if not np.allclose(shapely.bounds(one), shapely.bounds(other), atol=1.0):
        return math.inf
    return max(
        float(shapely.distance(shapely.points(shapely.get_coordinates(a)), b).max())
        for a, b in ((one, other), (other, one))
    )


def ring(cut: Outline) -> shapely.Geometry:
    points = cut.points(step_deg=0.5)
    return shapely.linearrings([*points, points[0]])


@pytest.mark.parametrize("old", [False, True], ids=["2010", "r12"])
@pytest.mark.parametrize("face", FACES)
def test_gdal_reads_the_same_outlines(tmp_path: Path, face: str, old: bool) -> None:
    rig = example(VAN).worked
    path = tmp_path / "face.dxf"
    path.write_bytes(cut_file(rig, face, old=old))
    panel = next(panel for panel in rig.build.panels if panel.id == face)
    wanted = cuts_of(rig, panel)
    layers, shapes = read(path)
    cut = [shape for layer, shape in zip(layers, shapes, strict=True) if layer == "CUT"]
    assert len(cut) == len(wanted), "as many as asked for: none twice, none lost"
    rings = [shapely.get_exterior_ring(s) if shapely.get_type_id(s) == 3 else s for s in cut]
    assert all(shapely.is_closed(r) for r in rings)
    for outline in wanted:
        nearest = min(far(ring(outline), r) for r in rings)
        assert nearest < TRUE_MM, (outline.id, nearest)
    box = shapely.total_bounds(np.array(rings))
    assert box == pytest.approx([0, 0, 1e3 * panel.size[0], 1e3 * panel.size[1]], abs=TRUE_MM)


def test_engraving_is_closed_loops_inside_the_face_and_as_high_as_asked(tmp_path: Path) -> None:
    rig = example(VAN).worked
    path = tmp_path / "face.dxf"
    path.write_bytes(cut_file(rig, "console-face"))
    panel = rig.build.panels[0]
    words = words_of(rig, panel)
    assert "WARN" in [word.text for word in words] and "USB" in [word.text for word in words]
    layers, shapes = read(path)
    engraved = [shape for layer, shape in zip(layers, shapes, strict=True) if layer == "ENGRAVE"]
    assert len(engraved) > 60
    bounds = shapely.bounds(np.array(engraved))
    assert bounds[:, 0].min() > 0 and bounds[:, 1].min() > 0
    assert bounds[:, 2].max() < 290 and bounds[:, 3].max() < 240
    usb = next(word for word in words if word.text == "USB")
    own = bounds[(abs(bounds[:, 1] - usb.y) < 5) & (abs(bounds[:, 0] - usb.x) < 10)]
    assert own[:, 3].max() - own[:, 1].min() == pytest.approx(usb.height, abs=0.12), "round letters stand a little over"
    assert (own[:, 0].min() + own[:, 2].max()) / 2 == pytest.approx(usb.x, abs=0.3)


@pytest.mark.parametrize("old", [False, True], ids=["2010", "r12"])
def test_units_layers_and_dimensions(old: bool) -> None:
    text = cut_file(example(VAN).worked, "console-top", old=old).decode()
    document = ezdxf.read(io.StringIO(text))
    assert document.dxfversion == ("AC1009" if old else "AC1024")
    if not old:
        assert document.header["$INSUNITS"] == 4
    space = document.modelspace()
    assert {e.dxf.layer for e in space} <= set(LAYERS)
    on_cut = {e.dxftype() for e in space if e.dxf.layer == "CUT"}
    assert on_cut <= {"LWPOLYLINE", "POLYLINE", "CIRCLE"} and ("LWPOLYLINE" in on_cut) is not old
    assert all(
        e.closed if e.dxftype() == "LWPOLYLINE" else e.is_closed for e in space if e.dxftype().endswith("POLYLINE")
    )
    dims = [e for e in space if e.dxftype() == "DIMENSION"]
    assert sorted(round(float(d.get_measurement()), 6) for d in dims) == [290.0, 300.0]
    shown = {
        t.plain_text() if t.dxftype() == "MTEXT" else t.dxf.text
        for d in dims
        for t in d.virtual_entities()
        if t.dxftype() in ("TEXT", "MTEXT")
    }
    assert shown == {"290", "300"}, "printed as millimetres, not a hundred times as long"


def test_equal_faces_give_equal_bytes() -> None:
    rig = example(VAN).worked
    assert cut_file(rig, "console-face") == cut_file(rig, "console-face")
    assert cut_file(rig, "console-face") != cut_file(rig, "console-top")
    with pytest.raises(KeyError):
        cut_file(rig, "roof")


def faced(rows: str, **more: str) -> Rig:
    return car(face_text(rows, **more))


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ("{id: a, part: plug, on: {panel: dash-plate, at: [60 mm, 60 mm]}}\n  - {id: b, part: plug, on: {panel: dash-plate, at: [60 mm, 60 mm]}}", "the same outline twice"),
        ("{id: a, part: plug, on: {panel: dash-plate, at: [60 mm, 60 mm]}}\n  - {id: b, part: plug, on: {panel: dash-plate, at: [80 mm, 60 mm]}}", "meets the cut-out"),
        ("{id: a, part: blank, on: {panel: dash-plate, at: [45 mm, 60 mm]}}", "reaches over the edge"),
    ],
)  # fmt: skip
def test_what_would_spoil_the_sheet_is_not_written(rows: str, says: str) -> None:
    with pytest.raises(CannotCut, match=says):
        cut_file(faced(rows), "dash-plate")


def test_a_hole_smaller_than_the_sheet_is_thick_is_not_cut() -> None:
    text = face_text("{id: a, part: blank, on: {panel: dash-plate, at: [130 mm, 60 mm]}}").replace(
        "thickness: 2 mm", "thickness: 5 mm"
    )
    with pytest.raises(CannotCut, match="smaller than the sheet is thick"):
        cut_file(car(text), "dash-plate")


def test_turned_things_carry_their_holes_along() -> None:
    row = "{id: a, part: keys-cut, on: {panel: dash-plate, at: [130 mm, 95 mm], turn: 90 deg}}"
    rig = car(face_text(row).replace("130 mm]\n", "190 mm]\n"))
    holes = [cut.circle for cut in cuts_of(rig, rig.build.panels[0]) if cut.what == "fixing hole"]
    assert sorted((round(c[0], 6), round(c[1], 6)) for c in holes if c) == [(130, 8), (130, 182)]
    corner = next(cut for cut in cuts_of(rig, rig.build.panels[0]) if cut.what == "cut-out")
    assert len(corner.corners) == 8
    area = shapely.area(shapely.polygons(ring(corner)))
    assert area == pytest.approx(50 * 170 - (4 - math.pi) * 16, rel=1e-5)
