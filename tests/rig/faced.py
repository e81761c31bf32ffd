"""A small vehicle with a face, which the tests of faces vary."""

from __future__ import annotations

from rigbook.rig.model import Rig
from tests.rig.small import PARTS, build_text, worked

PARTS_ON_FACES = (
    PARTS
    + """\
  - {id: keys-cut, kind: switch-panel, title: Keys, size: [40 mm, 180 mm, 60 mm], mass: 0.3 kg, keys: 8, driven: data-link, draws: {awake: 0.1 A}, cut_out: [170 mm, 50 mm], cut_out_corner: 4 mm, depth_behind_face: 35 mm, fixings: [[-87 mm, 0 mm], [87 mm, 0 mm]]}
  - {id: plug, kind: appliance, title: Socket, size: [60 mm, 40 mm, 40 mm], mass: 0.06 kg, draws: {empty: 0 A, used: 5 A}, cut_out: [29 mm, 29 mm], cut_out_corner: 14.5 mm, depth_behind_face: 55 mm}
  - {id: blank, kind: faceplate-item, title: Plate, size: [3 mm, 100 mm, 60 mm], mass: 0.05 kg, fixings: [[-44 mm, 0 mm], [44 mm, 0 mm]]}
  - {id: drawer-1, kind: drawer, title: Drawer, size: [400 mm, 500 mm, 180 mm], mass: 6 kg, cut_out: [490 mm, 170 mm], depth_behind_face: 398 mm}
  - {id: door-1, kind: board, title: Door, size: [18 mm, 500 mm, 300 mm], mass: 3 kg}
  - {id: cupboard, kind: cabinet, title: Cupboard, size: [450 mm, 600 mm, 900 mm], mass: 20 kg}
"""
)
PANEL = """\
panels:
  - id: dash-plate
    at: [0.7 m, 0.1 m, 0.9 m]
    facing: 180 deg
    tilt: 20 deg
    size: [260 mm, 130 mm]
    depth: 150 mm
    thickness: 2 mm
    reach: {seat: driver, within: 0.8 m}
    node: middle
"""
CUPBOARD = """\
panels:
  - id: front
    kind: cabinet
    host: cupboard-1
    at: [2.5 m, 0.3 m, 0.9 m]
    facing: 270 deg
    size: [600 mm, 900 mm]
    depth: 440 mm
    thickness: 1.5 mm
    material: steel
    node: rear
"""


def face_text(rows: str, panel: str = PANEL, more: str = "") -> str:
    """A build whose rows sit on the face."""
    return build_text(install=f"  - {rows}\n", more=panel + more)


def cupboard_text(rows: str, more: str = "") -> str:
    """A build with a cupboard whose front is a face; `more` are further keys of the face."""
    host = "{id: cupboard-1, part: cupboard, at: [2.5 m, 0.525 m, 0.9 m], facing: 270 deg, node: rear}"
    return face_text(f"{host}\n  - {rows}", panel=CUPBOARD + more)


def car(text: str, vehicle: str | None = None) -> Rig:
    """The decided vehicle of such a build."""
    return (
        worked(text, parts=PARTS_ON_FACES) if vehicle is None else worked(text, parts=PARTS_ON_FACES, vehicle=vehicle)
    )
