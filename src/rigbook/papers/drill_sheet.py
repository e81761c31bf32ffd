"""Drill and cut sheet: every hole of faces, joints and fittings, what lies behind it, how deep, how it is finished."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from rigbook.body import fasteners, solids
from rigbook.body.face_fit import Around, around_face, laid_on, room_behind
from rigbook.body.mounts import torque_n_m
from rigbook.body.solids import Boxed
from rigbook.documents.schema.mounting import JointMount
from rigbook.documents.schema.panels import Panel
from rigbook.papers.chapter import Desk
from rigbook.papers.cut_outlines import Outline, cuts_of
from rigbook.papers.drawings import drawing_pieces
from rigbook.papers.face_drawings import middle_of, shape_words
from rigbook.papers.pieces import DASH, Piece, caution, column, group, heading, paragraph, sign, small, table
from rigbook.papers.sheets import Cell, Column, Sheet, rounded
from rigbook.quantities.show import convert
from rigbook.rig.model import Rig

STOP_BEHIND_MM = 5.0
"""How far a drill may come out behind a sheet [common practice, no source]."""
LOOK_M = 0.30
"""How far behind a hole in the body is looked."""
ROUND_M = 0.02
"""What counts as behind a hole: within this of its axis."""
FINISH: Mapping[str, str] = MappingProxyType(
    {
        "aluminium": "deburr",
        "steel": "deburr, primer on the bare edge",
        "plastic": "deburr",
        "birch-ply": "break the edge, seal it",
    }
)
"""How the edge of a hole in a face is finished [common practice, no source]."""
BODY_FINISH = "deburr, primer, seal"
_AXES: Mapping[str, tuple[int, int, int, float]] = MappingProxyType(
    {"up": (0, 1, 2, -1.0), "down": (0, 1, 2, 1.0), "back": (1, 2, 0, -1.0), "ahead": (1, 2, 0, 1.0), "right": (0, 2, 1, -1.0), "left": (0, 2, 1, 1.0)}
)  # fmt: skip
_NAMES = ("back of the front axle", "right of the middle", "above the ground")


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole. `x_m` and `y_m` run from the datum; a dash stands where nothing applies."""

    number: str
    panel: str
    datum: str
    what: str
    x_m: float
    y_m: float
    size: str
    behind: str
    depth_stop: str
    finish: str
    rivet_nut: str
    torque_n_m: float | None
    template: str


def holes_of(rig: Rig) -> list[Hole]:
    """Every hole: faces in file order, then joints, then fittings through the body."""
    everything = solids.of_rig(rig)
    made: list[Hole] = []
    for panel in rig.build.panels:
        made += _of_face(rig, panel, around_face(rig, panel, everything))
    around = {**everything}
    for keep in rig.vehicle.keep_out:
        around[f"{keep.id} ({keep.why})"] = (solids.corners_of_box(*keep.box),)
    for mount in rig.build.mounts:
        made += _of_mount(mount, around)
    made += _of_fittings(rig, around)
    return made


def _of_face(rig: Rig, panel: Panel, around: Around) -> Iterator[Hole]:
    behind = {}
    for laid in laid_on(rig, panel):
        room, name = room_behind(panel, laid, around)
        behind[laid.id] = f"{name}, {1e3 * room:.0f} mm" if name else f"free for {1e3 * room:.0f} mm"
    template = f"{rig.build.build.id}-{panel.id}.dxf"
    for index, cut in enumerate(cuts_of(rig, panel)[1:], 1):
        x, y = middle_of(cut)
        owner = cut.id if cut.id in behind else cut.id.rsplit(".", 1)[0]
        yield Hole(
            f"{panel.id}-{index}", panel.id, "lower left corner, seen from the front", f"{cut.what}, {owner}", x / 1e3,
            y / 1e3, shape_words(cut), behind.get(owner, "what carries the face"), "cut before it is fitted",
            FINISH[panel.material] + _trim(rig, owner, cut), DASH, None, template,
        )  # fmt: skip


def _trim(rig: Rig, owner: str, cut: Outline) -> str:
    device = rig.devices.get(owner)
    return "; edge trim where cables pass" if device is None and cut.what == "cut-out" else ""


def _of_mount(mount: JointMount, around: Mapping[str, Boxed]) -> Iterator[Hole]:
    first, second, along, sign = _AXES[mount.stands_off]
    diameter = fasteners.bolt(thread=mount.bolt, column="diameter_mm")
    rivet = mount.fastening != "nut"
    size = f"diameter {1e3 * mount.sheet.hole:.4g}" if mount.sheet.hole is not None else "by the nut's maker" if rivet else f"diameter {diameter + 0.6:.4g}"  # fmt: skip
    own = {*mount.holds}
    stop = 1e3 * mount.sheet.thickness + STOP_BEHIND_MM
    for index, bolt in enumerate(mount.bolts, 1):
        name, away = nearest_behind(bolt, along, sign, around, own)
        allowed = stop if away is None else min(stop, max(1e3 * mount.sheet.thickness, 1e3 * away - 2.0))
        yield Hole(
            f"{mount.id}-{index}", mount.id, f"{_NAMES[first]}; {_NAMES[second]}", f"bolt, {', '.join(mount.holds)}",
            bolt[first], bolt[second], size, DASH if name is None or away is None else f"{name}, {1e3 * away:.0f} mm",
            f"{allowed:.0f} mm", BODY_FINISH,
            f"{mount.bolt}, {mount.fastening.removeprefix('rivet-nut-')} body" if rivet else DASH, torque_n_m(mount), DASH,
        )  # fmt: skip


