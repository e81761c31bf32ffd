"""Shortcuts of a placement speak of the closed pose."""

from __future__ import annotations

from tests.rig.small import build_text, worked


def test_shortcuts_speak_of_the_closed_pose() -> None:
    placement = (
        worked(build_text(install="  - {id: lamp, part: single, place: hatch-edge}\n")).devices["lamp"].placement
    )
    assert len(placement.poses) == 2 and placement.closed is placement.poses[0]
    assert placement.at is placement.poses[0].at and placement.zones is placement.poses[0].zones
    assert placement.poses[1].seen_zones and not placement.closed.seen_zones
