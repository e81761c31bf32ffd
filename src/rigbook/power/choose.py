"""Choosing what a build leaves open: outputs, ground studs, routes, fuses, wires.

The rules: shortest path in the route graph; smallest stock wire that meets ampacity, the trade's
rows and the drop limit; smallest stock fuse of at least load/0.8; outputs on the fewest modules, then with least copper.
What a person set is kept; what was settled earlier stands in place of a choice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from rigbook.power.choose_drop import Drops, paths_of
from rigbook.power.choose_outputs import choose_grounds, choose_outputs, outputs_of
from rigbook.power.choose_routes import Routed, choose_routes, load_runs, settled_chosen, stretches_of
from rigbook.power.choose_sizes import Loads, Sizes, Stretches, governing
from rigbook.power.stock import stock_of
from rigbook.power.targets import scopes
from rigbook.power.worst_figures import solvable
from rigbook.quantities.kept import Kept
from rigbook.rig.choices import OutputsFound
from rigbook.rig.model import Choices, Chosen, Conductor, How, RigNote
from rigbook.rig.open_model import Need, OpenRig
from rigbook.rig.plan import Plan
from rigbook.rig.report import Problems, Report
from rigbook.rig.settle import settled_paths_known
from rigbook.rig.wiring import plan_wiring


def choose(open_rig: OpenRig) -> Choices | Problems:
    """Choose everything left open, sizes by name-plate sums; errors name the device for which nothing fits."""
    draft = drafted(open_rig)
    return draft if isinstance(draft, Problems) else sized(draft)


def choose_exact(open_rig: OpenRig, kept: Kept | None = None) -> tuple[OpenRig, Choices] | Problems:
    """Choose everything left open, sizes by the greatest currents over every reachable state: RMS for fuses and for the
    heat of wires, peak for drops. By name-plate sums where no solver is installed.

    Gives the choices and what they are put to: the open rig with its switching compiled for the outputs chosen.
    """
    draft = drafted(open_rig)
    if isinstance(draft, Problems):
        return draft
    opened, loads = (open_rig, None) if not solvable() else exact_loads(draft, kept)
    choices = sized(draft, loads)
    return choices if isinstance(choices, Problems) else (opened, choices)


@dataclass(frozen=True, slots=True)
class Draft:
    """What is known before sizes: outputs, grounds, the wiring plan, and the way of every conductor."""

    open: OpenRig
    outputs: Mapping[Need, Chosen]
    outputs_found: OutputsFound | None
    grounds: Mapping[str, Chosen]
    plan: Plan
    routed: Mapping[str, Routed]
    stretches: Mapping[str, Stretches]
    notes: tuple[RigNote, ...]

    def choices(
        self, sizes: Sizes, *, fuses: Mapping[str, Chosen], wires: Mapping[str, Conductor], notes: tuple[RigNote, ...]
    ) -> Choices:
        """The whole of the choices with some sizes."""
        return Choices(
            wires=wires,
            fuses=fuses,
            outputs=dict(self.outputs),
            routes={name: settled_chosen(way) for name, way in self.routed.items()},
            lengths_m={name: way.length_m for name, way in self.routed.items()},
            areas={name: (way.areas, way.hottest_c) for name, way in self.routed.items()},
            bundles={name: max(count for _, count in found) for name, found in self.stretches.items()},
            governs={
                name: governing(
                    rule=self.open.ampacity_rule,
                    gauge=wires[name].gauge,
                    insulation_c=wires[name].insulation_c,
                    stretches=found,
                )
                for name, found in self.stretches.items()
            },
            grounds=self.grounds,
            nodes=_nodes(self.open),
            loads={} if sizes.loads is None else sizes.loads.wires,
            outputs_found=self.outputs_found,
            notes=notes,
        )


def drafted(open_rig: OpenRig) -> Draft | Problems:
    """Outputs, grounds and ways."""
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
    return Draft(open_rig, outputs, outputs_found, grounds, plan, routed, stretches, tuple(report.notes))


def sized(draft: Draft, loads: Loads | None = None) -> Choices | Problems:
    """Fuses and wires of a draft, by some loads or by name-plate sums."""
    report = Report(notes=list(draft.notes))
    sizes = Sizes(
        draft.open, draft.plan, draft.routed, draft.stretches, report, stock_of(draft.open), loads=loads
    )  # fmt: skip
    sizes.fix()
    sizes.choose_fuses()
    if report.errors:
        return _wrong(report)
    sizes.choose_least()
    if report.errors:
        return _wrong(report)
    sizes.match_returns()
    Drops(sizes, paths_of(draft.open, draft.plan)).run()
    sizes.check_settled()
    _unused_settled(draft.open, report)
    if report.errors:
        return _wrong(report)
    return draft.choices(sizes, fuses=sizes.fuses, wires=sizes.wires(), notes=tuple(report.notes))


def exact_loads(draft: Draft, kept: Kept | None = None) -> tuple[OpenRig, Loads]:
    """Greatest RMS and peak of each conductor and feed, from a rig that is right in all but its sizes.

    What hangs on a channel that no function drives cannot flow by the program, and counts with its name-plate draw.
    """
    from rigbook.power.flowing import flows_of
    from rigbook.power.worst_figures import worst_cases
    from rigbook.rig.decide import decide_draft
    from rigbook.rig.nameplate import nameplate_a

    report = Report()
    sizes = Sizes(draft.open, draft.plan, draft.routed, draft.stretches, report, stock_of(draft.open))
    sizes.fix()
    sizes.index.update({name: 0 for name in draft.plan.segments if name not in sizes.fixed})
    sizes.why.update(dict.fromkeys(sizes.index, ""))
    any_fuse = {name: Chosen(1.0, "auto", "") for name in _fuse_keys(draft.open)}
    rig = decide_draft(draft.open, draft.choices(sizes, fuses=any_fuse, wires=sizes.wires(), notes=()))
    cases = worst_cases(rig, kinds=("wires", "feeds"), kept=kept)
    flowing = {(flow.draw.device_id, flow.draw.channel) for flow in flows_of(rig)}

    def load(kind: str, name: str, needs: Iterable[Need], nameplate: float) -> tuple[float, float]:
        found = cases.found.get((kind, name))
        if found is None or found.rms is None or found.peak is None:
            return nameplate, nameplate
        silent = nameplate_a(rig.devices, [need for need in needs if need not in flowing])
        supplied = cases.targets[kind, name].supplied_a
        rms, peak = (min(each.value_a + silent, nameplate) for each in (found.rms, found.peak))
        return max(rms, supplied), max(peak, supplied)

    through = {scope.id: scope.needs for scope in scopes(rig) if scope.kind == "wires"}
    wires = {
        name: load("wires", name, through.get(name, ()), segment.nameplate_a)
        for name, segment in draft.plan.segments.items()
    }
    feeds = {
        name: load("feeds", name, draft.plan.feed_draws.get(name, ()), nameplate)[0]
        for name, nameplate in draft.plan.feed_load_a.items()
    }
    opened = replace(draft.open, compiled=rig.compiled, device_facts=rig.device_facts)
    return opened, Loads(wires, feeds)


def _fuse_keys(open_rig: OpenRig) -> list[str]:
    return [*open_rig.feeds, *(f"{link}:{end}" for link in open_rig.links for end in ("start", "end"))]


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
