"""What the engine of light gives: records whose fields are keys of `check --json`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Literal

from rigbook.light.areas import SceneResult
from rigbook.light.markings import Markings
from rigbook.rig.model import RigNote
from rigbook.switching.program import Witness

Level = Literal["upper", "lower", "all"]
LEVELS: tuple[Level, ...] = ("upper", "lower", "all")
NOTHING: Mapping[str, Any] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneWarning:
    """Warning light of one zone and level while a mode holds: the least over its reachable states, lost signals
    included.

    cd_s_per_min: the least sum over the zone's 19 points on the horizontal; half_ends_…: the same state, end points at
    half; nothing_lost_…: the least while no signal is lost. point_…: the least at one point on the horizontal, raised_…:
    5 deg above or below. flashes_per_min: the least seen at a point; pulses_per_min: the most. colours: seen in the
    state of the least sum. required, required_point, required_raised: of the rule packs in use, null without one.
    """

    id: str
    mode: str
    zone: str
    level: Level
    cd_s_per_min: float
    flashes_per_min: float
    colours: tuple[str, ...]
    required: float | None
    half_ends_cd_s_per_min: float
    nothing_lost_cd_s_per_min: float | None
    point_cd_s_per_min: float
    point_at_deg: float
    required_point: float | None
    raised_cd_s_per_min: float
    required_raised: float | None
    pulses_per_min: float
    lamps: int
    witness: Witness
    point_witness: Witness
    flashes_witness: Witness


@dataclass(frozen=True, slots=True, kw_only=True)
class LampWarning:
    """A colour of a warning lamp over everything it may do: least and greatest over its reachable flashes.

    peak_cd: outside the glass. effective_cd: least effective intensity on its axis by the form factor, a = 0.2 s; beside
    it the forms of Douglas (Blondel and Rey over the train), of Allard as modified, and of Allard.
    on_s, off_s: longest burst and shortest of the longest dark stretches. Nulls: it never flashes.
    """

    id: str
    colour: str
    peak_cd: float
    axis_cd_s_per_min: float | None
    effective_cd: float | None
    douglas_cd: float | None
    modified_allard_cd: float | None
    allard_cd: float | None
    least_flashes_per_min: float | None
    greatest_flashes_per_min: float | None
    greatest_pulses_per_min: float | None
    on_s: float | None
    off_s: float | None
    total_lm: float
    light: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Bearings next to each other that no flashing warning lamp's field reaches in some state of a mode."""

    id: str
    from_deg: float
    width_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AroundMode:
    """Gaps of one mode, and the least share of bearings that are reached in one state."""

    id: str
    gaps: tuple[Gap, ...]
    least_cd_s_per_min: float
    reached_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """Around the vehicle on the horizontal, in the darkest state of its darkest mode, each colour by itself; and the gaps
    of every mode over all its states."""

    mode: str
    azimuth_deg: tuple[float, ...]
    cd_s_per_min: Mapping[str, tuple[float, ...]]
    modes: tuple[AroundMode, ...]
    witness: Witness


@dataclass(frozen=True, slots=True, kw_only=True)
class PartColour:
    """A colour of a lamp part that is fitted, by its chromaticity: the editions of boundaries it keeps and those it does
    not; an edition that does not name the colour is in neither. temperature_k: of whites."""

    id: str
    colour: str
    x: float
    y: float
    inside: tuple[str, ...]
    outside: tuple[str, ...]
    temperature_k: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class EyeFigures:
    """What a zone sees of every lamp in a saved state: flashes and pulses at its middle bearing, and illuminance at an
    eye 3, 30 and 150 m away, at the brightest instant and averaged over time."""

    id: str
    colours: tuple[str, ...]
    flashes_per_min: float
    pulses_per_min: float
    peak_3_lx: float
    peak_30_lx: float
    peak_150_lx: float
    mean_3_lx: float
    mean_30_lx: float
    mean_150_lx: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StateLight:
    """A saved state seen from around. veil_cd_m2: greatest veiling luminance of its steady light for an oncoming driver
    of 70 years, and at what distance."""

    id: str
    zones: tuple[EyeFigures, ...]
    veil_cd_m2: float
    veil_at_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LightResult:
    """The light block. None: not worked out, and a note says why. notes stay out of the JSON."""

    warning: tuple[ZoneWarning, ...] | None = None
    around: Around | None = None
    scene: tuple[SceneResult, ...] | None = None
    markings: Markings | None = None
    lamps: tuple[LampWarning, ...] | None = None
    states: tuple[StateLight, ...] | None = None
    colour: tuple[PartColour, ...] | None = None
    notes: tuple[RigNote, ...] = ()
