"""What could be simpler: outputs that always act alike, functions that could be one, switches that do nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from importlib.util import find_spec
from typing import TYPE_CHECKING

from rigbook.proofs.verdicts import Verdicts
from rigbook.rig.model import Rig
from rigbook.rules.findings import Finding

if TYPE_CHECKING:
    from rigbook.power.result import PowerResult


@dataclass(frozen=True, slots=True)
class Alike:
    """Lists of ids and names, each in the build file's order. switches: that do nothing and hold nothing off."""

    outputs: tuple[tuple[str, ...], ...]
    functions: tuple[tuple[str, ...], ...]
    switches: tuple[str, ...]


def alike_of(rig: Rig, verdicts: Verdicts) -> Alike | None:
    """Work it out; None where no solver is installed."""
    if find_spec("pysat") is None:
        return None
    from rigbook.proofs.equivalence import mergeable

    program = rig.program
    return Alike(
        outputs=_outputs(rig),
        functions=tuple(tuple(program.functions[f].name for f in group) for group in mergeable(program)),
        switches=tuple(d.switch for d in verdicts.dead_positions or () if d.whole_switch and not d.releases_others),
    )


def _outputs(rig: Rig) -> tuple[tuple[str, ...], ...]:
    """Outputs of controllers whose loads go on together in every reachable state."""
    from rigbook.proofs.equivalence import Unit, alike

    numbers = {device.id: n for n, device in enumerate(rig.program.devices)}
    on: dict[str, list[Unit]] = {}
    for circuit in rig.circuits.values():
        needs = [need for member in circuit.members for need in member.draws]
        if circuit.kind == "output" and needs and all(device in numbers for device, _ in needs):
            on[circuit.id] = [(numbers[device], channel) for device, channel in needs]
    groups = alike(rig.program, list(dict.fromkeys(unit for units in on.values() for unit in units)))
    kind = {unit: n for n, group in enumerate(groups) for unit in group}
    found: dict[int, list[str]] = {}
    for name, units in on.items():
        kinds = {kind.get(unit) for unit in units}
        first = kinds.pop()
        if first is not None and not kinds:
            found.setdefault(first, []).append(name)
    return tuple(tuple(group) for group in found.values() if len(group) > 1)


def alike_findings(rig: Rig, found: Alike | None, power: PowerResult | None) -> Iterator[Finding]:
    """One note of what could be joined: functions, and outputs of one module that one output could carry."""
    if found is None:
        return
    parts = [f"functions {_names(group)} are on together in every reachable state" for group in found.functions]
    pairs = [f"{first} with {other}" for first, other in _joinable(rig, found, power)]
    if pairs:
        parts.append(f"of each of these pairs of outputs, always alike, one could carry both: {', '.join(pairs)}")
    if parts:
        yield Finding(
            rule="could-be-one", subject="switching", severity="note", file=rig.build_file,
            says=f"Some things could be one; join them where that makes the vehicle simpler: {'; '.join(parts)}.",
        )  # fmt: skip


def _names(names: tuple[str, ...]) -> str:
    return " and ".join(f"“{name}”" for name in names)


def _joinable(rig: Rig, found: Alike, power: PowerResult | None) -> Iterator[tuple[str, str]]:
    """Pairs of alike outputs of one bank, next to each other in their group, whose peaks fit the smaller limit."""
    if power is None:
        return
    peaks = {circuit.id: circuit.worst_peak_a for circuit in power.circuits}
    for group in found.outputs:
        free = list(group)
        while len(free) > 1:
            first = free.pop(0)
            one = rig.circuits[first]
            for name in free:
                other = rig.circuits[name]
                limits = [limit for limit in (one.limit_a, other.limit_a) if limit is not None]
                asked = [peaks[first], peaks[name]]
                fits = limits and all(a is not None for a in asked) and sum(a or 0.0 for a in asked) <= min(limits)
                if fits and (one.module_id, one.bank) == (other.module_id, other.bank):
                    free.remove(name)
                    yield first, name
                    break
