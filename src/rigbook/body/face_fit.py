"""Faces: cut-outs against edges, neighbours, depth and reach; drawers and doors in their swing; what comes out first."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from rigbook.body import solids
from rigbook.body.solids import Boxed
from rigbook.documents.schema.panels import Panel
from rigbook.documents.schema.parts import ElectricBase
from rigbook.rig.faces import LETTERS_WIDE, Footprint, Rectangle, footprint_of, frame_of, legends_of, rows_on
from rigbook.rig.model import Rig, RigNote

TOUCH_M = 0.001
"""What may touch: solids of the build overlap by this much before it counts."""
LEAST_LETTER_M = 0.0023
"""Least height of engraved letters, read from less than half a metre. Source: letter-height (memory)."""
SERVICED = ("radio", "speaker", "modem")
"""What comes out for service without taking other things apart. Common practice, no source."""
_SIDES: Mapping[str, tuple[int, float]] = {
    "front": (2, 1.0), "back": (2, -1.0), "left": (0, -1.0), "right": (0, 1.0), "top": (1, 1.0), "bottom": (1, -1.0),
}  # fmt: skip


Around = Mapping[str, tuple[solids.Local, ...]]
"""What stands round a face by its name, along the axes of the face."""


@dataclass(frozen=True, slots=True)
class FaceItem:
    """One thing on a face. Gap and edge are below zero by how much it would have to move; None: nothing to measure to.

    `needs_m` is the room it takes behind the face with its plugs, `room_m` what there is, to `behind` where something
    stands there. `letter_m` is the height its legend can have."""

    id: str
    x_m: float
    y_m: float
    how: str
    turn_deg: float
    bezel_width_m: float
    bezel_height_m: float
    cut_width_m: float | None
    cut_height_m: float | None
    cut_corner_m: float | None
    edge_m: float
    gap_m: float | None
    nearest: str | None
    needs_m: float
    room_m: float
    behind: str | None
    reach_m: float | None
    letter_m: float | None
    legends: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FaceMove:
    """A drawer or door. `stands_out_m` is how far it comes into the room, `blocked_by` what stands in its way."""

    id: str
    way: str
    stands_out_m: float
    blocked_by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FaceService:
    """What is reached through a face: from which side, what opens and what comes out first."""

    id: str
    side: str
    opens: tuple[str, ...]
    takes_out: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FaceResult:
    """One face. `used_share` is what bezels and legends cover of it."""

    id: str
    kind: str
    host: str | None
    width_m: float
    height_m: float
    depth_m: float
    thickness_m: float
    used_share: float
    items: tuple[FaceItem, ...]
    moves: tuple[FaceMove, ...]
    service: tuple[FaceService, ...]


@dataclass(frozen=True, slots=True)
class Laid:
    """What sits on a face, with where it sits."""

    id: str
    at: tuple[float, float]
    footprint: Footprint
    turn_deg: float
    how: str
    legends: tuple[str, ...]

    @property
    def covers(self) -> Rectangle:
        """Bezel and letters."""
        return self.footprint.covers(self.at)

    @property
    def opening(self) -> Rectangle:
        """Cut-out, or bezel where it sits on the surface."""
        return self.footprint.opening(self.at)


def laid_on(rig: Rig, panel: Panel) -> tuple[Laid, ...]:
    """Everything on a face, in file order."""
    made = []
    for row in rows_on(panel, rig.build, rig.parts):
        assert row.on is not None
        at = rig.devices[row.id].placement.on_face_m
        assert at is not None
        settled = f"install.{row.id}.on" in rig.build.settled
        how = "set" if isinstance(row.on.at, tuple) else "settled" if settled else "auto"
        footprint = footprint_of(row, rig.parts[row.part], panel, rig.build)
        made.append(Laid(row.id, at, footprint, row.on.turn % 360, how, legends_of(row, rig.build)))
    return tuple(made)


def room_behind(panel: Panel, laid: Laid, around: Around) -> tuple[float, str | None]:
    """Room behind a cut-out down to the first thing that stands there, and its name; the depth of the face at most."""
    opening = laid.opening
    best, name = panel.depth, None
    for other, boxes in around.items():
        for (x0, x1), (y0, y1), (n0, n1) in boxes:
            beside = x1 <= opening.left + TOUCH_M or x0 >= opening.right - TOUCH_M
            over = y1 <= opening.bottom + TOUCH_M or y0 >= opening.top - TOUCH_M
            if beside or over or n0 >= -TOUCH_M:
                continue
            away = max(0.0, -n1)
            if away < best - 1e-12:
                best, name = away, other
    return best, name


def needs_m(rig: Rig, panel: Panel, laid: Laid) -> float:
    """Depth behind the face, and room for plugs where it has any."""
    part = rig.parts[rig.devices[laid.id].part_id or ""]
    return laid.footprint.behind + (panel.cable if isinstance(part, ElectricBase) and laid.footprint.behind else 0.0)


def letter_m(panel: Panel, laid: Laid) -> float | None:
    """Height its letters can have: as the face asks, or what the longest legend leaves in its part of the width."""
    if not laid.legends or panel.legend == 0:
        return None
    across = 1 if len(laid.legends) == 1 else math.ceil(len(laid.legends) / 2)
    longest = max(len(text) for text in laid.legends)
    return min(panel.legend, 0.95 * laid.footprint.bezel[0] / across / (LETTERS_WIDE * max(1, longest)))


def reach_m(rig: Rig, panel: Panel, laid: Laid) -> float | None:
    """From the seat's point to the middle of a thing; None where nobody has to reach it."""
    if panel.reach is None:
        return None
    seat = next(seat for seat in rig.vehicle.seats if panel.reach and seat.id == panel.reach.seat)
    point = frame_of(panel).point(*laid.at)
    return math.dist(seat.at, (point.x_m, point.y_m, point.z_m))


