"""Every drawing by its name: what `draw` writes as .svg (plates under one another) or .pdf (a page each, as in the book)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from rigbook.papers import pieces
from rigbook.papers.canvas import Plate, stacked
from rigbook.papers.silhouettes import ViewName
from rigbook.rig.model import Rig

Report = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing: its title and how it is made from the rig and the results."""

    title: str
    plates: Callable[[Rig, Report], list[Plate]]


def _lamp_map(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.lampmap import lamp_map
    from rigbook.papers.lampsheet import plate_of

    return [plate_of(rig, lamp_map(rig))]


def _fuse_map(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.fuse_map import fuse_map

    return fuse_map(rig, report)


def _one_line(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.one_line import one_line

    return one_line(rig)


def _time_current(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.time_current import plates

    return plates(rig)


def _day(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.day_chart import day_chart

    return day_chart(rig)


def _panels(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.switch_panels import switch_panels

    return switch_panels(rig)


def _faces(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.face_drawings import face_plates

    return face_plates(rig, report)


def _balance(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.balance_drawing import balance_plates

    return balance_plates(rig, report)


def _lid_sides(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.lid_drawings import lid_plates

    return lid_plates(rig, report)


def _ground(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.ground_drawing import ground_plates

    return ground_plates(rig)


def _around(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.around_drawing import around_plates

    return around_plates(rig, report)


def _colours(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.colour_chart import chart_plates

    return chart_plates(report)


def _markings(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.light.nesting import DoesNotFit, nests_of
    from rigbook.papers.marking_drawing import marking_plates

    try:
        return marking_plates(rig, nests_of(rig))
    except DoesNotFit as wrong:
        return marking_plates(rig, wrong)


def _timing(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.timing import timing

    return timing(rig)


def _labels(rig: Rig, report: Report) -> list[Plate]:
    from rigbook.papers.labels_sheet import label_sheets

    return label_sheets(rig, report)


def _view(name: ViewName) -> Callable[[Rig, Report], list[Plate]]:
    def plates(rig: Rig, report: Report) -> list[Plate]:
        from rigbook.papers.lampmap import single_view
        from rigbook.papers.lampsheet import view_plate

        return [view_plate(rig, single_view(rig, name), name)]

    return plates


DRAWINGS: Mapping[str, Drawing] = MappingProxyType(
    {
        "lamp-map": Drawing("Lamp map", _lamp_map),
        "fuse-map": Drawing("Fuse map", _fuse_map),
        "one-line": Drawing("One-line diagram", _one_line),
        "time-current": Drawing("Time-current charts", _time_current),
        "day": Drawing("Batteries through the working day", _day),
        "panels": Drawing("Switch panels", _panels),
        "faces": Drawing("Faces", _faces),
        "balance": Drawing("Balance", _balance),
        "lids": Drawing("Lids on gas springs", _lid_sides),
        "around": Drawing("Optical power around the vehicle", _around),
        "colours": Drawing("Chromaticity of the fitted parts", _colours),
        "ground": Drawing("Light on the ground", _ground),
        "markings": Drawing("Markings", _markings),
        "timing": Drawing("Timing diagrams", _timing),
        "labels": Drawing("Labels", _labels),
        "view-plan": Drawing("Plan", _view("plan")),
        "view-left": Drawing("Left side", _view("left")),
        "view-right": Drawing("Right side", _view("right")),
        "view-front": Drawing("Front", _view("front")),
        "view-rear": Drawing("Rear", _view("rear")),
    }
)
"""Name to drawing. `cli.draw.NAMES` repeats the names, so that help needs no import; a test compares them."""


def plates_of(name: str, rig: Rig, report: Report) -> list[Plate]:
    """The plates of one drawing by name. KeyError for a name that is not in `DRAWINGS`."""
    return DRAWINGS[name].plates(rig, report)


def drawing_svg(name: str, rig: Rig, report: Report) -> bytes:
    """One drawing as SVG: equal rigs and results give equal bytes."""
    title = f"{DRAWINGS[name].title}: {rig.build.build.title}"
    return stacked(plates_of(name, rig, report), title=title).encode()


def face_drawing(panel_id: str, rig: Rig, report: Report, *, pdf: bool) -> bytes:
    """The drawing of one face as SVG or PDF. KeyError where the build has no such face."""
    from rigbook.papers.face_drawings import face_plate

    plates = face_plate(rig, panel_id)
    if not pdf:
        return stacked(plates, title=f"{plates[0].title}: {rig.build.build.title}").encode()
    return _pdf(plates[0].title, plate_pieces(plates), rig, report)


def drawing_pieces(name: str, rig: Rig, report: Report) -> list[pieces.Piece]:
    """One drawing as pieces of a book: each plate a figure, then the characters that no font has."""
    return plate_pieces(plates_of(name, rig, report))


def plate_pieces(plates: list[Plate]) -> list[pieces.Piece]:
    """Plates as pieces of a book."""
    found: list[pieces.Piece] = []
    for plate in plates:
        found.append(pieces.drawing(plate.document, caption=plate.title, max_height_mm=MOST_MM))
    gone = {m.code_point: m.name for plate in plates for m in plate.missing}
    if gone:
        listed = "; ".join(f"{code} {name}" for code, name in sorted(gone.items()))
        found.append(
            pieces.small(f"No font of ours has these characters; each stands as its code point in a box: {listed}.")
        )
    return found


MOST_MM = 225.0
"""Height of a drawing at most, beside heading and caption on the shorter paper."""


def drawing_pdf(name: str, rig: Rig, report: Report) -> bytes:
    """One drawing as PDF, with the frame that every paper carries.

    Raises:
        rigbook.papers.typeset.CannotTypeset: a fault of ours in a template.
    """
    if name == "labels":  # on the shop's own stock, without the frame of a paper
        from rigbook.papers.labels_sheet import label_sheet_data
        from rigbook.papers.typeset import typeset

        return typeset("labels.typ", label_sheet_data(rig, report))
    return _pdf(DRAWINGS[name].title, drawing_pieces(name, rig, report), rig, report)


def _pdf(title: str, made: list[pieces.Piece], rig: Rig, report: Report) -> bytes:
    from rigbook.papers.book import frame_data
    from rigbook.papers.layout import boxed
    from rigbook.papers.typeset import typeset

    data = frame_data(rig, report)
    blocks = [pieces.heading(title), *made]
    return typeset("book.typ", boxed(data | {"parts": [{"name": "drawing", "flipped": False, "blocks": blocks}]}))
