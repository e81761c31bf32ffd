"""Measures of wiring: drop, protection, conductors."""

from __future__ import annotations

from collections.abc import Iterator
from types import MappingProxyType
from typing import Any

from rigbook.power import conductors
from rigbook.power.drops import ampacity_a
from rigbook.rig.model import Circuit, Rig, Segment
from rigbook.rules.measures import Measure, Reading, Results


def worst_of(figure: Any, key: str) -> tuple[float, str, str]:
    """Worst value of a figure over every state, its key and how to speak of it; the name-plate sum where the exact
    maximum is not worked out, which is never less."""
    value = getattr(figure, key)
    if value is None:
        return float(figure.nameplate_a), "nameplate_a", "by the name-plate sum"
    return float(value), key, "at worst"


# --- voltage drop -----------------------------------------------------------------------------------


def drop_share(results: Results) -> Iterator[Reading]:
    """Voltage lost from source to the governing device and back, as a share of the voltage drops are counted from.

    Unit: share. Formula: drop from the battery to the device and back / drop_from. Source: Ohm's law over the segments
    (see the figure).
    """
    if results.power is None:
        return
    rig = results.rig
    for figure in results.power.circuits:
        if figure.drop_fraction is None:
            continue
        circuit = rig.circuits[figure.id]
        feed = rig.feeds.get(circuit.feed_id or "")
        yield Reading(
            subject=figure.id,
            value=figure.drop_fraction,
            file=circuit.file,
            line=circuit.line,
            words={"device": figure.governing or figure.id},
            facts={"drop": feed.drop if feed else "ordinary"},
            figure=f"power.circuits[{figure.id}].drop_fraction",
        )


def device_voltage(results: Results) -> Iterator[Reading]:
    """Voltage at a device with everything on its circuit drawing, against the window in which the part works.

    Unit: V. Formula: voltage drops are counted from, less the drop to the device and back. Source: as for the drop.
    """
    if results.power is None:
        return
    rig = results.rig
    for figure in results.power.circuits:
        for at in figure.devices:
            device = rig.devices.get(at.id)
            window = next((d.works_v for d in device.draws if d.works_v), None) if device else None
            if device is None or window is None or at.device_v is None:
                continue
            yield Reading(
                subject=f"{figure.id}.{at.id}",
                value=at.device_v,
                file=device.file,
                line=device.line,
                limits={"works_from": window[0]},
                figure=f"power.circuits[{figure.id}].devices[{at.id}].device_v",
            )


# --- protection ---------------------------------------------------------------------------------------


def _protected(rig: Rig, circuit: Circuit) -> tuple[Segment, ...]:
    """Segments behind a circuit's fuse, own leads aside, each once."""
    ids = dict.fromkeys(s for m in circuit.members for s in (*m.feed_path, *m.return_path))
    return tuple(rig.segments[s] for s in ids if rig.segments[s].role != "lead")


def fuse_rating(results: Results) -> Iterator[Reading]:
    """Rating of the fuse of a circuit or feed, against what its thinnest wire takes.

    Unit: A. Limits: `practice` is the table of largest fuses by gauge (practice-wiring); `ampacity` is the least corrected
    ampacity of the wires behind the fuse (cfr-33-183-425); `regulation` is 150 % of it (cfr-33-183-455), for a shop
    that claims that regulation. Source: the build, or chosen.
    """
    rig = results.rig
    for circuit in rig.circuits.values():
        if circuit.fuse_a is not None:
            place = rig.feeds.get(circuit.id) or circuit  # the fuse is written where the feed is
            yield from _fuse_reading(circuit.id, circuit.fuse_a, _protected(rig, circuit), place.file, place.line)
    for feed in rig.feeds.values():
        if feed.segment is not None:
            yield from _fuse_reading(feed.id, feed.fuse_a, (rig.segments[feed.segment],), feed.file, feed.line)


