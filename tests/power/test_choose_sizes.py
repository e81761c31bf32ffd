"""Fuses and wires: the rules one by one."""

from __future__ import annotations

import pytest

from rigbook.power.choose_sizes import governing, least_allowed_a
from rigbook.power.stock import Stock, kept_share, metre_resistance_ohm, stock_of, stock_ratings_a
from rigbook.quantities.gauge import Gauge
from tests.rig.small import FEEDS, PARTS, SHOP, build_text, errors, opened, worked

RADIO = "  - {id: radio, part: radio, at: [2.9 m, 0.1 m, 0.7 m], feed: extra}\n"


def feed(more: str) -> str:
    return FEEDS + f"  - {{id: extra, from: block-1.2{more}}}\n"


@pytest.mark.outside
def test_an_allowed_current_is_table_times_bundle_times_ambient() -> None:
    # 33 CFR 183.425 Table 5: 14 AWG of 125 C insulation takes 40 A; three in a bundle 0.7; at 60 C sqrt(65/95)
    assert least_allowed_a(
        rule="corrected", gauge=Gauge("AWG", 14), insulation_c=125, stretches=((60, 3),)
    ) == pytest.approx(40 * 0.7 * (65 / 95) ** 0.5)
    assert least_allowed_a(rule="corrected", gauge=Gauge("AWG", 14), insulation_c=125, stretches=((30, 1),)) == 40


def test_the_worst_stretch_governs() -> None:
    assert governing(
        rule="corrected", gauge=Gauge("AWG", 14), insulation_c=125, stretches=((60, 1), (105, 1), (60, 6))
    ) == (105, 1)
    assert governing(
        rule="corrected", gauge=Gauge("AWG", 14), insulation_c=125, stretches=((60, 1), (85, 1), (60, 8))
    ) == (60, 8)


def test_a_gauge_no_table_prints_carries_nothing() -> None:
    assert least_allowed_a(rule="corrected", gauge=Gauge("AWG", 24), insulation_c=125, stretches=((30, 1),)) == 0


def test_a_wires_own_resistance_goes_before_the_tables() -> None:
    gauge = Gauge("AWG", 18)
    own = Stock(gauge, "w", 125, 0.03)
    assert metre_resistance_ohm(stock=own, temperature_c=20) == pytest.approx(0.03)
    assert metre_resistance_ohm(stock=own, temperature_c=105) == pytest.approx(0.03 * (234.5 + 105) / 254.5)
    assert metre_resistance_ohm(stock=Stock(gauge, "w", 125, None), temperature_c=20) == pytest.approx(
        0.020948, rel=1e-3
    )


def test_stock_is_sorted_by_copper() -> None:
    gauges = [str(stock.gauge) for stock in stock_of(opened(build_text()))]
    assert gauges == ["18 AWG", "14 AWG", "10 AWG", "6 AWG", "2 AWG", "2/0 AWG"]


def test_ratings_are_of_one_form_or_all() -> None:
    rig = opened(build_text())
    assert stock_ratings_a(rig, "blade")[-1] == 30 and stock_ratings_a(rig, None)[-1] == 200
    assert stock_ratings_a(rig, "glass") == []


def test_a_fuse_is_the_smallest_of_at_least_the_load_over_0_8() -> None:
    rig = worked(build_text(feeds=feed(""), install=RADIO))
    assert rig.feeds["extra"].fuse_a == 20, "13/0.8 = 16.25"
    assert rig.feeds["box-feed"].fuse_a == 3


def test_a_wire_takes_the_fuse_before_it_and_the_trades_row() -> None:
    rig = worked(build_text(feeds=feed(""), install=RADIO))
    segment = rig.segments["feed:extra>radio:power"]
    assert str(segment.conductor.gauge) == "14 AWG", "practice puts at most 10 A on 18 AWG, 20 A on 14 AWG"
    assert "18 AWG: practice puts at most 10 A on it" in segment.conductor.why


