"""Names that point from one row to another."""

from __future__ import annotations

import pytest

from tests.rig.small import VEHICLE, build_text, errors, opened

RADIO = "  - {{id: {0}, part: radio, place: dash, feed: box-feed, antenna: whip}}\n"
WHIP = "  - {id: whip, part: whip, place: roof}\n"
HORN = "  - {id: horn, part: horn, place: nose, amplifier: siren}\n"
SIREN = "  - {id: siren, part: amp, place: dash, feed: box-feed}\n"


def test_antennas_and_amplifiers_tie() -> None:
    rig = opened(build_text(install=RADIO.format("radio") + WHIP + HORN + SIREN))
    assert rig.devices["radio"].antenna == "whip" and rig.devices["horn"].amplifier == "siren"
    assert not rig.notes


def test_what_is_missing_is_told() -> None:
    install = RADIO.format("radio").replace(", antenna: whip", "") + HORN.replace(", amplifier: siren", "")
    rules = {note.rule for note in opened(build_text(install=install)).notes}
    assert rules == {"no-antenna", "no-amplifier"}


def test_two_radios_on_one_antenna_are_told() -> None:
    rig = opened(build_text(install=RADIO.format("one") + RADIO.format("two") + WHIP))
    assert [(note.rule, note.subject) for note in rig.notes] == [("shared-antenna", "whip")]


@pytest.mark.parametrize(
    ("install", "more", "says"),
    [
        (RADIO.format("radio"), "", "there is no installed antenna whip"),
        (WHIP + SIREN.replace("feed:", "antenna: whip, feed:"), "", "siren is no radio or modem"),
        (HORN, "", "there is no installed siren amplifier or radio siren"),
        (SIREN.replace("feed:", "ground: stud-reer, feed:"), "", "the nearest is stud-rear"),
        (SIREN.replace("id: siren", "id: tail"), "", "tail is already a factory lamp"),
        (SIREN, "clauses:\n  - {id: 1, text: x, answer: as asked, met_by: [sirn]}\n", "the nearest is siren"),
        (SIREN, "duty:\n  - {name: a, for: 1 h, state: drving}\n", "there is no saved state drving"),
        (SIREN, "duty:\n  - {name: a, for: 1 h, draws: {sirn: {wail: 10 %}}}\n", "there is no installed device sirn"),
        (SIREN, "duty:\n  - {name: a, for: 1 h, draws: {siren: {wale: 10 %}}}\n", "the nearest is wail"),
        (SIREN, "duty:\n  - {name: a, for: 1 h, set: {gaer: drive}}\n", "gaer"),
    ],
)  # fmt: skip
def test_a_name_that_points_nowhere_is_an_error(install: str, more: str, says: str) -> None:
    said = errors(build_text(install=install, more=more))
    assert any(says in each for each in said), said


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("[middle, rear], area: cabin", "[middle, raer], area: cabin", "the nearest is rear"),
        ("area: bay, length: 1.8 m", "area: bey, length: 1.8 m", "the nearest is bay"),
    ],
)
def test_a_run_that_cannot_be_is_an_error(old: str, new: str, says: str) -> None:
    assert old in VEHICLE
    said = errors(build_text(), vehicle=VEHICLE.replace(old, new))
    assert any(says in each and each.startswith("vehicles/car.yaml:") for each in said), said
