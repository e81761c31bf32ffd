"""The chapter of power and its sheets: what they say is what the results say."""

from __future__ import annotations

import pytest

from rigbook.papers.chapter import Desk
from rigbook.papers.power_paper import bundle_sheet, load_rows, load_sheet, pieces, wire_sheet

from .example_builds import desk as desk_of


@pytest.fixture(scope="module")
def desk() -> Desk:
    return desk_of("flood-support-van")


def test_the_chapter_has_its_drawings_and_tables(desk: Desk) -> None:
    made = pieces(desk)
    tables = [piece["caption"] for piece in made if piece["kind"] == "table"]
    drawings = [piece["caption"] for piece in made if piece["kind"] == "drawing"]
    for wanted in (
        "Loads by class",
        "Banks over the day",
        "Conductors",
        "Bundles by run",
        "Fuses, breakers and their verdicts",
    ):
        assert wanted in tables
    for wanted in ("One-line diagram: sources", "Batteries through the working day"):
        assert wanted in drawings
    assert sum(caption.startswith("Time-current chart of") for caption in drawings) >= 4
    assert made[1]["kind"] == "caution"


def test_the_load_list_holds_every_device_that_a_feed_powers_once(desk: Desk) -> None:
    rows = load_rows(desk)
    power = desk.assessment.power
    assert power is not None
    fed = {d.id for d in desk.rig.devices.values() if any(draw.feed_id for draw in d.draws)}
    assert sorted(row[0] for row in rows) == sorted(fed & {each.id for each in power.devices})
    assert len(rows) > 60
    for _, _, _, nameplate, normal, worst, _ in rows:
        assert nameplate is not None and worst is not None and worst <= nameplate + 1e-9
        assert normal is None or normal <= worst + 1e-9
    order = [row[1] for row in rows]
    assert order == sorted(order, key=["minimum", "total", "intermittent"].index)
    assert len(load_sheet(desk).rows) == len(rows)


def test_wires_say_what_protects_them(desk: Desk) -> None:
    sheet = wire_sheet(desk)
    headers = [column.title for column in sheet.columns]
    verdict, behind = headers.index("verdict"), headers.index("behind")
    assert len(sheet.rows) == sum(s.role not in ("lead", "signal") for s in desk.rig.segments.values()) > 100
    assert {row[verdict] for row in sheet.rows} == {"protected"}
    assert all(row[behind] for row in sheet.rows)


def test_bundles_are_those_of_the_results(desk: Desk) -> None:
    power = desk.assessment.power
    assert power is not None
    assert [row[0] for row in bundle_sheet(desk).rows] == [bundle.id for bundle in power.bundles]
