from __future__ import annotations

import itertools
import math
import re
import xml.etree.ElementTree as ElementTree

import pytest

from rigbook.papers.lampmap import LAMP_MM
from rigbook.papers.screen_views import LARGEST_LAMP_MM, ORDER, page_views, screen_map

from ..papers.hand_rig import rig, usual_devices


@pytest.mark.parametrize("body", ["van", "pickup", "utility"])
def test_views_keep_one_scale_side_by_side(body: str) -> None:
    views = [ElementTree.fromstring(v) for v in page_views(screen_map(rig(usual_devices(), body=body)))]
    assert [v.attrib["class"].split("-")[1] for v in views] == list(ORDER)
    shares = [float(v.attrib["width"].removesuffix("%")) for v in views]
    widths = [float(v.attrib["viewBox"].split()[2]) for v in views]
    scales = [share / width for share, width in zip(shares, widths, strict=True)]
    assert scales == pytest.approx([scales[0]] * 5, rel=1e-3)
    assert shares[0] + shares[1] == pytest.approx(100, abs=0.01)
    assert all(v.attrib["aria-label"] and v.attrib["role"] == "img" for v in views)


def test_lamps_grow_only_as_far_as_a_row_allows() -> None:
    for devices in (usual_devices(), [d for d in usual_devices() if d.row != "stick"]):
        markup = "".join(page_views(screen_map(rig(devices))))
        radius = float(
            re.search(r'class="edge"', markup)
            and re.search(r'<circle cx="[\d.]+" cy="[\d.]+" r="([\d.]+)"[^>]*class="edge"', markup)[1]
        )  # type: ignore[index]
        assert LAMP_MM <= radius <= LARGEST_LAMP_MM
    drawn = screen_map(rig(usual_devices()))
    row = [m for m in drawn.view("rear").marks if m.row == "stick"]
    apart = min(math.hypot(a.x - b.x, a.y - b.y) for a, b in itertools.combinations(row, 2))
    assert 2 * max(LAMP_MM, min(LARGEST_LAMP_MM, apart * 0.47)) <= apart * 1.05
