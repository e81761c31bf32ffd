"""Each figure of the warning light worked through like a hand calculation, from the arrays that gave it."""

from __future__ import annotations

import re
from collections.abc import Callable

import numpy as np

from rigbook.light import explain_markings, explain_scene, explain_states
from rigbook.light.behaviours import Column
from rigbook.light.colour import temperature_k
from rigbook.light.effective import NIGHT_S, effective_of, flash_of, integral
from rigbook.light.engine import Light
from rigbook.light.flashes import Flashing
from rigbook.light.grid import BEARINGS_DEG, ELEVATIONS_DEG, STEP_DEG, zone_points
from rigbook.light.result import LampWarning, ZoneWarning
from rigbook.light.warning import ModeLight, least
from rigbook.quantities.working import Input, Sourced, Working
from rigbook.rig.model import Rig
from rigbook.switching.program import Witness

GRID = "nfpa-1901-2016"
_WARNING = re.compile(r"light\.warning\[([^\]]+)\]\.([a-z0-9_]+)")
_LAMP = re.compile(r"light\.lamps\[([^\]]+)\]\.([a-z0-9_]+)")
_AROUND = re.compile(r"light\.around\.cd_s_per_min\.([^.\[]+)\[(\d+)\]")
_BEARING = re.compile(r"light\.around\.azimuth_deg\[(\d+)\]")
_MODE = re.compile(r"light\.around\.modes\[([^\]]+)\]\.(least_cd_s_per_min|reached_share)")
_GAP = re.compile(r"light\.around\.modes\[([^\]]+)\]\.gaps\[(\d+)\]\.(from_deg|width_deg)")
_COLOUR = re.compile(r"light\.colour\[([^\]]+)\]\.temperature_k")
FORMULA = "P = sum over points of sum over lamps of 60 * I * m"


def explain(rig: Rig, figure_id: str, light: Light | None) -> Working:
    """How a figure of the `light` block was worked out. KeyError for an id that the block does not give."""
    ways: tuple[tuple[re.Pattern[str], Callable[..., Working]], ...] = (
        (_WARNING, _warning), (_LAMP, _lamp), (_AROUND, _around), (_BEARING, _bearing), (_MODE, _mode), (_GAP, _gap), (_COLOUR, _colour),
    )  # fmt: skip
    if figure_id.startswith("light.markings."):
        return explain_markings.explain(rig, figure_id)
    if light is not None and light.scene is not None and figure_id.startswith("light.scene["):
        return explain_scene.explain(figure_id, light.scene)
    if light is not None and figure_id.startswith("light.states["):
        found = explain_states.explain(figure_id, light.observers, light.result.states or ())
        if found is not None:
            return found
    if light is not None:
        for pattern, way in ways:
            if match := pattern.fullmatch(figure_id):
                return way(rig, figure_id, light, *match.groups())
    raise KeyError(figure_id)


# --- warning by zone ----------------------------------------------------------------------------------------------


def _warning(rig: Rig, figure_id: str, light: Light, row_id: str, key: str) -> Working:
    row = next((r for r in light.result.warning or () if r.id == row_id), None)
    mode = next((m for m in light.modes if row is not None and m.asked.id == row.mode), None)
    if row is None or mode is None or getattr(row, key, None) is None:
        raise KeyError(figure_id)
    points = zone_points(row.zone)
    power = mode.power(row.level)
    flat = power[:, 0, points]
    if key in ("cd_s_per_min", "half_ends_cd_s_per_min", "nothing_lost_cd_s_per_min"):
        joint = least(flat.sum(axis=1))[1][0]
        if key == "nothing_lost_cd_s_per_min":
            kept = [mode.found.index(j) for j in mode.unlost or ()]
            joint = kept[int(flat[kept].sum(axis=1).argmin())]
        weights = np.ones(len(points))
        if key == "half_ends_cd_s_per_min":
            weights[[0, -1]] = 0.5
        return _sum(figure_id, light, mode, joint, row, weights)
    if key == "point_cd_s_per_min":
        joint = least(flat.min(axis=1))[1][0]
        return _point(figure_id, light, mode, joint, row, 0, int(points[int(flat[joint].argmin())]))
    if key == "point_at_deg":
        joint = least(flat.min(axis=1))[1][0]
        place = int(flat[joint].argmin())
        return _plain(figure_id, "Bearing of the weakest point", f"the point of the zone's 19 with the least power: {place + 1} of 19",
                      float(BEARINGS_DEG[points[place]]), "deg")  # fmt: skip
    if key == "raised_cd_s_per_min":
        raised = power[:, 1:, points]
        joint, up, place = (int(n) for n in np.unravel_index(int(raised.argmin()), raised.shape))
        return _point(figure_id, light, mode, joint, row, up + 1, int(points[place]))
    return _rate(figure_id, mode, row, key)


