"""The whole network of every saved state as figures of the `power` block, and their working."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rigbook.power.loads import StateLoads
from rigbook.power.vehicle_network import VehicleCollapse, limiting, margin_to_collapse, solve_state
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig, RigNote

WITHIN = 1e-4
"""Relative accuracy of the margin to collapse as it is given, from below."""


@dataclass(frozen=True, slots=True)
class NetworkFigures:
    """A saved state solved as one network; see `vehicle_network`. None where the state has no solution.

    margin_factor: by how much every constant power may grow before there is none, at most 64 (from below, to 1e-4);
    lowest_v: least voltage at a device, `lowest_at`; charging_a: what the charging system gives; lost_w: heat in all
    conductors, fuses, studs and batteries; locked_out: loads that went out below their window; collapse_share: share of
    the loads that still has a solution, with the fewest conductors that would restore one.
    """

    id: str
    lowest_at: str | None
    lowest_v: float | None
    charging_a: float | None
    charging_limited: bool | None
    lost_w: float | None
    locked_out: tuple[str, ...] = ()
    collapse_share: float | None = None
    restored_by: tuple[str, ...] | None = None
    margin_factor: float | None = None


def network_figures(rig: Rig, states: Iterable[StateLoads]) -> tuple[NetworkFigures, ...]:
    """Every saved state solved."""
    return tuple(state_figures(rig, state) for state in states)


def state_figures(rig: Rig, state: StateLoads) -> NetworkFigures:
    """One saved state solved."""
    found = solve_state(rig, state)
    if isinstance(found, VehicleCollapse):
        return NetworkFigures(
            state.point.id, None, None, None, None, None, (), found.share, found.conductors
        )  # fmt: skip
    lowest = found.lowest()
    return NetworkFigures(
        id=state.point.id,
        lowest_at=None if lowest is None else lowest[0],
        lowest_v=None if lowest is None else lowest[1],
        charging_a=found.charging_a,
        charging_limited=found.charging_limited,
        lost_w=found.lost_w,
        margin_factor=margin_to_collapse(found, within=WITHIN),
        locked_out=tuple(name.removeprefix("load ") for name in found.locked_out),
    )


def network_notes(rig: Rig, figures: Iterable[NetworkFigures]) -> list[RigNote]:
    """What the networks tell: a collapse is a fault, a load that goes out a caution."""
    points = {point.id: point for point in rig.states}
    notes = []
    for found in figures:
        point = points[found.id]
        if found.collapse_share is not None:
            by = ", ".join(found.restored_by or ())
            says = (
                f"in {found.id} the network has no solution beyond {100 * found.collapse_share:.3g} % of its loads"
                + (f"; without the resistance of {by} it would: use thicker or shorter wires there" if by else "")
            )
            notes.append(RigNote("network-collapse", found.id, "fail", says, point.file, point.line))
        if found.locked_out:
            says = f"in {found.id} these go out, fed with less than they work from: {', '.join(found.locked_out)}"
            notes.append(RigNote("locked-out", found.id, "caution", says, point.file, point.line))
    return notes


def explain_network(rig: Rig, figure_id: str, state: StateLoads, key: str) -> Working:
    """One figure of one state's network. KeyError where the block gives none."""
    found = state_figures(rig, state)
    value = getattr(found, key, None)
    if not isinstance(value, float) or isinstance(value, bool):
        raise KeyError(figure_id)
    if key == "collapse_share":
        return Working(
            figure_id=figure_id, title=f"Share of its loads up to which {found.id} has a solution",
            formula="largest s with a solution of G v + s P / v = 0", result=value, source="network",
        )  # fmt: skip
    solved = solve_state(rig, state)
    assert not isinstance(solved, VehicleCollapse)
    if key == "margin_factor":
        by = limiting(solved, factor=value)
        return Working(
            figure_id=figure_id, title=f"How far {found.id} is from collapse", result=value, source="network",
            formula="largest s with a solution of G v + s P / v = 0, at most 64",
            steps=() if not by else (f"Past it a solution would come back without the resistance of {', '.join(by)}.",),
        )  # fmt: skip
    inputs = tuple(
        Input(
            symbol=f"E {source.id}",
            meaning=f"gives {solved.solution.source_a[source.id]:.6g} A",
            value=source.voltage_v,
            unit="V",
        )
        for source in solved.network.sources
    )
    titles = {
        "lowest_v": (
            f"Least voltage at a device in {found.id}: {found.lowest_at}",
            "V",
            "feed less return of the device",
        ),
        "charging_a": (f"Charging current in {found.id}", "A", "what balances at the post of the vehicle's own bank"),
        "lost_w": (f"Heat in conductors, fuses, studs and batteries in {found.id}", "W", "sum of I2 R"),
    }
    title, unit, formula = titles[key]
    return Working(
        figure_id=figure_id, title=title, formula=f"{formula}, from G v = i solved by Newton", inputs=inputs, result=value,
        unit=unit, source="network",
        steps=(
            f"{len(solved.network.resistors)} resistances and {len(solved.network.loads)} loads, each at its highest "
            "current in the state.",
        ),
    )  # fmt: skip