def _fuse_reading(
    subject: str, fuse_a: float, segments: tuple[Segment, ...], file: str, line: int
) -> Iterator[Reading]:
    if not segments:
        return
    weakest = min(segments, key=lambda s: (_practice(s), s.conductor.gauge))
    ampacity = min((a for s in segments if (a := ampacity_a(s)) is not None), default=None)
    limits = {"practice": _practice(weakest)}
    if ampacity is not None:
        limits["ampacity"] = ampacity
        limits["regulation"] = conductors.regulation_max_fuse_a(ampacity_a=ampacity)
    yield Reading(
        subject=subject,
        value=fuse_a,
        file=file,
        line=line,
        limits=limits,
        words={"wire": str(weakest.conductor.gauge), "segment": f"{weakest.from_point} to {weakest.to_point}"},
    )


def _practice(segment: Segment) -> float:
    """Largest fuse by practice; a wire thinner than the table takes none."""
    most = conductors.practice_max_fuse_a(gauge=segment.conductor.gauge)
    return 0.0 if most is None else most


def load_share_of_fuse(results: Results) -> Iterator[Reading]:
    """Worst RMS current of a fused circuit or feed (name-plate sum until it is known) as a share of its fuse's rating.

    Unit: share. Formula: worst_rms_a / fuse_a. Source: the figures named.
    """
    if results.power is None:
        return
    rig = results.rig
    for kind, figures in (("circuits", results.power.circuits), ("feeds", results.power.feeds)):
        for figure in figures:
            if kind == "feeds" and figure.id in rig.circuits:
                continue  # the same fuse, judged as a circuit
            place = rig.feeds.get(figure.id) or rig.circuits.get(figure.id)
            if place is None or figure.fuse_a is None:
                continue
            load_a, key, basis = worst_of(figure, "worst_rms_a")
            yield Reading(
                subject=figure.id,
                value=load_a / figure.fuse_a,
                file=place.file,
                line=place.line,
                words={"fuse": f"{figure.fuse_a:g} A", "basis": basis},
                witness=figure.rms_witness,
                figure=f"power.{kind}[{figure.id}].{key}",
            )


def unprotected(results: Results) -> Iterator[Reading]:
    """1 for a device that draws current and stands behind no fuse and no output, else 0.

    Unit: count. Source: the build's own ties. What a link passes through (an isolator) stands between the fuses of the
    link's ends, and is left out.
    """
    linked = {link.through for link in results.rig.links.values()}
    for device in results.rig.devices.values():
        if device.part_kind == "factory-lamp" or device.inside_of is not None or device.id in linked:
            continue
        loose = [d for d in device.draws if d.circuit_id is None and d.current_a > 0]
        if device.draws:
            yield Reading(
                subject=device.id,
                value=1.0 if loose else 0.0,
                file=device.file,
                line=device.line,
                words={"terminal": loose[0].terminal if loose else ""},
            )


def link_end_fuse(results: Results) -> Iterator[Reading]:
    """Rating of the fuse at each end of a conductor between two banks.

    Unit: A. Limits, of the thinner wire of the link: `practice`, the table of largest fuses by gauge (practice-wiring);
    `ampacity`, the corrected ampacity (cfr-33-183-425). Source: the build, or chosen.
    """
    rig = results.rig
    for link in rig.links.values():
        segments = [rig.segments[s] for s in link.segments]
        if not segments:
            continue
        thinnest = min(segments, key=lambda s: s.conductor.gauge)
        limits = {"practice": _practice(thinnest)}
        ampacity = min((a for s in segments if (a := ampacity_a(s)) is not None), default=None)
        if ampacity is not None:
            limits["ampacity"] = ampacity
        for end, fuse_a in (("start", link.start_fuse_a), ("end", link.end_fuse_a)):
            yield Reading(
                subject=f"{link.id}.{end}",
                value=fuse_a,
                file=link.file,
                line=link.line,
                limits=limits,
                words={"wire": str(thinnest.conductor.gauge)},
            )