def _sum(figure_id: str, light: Light, mode: ModeLight, joint: int, row: ZoneWarning, weights: np.ndarray) -> Working:
    points = zone_points(row.zone)
    inputs: list[Input] = []
    total = 0.0
    for column in _burning(mode, joint, row):
        source = light.sources[column.source]
        candela = float((mode.seen.candela[column.source, 0, points] * weights).sum())
        if candela <= 0:
            continue
        total += 60 * candela * column.flashing.mean_share
        inputs.append(
            _lamp_input("S", f"{source.device_id} {source.colour}, sum over the points", candela, "cd", source.how)
        )
        inputs.append(Input(symbol="m", meaning=f"its mean share of time ({_words(column.flashing)})",
                            value=column.flashing.mean_share, unit="1"))  # fmt: skip
    ends = "end points at half" if weights[0] < 1 else "end points whole"
    return Working(
        figure_id=figure_id, title=f"Least optical power of the {row.zone} zone, {row.level} level, mode {row.mode}",
        formula="P = sum of 60 * S * m", inputs=tuple(inputs), result=total, unit="cd s/min", source=GRID,
        clause="13.8.12", sourced="memory",
        steps=(f"19 points every {STEP_DEG} deg on the horizontal, {ends}; steady-burning light does not count.",
               _state_words(row.witness)),
    )  # fmt: skip


def _point(
    figure_id: str, light: Light, mode: ModeLight, joint: int, row: ZoneWarning, elevation: int, bearing: int
) -> Working:
    total, inputs = 0.0, []
    for column in _burning(mode, joint, row):
        candela = float(mode.seen.candela[column.source, elevation, bearing])
        if candela <= 0:
            continue
        source = light.sources[column.source]
        total += 60 * candela * column.flashing.mean_share
        inputs.append(_lamp_input("I", f"{source.device_id} {source.colour}", candela, "cd", source.how))
        inputs.append(Input(symbol="m", meaning=f"its mean share of time ({_words(column.flashing)})",
                            value=column.flashing.mean_share, unit="1"))  # fmt: skip
    where = f"{BEARINGS_DEG[bearing]} deg" + (f", {ELEVATIONS_DEG[elevation]:+d} deg up" if elevation else "")
    return Working(
        figure_id=figure_id, title=f"Least optical power at a point, {row.zone} zone, {row.level} level: {where}",
        formula="P = sum of 60 * I * m", inputs=tuple(inputs), result=total, unit="cd s/min", source=GRID,
        clause="13.8.12", sourced="memory", steps=(_state_words(row.point_witness),),
    )  # fmt: skip


def _rate(figure_id: str, mode: ModeLight, row: ZoneWarning, key: str) -> Working:
    flashes, pulses = mode.rates(row.level)
    points = zone_points(row.zone)
    if key == "flashes_per_min":
        value = float(flashes[:, points].min())
        text = "flashes of lamps whose field reaches the point, trains that overlap on one clock as one; the least"
        return _plain(
            figure_id, "Least flash rate seen at a point", text, value, "1/min", row.flashes_witness, "common practice"
        )
    if key == "pulses_per_min":
        text = "pulses of lamps whose field reaches the point, together on one clock, added between clocks; the most"
        return _plain(figure_id, "Most pulses seen at a point", text, float(pulses[:, points].max()), "1/min")
    raise KeyError(figure_id)


def _burning(mode: ModeLight, joint: int, row: ZoneWarning) -> list[Column]:
    chosen = mode.on[joint] & mode.of_level[row.level] & mode.flashes
    return [mode.columns[int(place)] for place in np.nonzero(chosen)[0]]


# --- lamps ----------------------------------------------------------------------------------------------------------


def _lamp(rig: Rig, figure_id: str, light: Light, lamp_id: str, key: str) -> Working:
    row = next((r for r in light.result.lamps or () if r.id == lamp_id), None)
    if row is None or getattr(row, key, None) is None:
        raise KeyError(figure_id)
    source = next(s for s in light.sources if not s.pose and f"{s.device_id}.{s.colour}" == lamp_id)
    peak = _lamp_input("I", "peak in the catalogue or its file", source.shape.peak_cd, "cd", source.how)
    glass = Input(symbol="g", meaning="share that the glass passes", value=source.passes_share, unit="1")
    if key == "peak_cd":
        return Working(figure_id=figure_id, title=f"Peak of {lamp_id} outside the glass", formula="I0 = I * g",
                       inputs=(peak, glass), result=source.shape.peak_cd * source.passes_share, unit="cd")  # fmt: skip
    if key == "total_lm":
        flux = Input(symbol="F", meaning="flux: integral of its intensity over solid angle", unit="lm",
                     value=source.shape.total_lm(), source=source.light or source.how)  # fmt: skip
        return Working(figure_id=figure_id, title=f"Flux of {lamp_id} outside the glass", formula="F0 = F * g",
                       inputs=(flux, glass), result=source.shape.total_lm() * source.passes_share, unit="lm")  # fmt: skip
    return _lamp_flash(figure_id, light, row, key, source.peak_cd)