def face_item(rig: Rig, panel: Panel, laid: Laid, all_laid: tuple[Laid, ...], around: Around) -> FaceItem:
    """Everything of one thing on a face."""
    whole = Rectangle(0.0, 0.0, *panel.size)
    others = [(laid.covers.apart(other.covers), other.id) for other in all_laid if other.id != laid.id]
    gap, nearest = min(others, default=(None, None))
    room, behind = room_behind(panel, laid, around)
    cut = laid.footprint.cut
    return FaceItem(
        id=laid.id, x_m=laid.at[0], y_m=laid.at[1], how=laid.how, turn_deg=laid.turn_deg,
        bezel_width_m=laid.footprint.bezel[0], bezel_height_m=laid.footprint.bezel[1],
        cut_width_m=cut[0] if cut else None, cut_height_m=cut[1] if cut else None,
        cut_corner_m=laid.footprint.corner if cut else None,
        edge_m=min(laid.opening.room_in(whole), laid.covers.room_in(whole) + panel.edge), gap_m=gap, nearest=nearest,
        needs_m=needs_m(rig, panel, laid), room_m=room, behind=behind, reach_m=reach_m(rig, panel, laid),
        letter_m=letter_m(panel, laid), legends=laid.legends,
    )  # fmt: skip


def around_face(rig: Rig, panel: Panel, everything: Mapping[str, Boxed]) -> Around:
    """What stands round a face, along its axes: neither on it nor what carries it; volumes to keep clear besides."""
    here = {row.id for row in rows_on(panel, rig.build, rig.parts)} | {panel.host}
    frame = frame_of(panel)
    found = {
        name: tuple(solids.local(frame, box) for box in boxes) for name, boxes in everything.items() if name not in here
    }
    for keep in rig.vehicle.keep_out:
        found[f"{keep.id} ({keep.why})"] = (solids.local(frame, solids.corners_of_box(*keep.box)),)
    return found


def move_result(rig: Rig, panel: Panel, index: int, around: Around) -> FaceMove:
    """A drawer or door through its travel."""
    move = panel.moves[index]
    laid = next(one for one in laid_on(rig, panel) if one.id == move.of)
    area = laid.covers
    hidden = {*panel.holds}
    blocked = [
        name
        for name, boxes in around.items()
        if name not in hidden and any(solids.swept(move, area, laid.footprint.in_front, box) for box in boxes)
    ]
    if move.out is not None:
        return FaceMove(move.of, "pulls out", move.out + laid.footprint.in_front, tuple(blocked))
    wide = area.width if move.hinge in ("left", "right") else area.height
    out = wide if move.angle >= 90 else wide * math.sin(math.radians(move.angle))
    return FaceMove(move.of, f"hinge {move.hinge}", out, tuple(blocked))


