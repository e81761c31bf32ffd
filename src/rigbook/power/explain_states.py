"""The figures of saved states and of the charging system worked through, by the functions that gave them."""

from __future__ import annotations

from collections.abc import Sequence

from rigbook.power import figures, loads, supply
from rigbook.power.alternator import rotor_rpm
from rigbook.power.loads import Drawn, StateLoads
from rigbook.power.waveform import Wave, currents, mean_a, mean_square_of_clock, peak_of_clock
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig

SOURCE = "waveform-definitions"


def state_named(rig: Rig, state_id: str) -> StateLoads:
    """The loads of a saved state. KeyError for an unknown one."""
    found = loads.state_loads(rig, only=state_id)
    if not found:
        raise KeyError(state_id)
    return found[0]


def drawn_by(rig: Rig, state: StateLoads, kind: str, name: str) -> tuple[Drawn, ...]:
    """What flows in a state through a device, a circuit, a feed, or the whole."""
    if kind == "devices":
        return tuple(each for each in state.drawn if each.draw.device_id == name)
    if kind == "circuits":
        through = loads.carried(rig.circuits[name])
        return tuple(each for each in state.drawn if each.draw.circuit_id in through)
    if kind == "feeds":
        return tuple(each for each in state.drawn if name in loads.feeds_above(rig, each.draw))
    return tuple(each for each in state.drawn if each.draw.circuit_id is not None)


def flow(rig: Rig, figure_id: str, state: StateLoads, *, kind: str, name: str, key: str) -> Working:
    """Average, RMS or peak of one thing in one state."""
    drawn = drawn_by(rig, state, kind, name)
    what = f"{name or 'everything'} in the state {state.point.title}"
    titles = {"average_a": "Average", "rms_a": "Root mean square", "peak_a": "Peak"}
    return of_drawn(figure_id, f"{titles[key]} current of {what}", drawn, key)


def of_drawn(figure_id: str, title: str, drawn: Sequence[Drawn], key: str) -> Working:
    """Average, RMS or peak of what is drawn."""
    work = {"average_a": _average, "rms_a": _rms, "peak_a": _peak}[key]
    return work(figure_id, title, drawn)


def _channel(each: Drawn) -> str:
    """One draw in words: what it draws, and when."""
    draw, wave = each.draw, each.wave
    lit = sum(span.end_ms - span.start_ms for span in wave.spans)
    when = "steady" if lit == wave.period_ms else f"{lit} of {wave.period_ms} ms"
    duties = sorted({float(span.duty) for span in wave.spans} - {1.0})
    dimmed = f", dimmed by switching to {', '.join(f'{100 * duty:g} %' for duty in duties)}" if duties else ""
    return f"{draw.device_id} {draw.channel}: {draw.current_a:g} A, {when}{dimmed}, clock {wave.clock}"


def _average(figure_id: str, title: str, drawn: Sequence[Drawn]) -> Working:
    return Working(
        figure_id=figure_id, title=title, formula="sum of I t / T (x duty where dimmed by switching)",
        inputs=tuple(
            Input(symbol="I t / T", meaning=_channel(each), value=float(mean_a([each.wave])), unit="A")
            for each in drawn
        ),
        result=currents([each.wave for each in drawn]).average_a, unit="A", source=SOURCE, sourced="published",
    )  # fmt: skip


def _by_clock(drawn: Sequence[Drawn]) -> dict[str, list[Wave]]:
    clocks: dict[str, list[Wave]] = {}
    for each in drawn:
        if each.wave.spans:
            clocks.setdefault(each.wave.clock, []).append(each.wave)
    return clocks


def _rms(figure_id: str, title: str, drawn: Sequence[Drawn]) -> Working:
    inputs: list[Input] = []
    for clock, waves in _by_clock(drawn).items():
        mean, square = float(mean_a(waves)), float(mean_square_of_clock(waves))
        inputs.append(Input(symbol="m", meaning=f"mean on clock {clock}", value=mean, unit="A"))
        inputs.append(Input(symbol="q", meaning=f"mean of the square on clock {clock}", value=square, unit="A2"))
    return Working(
        figure_id=figure_id, title=title,
        formula="sqrt((sum of m)^2 + sum of (q - m^2)), any phase between clocks",
        inputs=tuple(inputs), result=currents([each.wave for each in drawn]).rms_a, unit="A", source=SOURCE,
        sourced="published", steps=tuple(_channel(each) for each in drawn),
    )  # fmt: skip