def _lamp_flash(figure_id: str, light: Light, row: LampWarning, key: str, peak_cd: float) -> Working:
    mode = light.modes[0] if light.modes else None
    columns: list[Column] = [] if mode is None else [
        c for c in mode.columns
        if c.flashing.flashes_per_min and f"{light.sources[c.source].device_id}.{light.sources[c.source].colour}" == row.id
    ]  # fmt: skip
    ways: dict[str, tuple[Callable[[Column], float], bool, str, str]] = {
        "axis_cd_s_per_min": (lambda c: c.flashing.cd_s_per_min(peak_cd), True, "P = 60 * I0 * m", "cd s/min"),
        "effective_cd": (lambda c: effective_of(c.timeline).form_factor * peak_cd, True, "Ie = J / (a + J / I0)", "cd"),
        "douglas_cd": (
            lambda c: effective_of(c.timeline).douglas * peak_cd, True,
            "Ie = greatest of integral(I dt) / (a + t2 - t1) over t1, t2 of the burst", "cd",
        ),
        "modified_allard_cd": (
            lambda c: effective_of(c.timeline).modified_allard * peak_cd, True,
            "Ie = greatest of integral(I(s) a / (a + t - s)^2 ds) over t", "cd",
        ),
        "allard_cd": (
            lambda c: effective_of(c.timeline).allard * peak_cd, True, "Ie = greatest i of di/dt = (I - i) / a", "cd",
        ),
        "least_flashes_per_min": (lambda c: c.flashing.flashes_per_min, True, "f = 60000 / T", "1/min"),
        "greatest_flashes_per_min": (lambda c: c.flashing.flashes_per_min, False, "f = 60000 / T", "1/min"),
        "greatest_pulses_per_min": (lambda c: c.flashing.pulses_per_min, False, "p = 60000 * n / T", "1/min"),
        "on_s": (lambda c: c.flashing.train_ms / 1e3, False, "on = length of the burst", "s"),
        "off_s": (lambda c: c.flashing.dark_ms / 1e3, True, "off = longest dark stretch", "s"),
    }  # fmt: skip
    if key not in ways or not columns:
        raise KeyError(figure_id)
    of, at_least, formula, unit = ways[key]
    column = min(columns, key=of) if at_least else max(columns, key=of)
    f = column.flashing
    whole = integral(flash_of(column.timeline, intensity_cd=peak_cd))
    inputs = (
        Input(symbol="I0", meaning="peak outside the glass", value=peak_cd, unit="cd"),
        Input(symbol="T", meaning="shortest period", value=f.period_ms, unit="ms"),
        Input(symbol="n", meaning="pulses in it", value=f.pulses),
        Input(symbol="m", meaning="mean share", value=f.mean_share, unit="1"),
        Input(symbol="J", meaning="light of one burst", value=whole, unit="cd s"),
        Input(
            symbol="a",
            meaning="time constant by night",
            value=NIGHT_S,
            unit="s",
            source="iala-e-200-4",
            sourced="memory",
        ),
    )
    sources = {"effective_cd": "iala-e-200-4", "allard_cd": "iala-e-200-4", "douglas_cd": "effective-intensity-ies",
               "modified_allard_cd": "cie-229"}  # fmt: skip
    sourced: Sourced = "computed" if key not in sources else "published" if key == "douglas_cd" else "memory"
    return Working(figure_id=figure_id, title=f"{key} of {row.id}", formula=formula, inputs=inputs, result=of(column),
                   unit=unit, source=sources.get(key, ""), sourced=sourced)  # fmt: skip


# --- around the vehicle ----------------------------------------------------------------------------------------------