def nearest_behind(
    bolt: tuple[float, float, float], along: int, sign: float, around: Mapping[str, Boxed], own: set[str]
) -> tuple[str | None, float | None]:
    """The nearest thing behind a hole in the body within 0.3 m, and how far it is; nothing where all is free."""
    best: tuple[str | None, float | None] = (None, None)
    for name, boxes in around.items():
        if name in own:
            continue
        for box in boxes:
            spans = [(min(axis), max(axis)) for axis in zip(*box, strict=True)]
            if any(not spans[k][0] - ROUND_M < bolt[k] < spans[k][1] + ROUND_M for k in range(3) if k != along):
                continue
            away = spans[along][0] - bolt[along] if sign > 0 else bolt[along] - spans[along][1]
            if -0.001 <= away <= LOOK_M and (best[1] is None or away < best[1]):
                best = (name, max(0.0, away))
    return best


def _of_fittings(rig: Rig, around: Mapping[str, Boxed]) -> Iterator[Hole]:
    for device in rig.devices.values():
        if device.part_kind != "bulkhead-fitting":
            continue
        part, at = rig.parts[device.part_id or ""], device.placement.at
        point = (at.x_m, at.y_m, at.z_m)
        name, away = nearest_behind(point, 2, -1.0, around, {device.id})
        bore = "" if part.hole is None else f", {1e3 * part.hole:.4g} mm clear bore"
        yield Hole(
            device.id, device.id, f"{_NAMES[0]}; {_NAMES[1]}", part.title, point[0], point[1], f"by the fitting{bore}",
            DASH if name is None or away is None else f"{name}, {1e3 * away:.0f} mm", DASH,
            "deburr, primer, the fitting's own seal", DASH, None, DASH,
        )  # fmt: skip


def _length(desk: Desk, value_m: float) -> str:
    mm = f"{1e3 * value_m:.1f}"
    return f"{convert(value_m, 'length', 'in'):.2f} ({mm})" if desk.us else mm


def pieces(desk: Desk) -> list[Piece]:
    """The chapter: drawings of the faces, then the sheet."""
    holes = holes_of(desk.rig)
    if not holes:
        return []
    made = [
        heading("Faces, drill and cut sheet"),
        caution("Look behind every sheet before a drill touches it: fuel, brake lines, high voltage, air bags and their cables. Disconnect the "
                "batteries. What this sheet knows of the space behind is what the build says; the vehicle in front of you decides."),
    ]  # fmt: skip
    if desk.rig.build.panels:
        made += drawing_pieces("faces", desk.rig, desk.report)
    unit, torque = ("in (mm)" if desk.us else "mm"), ("lbf ft" if desk.us else "N m")
    columns = [
        column("No.", share=0.8), column("Hole", share=1.2), column(f"x {unit}", number=True), column(f"y {unit}", number=True),
        column("Size mm", share=0.9), column("What lies behind", share=1), column("Depth stop", share=0.7), column("Finish", share=0.9),
        column("Rivet nut"), column(f"Torque {torque}", number=True), column("Done by", least_mm=12),
    ]  # fmt: skip
    rows: list[list[str] | dict[str, str]] = []
    last = ""
    for hole in holes:
        if hole.panel != last:
            template = "" if hole.template == DASH else f"; template {hole.template}"
            rows.append(
                group(
                    f"{hole.panel}: x, y from the {hole.datum}{template}"
                    if template
                    else f"{hole.panel}: x is {hole.datum.replace('; ', ', y ')}"
                )
            )
            last = hole.panel
        rows.append([
            hole.number, hole.what, _length(desk, hole.x_m), _length(desk, hole.y_m), hole.size, hole.behind, hole.depth_stop, hole.finish,
            hole.rivet_nut, DASH if hole.torque_n_m is None else f"{convert(hole.torque_n_m, 'torque', torque):.1f}", "",
        ])  # fmt: skip
    made += [
        heading("Drill and cut sheet", level=2),
        table(caption="Every hole: set a depth stop before drilling", columns=columns, rows=rows, size=7.0, form=True),
        small(
            f"Depth stop: the sheet and {STOP_BEHIND_MM:.0f} mm, less where something lies nearer; finish as shops do it (both common practice, no "
            "source). Templates are written by the draw command, one file a face, in millimetres, true to size, without kerf."
        ),
        paragraph(
            "Punch-mark, drill a pilot, then to size. Vacuum the swarf before the next hole: it rusts and it shorts."
        ),
        sign("Drilled and cut by: name, date"),
    ]
    return made


def drill_table(desk: Desk) -> Sheet:
    """The sheet as a table."""
    torque = "lbf ft" if desk.us else "N m"
    rows: list[tuple[Cell, ...]] = [
        (
            h.number, h.panel, h.datum, h.what, rounded(1e3 * h.x_m), rounded(1e3 * h.y_m), h.size, h.behind, h.depth_stop, h.finish,
            None if h.rivet_nut == DASH else h.rivet_nut,
            None if h.torque_n_m is None else rounded(convert(h.torque_n_m, "torque", torque)),
            None if h.template == DASH else h.template, None,
        )
        for h in holes_of(desk.rig)
    ]  # fmt: skip
    columns = (
        Column("hole no."), Column("panel"), Column("datum"), Column("hole"), Column("x", "mm"), Column("y", "mm"), Column("diameter or shape", "mm"),
        Column("what lies behind"), Column("depth stop"), Column("deburr / primer / grommet / seal"), Column("rivet nut"), Column("torque", torque),
        Column("template file"), Column("done by"),
    )  # fmt: skip
    return Sheet("drill", "Drill and cut sheet", columns, tuple(rows))
