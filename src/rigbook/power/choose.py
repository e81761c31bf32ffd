"""Choosing what a build leaves open: outputs, ground studs, routes, fuses, wires.

The first rule: shortest path in the route graph; smallest stock wire that meets ampacity, the trade's
rows and the drop limit; smallest stock fuse of at least load/0.8; outputs on the fewest modules, then with least copper.
What a person set is kept; what was settled earlier stands in place of a choice.
"""

from __future__ import annotations

from rigbook.power.choose_drop import Drops, paths_of
from rigbook.power.choose_outputs import choose_grounds, choose_outputs, outputs_of
from rigbook.power.choose_routes import choose_routes, load_runs, settled_chosen, stretches_of
from rigbook.power.choose_sizes import Sizes, governing, stock_of
from rigbook.rig.model import Choices, Chosen, How
from rigbook.rig.open_model import OpenRig
from rigbook.rig.report import Problems, Report
from rigbook.rig.settle import settled_paths_known
from rigbook.rig.wiring import plan_wiring


def choose(open_rig: OpenRig) -> Choices | Problems:
    """Choose everything left open; errors name the device for which nothing fits."""
    report = Report()
    outputs, outputs_found = choose_outputs(open_rig, report)
    grounds = choose_grounds(open_rig, report)
    if report.errors:
        return _wrong(report)
    plan = plan_wiring(
        open_rig=open_rig, outputs=outputs_of(outputs), grounds={name: str(c.value) for name, c in grounds.items()}
    )  # fmt: skip
    routed = choose_routes(open_rig, plan, report)
    if report.errors:
        return _wrong(report)
    on_run = load_runs(plan, routed)
    stretches = {name: stretches_of(open_rig, plan.segments[name], way, on_run) for name, way in routed.items()}
    sizes = Sizes(open_rig, plan, routed, stretches, report, stock_of(open_rig))
    sizes.fix()
    sizes.choose_fuses()
    if report.errors:
        return _wrong(report)
    sizes.choose_least()
    if report.errors:
        return _wrong(report)
    sizes.match_returns()
    Drops(sizes, paths_of(open_rig, plan)).run()
    sizes.check_settled()
    _unused_settled(open_rig, report)
    if report.errors:
        return _wrong(report)
    wires = sizes.wires()
    return Choices(
        wires=wires,
        fuses=sizes.fuses,
        outputs=outputs,
        routes={name: settled_chosen(way) for name, way in routed.items()},
        lengths_m={name: way.length_m for name, way in routed.items()},
        areas={name: (way.areas, way.hottest_c) for name, way in routed.items()},
        bundles={name: max(count for _, count in found) for name, found in stretches.items()},
        governs={
            name: governing(insulation_c=wires[name].insulation_c, stretches=found) for name, found in stretches.items()
        },
        grounds=grounds,
        nodes=_nodes(open_rig),
        outputs_found=outputs_found,
        notes=tuple(report.notes),
    )


def _wrong(report: Report) -> Problems:
    return Problems(tuple(sorted(set(report.errors))))


def _nodes(open_rig: OpenRig) -> dict[str, Chosen]:
    found = {}
    for device in open_rig.devices.values():
        if device.placement.node is None or device.id not in open_rig.node_why:
            continue
        how, why = open_rig.node_why[device.id]
        kept: How = "set" if how == "set" else "settled" if how == "settled" else "auto"
        found[device.id] = Chosen(device.placement.node, kept, why)
    return found


def _unused_settled(open_rig: OpenRig, report: Report) -> None:
    """A settled value of something that is no longer in the build is told, and does nothing."""
    for path in open_rig.settled:
        if not settled_paths_known(open_rig, path):
            says = f"the settled value {path} belongs to nothing in this build any more: remove it"
            report.note("settled-stale", path, says, open_rig.settled_at[path])
