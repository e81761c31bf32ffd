"""Worst cases of the small car against every state of it, worked out one by one as any state is."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import product

import pytest

from rigbook.power.flowing import flows_of, going_on, largest
from rigbook.power.waveform import Currents, currents
from rigbook.power.worst import STEADY, Worker, unit_of
from rigbook.proofs.brute import Table
from rigbook.proofs.reading import lost_sets
from rigbook.proofs.witness import order_key
from rigbook.rig.model import Rig
from rigbook.switching.evaluate import Evaluator
from tests.power.cars import car

States = dict[tuple[tuple[int, ...], tuple[int, ...]], frozenset]


@cache
def every_state() -> States:
    """What goes on in every reachable state of the car, by evaluating it."""
    program = car().program
    evaluator = Evaluator(program)
    found: States = {}
    for lost in lost_sets(program):
        table = Table(program, lost)
        for row in range(len(table)):
            values = tuple(int(column[row]) for column in table.columns)
            found[values, lost] = going_on(evaluator, values, lost)
    return found


@cache
def worker() -> Worker:
    return Worker(car())


@pytest.fixture(scope="module", autouse=True)
def closed() -> Iterator[None]:
    """Close the solver before Python takes itself apart."""
    yield
    worker().prover.close()
    worker.cache_clear()


def in_states(flows: tuple) -> dict[object, Currents]:
    known: dict[tuple[int, ...], Currents] = {}
    result = {}
    for state, going in every_state().items():
        here = tuple(flow for flow in flows if flow.act in going)
        key = tuple(flow.number for flow in here)
        if key not in known:
            known[key] = currents([flow.wave for flow in here])
        result[state] = known[key]
    return result


def smallest(rig: Rig, states: list) -> object:
    return min(states, key=lambda state: order_key(rig.program, *state))


KINDS = ("whole", "devices", "circuits", "feeds", "modules", "banks", "wires")


@pytest.mark.parametrize("kind", KINDS)
def test_every_maximum_and_its_state_agree_with_every_state(kind: str) -> None:
    rig, looked = car(), 0
    for target in worker().targets:
        if target.kind != kind:
            continue
        states = in_states(target.flows)
        found = worker().extremes(target)
        for key in ("average", "rms", "peak"):
            extreme = getattr(found, key)
            values = {state: getattr(here, f"{key}_a") for state, here in states.items()}
            most = max(values.values())
            assert extreme.value_a == pytest.approx(most, rel=1e-12, abs=1e-12), (target.id, key)
            reaching = [state for state, value in values.items() if value >= most - 1e-9]
            assert extreme.state == smallest(rig, reaching), (target.id, key)
            assert not extreme.bound
            looked += 1
    assert looked >= (3 if kind == "whole" else 3 * len(getattr(rig, kind, rig.modules)) // 2)


def test_charging_counts_states_with_the_engine_running_alone() -> None:
    (target,) = (t for t in worker().targets if t.kind == "charging")
    gear = next(i for i, v in enumerate(car().program.variables) if v.name == "gear")
    drive = car().program.variables[gear].values.index("drive")
    states = {state: here for state, here in in_states(target.flows).items() if state[0][gear] == drive}
    found = worker().extremes(target)
    assert found.rms is None
    assert found.average is not None
    most = max(here.average_a for here in states.values())
    assert found.average.value_a == pytest.approx(most, rel=1e-12)
    assert found.average.state == smallest(car(), [s for s, here in states.items() if here.average_a >= most - 1e-9])


def test_what_is_free_counts_with_its_largest_draw_while_its_feed_is_live() -> None:
    flows = [flow for flow in flows_of(car()) if flow.draw.device_id == "radio"]
    assert {flow.draw.channel for flow in flows} == {draw.channel for draw in car().devices["radio"].draws}
    (kept,) = largest(flows)
    assert kept.draw.current_a == max(draw.current_a for draw in car().devices["radio"].draws)


def test_no_worst_value_is_above_the_next_kind_of_mean_or_below_another() -> None:
    looked = 0
    for target in worker().targets:
        found = worker().extremes(target)
        if found.rms is not None and found.average is not None and found.peak is not None:
            assert found.average.value_a <= found.rms.value_a + 1e-12
            assert found.rms.value_a <= found.peak.value_a + 1e-12
            looked += 1
    assert looked > 30


def test_units_of_waves_keep_the_wave() -> None:
    steady = 0
    for flow in flows_of(car()):
        unit, most = unit_of(flow.wave)
        assert max(span.current_a for span in unit.spans) == 1
        if unit is STEADY:
            steady += 1
        else:
            assert [span.current_a * most for span in unit.spans] == [span.current_a for span in flow.wave.spans]
    assert steady > 3


def test_products_of_unit_waves_are_means_over_the_common_period() -> None:
    work = worker()
    units = list(enumerate(work._units))
    checked = 0
    for (n, a), (m, b) in product(units, units):
        mean = float(work._product(n, m))
        both = currents([a, b])
        alone = currents([a]).rms_a ** 2 + currents([b]).rms_a ** 2
        if n != m:
            assert both.rms_a**2 == pytest.approx(alone + 2 * mean, rel=1e-9)
            checked += 1
    assert checked > 5
