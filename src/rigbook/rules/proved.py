"""Verdicts of the proofs as findings. What they mean and how bad they are stands in the table below."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from types import MappingProxyType

from rigbook.proofs.verdicts import Verdicts
from rigbook.rig.model import Rig
from rigbook.rules.findings import Finding, Severity
from rigbook.switching.program import Device, Witness

SEVERITY: Mapping[str, Severity] = MappingProxyType(
    {
        "no-reachable-state": "fail",
        "rest-not-reachable": "fail",
        "never-on": "caution",
        "always-overridden": "caution",
        "dead-position": "caution",
        "dead-switch": "caution",
        "switch-only-releases": "note",
        "never-lit": "caution",
        "never-lit-warning": "fail",
        "two-colours-at-once": "fail",
        "broken-requirement": "fail",
        "zone-without-warning": "fail",
        "zone-without-warning-explained": "note",
        "lost-signal": "caution",
        "not-proved": "note",
    }
)
"""What each verdict weighs."""


def witness_words(witness: Witness | None) -> str:
    """A witness in words: `at rest`, or the values off rest and what is lost."""
    if witness is None:
        return "in some reachable state"
    parts = [f"{name} {value}" for name, value in witness.set]
    words = "with " + ", ".join(parts) if parts else "at rest"
    return words + (f", {', '.join(witness.lost)} lost" if witness.lost else "")


def proved_findings(rig: Rig, verdicts: Verdicts) -> Iterator[Finding]:
    """Every finding of switching, in the order of the table; never raises."""
    yield from _whole(rig, verdicts)
    yield from _functions(rig, verdicts)
    yield from _positions(rig, verdicts)
    yield from _lamps(rig, verdicts)
    yield from _requirements(rig, verdicts)
    yield from _zones(rig, verdicts)
    for number, note in enumerate(verdicts.notes, start=1):
        yield Finding(rule="not-proved", subject=f"switching-{number}", severity="note", says=note, file=rig.build_file)


def _whole(rig: Rig, verdicts: Verdicts) -> Iterator[Finding]:
    if verdicts.reachable_states == 0:
        yield Finding(
            rule="no-reachable-state",
            subject="switching",
            severity=SEVERITY["no-reachable-state"],
            says="No state of switches and signals is reachable, so every proof is empty: the assumptions contradict "
            "each other; take the wrong line out of `impossible`, or mend the memory or timer that has no way out.",
            file=rig.build_file,
        )
    elif not verdicts.rest_reachable:
        because = "; ".join(verdicts.unreachable_because) or "an assumption excludes it"
        place = re.search(r", (\S+):(\d+)", because)
        yield Finding(
            rule="rest-not-reachable",
            subject="switching",
            severity=SEVERITY["rest-not-reachable"],
            says=f"The rest state is excluded by the assumptions ({because}): the vehicle cannot be parked and "
            "asleep in this model; mend the assumption or the rest value.",
            file=place[1] if place else rig.build_file,
            line=int(place[2]) if place else None,
        )


def _functions(rig: Rig, verdicts: Verdicts) -> Iterator[Finding]:
    files = {f.name: f.file for f in rig.program.functions}
    for verdict in verdicts.functions or ():
        place = {"file": files.get(verdict.name, rig.build_file), "line": verdict.line}
        if not verdict.reachable:
            yield Finding(
                rule="never-on",
                subject=verdict.name,
                severity=SEVERITY["never-on"],
                says=f"“{verdict.name}” is never on: its condition holds in no reachable state; mend the condition or "
                "take the function out.",
                **place,  # type: ignore[arg-type]
            )
            continue
        if not verdict.effective:
            yield Finding(
                rule="always-overridden",
                subject=verdict.name,
                severity=SEVERITY["always-overridden"],
                says=f"“{verdict.name}” can be on but never decides or dims any device: something of more importance "
                "always does; raise its rank, move it later in its rank, or take it out.",
                **place,  # type: ignore[arg-type]
            )
        if verdict.only_when_lost is not None:
            yield Finding(
                rule="lost-signal",
                subject=verdict.name,
                severity=SEVERITY["lost-signal"],
                says=f"“{verdict.name}” comes on only because a signal is lost, "
                f"{witness_words(verdict.only_when_lost)}; check that this is what the crew wants, else set "
                "`if_unknown: off`.",
                witness=verdict.only_when_lost,
                **place,  # type: ignore[arg-type]
            )


def _positions(rig: Rig, verdicts: Verdicts) -> Iterator[Finding]:
    variables = {v.name: v for v in rig.program.variables}
    for dead in verdicts.dead_positions or ():
        where = variables.get(dead.switch)
        place = {"file": where.file if where else rig.build_file, "line": where.line if where else None}
        if dead.whole_switch and dead.releases_others:
            yield Finding(
                rule="switch-only-releases",
                subject=dead.switch,
                severity=SEVERITY["switch-only-releases"],
                says=f"Switch {dead.switch} does nothing of its own: it only lets other switches go.",
                **place,  # type: ignore[arg-type]
            )
        elif dead.whole_switch:
            yield Finding(
                rule="dead-switch",
                subject=dead.switch,
                severity=SEVERITY["dead-switch"],
                says=f"Switch {dead.switch} does nothing in any reachable state; give it a function or leave it out.",
                **place,  # type: ignore[arg-type]
            )
        else:
            for position in dead.positions:
                yield Finding(
                    rule="dead-position",
                    subject=f"{dead.switch}.{position}",
                    severity=SEVERITY["dead-position"],
                    says=f"Position {position} of {dead.switch} does the same as rest in every reachable state; give "
                    "it a function or leave it out.",
                    **place,  # type: ignore[arg-type]
                )


def _lamps(rig: Rig, verdicts: Verdicts) -> Iterator[Finding]:
    devices: dict[str, Device] = {d.id: d for d in rig.program.devices}
    for dark in verdicts.never_lit or ():
        yield Finding(
            rule="never-lit",
            subject=f"{dark.device}.{dark.colour}",
            severity=SEVERITY["never-lit-warning" if dark.warning else "never-lit"],
            says=f"{dark.device} never shows {dark.colour}: no reachable state lights it; give it a function that "
            "shows this colour, or fit a lamp without it.",
            file=devices[dark.device].file,
            line=devices[dark.device].line,
        )
    for two in verdicts.two_colours or ():
        by = f"“{two.function}” asks" if two.function else "its rest asks"
        yield Finding(
            rule="two-colours-at-once",
            subject=two.device,
            severity=SEVERITY["two-colours-at-once"],
            says=f"{two.device} can show one colour at a time, and {by} it for {two.colours[0]} and {two.colours[1]} "
            f"together {witness_words(two.witness)}; shift one colour by half a period.",
            file=devices[two.device].file,
            line=devices[two.device].line,
            witness=two.witness,
        )


def _requirements(rig: Rig, verdicts: Verdicts) -> Iterator[Finding]:
    files = {r.name: r.file for r in rig.program.requirements}
    for verdict in verdicts.requirements or ():
        if verdict.holds:
            continue
        because = " (only because a signal is lost)" if verdict.only_when_lost else ""
        yield Finding(
            rule="broken-requirement",
            subject=verdict.name,
            severity=SEVERITY["broken-requirement"],
            says=f"Requirement “{verdict.name}” is broken {witness_words(verdict.witness)}{because}; change the "
            "function that breaks it, or the requirement.",
            file=files.get(verdict.name, rig.build_file),
            line=verdict.line,
            witness=verdict.witness,
        )


def _zones(rig: Rig, verdicts: Verdicts) -> Iterator[Finding]:
    warning_when = rig.build.switching.warning_when
    place = warning_when.where if warning_when is not None else None
    for dark in verdicts.dark_zones or ():
        kind = "zone-without-warning-explained" if dark.explained else "zone-without-warning"
        tail = (
            "a cut takes its lamps, so this is as the crew asked"
            if dark.explained
            else "light a warning lamp there, or narrow `warning_when`"
        )
        yield Finding(
            rule="zone-without-warning",
            subject=dark.zone,
            severity=SEVERITY[kind],
            says=f"From the {dark.zone} no warning lamp is seen {witness_words(dark.witness)} although warning is on; "
            f"{tail}.",
            file=rig.build_file,
            line=place.line if place is not None else None,
            witness=dark.witness,
        )