def test_18_awg_is_the_least_single_wire() -> None:
    shop = SHOP.replace(
        "  wires:\n", "  wires:\n    - {part: wire-22, gauge: 22 AWG, insulation: 125 C, colours: [red]}\n"
    )
    parts = (
        PARTS
        + "  - {id: wire-22, kind: wire, title: W, size: [1 m, 2 mm, 2 mm], mass: 0.01 kg, gauge: 22 AWG, insulation: 125 C, outside_diameter: 2 mm}\n"
    )
    rig = worked(build_text(install="  - {id: lamp, part: single, place: nose}\n"), shop=shop, parts=parts)
    assert {str(s.conductor.gauge) for s in rig.segments.values() if "lamp" in s.id} == {"18 AWG"}


@pytest.mark.parametrize(
    ("feeds", "install", "says"),
    [
        (feed(""), RADIO.replace("feed: extra", "feed: extra, wire: 18 AWG"), "the wire set for it allows 10 A"),
        (feed(", to: bus-1") + "".join(f"  - {{id: r{n}, from: bus-1.{n}}}\n" for n in (1, 2)),
         "  - {id: bus-1, part: bus, at: [2.9 m, 0.1 m, 0.6 m], node: rear}\n"
         + RADIO.replace("extra", "r1") + RADIO.replace("id: radio", "id: two").replace("extra", "r2"),
         "extra carries up to 26 A: no blade fuse in stock is rated 37.5 A or more"),
    ],
)  # fmt: skip
def test_where_no_fuse_fits_the_error_names_the_feed(feeds: str, install: str, says: str) -> None:
    said = errors(build_text(feeds=feeds, install=install))
    assert any(says in each for each in said), said


def test_a_position_holds_no_more_than_its_limit() -> None:
    said = errors(
        build_text(feeds=feed(""), install=RADIO), parts=PARTS.replace("position_limit: 30 A", "position_limit: 15 A")
    )
    assert any("needs a fuse of 20 A, its position holds at most 15 A" in each for each in said)


def test_where_no_wire_does_the_error_names_the_device() -> None:
    start, end = SHOP.index("    - {part: wire-10"), SHOP.index("  fuses:")
    shop = SHOP[:start] + "    - {part: wire-18, gauge: 18 AWG, insulation: 125 C, colours: [red]}\n" + SHOP[end:]
    said = errors(build_text(feeds=feed(""), install=RADIO), shop=shop)
    assert any(
        "no stock wire does for radio, feed:extra to radio:power: the thickest is 18 AWG" in each for each in said
    )


def test_a_wire_of_the_catalogue_that_is_not_in_stock_may_be_set() -> None:
    parts = (
        PARTS
        + "  - {id: wire-12, kind: wire, title: W, size: [1 m, 2 mm, 2 mm], mass: 0.04 kg, gauge: 12 AWG, insulation: 105 C, outside_diameter: 3 mm}\n"
    )
    rig = worked(
        build_text(feeds=feed(""), install=RADIO.replace("feed: extra", "feed: extra, wire: 12 AWG")), parts=parts
    )
    conductor = rig.segments["feed:extra>radio:power"].conductor
    assert (conductor.part_id, conductor.insulation_c, conductor.how) == ("wire-12", 105, "set")


def test_a_fuse_in_the_warm_is_chosen_by_what_it_keeps_there() -> None:
    """The block stands at 60 C: 34.67 A of a maxi fuse of 40 A, straight between the printed 34 A at 65 C and 40 A at
    20 C. 13 A / 0.8 / 0.8667 = 18.75 A."""
    assert kept_share(60.0) == pytest.approx(0.86667, abs=1e-4)
    assert kept_share(None) == 1.0
    assert kept_share(140.0) == kept_share(125.0) == pytest.approx(22 / 40)
    rig = worked(
        build_text(
            feeds=FEEDS + "  - {id: extra, from: block-1.2}\n",
            install="  - {id: radio, part: radio, place: dash, feed: extra}\n",
        )
    )
    assert rig.feeds["extra"].fuse_a == 20.0
    assert "/ 0.8 / 0.8667 at 60 C = 18.75 A" in rig.feeds["extra"].fuse_why
