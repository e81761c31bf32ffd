"""The whole vehicle in every saved state of the example builds, lock-out, collapse, charging at its limit."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest

from rigbook.power import vehicle_network as whole
from rigbook.power.loads import StateLoads, state_loads
from rigbook.power.network import Collapse, Load, Network, Resistor, Solution, Source, solve
from rigbook.rig.model import Rig

BUILDS = Path(__file__).parents[2] / "src/rigbook/data/example_shop/builds"


@pytest.fixture(scope="module")
def rigs() -> list[Rig]:
    from rigbook.desk.checking import open_build

    names = ("boat-crew-pickup", "duty-officer-utility", "flood-support-van")
    return [open_build(BUILDS / f"{name}.yaml", judged=False).worked for name in names]


def test_every_saved_state_balances_and_keeps_its_power(rigs: list[Rig]) -> None:
    looked, running = 0, 0
    for rig in rigs:
        for state in state_loads(rig):
            found = whole.solve_state(rig, state)
            assert isinstance(found, whole.VehicleSolution)
            net, sol = found.network, found.solution
            given = sum(sol.source_a[s.id] * s.voltage_v for s in net.sources)
            taken = sum(sol.load_a[x.id] * sol.load_v[x.id] for x in net.loads)
            assert given == pytest.approx(found.lost_w + taken, rel=1e-6, abs=1e-6)
            lowest = found.lowest()
            assert lowest is not None and 11 < lowest[1] < 13.9
            looked += 1
            running += state.running
    assert looked == sum(len(rig.states) for rig in rigs) > 15 and 0 < running < looked


def test_every_draw_of_a_state_stands_in_its_network(rigs: list[Rig]) -> None:
    rig = rigs[2]
    for state in state_loads(rig):
        net = whole.state_network(rig, state)
        wanted = [e for e in state.drawn if e.draw.circuit_id is not None and e.wave.spans and e.draw.current_a > 0]
        assert len([x for x in net.loads if x.id.startswith("load ")]) == len(wanted)


def test_charging_beyond_its_output_leaves_the_rest_to_the_batteries(rigs: list[Rig]) -> None:
    rig = rigs[2]
    state = next(s for s in state_loads(rig) if s.point.id == "on-scene-night")
    weak = rig.vehicle.charging.model_copy(update={"hot": [(100.0, 40.0), (9000.0, 40.0)]})
    poor = replace(rig, vehicle=rig.vehicle.model_copy(update={"charging": weak}))
    found = whole.solve_state(poor, state)
    assert isinstance(found, whole.VehicleSolution) and found.charging_limited and found.charging_a == 40.0
    batteries = sum(amps for name, amps in found.solution.source_a.items() if name.startswith("rest:"))
    total = sum(amps for name, amps in found.solution.load_a.items() if name != whole.ALTERNATOR)
    assert batteries + 40.0 == pytest.approx(total, rel=1e-6)
    strong = whole.solve_state(rig, state)
    assert isinstance(strong, whole.VehicleSolution) and strong.lowest()[1] > found.lowest()[1]  # type: ignore[index]


def raised(state: StateLoads, volts: float) -> StateLoads:
    """The state with every load working from so many volts."""
    drawn = tuple(replace(e, draw=replace(e.draw, works_v=(volts, 16.0))) for e in state.drawn)
    return replace(state, drawn=drawn)


def test_loads_below_their_window_go_out_until_the_rest_stands(rigs: list[Rig]) -> None:
    rig = rigs[2]
    state = next(s for s in state_loads(rig) if s.point.id == "responding-siren")
    before = whole.solve_state(rig, state)
    found = whole.solve_state(rig, raised(state, 13.0))
    assert isinstance(before, whole.VehicleSolution) and isinstance(found, whole.VehicleSolution)
    below = [n for n, v in before.solution.load_v.items() if n.startswith("load ") and v < 13.0]
    assert found.locked_out and set(found.locked_out) <= set(below)
    assert all(v >= 13.0 for n, v in found.solution.load_v.items() if n.startswith("load "))
    assert len(found.network.loads) == len(before.network.loads) - len(found.locked_out)
    everything = whole.solve_state(rig, raised(state, 15.0))
    assert isinstance(everything, whole.VehicleSolution) and everything.lowest() is None


def overloaded() -> Network:
    ohms = {"main": 0.06, "left": 0.05, "right": 0.08, "return": 0.03}
    return Network(
        (
            Resistor("main", "s", "bus", ohms["main"]), Resistor("left", "bus", "l", ohms["left"]),
            Resistor("right", "bus", "r", ohms["right"]), Resistor("return", "g", "0", ohms["return"]),
        ),
        (Source("e", "s", 12.0),),
        (Load("p", "l", "g", "constant-power", 30.0, 12.0), Load("q", "r", "g", "constant-power", 18.0, 12.0)),
    )  # fmt: skip


def test_the_fewest_conductors_that_restore_a_solution_by_brute_force() -> None:
    network = overloaded()
    assert isinstance(solve(network), Collapse)
    found = whole.fewest_to_restore(network)
    names = [r.id for r in network.resistors]
    restoring = [
        subset
        for size in range(1, len(names) + 1)
        for subset in combinations(names, size)
        if isinstance(
            solve(
                Network(
                    tuple(replace(r, ohm=0.0) if r.id in subset else r for r in network.resistors),
                    network.sources,
                    network.loads,
                )
            ),
            Solution,
        )
    ]
    assert found is not None and restoring
    assert len(found) == len(restoring[0]) and set(found) in [set(s) for s in restoring]


def test_a_state_past_its_limit_says_what_would_help(rigs: list[Rig]) -> None:
    rig = rigs[2]
    state = next(s for s in state_loads(rig) if s.point.id == "responding-siren")
    far = {k: replace(s, length_m=40 * s.length_m) for k, s in rig.segments.items()}
    eased = replace(
        state, drawn=tuple(replace(e, draw=replace(e.draw, works_v=None, law="constant-power")) for e in state.drawn)
    )
    found = whole.solve_state(replace(rig, segments=far), eased)
    assert isinstance(found, whole.VehicleCollapse) and 0 <= found.share < 1
    assert found.conductors and all(
        name in rig.segments or name.startswith(("fuse:", "ground:")) for name in found.conductors
    )


def test_margin_of_a_single_load_is_its_closed_form() -> None:
    net = Network(
        (Resistor("r", "s", "l", 0.1),),
        (Source("e", "s", 12.0),),
        (Load("load p", "l", "0", "constant-power", 10.0, 12.0),),
    )
    sol = solve(net)
    assert isinstance(sol, Solution)
    made = whole.VehicleSolution("one", net, sol, (), 0.0, False, 0.0)
    assert whole.margin_to_collapse(made) == pytest.approx(360 / 120, rel=1e-6)
