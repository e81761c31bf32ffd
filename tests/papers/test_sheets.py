"""Sheets: units in headers, numbers that agree with the results, every name of the command."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigbook.assess.assessment import Assessment, assess
from rigbook.cli.sheet import NAMES
from rigbook.documents.loader import load_build
from rigbook.papers.paper_sheets import PAPER_SHEETS
from rigbook.papers.sheets import SHEETS, Column, rounded, sheet
from tests.papers.example_builds import assessed

SHOP = Path(__file__).parents[1] / "rules" / "shop"


@pytest.fixture(scope="module")
def metric() -> Assessment:
    return assess(load_build(SHOP, Path("builds/small.yaml")))


@pytest.fixture(scope="module")
def american() -> Assessment:
    text = (SHOP / "shop.yaml").read_text().replace("units: metric", "units: us")
    return assess(load_build(SHOP, Path("builds/small.yaml"), {"shop.yaml": text.encode()}))


def test_the_command_offers_every_sheet() -> None:
    assert sorted((*SHEETS, *PAPER_SHEETS)) == sorted(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_rows_fit_their_columns(metric: Assessment, name: str) -> None:
    made = sheet(name, metric)
    assert made.name == name
    if not made.rows:  # what the small build has nothing of, the complete one has
        made = sheet(name, assessed("flood-support-van"))
    assert made.rows
    assert {len(row) for row in made.rows} == {len(made.columns)}
    for index, column in enumerate(made.columns):
        if column.unit and column.title != "diameter or shape":  # a shape is told in words
            assert all(row[index] is None or isinstance(row[index], int | float) for row in made.rows), column


def test_numbers_agree_with_the_results(metric: Assessment) -> None:
    made = sheet("circuits", metric)
    headers = [c.header for c in made.columns]
    assert metric.power is not None
    drops = {c.id: [rounded(d.drop_v) for d in c.devices] for c in metric.power.circuits}
    at = headers.index("drop, V")
    shown: dict[object, list[object]] = {}
    for row in made.rows:
        shown.setdefault(row[0], []).append(row[at])
    assert shown == {k: v or [None] for k, v in drops.items()}


def test_units_follow_the_shop(metric: Assessment, american: Assessment) -> None:
    kilograms, pounds = sheet("weights", metric), sheet("weights", american)
    assert "mass, kg" in [c.header for c in kilograms.columns]
    assert "mass, lb" in [c.header for c in pounds.columns]
    for one, other in zip(kilograms.rows, pounds.rows, strict=True):
        assert isinstance(one[2], float)
        assert other[2] == pytest.approx(one[2] / 0.45359237, rel=1e-5)
    assert "color" in [c.header for c in sheet("circuits", american).columns]
    assert "colour" in [c.header for c in sheet("circuits", metric).columns]


def test_weights_are_all_masses(metric: Assessment) -> None:
    made = sheet("weights", metric)
    total = sum(row[2] for row in made.rows if isinstance(row[2], float))
    assert total == pytest.approx(sum(m.mass_kg for m in metric.worked.masses), rel=1e-5)


def test_equipment_counts_every_part_bought(metric: Assessment) -> None:
    counted = sum(row[4] for row in sheet("equipment", metric).rows if isinstance(row[4], int))
    assert counted == sum(d.bought and d.part_id is not None for d in metric.worked.devices.values())


def test_an_unknown_sheet_is_a_key_error(metric: Assessment) -> None:
    with pytest.raises(KeyError):
        sheet("nothing", metric)
    assert Column("mass", "kg").header == "mass, kg"
