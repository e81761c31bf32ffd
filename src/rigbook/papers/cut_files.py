"""Cut files: a face as DXF in millimetres, closed outlines on a layer each for cutting, engraving and notes."""

from __future__ import annotations

import io
from importlib import resources
from typing import TYPE_CHECKING, Any

from rigbook.documents.schema.panels import Panel
from rigbook.papers.cut_outlines import Outline, Word, cuts_of, problems, words_of
from rigbook.rig.model import Rig

if TYPE_CHECKING:
    from ezdxf.document import Drawing

LAYERS = {"CUT": 1, "ENGRAVE": 5, "NOTES": 8, "DIMENSIONS": 8}
"""Layer to colour number. What a machine follows stands on the first two."""
FLAT_MM = 0.005
"""How far engraved letters may be from the curve of their font."""
FONT = "DejaVuSansCondensed.ttf"


class CannotCut(Exception):
    """A face that cannot be cut as it is laid out; the message says why."""


def cut_file(rig: Rig, panel_id: str, *, old: bool = False) -> bytes:
    """One face as DXF, release 2010, or R12 for old cutters. Equal faces give equal bytes.

    Raises:
        KeyError: there is no such face.
        CannotCut: outlines meet, stand twice or reach over the edge.
    """
    panel = {panel.id: panel for panel in rig.build.panels}[panel_id]
    cuts = cuts_of(rig, panel)
    wrong = problems(panel, cuts)
    if wrong:
        raise CannotCut(f"{panel_id} is not cut: {'; '.join(wrong)}")
    return _written(panel, cuts, words_of(rig, panel), old=old)


def _written(panel: Panel, cuts: list[Outline], words: list[Word], *, old: bool) -> bytes:
    from ezdxf._options import options
    from ezdxf.document import Drawing

    options.write_fixed_meta_data_for_testing = True  # no clock, no random ids: equal faces give equal bytes
    document = Drawing.new("R12" if old else "R2010")
    if not old:  # R12 has no code of units
        document.header["$INSUNITS"] = 4
        document.header["$MEASUREMENT"] = 1
    document.header["$EXTMIN"], document.header["$EXTMAX"] = (0, 0, 0), (1e3 * panel.size[0], 1e3 * panel.size[1], 0)
    for name, colour in LAYERS.items():
        document.layers.add(name, color=colour)
    space = document.modelspace()
    for cut in cuts:
        if cut.circle is not None:
            x, y, r = cut.circle
            space.add_circle((x, y), r, dxfattribs={"layer": "CUT"})
        else:
            _closed(space, cut.corners, layer="CUT", old=old)
    for word in words:
        for loop in letters(word):
            _closed(space, [(x, y, 0.0) for x, y in loop], layer="ENGRAVE", old=old)
    _notes(document, space, panel)
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode(document.output_encoding, errors="dxfreplace")


def _closed(space: Any, corners: Any, *, layer: str, old: bool) -> None:
    attributes = {"layer": layer}
    if old:  # R12 knows no light polylines
        space.add_polyline2d(list(corners), format="xyb", close=True, dxfattribs=attributes)
    else:
        space.add_lwpolyline(list(corners), format="xyb", close=True, dxfattribs=attributes)


def _notes(document: Drawing, space: Any, panel: Panel) -> None:
    wide, high = (1e3 * extent for extent in panel.size)
    thick = 1e3 * panel.thickness
    says = (
        f"{panel.id}: {wide:g} by {high:g} mm, {thick:g} mm {panel.material}",
        "Millimetres, 1:1, seen from the front. Outlines true to size: set the kerf on the machine, once.",
    )
    for index, text in enumerate(says):
        space.add_text(text, height=4.0, dxfattribs={"layer": "NOTES"}).set_placement((0.0, -30.0 - 7.0 * index))
    # the stock style prints a hundred times the length: dimlfac 1 prints millimetres
    style = {
        "dimlfac": 1.0,
        "dimtxt": 4.0,
        "dimasz": 3.0,
        "dimexe": 1.5,
        "dimexo": 2.0,
        "dimgap": 1.0,
        "dimdec": 1,
        "dimzin": 8,
    }
    document.dimstyles.new("MILLIMETRES", dxfattribs=style)
    at = {"layer": "DIMENSIONS"}
    space.add_linear_dim(base=(0, -15), p1=(0, 0), p2=(wide, 0), dimstyle="MILLIMETRES", dxfattribs=at).render()
    space.add_linear_dim(
        base=(-15, 0), p1=(0, 0), p2=(0, high), angle=90, dimstyle="MILLIMETRES", dxfattribs=at
    ).render()


def letters(word: Word) -> list[list[tuple[float, float]]]:
    """The outlines of a text as closed loops, capitals as high as asked, about its middle."""
    font = _font()
    scale = font.get_scaling_factor(word.height)
    x, loops = 0.0, []
    for character in word.text:
        glyph = font.get_glyph_path(character)
        for sub in glyph.sub_paths():
            points = [(x + p.x * scale, p.y * scale) for p in sub.flattening(FLAT_MM / scale)]
            if len(points) > 3 and points[0] == points[-1]:
                points.pop()
            loops.append(points)
        x += font.get_glyph_width(character) * scale
    left, bottom = word.x - x / 2, word.y - word.height / 2
    return [[(left + px, bottom + py) for px, py in loop] for loop in loops if len(loop) > 2]


def _font() -> Any:
    from ezdxf.fonts.font_manager import FontManager
    from ezdxf.fonts.ttfonts import TTFontRenderer

    manager = FontManager()
    with resources.as_file(resources.files("rigbook.browser").joinpath("fonts")) as folder:
        manager.scan_folder(folder)
        return TTFontRenderer(manager.get_ttf_font(FONT))
