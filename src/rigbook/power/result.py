"""What the power engine returns: the `power` block of the results, keys as printed. None: not worked out.

`worst_…_a` is the greatest over every reachable state, exact where `worst_…_gap_a` is 0; else a proven upper bound, and
the gap is what it lies above the best state found. `witness` is the smallest state that reaches the worst average,
`rms_witness` and `peak_witness` the other two.
"""

from __future__ import annotations

from dataclasses import dataclass

from rigbook.power.bundles import Bundle
from rigbook.power.day_result import (
    NO_ENDURANCE,
    BankDay,
    BlockFigures,
    DayEvent,
    DutyFigures,
    Endurance,
    ShoreFigures,
    StartStep,
    StateNeed,
    Trial,
)
from rigbook.power.guarded import Guarded
from rigbook.power.network_figures import NetworkFigures
from rigbook.power.protection import Protection
from rigbook.rig.choices import OutputsFound
from rigbook.rig.model import RigNote
from rigbook.switching.program import Witness


@dataclass(frozen=True, slots=True, kw_only=True)
class WorstCurrents:
    """Worst values over every reachable state, A, each with its gap and witness (see the module)."""

    worst_average_a: float | None = None
    worst_rms_a: float | None = None
    worst_peak_a: float | None = None
    worst_average_gap_a: float | None = None
    worst_rms_gap_a: float | None = None
    worst_peak_gap_a: float | None = None
    witness: Witness | None = None
    rms_witness: Witness | None = None
    peak_witness: Witness | None = None


@dataclass(frozen=True, slots=True)
class Whole(WorstCurrents):
    """Everything the build's circuits power, A. The worst over all states comes with the exact maxima."""

    nameplate_a: float


@dataclass(frozen=True, slots=True)
class DeviceDrop:
    """A device on a circuit: conductor of the circuit out and back, name-plate current, drop from the battery to
    it and back, and the volts that leaves it."""

    id: str
    colour: str | None
    length_m: float
    current_a: float
    drop_v: float
    device_v: float


@dataclass(frozen=True, slots=True)
class CircuitFigures(WorstCurrents):
    """A circuit by its governing device. `drop_v` is from the battery to it and back, `own_drop_v` what of that the
    circuit's own conductors lose, out and back."""

    id: str
    feed: str | None
    devices: tuple[DeviceDrop, ...]
    governing: str | None
    conductor: str | None
    fuse_a: float | None
    limit_a: float | None
    nameplate_a: float
    ampacity_a: float | None
    practice_fuse_a: float | None
    drop_v: float | None
    drop_fraction: float | None
    own_drop_v: float | None
    solved_state: str
    solved_drop_v: float | None


@dataclass(frozen=True, slots=True)
class FeedFigures(WorstCurrents):
    """A feed: its weakest conductor, its fuse, and the drop of its own line."""

    id: str
    conductor: str | None
    fuse_a: float
    nameplate_a: float
    ampacity_a: float | None
    practice_fuse_a: float | None
    drop_v: float | None


@dataclass(frozen=True, slots=True)
class ModuleFigures(WorstCurrents):
    """A controller or output module. `limit_a`: of all its banks together, None where the part states none."""

    id: str
    outputs_used: int
    outputs: int
    nameplate_a: float
    limit_a: float | None


@dataclass(frozen=True, slots=True)
class DeviceFigures(WorstCurrents):
    """A device that the build's circuits power."""

    id: str
    nameplate_a: float


@dataclass(frozen=True, slots=True)
class BankFigures(WorstCurrents):
    """A bank of outputs with a common limit; id: module and bank."""

    id: str
    nameplate_a: float
    limit_a: float | None


@dataclass(frozen=True, slots=True)
class WireFigures(WorstCurrents):
    """A conductor that carries load. `ampacity_a`: None for a device's own lead, which is judged by its fuse."""

    id: str
    conductor: str
    nameplate_a: float
    ampacity_a: float | None


@dataclass(frozen=True, slots=True)
class WorstCharging:
    """The charging system in the reachable state with the engine running that draws most on average, A.

    What no function names counts by the working day: with the greatest average of its stretches, its first draw where
    the day says nothing. `idle_margin_a` is against the hot output at idle, `most_margin_a` against the greatest of the
    hot curve.
    """

    worst_average_a: float
    worst_average_gap_a: float
    base_a: float
    idle_margin_a: float | None
    most_output_a: float | None
    most_margin_a: float | None
    witness: Witness


@dataclass(frozen=True, slots=True)
class StateSupply:
    """A saved state against the charging system, A: equipment, factory lamps taken, base load; output and margin."""

    id: str
    running: bool
    equipment_a: float
    factory_a: float
    base_a: float
    average_a: float
    output_a: float | None
    margin_a: float | None


@dataclass(frozen=True, slots=True)
class Flow:
    """Average, RMS and peak of one thing in one state, A; `bound`: the peak is an upper bound."""

    id: str
    average_a: float
    rms_a: float
    peak_a: float
    bound: bool


@dataclass(frozen=True, slots=True)
class StateFigures:
    """A saved state: what every device, circuit, feed and the whole draw in it, over time and over any phase
    between clocks."""

    id: str
    title: str
    average_a: float
    rms_a: float
    peak_a: float
    bound: bool
    devices: tuple[Flow, ...]
    circuits: tuple[Flow, ...]
    feeds: tuple[Flow, ...]


@dataclass(frozen=True, slots=True)
class SavedOn:
    """What the worst RMS spares a circuit or feed beside its name-plate sum: amperes, and the fuse (A) and wire that
    either would ask for by ampacity and practice. None: no fuse, or nothing in stock does."""

    id: str
    spared_a: float
    fuse_by_nameplate_a: float | None
    fuse_by_worst_a: float | None
    wire_by_nameplate: str | None
    wire_by_worst: str | None


@dataclass(frozen=True, slots=True)
class Saved:
    """What the worst cases are worth: name-plate sum of the whole less its worst peak, A; sizes of stock fuses and
    wires, and modules, summed."""

    spared_a: float
    fuse_sizes: int
    wire_sizes: int
    modules: int
    on: tuple[SavedOn, ...]


@dataclass(frozen=True, slots=True)
class Supply:
    """The charging system, hot."""

    idle_output_a: float | None
    states: tuple[StateSupply, ...]
    worst_running: WorstCharging | None = None
    needs: tuple[StateNeed, ...] = ()
    start_up: tuple[StartStep, ...] = ()
    shore: tuple[ShoreFigures, ...] = ()


@dataclass(frozen=True, slots=True)
class PowerResult:
    """The whole block."""

    whole: Whole
    circuits: tuple[CircuitFigures, ...]
    feeds: tuple[FeedFigures, ...]
    modules: tuple[ModuleFigures, ...]
    supply: Supply
    states: tuple[StateFigures, ...]
    devices: tuple[DeviceFigures, ...] = ()
    banks: tuple[BankFigures, ...] = ()
    wires: tuple[WireFigures, ...] = ()
    saved: Saved | None = None
    protection: tuple[Protection, ...] = ()
    network: tuple[NetworkFigures, ...] = ()
    guarded: tuple[Guarded, ...] = ()
    bundles: tuple[Bundle, ...] = ()
    outputs: OutputsFound | None = None
    blocks: tuple[BlockFigures, ...] = ()
    duty: tuple[DutyFigures, ...] | None = None
    day_banks: tuple[BankDay, ...] = ()
    day_events: tuple[DayEvent, ...] = ()
    endurance: Endurance = NO_ENDURANCE
    trials: tuple[Trial, ...] = ()
    notes: tuple[RigNote, ...] = ()