# --- conductors -----------------------------------------------------------------------------------------


def worst_current(results: Results) -> Iterator[Reading]:
    """Greatest RMS current of a circuit over every state, against the ampacity of its weakest wire.

    Unit: A. Limit `ampacity`: table ampacity x ambient factor x bundle factor (cfr-33-183-425, e11-bundles).
    """
    if results.power is None:
        return
    for figure in results.power.circuits:
        if figure.ampacity_a is None:
            continue
        load_a, key, basis = worst_of(figure, "worst_rms_a")
        circuit = results.rig.circuits[figure.id]
        yield Reading(
            subject=figure.id,
            value=load_a,
            file=circuit.file,
            line=circuit.line,
            limits={"ampacity": figure.ampacity_a},
            words={"wire": str(figure.conductor), "basis": basis},
            witness=figure.rms_witness,
            figure=f"power.circuits[{figure.id}].{key}",
        )


def feed_current(results: Results) -> Iterator[Reading]:
    """Greatest RMS current of a feed that supplies a block, against the ampacity of its wire.

    Unit: A. Limit `ampacity`: as for a circuit.
    """
    if results.power is None:
        return
    for figure in results.power.feeds:
        feed = results.rig.feeds[figure.id]
        if feed.segment is None or figure.ampacity_a is None:
            continue
        load_a, key, basis = worst_of(figure, "worst_rms_a")
        yield Reading(
            subject=figure.id,
            value=load_a,
            file=feed.file,
            line=feed.line,
            limits={"ampacity": figure.ampacity_a},
            words={"wire": str(figure.conductor), "basis": basis},
            witness=figure.rms_witness,
            figure=f"power.feeds[{figure.id}].{key}",
        )


def conductor_area(results: Results) -> Iterator[Reading]:
    """Copper area of the thinnest wire of a circuit that is not a device's own lead and carries load.

    Unit: mm2; a limit may be written as a gauge. Source: astm-b258 for AWG.
    """
    for circuit in results.rig.circuits.values():
        segments = [s for s in _protected(results.rig, circuit) if s.role != "signal"]
        if not segments:
            continue
        thinnest = min(segments, key=lambda s: s.conductor.gauge)
        yield Reading(
            subject=circuit.id,
            value=thinnest.conductor.gauge.area_mm2,
            file=thinnest.file,
            line=thinnest.line,
            words={
                "wire": str(thinnest.conductor.gauge),
                "segment": f"{thinnest.from_point} to {thinnest.to_point}",
            },
        )


MEASURES: tuple[Measure, ...] = (
    Measure(
        name="drop_share",
        per="circuit",
        unit="share",
        take=drop_share,
        words=("device",),
        facts=MappingProxyType({"drop": ("critical", "ordinary")}),
    ),
    Measure(name="device_voltage", per="device", unit="V", take=device_voltage, limits=("works_from",)),
    Measure(
        name="fuse_rating",
        per="circuit",
        unit="A",
        take=fuse_rating,
        limits=("practice", "ampacity", "regulation"),
        words=("wire", "segment"),
    ),
    Measure(name="load_share_of_fuse", per="circuit", unit="share", take=load_share_of_fuse, words=("fuse", "basis")),
    Measure(name="unprotected", per="device", unit="count", take=unprotected, words=("terminal",)),
    Measure(
        name="link_end_fuse",
        per="feed",
        unit="A",
        take=link_end_fuse,
        limits=("practice", "ampacity"),
        words=("wire",),
    ),
    Measure(
        name="worst_current", per="circuit", unit="A", take=worst_current, limits=("ampacity",), words=("wire", "basis")
    ),
    Measure(
        name="feed_current", per="feed", unit="A", take=feed_current, limits=("ampacity",), words=("wire", "basis")
    ),
    Measure(name="conductor_area", per="circuit", unit="mm2", take=conductor_area, words=("wire", "segment")),
)
