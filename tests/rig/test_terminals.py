"""What powers each channel: outputs, feeds, signals; sets, lists, maps, rows."""

from __future__ import annotations

import pytest

from tests.rig.small import FEEDS, PARTS, build_text, errors, opened, worked

MORE_FEEDS = FEEDS + "  - {id: extra, from: block-1.2}\n  - {id: sense, from: block-1.3, fuse: 3 A}\n"
ROW = "along: {from: [3.2 m, -0.3 m, 1 m], to: [3.2 m, 0.3 m, 1 m], count: 3}, facing: 180 deg"


def rows(*texts: str) -> str:
    return "".join(f"  - {{{text}}}\n" for text in texts)


def test_a_lamp_with_a_wire_per_colour_asks_an_output_for_each() -> None:
    rig = opened(build_text(install=rows("id: lamp, part: dual, place: nose")))
    blue = rig.terminals["lamp:blue"]
    assert blue.need == ("lamp", "blue") and blue.draws == (("lamp", "blue"),) and not blue.signal
    assert blue.modules == ("control",) and blue.output is None and blue.feed_id is None
    assert blue.lead is not None and str(blue.lead.gauge) == "20 AWG" and blue.lead.length_m == 0.3


def test_outputs_left_out_are_auto() -> None:
    left_out = opened(build_text(install=rows("id: lamp, part: dual, place: nose"))).terminals
    written = opened(build_text(install=rows("id: lamp, part: dual, place: nose, outputs: auto"))).terminals
    assert {k: t.need for k, t in left_out.items()} == {k: t.need for k, t in written.items()}


def test_a_narrowing_allows_only_the_modules_it_names() -> None:
    module = "id: m, part: more, at: [2.9 m, 0.2 m, 0.6 m], feed: box-feed, controller: control"
    rig = worked(build_text(install=rows(module, "id: lamp, part: dual, place: nose, outputs: {from: [m]}")))
    assert [rig.choices.outputs["lamp", colour].value for colour in ("blue", "white")] == ["m.1", "m.2"]


def test_a_self_flashing_lamp_is_powered_by_its_feed_and_told_by_an_output() -> None:
    rig = worked(build_text(feeds=MORE_FEEDS, install=rows("id: lamp, part: flasher, place: nose, feed: extra")))
    draw = rig.devices["lamp"].draws[0]
    assert (draw.circuit_id, draw.feed_id, draw.terminal) == ("extra", "extra", "lamp:power")
    signal = next(member for member in rig.circuits["control.1"].members)
    assert signal.signal and signal.terminal == "lamp:amber" and not signal.draws and not signal.return_path
    assert rig.circuits["control.1"].nameplate_a == 0.0


def test_a_data_link_lamp_takes_no_output_and_needs_a_controller() -> None:
    lamp = "id: lamp, part: linked, place: nose, feed: box-feed"
    rig = worked(build_text(install=rows(lamp + ", controller: control")))
    assert set(rig.circuits) == {"box-feed"} and rig.devices["lamp"].draws[0].feed_id == "box-feed"
    assert any("name its `controller:`" in said for said in errors(build_text(install=rows(lamp))))
    both = lamp + ", controller: control, outputs: auto"
    assert any("takes no outputs" in said for said in errors(build_text(install=rows(both))))


def test_a_bar_on_a_data_link_draws_for_its_modules_on_one_terminal() -> None:
    bar = "id: bar, part: bar, at: [2.5 m, 0 m, 1.4 m], facing: 0 deg, node: rear, feed: extra, controller: control"
    rig = worked(build_text(feeds=MORE_FEEDS, install=rows(bar)))
    (member,) = rig.circuits["extra"].members
    assert member.terminal == "bar:power"
    assert member.draws == (("bar", "standby"), ("bar.front-left", "blue"), ("bar.end-right", "blue"))
    assert rig.devices["bar.front-left"].draws[0].terminal == "bar:power"
    assert member.nameplate_a == pytest.approx(1.1)


def test_a_siren_takes_power_from_its_feed_and_a_signal_for_each_state_off_rest() -> None:
    rig = worked(build_text(feeds=MORE_FEEDS, install=rows("id: siren, part: amp, place: dash, feed: extra")))
    assert {d.channel: d.feed_id for d in rig.devices["siren"].draws} == {"standby": "extra", "wail": "extra"}
    assert rig.choices.outputs["siren", "wail"].value == "control.1"
    assert ("siren", "standby") not in rig.choices.outputs


def test_a_relay_rests_open_and_its_coil_hangs_on_an_output() -> None:
    rig = worked(
        build_text(install=rows("id: relay, part: relay-40, at: [2.9 m, 0.1 m, 0.6 m], outputs: {closed: control.5}"))
    )
    relay = rig.devices["relay"]
    assert (relay.states[-2:], relay.rest) == (("open", "closed"), "open")
    assert {d.channel: d.current_a for d in relay.draws}["closed"] == 0.15
    assert {d.channel: d.circuit_id for d in relay.draws}["closed"] == "control.5"


def test_a_sense_wire_is_a_signal_on_its_feed() -> None:
    radio = "id: radio, part: radio, at: [1.4 m, 0 m, 0.6 m], feed: extra, sense_feed: sense"
    rig = worked(build_text(feeds=MORE_FEEDS, install=rows(radio)))
    (member,) = rig.circuits["sense"].members
    assert member.signal and member.terminal == "radio:sense"
    assert rig.feeds["sense"].nameplate_a == 0 and rig.circuits["extra"].nameplate_a == 13