def service_of(rig: Rig, panel: Panel, name: str, everything: Mapping[str, Boxed]) -> FaceService:
    """The side from which fewest things come out before one can be reached, the first such in the order of the face."""
    frame = frame_of(panel)
    fitted = {row.id for row in rows_on(panel, rig.build, rig.parts)}
    inside = {*panel.holds, *fitted}
    boxes = {one: [solids.local(frame, b) for b in everything[one]] for one in inside if one in everything}
    moving = {move.of for move in panel.moves}
    best: tuple[int, int] | None = None
    found = FaceService(name, panel.access[0], (), ())
    for side in panel.access:
        first = solids.in_the_way(name, boxes, *_SIDES[side])
        order = [one for one in boxes if one in first]
        takes = tuple(one for one in order if one not in moving)
        opens = tuple(one for one in order if one in moving)
        score = (len(takes), len(opens))
        if best is None or score < best:
            best, found = score, FaceService(name, side, opens, takes)
    return found


def face_result(rig: Rig, panel: Panel, everything: Mapping[str, Boxed]) -> FaceResult:
    """Everything of one face."""
    laid, around = laid_on(rig, panel), around_face(rig, panel, everything)
    covered = sum(one.covers.width * one.covers.height for one in laid)
    return FaceResult(
        id=panel.id, kind=panel.kind, host=panel.host, width_m=panel.size[0], height_m=panel.size[1],
        depth_m=panel.depth, thickness_m=panel.thickness, used_share=covered / (panel.size[0] * panel.size[1]),
        items=tuple(face_item(rig, panel, one, laid, around) for one in laid),
        moves=tuple(move_result(rig, panel, index, around) for index in range(len(panel.moves))),
        service=tuple(service_of(rig, panel, name, everything) for name in panel.holds),
    )  # fmt: skip


def work_out(rig: Rig) -> tuple[FaceResult, ...]:
    """Every face of the build."""
    if not rig.build.panels:
        return ()
    everything = solids.of_rig(rig)
    return tuple(face_result(rig, panel, everything) for panel in rig.build.panels)


def notes(rig: Rig, results: tuple[FaceResult, ...]) -> tuple[RigNote, ...]:
    """Swings that something stands in, things behind others, and legends too small to read."""
    return tuple(
        note for panel, found in zip(rig.build.panels, results, strict=True) for note in _notes(rig, panel, found)
    )


def _notes(rig: Rig, panel: Panel, found: FaceResult) -> Iterator[RigNote]:
    for move, moved in zip(panel.moves, found.moves, strict=True):
        if moved.blocked_by:
            says = (
                f"{moved.id} on {panel.id} ({moved.way}) comes {1e3 * moved.stands_out_m:.0f} mm into the room and meets "
                f"{', '.join(moved.blocked_by)}: move one of them, or let it open less"
            )
            yield RigNote("swing-blocked", f"{panel.id}-{moved.id}", "fail", says, move.where.file, move.where.line)
    for service in found.service:
        kind = rig.devices[service.id].part_kind
        if service.takes_out:
            severity = "caution" if kind in SERVICED else "note"
            says = (
                f"{service.id} is reached from the {service.side} of {panel.id} only after {', '.join(service.takes_out)} "
                f"came out{' and ' + ', '.join(service.opens) + ' stands open' if service.opens else ''}"
            )
            at = panel.where_of("holds")
            yield RigNote(
                "reached-behind", f"{panel.id}-{service.id}", severity, says, at.file, at.line,  # type: ignore[arg-type]
                sourced="common practice",
            )  # fmt: skip
    for item in found.items:
        if item.letter_m is not None and item.letter_m < LEAST_LETTER_M - 1e-9:
            row = rig.devices[item.id]
            says = (
                f"the legends of {item.id} on {panel.id} come out {1e3 * item.letter_m:.1f} mm high, and "
                f"{1e3 * LEAST_LETTER_M:.1f} mm is the least to read: shorten them"
            )
            yield RigNote("legend-small", f"{panel.id}-{item.id}", "note", says, row.file, row.line, sourced="memory")
