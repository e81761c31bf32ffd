"""The drop limit along whole paths."""

from __future__ import annotations

import pytest

from rigbook.power.choose_drop import feed_chain, paths_of, stud_volts, upstream
from rigbook.power.choose_outputs import outputs_of
from rigbook.power.drops import segment_drop, stud_current_a
from rigbook.power.drops import upstream as engine_upstream
from rigbook.rig.model import Rig
from rigbook.rig.plan import Plan
from rigbook.rig.wiring import plan_wiring
from tests.rig.small import FEEDS, SHOP, VEHICLE, build_text, chosen, errors, worked

RADIO = "  - {{id: radio, part: radio, place: dash, feed: extra{0}}}\n"


COOL = VEHICLE.replace("ambient: 105 C", "ambient: 60 C")


def feeds(drop: str) -> str:
    return FEEDS + f"  - {{id: extra, from: block-1.2, drop: {drop}}}\n"


def plan_of(text: str) -> tuple[object, Plan]:
    rig, choices = chosen(text)
    grounds = {name: str(choice.value) for name, choice in choices.grounds.items()}
    return rig, plan_wiring(open_rig=rig, outputs=outputs_of(choices.outputs), grounds=grounds)


def lost_v(rig: Rig, names: list[str], stud: str) -> float:
    """Volts along a path by the engine's own functions."""
    return sum(segment_drop(rig.segments[name]).drop_v for name in names) + (
        stud_current_a(rig, stud) * rig.studs[stud].resistance_ohm
    )


@pytest.mark.parametrize(("drop", "limit_v"), [("critical", 0.03 * 13.6), ("ordinary", 0.10 * 13.6)])
def test_the_whole_way_keeps_its_limit_by_the_engines_figures(drop: str, limit_v: float) -> None:
    rig = worked(build_text(feeds=feeds(drop), install=RADIO.format("")))
    (member,) = rig.circuits["extra"].members
    names = ["feed:main>block:block-1", *member.feed_path, *member.return_path]
    assert 0.1 < lost_v(rig, names, member.ground or "") <= limit_v


def test_a_critical_feed_has_more_copper_than_an_ordinary_one() -> None:
    critical = worked(build_text(feeds=feeds("critical"), install=RADIO.format("")), vehicle=COOL)
    ordinary = worked(build_text(feeds=feeds("ordinary"), install=RADIO.format("")), vehicle=COOL)
    name = "feed:extra>radio:power"
    assert critical.segments[name].conductor.gauge > ordinary.segments[name].conductor.gauge
    assert "would break the drop limit of 0.408 V" in critical.segments[name].conductor.why


def test_a_path_runs_from_the_bank_through_the_module_to_the_lamp_and_back() -> None:
    rig, plan = plan_of(build_text(install="  - {id: lamp, part: single, place: nose}\n"))
    path = next(path for path in paths_of(rig, plan) if path.device_id == "lamp")  # type: ignore[arg-type]
    assert path.segments == (
        "feed:main>block:block-1", "feed:box-feed>control:power", "control.1>lamp:amber", "lamp:return>ground:stud-front",
    )  # fmt: skip
    assert path.limit_v == pytest.approx(1.36) and path.stud_v == pytest.approx(0.8 * 0.001)
    assert [feed.id for feed in feed_chain(rig, "box-feed")] == ["main", "box-feed"]  # type: ignore[arg-type]
    assert upstream(rig, plan, plan.circuits["control.1"]) == path.segments[:2]  # type: ignore[arg-type]


def test_a_stud_carries_all_that_comes_back_through_it() -> None:
    rows = "  - {id: one, part: single, place: nose}\n  - {id: two, part: dual, place: corner}\n"
    rig, plan = plan_of(build_text(install=rows))
    assert stud_volts(rig, plan) == {  # type: ignore[arg-type]
        "stud-front": pytest.approx((0.8 + 1.1) * 0.001), "stud-rear": pytest.approx(0.25 * 0.002),
    }  # fmt: skip


def test_a_limit_that_wires_set_by_hand_break_is_told_and_they_are_kept() -> None:
    rows = RADIO.format(", wire: 14 AWG")
    rig = worked(build_text(feeds=feeds("critical"), install=rows), vehicle=COOL)
    assert [(note.rule, note.subject, note.severity) for note in rig.notes if note.rule == "drop-limit"] == [
        ("drop-limit", "extra", "caution")
    ]
    assert str(rig.segments["feed:extra>radio:power"].conductor.gauge) == "14 AWG"


def test_a_limit_that_no_stock_wire_keeps_is_an_error() -> None:
    start = SHOP.index("    - {part: wire-6"), SHOP.index("  fuses:")
    said = errors(
        build_text(feeds=feeds("critical"), install=RADIO.format("")), shop=SHOP[: start[0]] + SHOP[start[1] :]
    )
    assert any("radio loses" in each and "the limit is 0.408 V" in each for each in said), said


def test_what_hangs_on_the_feed_of_a_block_counts_that_feeds_own_way() -> None:
    rig, plan = plan_of(build_text(install="  - {id: radio, part: radio, place: dash, feed: main}\n"))
    path = next(path for path in paths_of(rig, plan) if path.device_id == "radio")  # type: ignore[arg-type]
    decided = worked(build_text(install="  - {id: radio, part: radio, place: dash, feed: main}\n"))
    engine = [part.segment.id for part in engine_upstream(decided, decided.circuits["main"])]
    assert path.segments[0] == "feed:main>block:block-1" and engine == ["feed:main>block:block-1"]
