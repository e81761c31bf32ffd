"""Placing installed rows: named places, coordinates, rows, bars, faces, doors."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from rigbook.documents.schema.base import Where
from rigbook.documents.schema.build import BuildDocument, Install
from rigbook.documents.schema.panels import Panel
from rigbook.documents.schema.parts import BarModule, ElectricBase
from rigbook.documents.schema.vehicle import FactoryLamp, Place, Vehicle
from rigbook.rig.faces import footprint_of, frame_of, positions
from rigbook.rig.model import Placement, Point, Pose
from rigbook.rig.places import (
    area_of_node,
    as_point,
    distance_m,
    facing_in_bar,
    half_of,
    in_bar,
    nearest,
    row_points,
    seen_zones,
    zones_of_facing,
)
from rigbook.rig.report import Report

WIRED_KINDS = ("fuse-block", "bus-bar", "disconnect", "breaker")
FACE_POSITION = re.compile(r"(-?\d+(?:\.\d+)?) mm (-?\d+(?:\.\d+)?) mm")
"""A position on a face as `settled:` holds it."""
FACE_KINDS = ("console", "cabinet", "switch-panel", "faceplate-item", "board", "display")


def make_pose(
    *, at: Point, facing_deg: float | None, all_round: bool, tilt_deg: float, when: str | None,
    zones: frozenset[str] | None = None,
) -> Pose:  # fmt: skip
    """A pose with the zones of its facing, or those given instead."""
    counted = zones if zones is not None else zones_of_facing(facing_deg=facing_deg, all_round=all_round)
    seen = seen_zones(zones=counted, tilt_deg=tilt_deg)
    return Pose(at, facing_deg, all_round, tilt_deg, when, counted, seen)


class Placing:
    """Resolves positions against one vehicle and one build; thrown away after."""

    def __init__(
        self, *, vehicle: Vehicle, rows: Mapping[str, Install], parts: Mapping[str, Any], report: Report,
        settled: Mapping[str, str] | None = None, build: BuildDocument | None = None,
    ) -> None:  # fmt: skip
        self.build = build
        self.faces: dict[str, Panel] = {panel.id: panel for panel in build.panels} if build else {}
        self.on_faces: dict[str, dict[str, tuple[float, float]]] = {}
        self.vehicle = vehicle
        self.settled = settled or {}
        self.places: dict[str, Place] = {place.id: place for place in vehicle.places}
        self.nodes: dict[str, Point] = {name: as_point(at) for name, at in vehicle.routes.nodes.items()}
        self.ambient_c = {area.id: area.ambient for area in vehicle.areas}
        self.rows = rows
        self.parts = parts
        self.report = report
        self.node_why: dict[str, tuple[str, str]] = {}

    # --- single things -----------------------------------------------------------------------

    def single(self, row: Install, part: Any) -> Placement | None:
        """Placement of a row that is one thing; None (with an error) where it cannot be placed."""
        ways = [name for name in ("place", "at", "on") if getattr(row, name) is not None]
        if len(ways) != 1:
            says = f"{row.id} needs one of place, at, along, on" + (f", not {' and '.join(ways)}" if ways else "")
            self.report.error(row.where, says, found=", ".join(ways), expected="place, at, along or on")
            return None
        if row.place is not None:
            place = self.places.get(row.place)
            if place is None:
                self.report.unknown(row.where_of("place"), "place", row.place, self.places)
                return None
            return self._in_place(row, part, place)
        if row.at is not None:
            return self._at(row, part, as_point(row.at), row.id)
        assert row.on is not None
        return self._on_face(row, part)

    def _in_place(self, row: Install, part: Any, place: Place) -> Placement:
        poses = place_poses(place, facing=row.facing, tilt=row.tilt)
        return self._finish(
            row, part, row.id, poses,
            place=place.id,
            node=row.node or place.node,
            node_from="" if row.node else f"place {place.id} hangs on it",
            area=row.area or place.area,
            level=row.level or place.level,
            inside=place.inside if row.inside is None else row.inside,
            glass=place.through.glass if place.through else 1.0,
        )  # fmt: skip

    def _at(self, row: Install, part: Any, at: Point, device_id: str) -> Placement:
        facing, all_round = _facing(row.facing)
        pose = make_pose(at=at, facing_deg=facing, all_round=all_round, tilt_deg=row.tilt or 0.0, when=None)
        return self._finish(
            row, part, device_id, (pose,),
            place=None, node=row.node, node_from="", area=row.area, level=row.level,
            inside=bool(row.inside), glass=1.0,
        )  # fmt: skip

    def _on_face(self, row: Install, part: Any) -> Placement | None:
        assert row.on is not None
        if row.on.panel in self.faces:
            return self._in_cut_out(row, part, self.faces[row.on.panel])
        at = self.panel(row.on.panel, row.on.where_of("panel"))
        if at is None:
            return None
        place = self.places.get(row.on.panel)
        made = self._in_place(row, part, place) if place is not None else self._at(row, part, at, row.id)
        on_face = row.on.at if isinstance(row.on.at, tuple) else None
        return replace(made, panel=row.on.panel, on_face_m=on_face)

    def _in_cut_out(self, row: Install, part: Any, panel: Panel) -> Placement:
        assert self.build is not None
        if panel.id not in self.on_faces:
            self.on_faces[panel.id] = positions(panel, self.build, self.parts, self._settled_on_faces())
        at = self.on_faces[panel.id][row.id]
        footprint = footprint_of(row, part, panel, self.build)
        middle = frame_of(panel).point(*at, (footprint.in_front - footprint.behind) / 2)
        facing = panel.facing if row.facing is None else _facing(row.facing)[0]
        tilt = panel.tilt if row.tilt is None else row.tilt
        pose = make_pose(at=middle, facing_deg=facing, all_round=False, tilt_deg=tilt, when=None)
        node = panel.node if panel.node in self.nodes else None  # others are told where the face names them
        area = panel.area if panel.area in self.ambient_c else None
        made = self._finish(
            row, part, row.id, (pose,),
            place=None, node=row.node or node, node_from="" if row.node else f"face {panel.id} hangs on it",
            area=row.area or area, level=row.level,
            inside=panel.inside if row.inside is None else row.inside, glass=1.0,
        )  # fmt: skip
        return replace(made, panel=panel.id, on_face_m=at)

    def _settled_on_faces(self) -> dict[str, tuple[float, float]]:
        found = {}
        for name in self.rows:
            match = FACE_POSITION.fullmatch(str(self.settled.get(f"install.{name}.on", "")))
            if match:
                found[name] = (float(match.group(1)) / 1e3, float(match.group(2)) / 1e3)
        return found

    def panel(self, name: str, where: Where) -> Point | None:
        """Where a face is: a face of the build, a place of the vehicle, or something installed that has a face."""
        if name in self.faces:
            return as_point(self.faces[name].at)
        if name in self.places:
            return as_point(self.places[name].at)
        host = self.rows.get(name)
        part = self.parts.get(host.part) if host is not None else None
        if host is not None and part is not None and part.kind in FACE_KINDS:
            if host.at is not None:
                return as_point(host.at)
            if host.place in self.places:
                return as_point(self.places[host.place].at)
        faces = [row.id for row in self.rows.values() if getattr(self.parts.get(row.part), "kind", "") in FACE_KINDS]
        self.report.unknown(where, "face, place or installed face", name, [*self.faces, *self.places, *faces])
        return None

    # --- rows, bars, factory lamps ---------------------------------------------------------------

    def row(self, row: Install, part: Any) -> tuple[Placement, ...]:
        """Placements of a row's lamps, from `from` to `to`, ends included."""
        assert row.along is not None
        for other in ("place", "at", "on"):
            if getattr(row, other) is not None:
                self.report.error(row.where_of(other), f"{row.id} is a row along a line, so `{other}` cannot stand too")
                return ()
        points = row_points(
            start=as_point(row.along.from_), end=as_point(row.along.to), count=row.along.count
        )  # fmt: skip
        return tuple(self._at(row, part, at, f"{row.id}.{index}") for index, at in enumerate(points, start=1))

    def in_bar(self, bar: Placement, module: BarModule) -> Placement:
        """Placement of a module inside a bar, in each pose of the bar; a bar without facing faces ahead."""
        offset = as_point(module.at)
        poses = tuple(
            make_pose(
                at=in_bar(bar=pose.at, facing_deg=pose.facing_deg or 0.0, offset=offset),
                facing_deg=facing_in_bar(facing_deg=pose.facing_deg or 0.0, module_deg=module.facing),
                all_round=False,
                tilt_deg=pose.tilt_deg,
                when=pose.when,
            )
            for pose in bar.poses
        )
        return replace(bar, poses=poses, half=half_of(y_m=poses[0].at.y_m))

    def factory(self, lamp: FactoryLamp) -> Placement:
        """Placement of a factory lamp: no node, for the vehicle's own wiring feeds it."""
        at = as_point(lamp.at)
        pose = make_pose(at=at, facing_deg=lamp.facing, all_round=False, tilt_deg=lamp.tilt, when=None)
        return Placement((pose,), None, None, 0.0, None, lamp.level, False, half_of(y_m=at.y_m), 1.0)

    # --- nodes and areas ------------------------------------------------------------------------

    def node_near(self, at: Point) -> tuple[str | None, float]:
        """The nearest node within the vehicle's reach, and the distance of the nearest at all."""
        found = nearest(at=at, among=self.nodes)
        if found is None:
            return None, 0.0
        return (found[0] if found[1] <= self.vehicle.reach + 1e-9 else None), found[1]

    def area_of(self, node: str | None) -> str | None:
        """Area of a node: the hottest of the runs that touch it."""
        if node is None:
            return None
        return area_of_node(node=node, runs=self.vehicle.routes.runs, ambient_c=self.ambient_c)

    def _finish(
        self, row: Install, part: Any, device_id: str, poses: tuple[Pose, ...], *, place: str | None,
        node: str | None, node_from: str, area: str | None, level: Any, inside: bool, glass: float,
    ) -> Placement:  # fmt: skip
        if node is not None and node not in self.nodes:
            self.report.unknown(row.where_of("node"), "route node", node, self.nodes)
            node = None
        elif node is not None:
            self.node_why[device_id] = ("set", node_from or "set in the build")
        elif self.settled.get(f"install.{device_id}.node") in self.nodes:
            node = self.settled[f"install.{device_id}.node"]
            self.node_why[device_id] = ("settled", "settled earlier")
        elif self.nodes:
            node = self._nearest_node(row, part, device_id, poses[0].at)
        if area is not None and area not in self.ambient_c:
            self.report.unknown(row.where_of("area"), "area", area, self.ambient_c)
            area = None
        away = max((distance_m(pose.at, self.nodes[node]) for pose in poses), default=0.0) if node else 0.0
        return Placement(
            poses=poses, place=place, node=node, node_distance_m=away,
            area=area or self.area_of(node), level=level, inside=inside,
            half=half_of(y_m=poses[0].at.y_m), glass_share=glass,
        )  # fmt: skip

    def _nearest_node(self, row: Install, part: Any, device_id: str, at: Point) -> str | None:
        found = nearest(at=at, among=self.nodes)
        assert found is not None
        name, away = found
        if away <= self.vehicle.reach + 1e-9:
            self.node_why[device_id] = ("auto", f"nearest route node, {away:.2f} m away")
            return name
        if isinstance(part, ElectricBase) or part.kind in WIRED_KINDS:
            self.report.error(
                row.where,
                f"{device_id} is beyond the reach of {self.vehicle.reach:g} m of any route node; "
                f"the nearest is {name}, {away:.2f} m away: name a node, or add one to the vehicle",
                expected=f"a route node within {self.vehicle.reach:g} m",
                near=name,
            )
        return None


