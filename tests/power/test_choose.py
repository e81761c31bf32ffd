"""Choosing: what is set is kept, what is chosen meets every limit, and no thinner wire would."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rigbook.power.choose import choose
from rigbook.power.choose_drop import Drops, paths_of
from rigbook.power.choose_outputs import outputs_of
from rigbook.power.choose_routes import choose_routes, load_runs, stretches_of
from rigbook.power.choose_sizes import Sizes
from rigbook.power.stock import stock_of
from rigbook.rig.decide import decide
from rigbook.rig.model import Choices, Rig
from rigbook.rig.open import open_rig
from rigbook.rig.open_model import OpenRig
from rigbook.rig.places import distance_m
from rigbook.rig.plan import Plan
from rigbook.rig.report import Problems, Report
from rigbook.rig.wiring import plan_wiring
from tests.rig.small import FEEDS, build_text, chosen, load, worked

LAMPS = ("single", "dual", "flood")
PLACES = ("place: nose", "place: corner", "place: side", "place: hatch-edge", "at: [1.4 m, 0.2 m, 0.8 m]")
ROW = "along: {from: [3.2 m, -0.3 m, 1 m], to: [3.2 m, 0.3 m, 1 m], count: 2}, facing: 180 deg"

lamp_rows = st.lists(st.tuples(st.sampled_from(LAMPS), st.sampled_from(PLACES)), max_size=4)
radios = st.lists(st.tuples(st.sampled_from(PLACES), st.sampled_from(["critical", "ordinary"])), max_size=3)
reached: set[str] = set()


@st.composite
def builds(draw: st.DrawFn) -> str:
    """A build of lamps on outputs, a row on one output or several, radios on feeds of their own."""
    rows, feeds = "", FEEDS
    for number, (part, place) in enumerate(draw(lamp_rows)):
        rows += f"  - {{id: lamp-{number}, part: {part}, {place}}}\n"
        reached.update((part, place))
    together = draw(st.sampled_from([None, "auto", "{together: extra.8}"]))
    if together is not None:
        rows += f"  - {{id: stick, part: single, {ROW}, outputs: {together}}}\n"
        reached.add(together)
    for number, (place, drop) in enumerate(draw(radios)):
        fuse = draw(st.sampled_from(["auto", "20 A"]))
        rows += f"  - {{id: radio-{number}, part: radio, {place}, feed: feed-{number}}}\n"
        feeds += f"  - {{id: feed-{number}, from: block-1.{number + 2}, fuse: {fuse}, drop: {drop}}}\n"
        reached.update((drop, fuse))
    rows += "  - {id: extra, part: wide, at: [2.9 m, 0.1 m, 0.6 m], feed: wide-feed}\n"
    feeds += "  - {id: wide-feed, from: block-1.6}\n"
    return build_text(feeds=feeds, install=rows)


def wide_parts() -> str:
    from tests.rig.small import PARTS

    return PARTS + (
        "  - {id: wide, kind: controller, title: Wide, size: [45 mm, 210 mm, 140 mm], mass: 1 kg, "
        "outputs: {count: 12, limit: 10 A}, draws: {awake: 0.2 A}}\n"
    )


def both(text: str) -> tuple[OpenRig, Choices, Rig] | None:
    rig = open_rig(load(text, parts=wide_parts()))
    assert not isinstance(rig, Problems), [str(error) for error in rig.errors]
    choices = choose(rig)
    return None if isinstance(choices, Problems) else (rig, choices, decide(rig, choices))


def sized(rig: OpenRig, choices: Choices) -> tuple[Plan, Sizes]:
    """The sizes as chosen, set up again from the choices alone, so that they can be judged and varied."""
    plan = plan_wiring(
        open_rig=rig, outputs=outputs_of(choices.outputs), grounds={k: c.value for k, c in choices.grounds.items()}
    )
    report = Report()
    routed = choose_routes(rig, plan, report)
    on_run = load_runs(plan, routed)
    stretches = {name: stretches_of(rig, plan.segments[name], way, on_run) for name, way in routed.items()}
    sizes = Sizes(rig, plan, routed, stretches, report, stock_of(rig), dict(choices.fuses))
    sizes.fix()
    for name, conductor in choices.wires.items():
        if conductor.how == "auto":
            sizes.index[name] = next(i for i, stock in enumerate(sizes.stock) if stock.gauge == conductor.gauge)
    return plan, sizes


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(builds())
def sizes_are_the_least_that_do(text: str) -> None:
    made = both(text)
    if made is None:
        reached.add("refused")
        return
    rig, choices, decided = made
    plan, sizes = sized(rig, choices)
    drops = Drops(sizes, paths_of(rig, plan))
    assert all(drops.meets(path) for path in drops.paths)
    for name, index in sizes.index.items():
        segment = plan.segments[name]
        assert not sizes.misfit(segment, sizes.stock[index]), name
        assert all(
            sizes.gauge_of(other).gauge.area_mm2 <= sizes.stock[index].gauge.area_mm2 * (1 + 1e-9)
            for other in segment.equal_to
        )
        if index == 0:
            continue
        below = sizes.stock[index - 1]
        thinner_than_feed = any(sizes.gauge_of(o).gauge.area_mm2 > below.gauge.area_mm2 for o in segment.equal_to)
        sizes.index[name] = index - 1
        breaks_drop = not all(drops.meets(path) for path in drops.paths if name in path.segments)
        sizes.index[name] = index
        reasons = {"misfit": sizes.misfit(segment, below) != "", "feed": thinner_than_feed, "drop": breaks_drop}
        assert any(reasons.values()), f"{name} could be {below.gauge}"
        reached.update(f"because of {reason}" for reason, true in reasons.items() if true)
    for feed in decided.feeds.values():
        if feed.fuse_how == "auto":
            assert feed.fuse_a >= feed.nameplate_a / 0.8 - 1e-9


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(builds())
def circuits_and_lengths_hold_together(text: str) -> None:
    made = both(text)
    if made is None:
        return
    _, _, rig = made
    seen: dict[tuple[str, str], str] = {}
    for circuit in rig.circuits.values():
        for member in circuit.members:
            for need in member.draws:
                assert seen.setdefault(need, circuit.id) == circuit.id
    for device in rig.devices.values():
        for draw in device.draws:
            assert (draw.circuit_id is None) == (device.part_kind == "factory-lamp")
            assert draw.circuit_id is None or seen[device.id, draw.channel] == draw.circuit_id
    used = [choice.value for choice in rig.choices.outputs.values() if choice.how == "auto"]
    assert len(used) == len(set(used)), "an output chosen for one is not given to another"
    for circuit in rig.circuits.values():
        if circuit.module_id is None:
            continue
        start = rig.devices[circuit.module_id].placement.at
        for member in circuit.members:
            end = rig.devices[member.device_id].placement.at
            total_m = sum(rig.segments[name].length_m for name in member.feed_path)
            assert total_m >= distance_m(start, end), "no way is shorter than the straight line"


def test_circuits_and_lengths_hold_together() -> None:
    circuits_and_lengths_hold_together()


def test_what_is_chosen_meets_every_limit_and_nothing_thinner_does() -> None:
    sizes_are_the_least_that_do()
    wanted = {*LAMPS, *PLACES, "auto", "{together: extra.8}", "critical", "ordinary", "20 A", "because of misfit",
              "because of drop"}  # fmt: skip
    assert wanted <= reached, wanted - reached


def test_the_same_build_gives_the_same_choices() -> None:
    text = build_text(install="  - {id: lamp, part: dual, place: nose}\n")
    assert chosen(text)[1] == chosen(text)[1]


def test_what_a_person_set_is_kept() -> None:
    text = build_text(
        feeds="feeds:\n  - {id: main, from: battery.starter, to: block-1, fuse: 30 A, wire: 2 AWG, route: [middle]}\n"
        "  - {id: box-feed, from: block-1.1, fuse: 15 A}\n",
        install="  - {id: lamp, part: dual, place: nose, wire: 10 AWG, ground: stud-rear, outputs: {blue: control.6, white: control.3}}\n",
    )
    rig = worked(text)
    main = rig.segments["feed:main>block:block-1"]
    assert (str(main.conductor.gauge), main.conductor.how, main.route_how) == ("2 AWG", "set", "set")
    assert rig.feeds["main"].fuse_a == 30 and rig.feeds["box-feed"].fuse_a == 15
    assert {str(s.conductor.gauge) for s in rig.segments.values() if "lamp" in s.id and s.role != "lead"} == {"10 AWG"}
    assert rig.devices["lamp"].ground == "stud-rear"
    assert [draw.circuit_id for draw in rig.devices["lamp"].draws] == ["control.6", "control.3"]


def test_a_wire_follows_the_fuse_a_person_set() -> None:
    text = build_text(
        feeds="feeds:\n  - {id: main, from: battery.starter, to: block-1}\n  - {id: box-feed, from: block-1.1, fuse: 30 A}\n"
    )
    rig = worked(text)
    segment = rig.segments["feed:box-feed>control:power"]
    assert str(segment.conductor.gauge) == "10 AWG" and "30 A of box-feed" in segment.conductor.why
    assert replace(segment.conductor, why="").how == "auto"


def test_choices_name_their_reasons() -> None:
    _, choices = chosen(build_text(install="  - {id: lamp, part: dual, place: nose}\n"))
    assert all(conductor.why for conductor in choices.wires.values())
    assert all(choice.why for chosen_ in (choices.fuses, choices.outputs, choices.routes, choices.grounds, choices.nodes)
               for choice in chosen_.values())  # type: ignore[attr-defined]  # fmt: skip
    assert "smallest in stock" in choices.fuses["main"].why and "/ 0.8" in choices.fuses["main"].why