def _around(rig: Rig, figure_id: str, light: Light, colour: str, place: str) -> Working:
    around = light.result.around
    if around is None or colour not in around.cd_s_per_min or int(place) >= len(BEARINGS_DEG):
        raise KeyError(figure_id)
    mode = next(m for m in light.modes if m.asked.id == around.mode)
    joint = least(mode.power("all")[:, 0, :].sum(axis=1))[1][0]
    inputs, total = [], 0.0
    for number, column in enumerate(mode.columns):
        source = light.sources[column.source]
        candela = float(mode.seen.candela[column.source, 0, int(place)])
        if mode.on[joint, number] and source.colour == colour and column.flashing.flashes_per_min and candela > 0:
            total += 60 * candela * column.flashing.mean_share
            inputs.append(_lamp_input("I", source.device_id, candela, "cd", source.how))
            inputs.append(
                Input(symbol="m", meaning="its mean share of time", value=column.flashing.mean_share, unit="1")
            )
    return Working(
        figure_id=figure_id, title=f"{colour} at {BEARINGS_DEG[int(place)]} deg in the darkest state of mode {around.mode}",
        formula="P = sum of 60 * I * m", inputs=tuple(inputs), result=total, unit="cd s/min",
        steps=(_state_words(around.witness),),
    )  # fmt: skip


def _bearing(rig: Rig, figure_id: str, light: Light, place: str) -> Working:
    if light.result.around is None or int(place) >= len(BEARINGS_DEG):
        raise KeyError(figure_id)
    value = float(BEARINGS_DEG[int(place)])
    return _plain(figure_id, "Bearing, clockwise from ahead", f"{place} * {STEP_DEG} deg", value, "deg")


def _mode(rig: Rig, figure_id: str, light: Light, mode_id: str, key: str) -> Working:
    mode = next((m for m in light.modes if m.asked.id == mode_id), None)
    if mode is None:
        raise KeyError(figure_id)
    if key == "reached_share":
        share = float(mode.reached(mode.flashes).mean(axis=1).min())
        text = "bearings of 72 that a flashing lamp's field reaches, over 72; the least of all states"
        return _plain(figure_id, f"Bearings reached in mode {mode_id}", text, share, "fraction")
    value = float(mode.power("all")[:, 0, :].min())
    return _plain(
        figure_id,
        f"Weakest bearing in mode {mode_id}",
        f"{FORMULA}; the least of all bearings and states",
        value,
        "cd s/min",
    )


def _gap(rig: Rig, figure_id: str, light: Light, mode_id: str, gap_id: str, key: str) -> Working:
    rows = () if light.result.around is None else light.result.around.modes
    gap = next((g for m in rows if m.id == mode_id for g in m.gaps if g.id == gap_id), None)
    if gap is None:
        raise KeyError(figure_id)
    text = {"from_deg": "first bearing that some state leaves dark, less half a step of 5 deg",
            "width_deg": "dark bearings next to each other * 5 deg"}[key]  # fmt: skip
    return _plain(figure_id, f"Gap of mode {mode_id}", text, getattr(gap, key), "deg")


def _colour(rig: Rig, figure_id: str, light: Light, name: str) -> Working:
    row = next((c for c in light.result.colour or () if c.id == name), None)
    if row is None or row.temperature_k is None:
        raise KeyError(figure_id)
    inputs = (Input(symbol="x", meaning="chromaticity, as entered", value=row.x, unit="1"),
              Input(symbol="y", meaning="chromaticity, as entered", value=row.y, unit="1"))  # fmt: skip
    return Working(
        figure_id=figure_id, title=f"Colour temperature of {name}", inputs=inputs,
        formula="T = 449 n^3 + 3525 n^2 + 6823.3 n + 5520.33, n = (x - 0.3320) / (0.1858 - y)",
        result=temperature_k(x=row.x, y=row.y), unit="K", source="mccamy-1992", edition="1992", sourced="published",
    )  # fmt: skip


# --- wording -----------------------------------------------------------------------------------------------------------


def _plain(
    figure_id: str, title: str, formula: str, value: float, unit: str, witness: Witness | None = None,
    sourced: Sourced = "computed",
) -> Working:  # fmt: skip
    steps = () if witness is None else (_state_words(witness),)
    return Working(
        figure_id=figure_id, title=title, formula=formula, result=value, unit=unit, sourced=sourced, steps=steps
    )


def _lamp_input(symbol: str, meaning: str, value: float, unit: str, how: str) -> Input:
    words = {"file": "its photometric file", "beam": "the beam model", "lumens": "a cosine lobe of its lumens"}[how]
    sourced: Sourced = "computed" if how == "file" else "common practice"
    return Input(symbol=symbol, meaning=f"{meaning}, by {words}, glass and shadow counted", value=value, unit=unit,
                 sourced=sourced)  # fmt: skip


def _words(flashing: Flashing) -> str:
    pulses = "1 pulse" if flashing.pulses == 1 else f"{flashing.pulses} pulses"
    return f"{pulses} every {flashing.period_ms} ms, lit {100 * flashing.duty:.3g} % of the time"


def _state_words(witness: Witness) -> str:
    values = ", ".join(f"{name} {value}" for name, value in witness.set) or "everything at rest"
    lost = f"; lost: {', '.join(witness.lost)}" if witness.lost else ""
    return f"In the state {values}{lost}."
