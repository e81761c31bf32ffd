"""Routes, lengths, areas, bundles."""

from __future__ import annotations

import pytest

from tests.rig.small import FEEDS, SHOP, VEHICLE, build_text, errors, worked

LAMP = "  - {id: lamp, part: single, place: nose}\n"


def test_a_length_is_runs_and_drops_and_two_service_loops() -> None:
    segment = worked(build_text(install=LAMP)).segments["control.1>lamp:amber"]
    # control hangs 0.1 m from its node, the lamp sqrt(0.3^2 + 0.4^2 + 0.1^2) m from its own
    assert segment.length_m == pytest.approx(1.8 + 1.6 + 0.1 + 0.26**0.5 + 2 * 0.1)
    assert segment.route == ("rear", "middle", "front") and segment.areas == ("cabin", "bay")


def test_a_person_may_lead_a_feed_another_way() -> None:
    feeds = FEEDS.replace("to: block-1, fuse: auto", "to: block-1, fuse: auto, route: [front, rear]")
    vehicle = VEHICLE.replace("length: 4 m", "length: 3.2 m").replace("length: 1.6 m", "length: 1.5 m")
    direct = worked(build_text(feeds=feeds), vehicle=vehicle).segments["feed:main>block:block-1"]
    assert direct.route == ("front", "rear") and direct.route_how == "set"
    via = worked(build_text(feeds=feeds.replace("[front, rear]", "[middle]")), vehicle=vehicle)
    assert via.segments["feed:main>block:block-1"].route == ("front", "middle", "rear")


def test_where_no_run_leads_is_an_error_that_names_the_device() -> None:
    row = "  - {id: lamp, part: single, at: [3 m, 3 m, 0.6 m]}\n"
    said = errors(build_text(install=row))
    assert any("lamp: no run of the vehicle leads from route node rear to island" in each for each in said)


def test_a_vehicle_without_routes_is_wired_straight() -> None:
    start, end = VEHICLE.index("  routes:"), VEHICLE.index("  places:")
    vehicle = VEHICLE[:start] + VEHICLE[end:]
    for node in ("front", "middle", "rear"):
        vehicle = vehicle.replace(f", node: {node}", "").replace(f"      node: {node}\n", "")
    supply = (
        "  - {id: block-1, part: block, at: [2.8 m, -0.3 m, 0.6 m]}\n"
        "  - {id: control, part: box, at: [2.9 m, 0 m, 0.6 m], feed: box-feed}\n"
    )
    rig = worked(build_text(supply=supply, install=LAMP), vehicle=vehicle)
    segment = rig.segments["control.1>lamp:amber"]
    assert segment.length_m == pytest.approx((3.2**2 + 0.4**2 + 0.1**2) ** 0.5 + 0.2)
    assert segment.route == () and segment.hottest_c == 60, "the cabin where nothing names an area"


def test_a_bundle_counts_what_is_loaded_at_once_in_its_run() -> None:
    dual = worked(build_text(install="  - {id: lamp, part: dual, place: nose}\n"))
    # one colour of the head and the main feed lie in the run from the rear to the middle
    assert dual.segments["control.1>lamp:blue/joint"].bundle_count == 2
    two = LAMP + LAMP.replace("lamp", "other")
    both = worked(build_text(install=two))
    assert both.segments["control.1>lamp:amber"].bundle_count == 3
    assert both.segments["lamp:return>ground:stud-front"].bundle_count == 1, "it passes no run"


def test_signal_wires_do_not_load_a_bundle() -> None:
    siren = "  - {id: siren, part: amp, at: [0.2 m, 0 m, 0.8 m], feed: second}\n"
    feeds = FEEDS + "  - {id: second, from: block-1.2}\n"
    rig = worked(build_text(feeds=feeds, install=LAMP + siren))
    assert rig.segments["control.2>siren:wail"].role == "signal"
    assert rig.segments["control.1>lamp:amber"].bundle_count == 3, "main, the siren's feed and itself"
    assert rig.segments["control.2>siren:wail"].bundle_count == 4, "it lies among them all the same"


def test_ampacity_is_judged_by_the_stretch_that_limits_it_most() -> None:
    # three conductors at 60 C: 0.7 x sqrt(65/95) = 0.579; two at 105 C: 1.0 x sqrt(20/95) = 0.459
    row = "  - {id: radio, part: radio, at: [1.5 m, 0 m, 0.6 m], feed: second}\n"
    feeds = FEEDS + "  - {id: second, from: block-1.2}\n"
    rig = worked(build_text(feeds=feeds, install=LAMP + row))
    lamp = rig.segments["control.1>lamp:amber"]
    assert lamp.bundle_count == 4 and lamp.hottest_c == 105
    # with the radio's two the cabin holds four: 0.6 x 0.827 = 0.496, still above the bay's 0.459
    assert (lamp.governs_c, lamp.governs_count) == (105, 2)


def test_service_loops_are_the_shops() -> None:
    short = worked(build_text(install=LAMP), shop=SHOP.replace("service_loop: 0.1 m", "service_loop: 0 m"))
    long = worked(build_text(install=LAMP))
    name = "control.1>lamp:amber"
    assert long.segments[name].length_m - short.segments[name].length_m == pytest.approx(0.2)


def test_neighbours_of_a_row_are_joined_straight() -> None:
    row = "  - {id: stick, part: single, along: {from: [3.2 m, -0.3 m, 1 m], to: [3.2 m, 0.3 m, 1 m], count: 3}, outputs: {together: control.3}}\n"
    segment = worked(build_text(install=row)).segments["stick.1:amber>stick.2:amber"]
    assert segment.length_m == pytest.approx(0.3 + 0.2) and segment.route == ("rear",)