def test_a_list_gives_each_lamp_of_a_row_its_output() -> None:
    row = f"id: stick, part: single, {ROW}, outputs: [control.4, control.2, control.6]"
    rig = worked(build_text(install=rows(row)))
    assert [rig.devices[f"stick.{n}"].draws[0].circuit_id for n in (1, 2, 3)] == ["control.4", "control.2", "control.6"]


def test_together_hangs_a_row_on_one_output_in_a_chain() -> None:
    rig = worked(build_text(install=rows(f"id: stick, part: single, {ROW}, outputs: {{together: control.3}}")))
    circuit = rig.circuits["control.3"]
    assert [m.device_id for m in circuit.members] == ["stick.1", "stick.2", "stick.3"]
    assert circuit.nameplate_a == pytest.approx(2.4)
    last = circuit.members[-1]
    assert len(last.feed_path) == 3 and len(last.return_path) == 3
    flows = [rig.segments[name].nameplate_a for name in last.feed_path]
    assert flows == pytest.approx([2.4, 1.6, 0.8])


def test_a_map_of_lists_serves_a_row_of_two_colours() -> None:
    outputs = "{blue: [control.1, control.2, control.3], white: [control.4, control.5, control.6]}"
    rig = worked(build_text(install=rows(f"id: stick, part: dual, {ROW}, outputs: {outputs}")))
    assert rig.choices.outputs["stick.2", "white"].value == "control.5"


def test_a_colour_without_output_stays_dark_and_is_told() -> None:
    rig = worked(build_text(install=rows("id: lamp, part: dual, place: nose, outputs: {white: control.1}")))
    assert rig.devices["lamp"].colours == ("white",)
    assert [n.rule for n in rig.notes if n.subject == "lamp"] == ["not-connected"]


def test_two_rows_on_one_output_are_told() -> None:
    text = rows("id: a, part: single, place: nose, outputs: {amber: control.1}",
                "id: b, part: single, place: corner, outputs: {amber: control.1}")  # fmt: skip
    rig = worked(build_text(install=text))
    assert [(n.rule, n.severity) for n in rig.notes] == [("shared-output", "caution")]
    assert rig.circuits["control.1"].nameplate_a == pytest.approx(1.6)


def test_what_draws_without_a_source_is_told() -> None:
    rig = worked(
        build_text(
            install=rows("id: radio, part: radio, place: dash, antenna: whip", "id: whip, part: whip, place: roof")
        )
    )
    assert [(n.rule, n.severity, n.subject) for n in rig.notes] == [("no-feed", "fail", "radio")]
    assert all(draw.circuit_id is None for draw in rig.devices["radio"].draws)


def test_a_charger_puts_its_current_into_its_feeds() -> None:
    feeds = MORE_FEEDS + "  - {id: charge, from: battery.starter}\n"
    row = "id: charger, part: charger-20, at: [2.9 m, 0.1 m, 0.6 m], feed: {starter: charge}"
    rig = worked(build_text(feeds=feeds, install=rows(row)))
    assert rig.feeds["charge"].nameplate_a == 20 and rig.feeds["charge"].fuse_a == 40
    (member,) = rig.circuits["charge"].members
    assert rig.segments[member.feed_path[0]].nameplate_a == 20


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("id: lamp, part: dual, place: nose, outputs: {blue: contrl.1}", "the nearest is control"),
        ("id: lamp, part: dual, place: nose, outputs: {blue: control.7}", "control has outputs 1 to 6, not 7"),
        ("id: lamp, part: dual, place: nose, outputs: {blu: control.1}", "the nearest is blue"),
        ("id: lamp, part: dual, place: nose, outputs: {from: [contrl]}", "the nearest is control"),
        ("id: lamp, part: dual, place: nose, feed: extra, outputs: auto", "`feed:` cannot stand beside them"),
        ("id: lamp, part: single, place: nose, feed: extr", "there is no feed extr; the nearest is extra"),
        ("id: radio, part: radio, place: dash, feed: extra, sense_feed: sence", "the nearest is sense"),
        (f"id: stick, part: single, {ROW}, outputs: [control.1, control.2]", "3 lamps and 2 outputs"),
        (f"id: stick, part: dual, {ROW}, outputs: [control.1, control.2, control.3]", "give a list for each in a map"),
        (f"id: stick, part: dual, {ROW}, outputs: {{together: control.1}}", "one output cannot drive them together"),
        ("id: horn, part: horn, place: nose, feed: extra", "it takes no `feed`"),
    ],
)  # fmt: skip
def test_a_tie_that_cannot_be_is_an_error(text: str, says: str) -> None:
    said = errors(build_text(feeds=MORE_FEEDS, install=rows(text)))
    assert any(says in each for each in said), said


def test_no_output_left_is_an_error_that_names_the_device() -> None:
    text = rows(*(f"id: lamp-{n}, part: dual, place: nose" for n in range(4)))
    said = errors(build_text(install=text))
    assert len(said) == 2 and "no output is left for lamp-3 blue, which draws 0.9 A" in said[0]
    assert "control: taken (6)" in said[0]


def test_without_a_controller_a_lamp_has_nothing_to_drive_it() -> None:
    supply = "  - {id: block-1, part: block, at: [2.8 m, -0.3 m, 0.6 m], node: rear}\n"
    feeds = "feeds:\n  - {id: main, from: battery.starter, to: block-1}\n"
    (said,) = errors(build_text(feeds=feeds, supply=supply, install=rows("id: lamp, part: single, place: nose")))
    assert "no controller or module is there to drive lamp amber" in said


def test_the_fixture_reaches_every_way_of_driving() -> None:
    for drive in ("self-flashing", "data-link", "wire-per-state"):
        assert f"driven: {drive}" in PARTS
