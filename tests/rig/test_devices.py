"""From rows to devices: draws, states, rests, bought parts."""

from __future__ import annotations

from rigbook.rig.model import Point
from tests.rig.small import FEEDS, build_text, errors, opened

EXTRA = FEEDS + "  - {id: extra, from: block-1.2}\n"


def test_a_lamp_draws_in_each_of_its_colours() -> None:
    device = opened(build_text(install="  - {id: lamp, part: dual, place: nose}\n")).devices["lamp"]
    assert [(draw.channel, draw.kind, draw.current_a, draw.at_v) for draw in device.draws] == [
        ("blue", "colour", 0.9, 12.8), ("white", "colour", 1.1, 12.8),
    ]  # fmt: skip
    assert device.colours == ("blue", "white") and device.one_colour_at_a_time and device.states == ()


def test_a_radio_draws_in_its_draw_states_and_rests_in_the_first() -> None:
    row = "  - {id: radio, part: radio, place: dash, feed: extra, serial: later, head: {at: [1 m, 0 m, 1 m]}}\n"
    device = opened(build_text(feeds=EXTRA, install=row)).devices["radio"]
    assert [(draw.channel, draw.kind) for draw in device.draws] == [("standby", "draw"), ("transmit", "draw")]
    assert device.rest == "standby" and device.states == ("standby", "transmit")
    assert device.head_at == Point(1, 0, 1) and device.serial == "later"


def test_a_siren_draws_in_its_states() -> None:
    row = "  - {id: siren, part: amp, place: dash, feed: extra}\n"
    device = opened(build_text(feeds=EXTRA, install=row)).devices["siren"]
    assert [(draw.channel, draw.kind) for draw in device.draws] == [("standby", "state"), ("wail", "state")]
    assert device.rest == "standby"


def test_what_an_output_powers_is_off_at_rest() -> None:
    text = "  - {id: fan, kind: fan, title: Fan, size: [1 mm, 1 mm, 1 mm], mass: 1 kg, draws: {run: 3 A}}\n"
    from tests.rig.small import PARTS

    rig = opened(build_text(install="  - {id: fan, part: fan, place: dash, outputs: auto}\n"), parts=PARTS + text)
    assert rig.devices["fan"].rest is None and rig.devices["fan"].states == ("run",)
    assert rig.terminals["fan:power"].draws == (("fan", "run"),)


def test_each_lamp_of_a_row_is_bought_and_a_module_of_a_bar_is_not() -> None:
    rows = (
        "  - {id: stick, part: single, along: {from: [3.2 m, 0 m, 1 m], to: [3.2 m, 0.5 m, 1 m], count: 2}}\n"
        "  - {id: bar, part: bar, at: [2.5 m, 0 m, 1.4 m], node: rear, feed: box-feed, controller: control}\n"
    )
    devices = opened(build_text(install=rows)).devices
    assert [name for name, device in devices.items() if not device.bought] == [
        "bar.front-left",
        "bar.end-right",
        "tail",
    ]
    assert devices["stick.2"].mass_kg == 0.15 and devices["bar.end-right"].mass_kg == 0
    assert (devices["stick.2"].row, devices["stick.2"].index) == ("stick", 2)


def test_a_head_on_a_face_is_where_the_face_is() -> None:
    row = "  - {{id: radio, part: radio, place: nose, feed: extra, head: {{panel: {0}}}}}\n"
    rig = opened(build_text(feeds=EXTRA, install=row.format("dash")))
    assert rig.devices["radio"].head_at == Point(0.7, 0.1, 0.9)
    assert any("dahs" in said for said in errors(build_text(feeds=EXTRA, install=row.format("dahs"))))


def test_a_bar_with_a_part_inside_that_is_no_lamp_is_an_error() -> None:
    from tests.rig.small import PARTS

    bar = "  - {id: bar, part: bar, at: [2.5 m, 0 m, 1.4 m], node: rear, feed: box-feed, controller: control}\n"
    said = errors(
        build_text(install=bar), parts=PARTS.replace("facing: 90 deg, part: linked", "facing: 90 deg, part: whip")
    )
    assert any("there is no lamp whip" in each for each in said)
