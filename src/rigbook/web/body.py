"""What the Body page needs beside the figures: the vehicle's outline, lids and faces as the build has them."""

from __future__ import annotations

from typing import Any

from rigbook.papers.lamp_symbols import shape_markup
from rigbook.papers.silhouette_ends import shapes_of
from rigbook.papers.silhouettes import ViewName, frame
from rigbook.rig.model import Rig

UNITS_A_METRE = 100.0
"""Scale of the drawn views: their paths stand in centimetres, the front axle at 0."""


def outline(rig: Rig, view: ViewName) -> str:
    """A view of the vehicle about its front axle and the ground (or the middle), in centimetres."""
    f = frame(rig.vehicle)
    back = f.front * UNITS_A_METRE
    return "".join(shape_markup(s, u0=0.0, v1=0.0, scale=UNITS_A_METRE, dx=-back, dy=0.0) for s in shapes_of(f, view))


def page_values(rig: Rig) -> dict[str, Any]:
    """Outlines and sizes for the page; the figures come by themselves."""
    f = frame(rig.vehicle)
    return {
        "side_outline": outline(rig, "left"),
        "plan_outline": outline(rig, "plan"),
        "sizes": {
            "front": f.front, "length": f.length, "height": f.height, "width": f.width, "wheelbase": f.wheelbase,
            "units": rig.shop.units,
        },
        "lid_shapes": {
            lid.id: {"length": lid.length, "beside": lid.springs.angle, "closed": lid.closed, "open": lid.open}
            for lid in rig.build.lids
        },
        "face_sheets": {
            panel.id: {
                "edge": panel.edge, "gap": panel.gap, "cable": panel.cable, "legend": panel.legend, "corner": panel.corner,
                "fixings": [list(at) for at in panel.fixings], "fixing_hole": panel.fixing_hole,
            }
            for panel in rig.build.panels
        },
    }  # fmt: skip
