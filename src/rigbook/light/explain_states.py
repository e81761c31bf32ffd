"""Each figure of saved states seen from around, worked through like a hand calculation."""

from __future__ import annotations

import re

from rigbook.light.observers import AGE_YEARS, DISTANCES_M, DRIVERS_M, ZONES, Burning, Observers
from rigbook.light.result import StateLight
from rigbook.quantities.working import Input, Sourced, Working

_ZONE = re.compile(r"light\.states\[([^\]]+)\]\.zones\[([a-z]+)\]\.(peak|mean)_(\d+)_lx")
_RATE = re.compile(r"light\.states\[([^\]]+)\]\.zones\[([a-z]+)\]\.(flashes|pulses)_per_min")
_VEIL = re.compile(r"light\.states\[([^\]]+)\]\.(veil_cd_m2|veil_at_m)")
STANDS: Sourced = "common practice"


def explain(figure_id: str, observers: Observers | None, states: tuple[StateLight, ...]) -> Working | None:
    """How a figure of `light.states` was worked out; None for any other id."""
    for pattern, way in ((_ZONE, _eye), (_RATE, _rate), (_VEIL, _veil)):
        if (match := pattern.fullmatch(figure_id)) and observers is not None:
            state = next((s for s in states if s.id == match.group(1)), None)
            if state is not None:
                return way(figure_id, observers, state, *match.groups()[1:])
    return None


def _burning(observers: Observers, state: StateLight) -> tuple[Burning, ...]:
    return observers.burning(next(saved for saved in observers.rig.states if saved.id == state.id))


def _eye(figure_id: str, observers: Observers, state: StateLight, zone: str, what: str, distance: str) -> Working:
    eye = ZONES.index(zone) * len(DISTANCES_M) + DISTANCES_M.index(float(distance))
    burning = _burning(observers, state)
    inputs: list[Input] = []
    for b in burning:
        lux = float(observers.eyes.given_lx[b.source, eye])
        if lux > 0:
            source = observers.sources[b.source]
            name = f"{source.device_id} {source.colour}"
            inputs.append(Input(symbol="E", meaning=f"{name} fully lit: I cos(angle) / d^2", value=lux, unit="lx"))
            if what == "mean":
                inputs.append(Input(symbol="m", meaning="its mean share of time", value=b.mean, unit="1"))
    value = float((observers.means_lx(burning) if what == "mean" else observers.peaks_lx(burning))[eye])
    formula = (
        "E = sum of E * m" if what == "mean" else "E = greatest sum at one instant of a clock, added between clocks"
    )
    return Working(
        figure_id=figure_id, title=f"Illuminance at an eye {distance} m from the {zone}, state {state.id}",
        formula=formula, inputs=tuple(inputs), result=value, unit="lx", source="ies-cosine-law", sourced=STANDS,
        steps=("The eye stands 1.5 m above ground and looks at the middle of the vehicle.",),
    )  # fmt: skip


def _rate(figure_id: str, observers: Observers, state: StateLight, zone: str, what: str) -> Working:
    place = ZONES.index(zone)
    lamps = [
        observers.sources[b.source].device_id for b in _burning(observers, state) if observers.field[b.source, place]
    ]
    figures = next(z for z in state.zones if z.id == zone)
    value = figures.flashes_per_min if what == "flashes" else figures.pulses_per_min
    formula = {
        "flashes": "60000 / period of each lamp, trains that overlap on one clock once, added",
        "pulses": "instants at which some lamp of a clock lights up, a minute; added between clocks",
    }[what]
    return Working(
        figure_id=figure_id, title=f"{what.capitalize()} seen from the {zone}, state {state.id}", formula=formula,
        result=value, unit="1/min", source="wcag-2-3-1" if what == "pulses" else "", sourced=STANDS,
        steps=(f"Lamps seen: {', '.join(dict.fromkeys(lamps)) or 'none'}.",),
    )  # fmt: skip


def _veil(figure_id: str, observers: Observers, state: StateLight, key: str) -> Working:
    burning = [b for b in _burning(observers, state) if b.steady]
    most, place = observers.glare(burning)
    if place is None and key == "veil_at_m":
        raise KeyError(figure_id)
    inputs: list[Input] = [Input(symbol="A", meaning="age of the driver", value=AGE_YEARS, unit="years")]
    for b in burning if place is not None else ():
        assert place is not None
        if observers.veils(b)[place] > 0:
            source = observers.sources[b.source]
            name = f"{source.device_id} {source.colour}"
            lux = float(observers.drivers.given_lx[b.source, place]) * b.mean
            inputs.append(Input(symbol="E", meaning=f"{name} at the eye", value=lux, unit="lx"))
            inputs.append(
                Input(
                    symbol="theta", meaning="off the line of sight, 1 deg at least", unit="deg",
                    value=max(1.0, float(observers.drivers.off_deg[b.source, place])),
                )
            )  # fmt: skip
    if key == "veil_at_m":
        assert place is not None
        return Working(
            figure_id=figure_id, title=f"Where the veil is greatest, state {state.id}", inputs=tuple(inputs),
            formula="the distance, of every 5 m from 10 to 150 m, with the greatest veil", result=DRIVERS_M[place], unit="m",
            sourced=STANDS,
        )  # fmt: skip
    return Working(
        figure_id=figure_id, title=f"Veiling luminance for an oncoming driver, state {state.id}", inputs=tuple(inputs),
        formula="Lv = sum of 10 * E / theta^2 * (1 + (A / 70)^4)", result=most, unit="cd/m2", source="disability-glare",
        edition="2002", sourced=STANDS,
        steps=("Eye 1.2 m up, 3.5 m to the left of the centreline, looking along the road; 10 to 150 m ahead.",),
    )  # fmt: skip
