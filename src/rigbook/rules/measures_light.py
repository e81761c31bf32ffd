"""Measures of warning light: optical power by zone and level, flash rates, effective intensity of single lamps."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from rigbook.rules.judge import Pack, limit_of
from rigbook.rules.measures import Measure, Reading, Results
from rigbook.rules.measures_colour import PURPOSES, ZONES
from rigbook.rules.proved import witness_words
from rigbook.switching.program import Witness

if TYPE_CHECKING:
    from rigbook.light.engine import Light
    from rigbook.light.result import LampWarning, ZoneWarning

LEVELS = ("upper", "lower", "all")
LAMPS = MappingProxyType({"upper": "upper lamps", "lower": "lower lamps", "all": "lamps of both levels"})
SMALL_LENGTH_M, SMALL_HEIGHT_M = 7.62, 2.4
"""Below 25 ft bumper to bumper, with every warning lamp at most 8 ft up, a fire apparatus is small [NFPA 1901-2016
13.8.13 and 13.8.14, from memory]."""
SMALL_HEIGHT_SLACK_M = 8 * 0.3048 - SMALL_HEIGHT_M


def size_of(results: Results) -> str:
    """`small` or `large`: length below 25 ft and every warning lamp at most 8 ft above ground, or not [memory]."""
    rig = results.rig
    heights = [
        pose.at.z_m for d in rig.devices.values() if "warning" in d.tags and d.colours for pose in d.placement.poses[:1]
    ]
    small = (
        rig.vehicle.size.length < SMALL_LENGTH_M and max(heights, default=0.0) <= SMALL_HEIGHT_M + SMALL_HEIGHT_SLACK_M
    )
    return "small" if small else "large"


# --- zones ------------------------------------------------------------------------------------------------------------


def zone_optical_power(results: Results) -> Iterator[Reading]:
    """Least optical power of a zone and level while a mode holds: 19 points on the horizontal added up.

    Unit: cd s/min. Formula: P = sum over points and lamps of 60 I m. Source: nfpa-1901-2016 13.8.12, from memory; the
    least over every reachable state, lost signals included, is exact.
    """
    yield from _zones(results, "cd_s_per_min", lambda row: row.witness)


def zone_point_power(results: Results) -> Iterator[Reading]:
    """Least optical power at a single point of the zone on the horizontal.

    Unit: cd s/min. As for `zone_optical_power`.
    """
    yield from _zones(results, "point_cd_s_per_min", lambda row: row.point_witness)


def zone_raised_power(results: Results) -> Iterator[Reading]:
    """Least optical power at a single point of the zone 5 deg above or below the horizontal.

    Unit: cd s/min. As for `zone_optical_power`.
    """
    yield from _zones(results, "raised_cd_s_per_min", lambda row: None)


def zone_flash_rate(results: Results) -> Iterator[Reading]:
    """Least rate of flashes a minute that a point of the zone sees, all lamps of the level together.

    Unit: count. Formula: 60000 / period, trains of one clock that overlap counted once [common practice, no source].
    """
    yield from _zones(results, "flashes_per_min", lambda row: row.flashes_witness)


def zone_pulse_rate(results: Results) -> Iterator[Reading]:
    """Most pulses a minute that a point of the zone sees, all lamps of the level together.

    Unit: count. Formula: pulses of one clock together, added between clocks. Source: wcag-2-3-1, published.
    """
    yield from _zones(results, "pulses_per_min", lambda row: None)


def _zones(results: Results, key: str, witness: Callable[[ZoneWarning], Witness | None]) -> Iterator[Reading]:
    light = results.light
    if light is None or light.result.warning is None:
        return
    size = size_of(results)
    modes = {mode.id: mode for mode in results.rig.build.switching.modes}
    for row in light.result.warning:
        shown = witness(row)
        mode = modes.get(row.mode)
        yield Reading(
            subject=row.id,
            value=getattr(row, key),
            file=results.rig.build_file,
            line=mode.where.line if mode else None,
            words={"mode": row.mode, "zone": row.zone, "level": row.level, "lamps": LAMPS[row.level],
                   "witness": "" if shown is None else witness_words(shown),
                   "colours": ", ".join(row.colours) or "no colour"},
            facts=zone_facts(row, mode.purpose if mode else "", size),
            witness=shown,
            figure=f"light.warning[{row.id}].{key}",
        )  # fmt: skip


def zone_facts(row: ZoneWarning, purpose: str, size: str) -> Mapping[str, str | bool]:
    """What a row may ask of a zone."""
    return {"mode": row.mode, "purpose": purpose, "zone": row.zone, "level": row.level, "size": size}


# --- lamps --------------------------------------------------------------------------------------------------------------


def lamp_least_flash_rate(results: Results) -> Iterator[Reading]:
    """Slowest rate at which a warning lamp flashes in a colour, in any reachable state, flashes a minute.

    Unit: count. Formula: 60000 / shortest period. Source: the build's patterns.
    """
    yield from _lamps(results, "least_flashes_per_min")


def lamp_greatest_flash_rate(results: Results) -> Iterator[Reading]:
    """Fastest rate at which a warning lamp flashes in a colour, in any reachable state, flashes a minute.

    Unit: count. As for `lamp_least_flash_rate`.
    """
    yield from _lamps(results, "greatest_flashes_per_min")


def lamp_effective_intensity(results: Results) -> Iterator[Reading]:
    """Least effective intensity of a warning lamp's colour on its axis.

    Unit: cd. Formula: form factor, J / (a + J / I0), a = 0.2 s. Source: iala-e-200-4, from memory.
    """
    yield from _lamps(results, "effective_cd")


def lamp_on_share(results: Results) -> Iterator[Reading]:
    """Length of a warning lamp's burst as a share of its period, the most of any reachable state.

    Unit: share. Formula: on / T. Source: the build's patterns.
    """
    for lamp, reading in _lamp_rows(results):
        if lamp.on_s is not None and lamp.greatest_flashes_per_min is not None:
            yield replace(reading, value=lamp.on_s * lamp.greatest_flashes_per_min / 60)


def lamp_off_time(results: Results) -> Iterator[Reading]:
    """Shortest dark time between a warning lamp's bursts in any reachable state.

    Unit: s. Source: the build's patterns.
    """
    yield from _lamps(results, "off_s")


def _lamps(results: Results, key: str) -> Iterator[Reading]:
    for lamp, reading in _lamp_rows(results):
        value = getattr(lamp, key)
        if value is not None:
            yield replace(reading, value=value, figure=f"light.lamps[{lamp.id}].{key}")


def _lamp_rows(results: Results) -> Iterator[tuple[LampWarning, Reading]]:
    light = results.light
    if light is None or light.result.lamps is None:
        return
    for lamp in light.result.lamps:
        device = results.rig.devices[lamp.id.rsplit(".", 1)[0]]
        reading = Reading(
            subject=lamp.id, value=0.0, file=device.file, line=device.line,
            words={"lamp": device.id, "colour": lamp.colour},
            facts={"colour": lamp.colour, "all_round": device.placement.closed.all_round,
                   "headlamp": "headlamp" in device.tags,
                   **{zone: zone in device.placement.zones for zone in ZONES}},
        )  # fmt: skip
        yield lamp, reading


# --- what the packs in use ask --------------------------------------------------------------------------------------------

REQUIRED = MappingProxyType(
    {"zone_optical_power": "required", "zone_point_power": "required_point", "zone_raised_power": "required_raised"}
)


def with_required(light: Light, packs: Sequence[Pack], results: Results) -> Light:
    """The light block with what the packs in use ask of each row: the greatest lower limit."""
    if light.result.warning is None:
        return light
    found: dict[str, dict[str, float]] = {row.id: {} for row in light.result.warning}
    measures = {measure.name: measure for measure in MEASURES}
    results = replace(results, light=light)
    for name, key in REQUIRED.items():
        rows = [row for pack in packs for row in pack.rows if row.measure == name]
        for reading in measures[name].take(results) if rows else ():
            limits = [
                limit for row in rows
                if (row.limit or row.cases[0]).at_least is not None
                and (limit := limit_of(row, measures[name], reading)) is not None
            ]  # fmt: skip
            if limits:
                found[reading.subject][key] = max(limits)
    warning = tuple(replace(row, **found[row.id]) for row in light.result.warning)  # type: ignore[arg-type]
    return replace(light, result=replace(light.result, warning=warning))


ZONE_FACTS = MappingProxyType(
    {"mode": (), "purpose": PURPOSES, "zone": ZONES, "level": LEVELS, "size": ("small", "large")}
)
ZONE_WORDS = ("mode", "zone", "level", "lamps", "witness", "colours")
LAMP_FACTS = MappingProxyType({"colour": (), "all_round": None, "headlamp": None, **dict.fromkeys(ZONES)})
LAMP_WORDS = ("lamp", "colour")


def _zone(name: str, unit: str, take: Callable[[Results], Iterator[Reading]]) -> Measure:
    return Measure(name=name, per="zone", unit=unit, take=take, words=ZONE_WORDS, facts=ZONE_FACTS)


def _lamp(name: str, unit: str, take: Callable[[Results], Iterator[Reading]]) -> Measure:
    return Measure(name=name, per="device", unit=unit, take=take, words=LAMP_WORDS, facts=LAMP_FACTS)


MEASURES: tuple[Measure, ...] = (
    _zone("zone_optical_power", "cd s/min", zone_optical_power),
    _zone("zone_point_power", "cd s/min", zone_point_power),
    _zone("zone_raised_power", "cd s/min", zone_raised_power),
    _zone("zone_flash_rate", "count", zone_flash_rate),
    _zone("zone_pulse_rate", "count", zone_pulse_rate),
    _lamp("lamp_least_flash_rate", "count", lamp_least_flash_rate),
    _lamp("lamp_greatest_flash_rate", "count", lamp_greatest_flash_rate),
    _lamp("lamp_effective_intensity", "cd", lamp_effective_intensity),
    _lamp("lamp_on_share", "share", lamp_on_share),
    _lamp("lamp_off_time", "s", lamp_off_time),
)