def _peak(figure_id: str, title: str, drawn: Sequence[Drawn]) -> Working:
    inputs = []
    bounds = []
    for clock, waves in _by_clock(drawn).items():
        most, bound = peak_of_clock(waves)
        note = " (upper bound)" if bound else ""
        bounds.append(bound)
        inputs.append(
            Input(symbol="p", meaning=f"greatest sum on clock {clock}{note}", value=float(most), unit="A")
        )  # fmt: skip
    found = currents([each.wave for each in drawn])
    remark = ("The peak is an upper bound: the common period is too long to look at every instant.",)
    return Working(
        figure_id=figure_id, title=title, formula="sum of p, any phase between clocks", inputs=tuple(inputs),
        result=found.peak_a, unit="A", source=SOURCE, sourced="published",
        steps=(*(_channel(each) for each in drawn), *(remark if any(bounds) else ())),
    )  # fmt: skip


# --- charging --------------------------------------------------------------------------------------------


def _at(rig: Rig, key: str) -> str:
    where = rig.vehicle.where_of(key)
    return f"{where.file}:{where.line}"


def output(rig: Rig, figure_id: str, *, engine_rpm: float | None, title: str) -> Working:
    """Hot output at an engine speed."""
    charging = rig.vehicle.charging
    result = supply.output_a(rig, engine_rpm=engine_rpm)
    at = _at(rig, "charging")
    if charging.kind == "dc-dc":
        return Working(
            figure_id=figure_id, title=title, formula="output of the converter as entered", result=result, unit="A",
            source=at,
        )  # fmt: skip
    rpm = charging.idle_rpm if engine_rpm is None else engine_rpm
    inputs = [Input(symbol="n", meaning="engine speed", value=rpm, unit="rpm", source=at),
              Input(symbol="k", meaning="pulley ratio", value=charging.pulley_ratio, source=at)]  # fmt: skip
    if rpm is not None:
        rotor = rotor_rpm(engine_rpm=rpm, pulley_ratio=charging.pulley_ratio)
        inputs.append(Input(symbol="n k", meaning="rotor speed", value=rotor, unit="rpm"))
    inputs += [
        Input(symbol="I", meaning=f"hot output at {speed:g} rpm of the rotor", value=amps, unit="A", source=at)
        for speed, amps in charging.hot
    ]
    return Working(
        figure_id=figure_id, title=title, inputs=tuple(inputs), result=result, unit="A", source="pulley",
        formula="I(n k), straight between the points of the hot curve, 0 A below the first", sourced="published",
    )  # fmt: skip


def _base(rig: Rig, figure_id: str, state: StateLoads) -> Working:
    base, at = rig.vehicle.base_load, _at(rig, "base_load")
    rows = (
        (("engine", base.engine), ("headlamps", base.headlamps), ("climate", base.climate))
        if state.running
        else (("key off", base.key_off),)
    )
    return Working(
        figure_id=figure_id,
        title=f"What the vehicle itself draws, {'engine running' if state.running else 'engine off'}",
        formula="sum", inputs=tuple(Input(symbol="I", meaning=n, value=a, unit="A", source=at) for n, a in rows),
        result=supply.base_load_a(rig, running=state.running), unit="A",
    )  # fmt: skip


def _state_output(rig: Rig, figure_id: str, state: StateLoads) -> Working:
    title = f"Charging output, hot, in the state {state.point.title}"
    if state.running:
        return output(rig, figure_id, engine_rpm=state.point.rpm, title=title)
    return Working(figure_id=figure_id, title=title, formula="0 A: the engine does not run", result=0.0, unit="A")


def state_supply(rig: Rig, figure_id: str, state: StateLoads, key: str) -> Working:
    """A figure of a saved state against the charging system. KeyError for an unknown one."""
    whole = tuple(each for each in state.drawn if each.draw.circuit_id is not None)
    taken = tuple(each for each in state.drawn if each.draw.device_id in state.taken)
    equipment = _average(figure_id, "Average of everything the circuits power", whole)
    factory = _average(figure_id, "Average of the factory lamps that a function has taken", taken)
    base = _base(rig, figure_id, state)
    plain = {"equipment_a": equipment, "factory_a": factory, "base_a": base}
    if key in plain:
        return plain[key]
    if key == "output_a":
        return _state_output(rig, figure_id, state)
    worked = figures.state_supply(rig, state)
    average = Working(
        figure_id=figure_id, title=f"Average current in the state {state.point.title}",
        formula="equipment + factory lamps taken + base load", result=worked.average_a, unit="A",
        steps=(equipment, factory, base),
    )  # fmt: skip
    if key == "average_a":
        return average
    if key != "margin_a":
        raise KeyError(figure_id)
    return Working(
        figure_id=figure_id, title=f"Charging margin, hot, in the state {state.point.title}",
        formula="output - average", result=worked.margin_a, unit="A",
        steps=(_state_output(rig, figure_id, state), average),
    )  # fmt: skip
