"""What is chosen for a vehicle, who chose it, and why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from rigbook.quantities.gauge import Gauge

How = Literal["set", "auto", "lead", "settled"]
"""A person set it, it was worked out, it is a device's own lead, or it was settled earlier."""


@dataclass(frozen=True, slots=True)
class Conductor:
    """One wire: its gauge as written (`14 AWG`), the stock part, its insulation class, who chose it and why."""

    gauge: Gauge  # prints as "14 AWG", "2/0 AWG", "2.5 mm2"
    part_id: str | None
    insulation_c: float
    how: How
    why: str
    resistance_ohm_per_m: float | None = None  # the part's own at 20 C; None: from the table of its gauge


@dataclass(frozen=True, slots=True)
class RigNote:
    """Something to tell about the vehicle, found while working it out. Becomes a finding `rule@subject`."""

    rule: str
    subject: str
    severity: Literal["fail", "caution", "note"]
    says: str
    file: str
    line: int
    sourced: str = "common practice"


@dataclass(frozen=True, slots=True)
class Chosen:
    """One value, who chose it, and why in one line that `explain` can show."""

    value: Any
    how: How
    why: str


@dataclass(frozen=True, slots=True)
class OutputsFound:
    """How good the outputs are that were left to `auto`.

    channels: that ask for an output, set ones included; outputs: they stand on; modules: with an output in use, and the
    fewest there can be; modules_fitted: controllers and modules of the build. spared: outputs fewer than channels.
    copper_kg: of the wires from outputs to what was left to `auto`, by the least wire practice lets behind them, and the
    least it can be; gap_fraction: how much of it could at most be saved; proven: no better outputs exist.
    """

    channels: int
    outputs: int
    modules: int
    modules_at_least: int
    modules_fitted: int
    spared: int
    copper_kg: float
    copper_at_least_kg: float
    gap_fraction: float
    proven: bool


@dataclass(frozen=True, slots=True)
class Choices:
    """Everything that was left to work out, and everything set, by the same keys.

    wires:   segment id -> Conductor (how and why inside)
    fuses:   feed id, or LINK:start / LINK:end -> Chosen(float A)
    outputs: (device, channel) -> Chosen("control.3")
    loads: segment id -> (greatest RMS, greatest peak) in A over every reachable state, where they were worked out
    outputs_found: how good those outputs are; None where nothing was left to `auto`
    routes:  segment id -> Chosen(tuple of route nodes)
    lengths_m: segment id -> length with drops to the ends and service loops, metres
    areas: segment id -> (areas passed, hottest ambient in degrees Celsius)
    paths: segment id -> its path in `settled:` (filled when decided)
    bundles: segment id -> conductors loaded at once in the fullest run it passes
    governs: segment id -> (ambient in degrees Celsius, conductors) of the stretch that limits it most
    grounds: device -> Chosen(stud id)
    nodes:   device -> Chosen(node id)
    """

    wires: Mapping[str, Conductor] = field(default_factory=dict)
    fuses: Mapping[str, Chosen] = field(default_factory=dict)
    outputs: Mapping[tuple[str, str], Chosen] = field(default_factory=dict)
    routes: Mapping[str, Chosen] = field(default_factory=dict)
    lengths_m: Mapping[str, float] = field(default_factory=dict)
    areas: Mapping[str, tuple[tuple[str, ...], float]] = field(default_factory=dict)
    paths: Mapping[str, str] = field(default_factory=dict)
    bundles: Mapping[str, int] = field(default_factory=dict)
    governs: Mapping[str, tuple[float, int]] = field(default_factory=dict)
    grounds: Mapping[str, Chosen] = field(default_factory=dict)
    nodes: Mapping[str, Chosen] = field(default_factory=dict)
    positions: Mapping[str, Chosen] = field(default_factory=dict)
    loads: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    outputs_found: OutputsFound | None = None
    notes: tuple[RigNote, ...] = ()
