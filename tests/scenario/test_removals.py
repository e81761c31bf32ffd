"""Modelled, not listed: whatever is taken out of a build is missed by something that has a name."""

from __future__ import annotations

import zlib

import pytest

from tests.scenario.removals import BUILDS, everything, failing, owner, table
from tests.scenario.shop import SMALL, text, without

ROWS = table()
SAMPLE = [row for row in ROWS if zlib.crc32("|".join(row).encode()) % 6 == 0]


def test_the_table_speaks_of_everything() -> None:
    assert [(build, what, name) for build, what, name, _ in ROWS] == list(everything())
    assert len(ROWS) >= 250
    assert {what for _, what, _, _ in ROWS} == {"device", "function", "feed", "link", "battery"}
    assert {build for build, _, _, _ in ROWS} == set(BUILDS.values())
    assert {fails.split(" ")[0] for _, _, _, fails in ROWS} == {"requirement", "inspection"}, "no clause alone"


def test_the_sample_reaches_every_build_and_kind() -> None:
    assert len(SAMPLE) >= 30
    assert {build for build, _, _, _ in SAMPLE} == set(BUILDS.values())
    assert {what for _, what, _, _ in SAMPLE} >= {"device", "function", "feed"}


@pytest.mark.parametrize("row", SAMPLE, ids=lambda row: f"{row[1]}-{row[2]}")
def test_what_is_taken_out_is_missed(row: tuple[str, str, str, str]) -> None:
    build, what, name, fails = row
    assert fails in failing(build, what, name)


@pytest.mark.long
@pytest.mark.parametrize("row", [row for row in ROWS if row not in SAMPLE], ids=lambda row: f"{row[1]}-{row[2]}")
def test_what_is_taken_out_is_missed_everywhere(row: tuple[str, str, str, str]) -> None:
    build, what, name, fails = row
    assert fails in failing(build, what, name)


def test_removing_takes_one_item_and_leaves_the_rest() -> None:
    before = text(SMALL)
    after = without(before, "device", "stick")
    gone = [line for line in before.splitlines() if line not in after.splitlines()]
    assert gone[0] == "  - id: stick" and len(before.splitlines()) - len(after.splitlines()) == 9
    with pytest.raises(AssertionError):
        without(before, "device", "no-such-thing")


def test_an_owner_is_named_by_section_and_name() -> None:
    lines = text(SMALL).splitlines()
    number = lines.index("      never: parked and driven(siren-amp, wail)") + 1
    assert owner(text(SMALL), number) == "requirement Siren silent in park"
    number = next(n for n, line in enumerate(lines, start=1) if "id: whip," in line)
    assert owner(text(SMALL), number) == "device whip"
