"""Opening a rig: one go, all errors, nothing chosen."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigbook.rig.open import open_rig
from rigbook.rig.report import Problems
from tests.rig.small import PARTS, SHOP, build_text, errors, load, opened

SWITCHING = """\
switching:
  ranks: [warning]
  switches:
    - {id: key, kind: latching}
  functions:
    - name: Warn
      rank: warning
      when: key
      show:
        - {lamps: warning, colour: amber}
"""


def test_errors_of_the_loader_come_back() -> None:
    rig = open_rig(load("rigbook: 2\n"))
    assert isinstance(rig, Problems) and rig.errors


def test_without_a_vehicle_nothing_opens() -> None:
    rig = open_rig(replace(load(build_text()), vehicle=None, errors=()))
    assert isinstance(rig, Problems)


def test_the_program_knows_the_devices() -> None:
    rig = opened(build_text(install="  - {id: lamp, part: single, place: nose, tags: [warning]}\n", more=SWITCHING))
    assert rig.compiled.program is not None
    assert {device.id for device in rig.compiled.program.devices} == {"control", "lamp", "tail"}
    assert [feed.id for feed in rig.compiled.program.feeds] == ["main", "box-feed"]


def test_an_error_of_the_switching_names_the_nearest() -> None:
    row = "  - {id: nose, part: single, place: nose, tags: [warning], outputs: auto}\n"
    said = errors(build_text(install=row, more=SWITCHING.replace("when: key", "when: keyy")))
    assert any(line.endswith("nothing is called keyy; did you mean key?") for line in said), said


def test_an_error_of_the_switching_has_its_place() -> None:
    said = errors(build_text(install="  - {id: lamp, part: single, place: nose}\n", more=SWITCHING))
    assert any(each.startswith("builds/unit.yaml:22:") and "warning" in each for each in said), said


@pytest.mark.parametrize(
    ("shop", "says"),
    [
        (SHOP.replace("part: wire-14, gauge: 14 AWG", "part: wire-14, gauge: 16 AWG"), "is 14 AWG in the catalogue"),
        (SHOP.replace("part: wire-14,", "part: wire-15,"), "there is no wire part wire-15"),
    ],
)
def test_stock_wire_is_that_of_the_catalogue(shop: str, says: str) -> None:
    assert any(says in said for said in errors(build_text(), shop=shop))


def test_opening_twice_gives_the_same() -> None:
    text = build_text(install="  - {id: lamp, part: dual, place: nose}\n")
    assert opened(text, parts=PARTS).devices == opened(text, parts=PARTS).devices