def place_poses(place: Place, *, facing: float | str | None, tilt: float | None) -> tuple[Pose, ...]:
    """Poses of something in a place, doors closed first.

    A facing or tilt of the row's own stands in place of the place's; a door turns it by as much as the place.
    """
    own_facing, own_round = _facing(place.facing)
    new_facing, new_round = _facing(facing) if facing is not None else (own_facing, own_round)
    new_tilt = place.tilt if tilt is None else tilt
    override = frozenset(place.zones) if place.zones is not None else None
    poses = [
        make_pose(
            at=as_point(place.at), facing_deg=new_facing, all_round=new_round, tilt_deg=new_tilt, when=None,
            zones=override,
        )
    ]  # fmt: skip
    if place.open is not None:
        turned = 0.0 if facing is None or new_facing is None or own_facing is None else new_facing - own_facing
        tilted = 0.0 if tilt is None else tilt - place.tilt
        poses.append(
            make_pose(
                at=as_point(place.open.at),
                facing_deg=(place.open.facing + turned) % 360.0,
                all_round=new_round,
                tilt_deg=place.open.tilt + tilted,
                when=str(place.open.when),
            )
        )
    return tuple(poses)


def _facing(facing: float | str | None) -> tuple[float | None, bool]:
    if isinstance(facing, str):
        return None, True
    return (None if facing is None else facing % 360.0), False
