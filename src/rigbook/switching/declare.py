"""Switches, signals, memories, timers and conditions: from the section to variables with resolved expressions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from rigbook.documents.schema.base import Placed, Where
from rigbook.documents.schema.switching import Memory, Signal, Switch, Switching, Timer
from rigbook.quantities.parse import QuantityError, parse_quantity
from rigbook.quantities.units import Dimension
from rigbook.switching.language import nearest
from rigbook.switching.names import NO_YES, TAP_VALUES, Names, depth_of, event, level, names_read, order_of_dependency
from rigbook.switching.program import Constant, Expression, Threshold, Variable
from rigbook.switching.trouble import Trouble

NEVER = Constant(False)
_CONDITION_KEYS = -1_000_000
DEEPEST_CONDITION = 100
"""Expressions may be nested so deep through conditions."""
_MEASURED: Mapping[str, Dimension] = {"voltage": "voltage", "speed": "speed", "temperature": "temperature"}


def whole_ms(seconds: float, where: Where, trouble: Trouble, *, what: str, least: int = 1) -> int:
    """Seconds as whole milliseconds; an error where they are none or fewer than `least`."""
    ms = round(seconds * 1000)
    if abs(seconds * 1000 - ms) > 1e-6:
        trouble.at(where, f"{what} must be whole milliseconds", found=f"{seconds} s", expected="whole ms")
    elif ms < least:
        trouble.at(where, f"{what} must be at least {least} ms", found=f"{ms} ms", expected=f"{least} ms")
    return max(ms, least)


def declare_variables(section: Switching, vehicle_signals: Sequence[Signal], trouble: Trouble) -> Names:
    """All names with their values, before any expression is read."""
    names = Names()
    made: list[Variable | None] = [_switch(s, trouble) for s in section.switches]
    made += [_signal(s, trouble, from_vehicle=True) for s in vehicle_signals]
    made += [_signal(s, trouble, from_vehicle=False) for s in section.signals]
    made += [_memory(m, trouble) for m in section.memory]
    made += [_timer(t, trouble) for t in section.timers]
    records = [*section.switches, *vehicle_signals, *section.signals, *section.memory, *section.timers]
    vehicle_own = {s.id for s in vehicle_signals}
    for signal in vehicle_signals:
        names.claim(signal.id, signal.where_of("id"), trouble)
    for variable, record in zip(made, records, strict=True):
        if variable is None:
            continue
        known = variable.from_vehicle and variable.name in vehicle_own and variable.name not in names.index
        if known or names.claim(variable.name, record.where_of("id"), trouble):
            names.index[variable.name] = len(names.variables)
            names.variables.append(variable)
    for index, (name, placed) in enumerate(section.conditions.items()):
        if names.claim(name, placed.where, trouble):
            names.conditions[name] = index
    return names


def _distinct(values: Sequence[str], where: Where, trouble: Trouble, *, what: str) -> bool:
    for at, value in enumerate(values):
        if value in values[:at]:
            trouble.at(where, f"{value} is listed twice among the {what}", found=value)
            return False
    if len(values) < 2:
        trouble.at(where, f"at least two {what} are needed", found=str(len(values)), expected="two or more")
        return False
    return True


def _switch(switch: Switch, trouble: Trouble) -> Variable | None:
    where = switch.where
    named = switch.kind in ("slide", "rotary", "rocker")
    values: tuple[str, ...] = NO_YES
    if named:
        if switch.positions is None:
            trouble.at(where, f"a {switch.kind} needs positions", expected="positions: […]")
            return None
        if not _distinct(switch.positions, switch.where_of("positions"), trouble, what="positions"):
            return None
        values = tuple(switch.positions)
    elif switch.positions is not None:
        trouble.at(switch.where_of("positions"), f"a {switch.kind} switch has no positions", found="positions")
    tap: int | None = None
    if switch.tap_under is not None:
        if switch.kind != "momentary":
            trouble.at(switch.where_of("tap_under"), "only a momentary switch has tap_under", found=switch.kind)
        tap = whole_ms(switch.tap_under, switch.where_of("tap_under"), trouble, what="tap_under")
        values = TAP_VALUES if switch.kind == "momentary" else values
    if switch.releases_when is not None and switch.kind != "latching":
        trouble.at(switch.where_of("releases_when"), "only a latching switch has releases_when", found=switch.kind)
    return Variable(
        name=switch.id,
        kind="switch",
        values=values,
        rest=0,
        ordered=named,
        line=where.line,
        file=where.file,
        label=switch.label or switch.id,
        switch_kind=switch.kind,
        panel=switch.panel or "",
        springs_back=_springs(switch, values, trouble),
        tap_under_ms=tap,
    )


def _springs(switch: Switch, values: tuple[str, ...], trouble: Trouble) -> tuple[tuple[int, int], ...]:
    if not switch.springs_back:
        return ()
    where = switch.where_of("springs_back")
    if switch.kind not in ("slide", "rotary", "rocker"):
        trouble.at(where, "only a slide, rotary or rocker has positions that spring back", found=switch.kind)
        return ()
    found = []
    for start, end in switch.springs_back.items():
        for name in (start, end):
            if name not in values:
                trouble.at(where, f"{name} is no position of {switch.id}", found=name, nearest=nearest(name, values))
                return ()
        if end in switch.springs_back or start == values[0]:
            says = "the rest position" if start == values[0] else f"{end}, which springs back itself,"
            trouble.at(where, f"{says} cannot be part of a spring-back here", found=f"{start}: {end}")
            return ()
        found.append((values.index(start), values.index(end)))
    return tuple(found)


def _signal(signal: Signal, trouble: Trouble, *, from_vehicle: bool) -> Variable | None:
    values: tuple[str, ...] = NO_YES
    if signal.values is not None:
        if not _distinct(signal.values, signal.where_of("values"), trouble, what="values"):
            return None
        values = tuple(signal.values)
    source = signal.source or ("data-bus" if signal.from_ else "sensor" if signal.measures else "wire")
    for key, other in (("broken_reads", signal.broken_reads), ("settles", signal.settles)):
        if other is not None and source == "data-bus":
            trouble.at(
                signal.where_of(key), f"{key} is for wires and sensors; {signal.id} comes over the data bus", found=key
            )

    def value_of(key: str, name: str | None) -> int | None:
        if name is None:
            return None
        if name not in values:
            says = f"{name} is no value of {signal.id}; it has {', '.join(values)}"
            trouble.at(signal.where_of(key), says, found=name, nearest=nearest(name, values))
            return None
        return values.index(name)

    settles = 0
    if signal.settles is not None:
        settles = whole_ms(signal.settles, signal.where_of("settles"), trouble, what="settles", least=0)
    return Variable(
        name=signal.id,
        kind="signal",
        values=values,
        rest=value_of("rest", signal.rest) or 0,
        ordered=signal.values is not None,
        line=signal.where.line,
        file=signal.where.file,
        from_vehicle=from_vehicle,
        losable=source == "data-bus",
        source=source,
        settles_ms=settles,
        broken_reads=value_of("broken_reads", signal.broken_reads),
        measures=signal.measures.text if signal.measures else "",
        threshold=_threshold(signal, trouble),
    )


def _threshold(signal: Signal, trouble: Trouble) -> Threshold | None:
    limits = {"below": signal.below, "above": signal.above}
    given = [key for key, text in limits.items() if text is not None]
    clears_key = {"below": "clears_above", "above": "clears_below"}
    if signal.measures is None:
        extra = [k for k in ("below", "above", "for", "clears_above", "clears_below") if k in signal.marks_.values]
        if given or extra:
            trouble.at(
                signal.where, f"{signal.id} has a threshold but does not say what it measures", expected="measures: …"
            )
        return None
    if len(given) != 1 or signal.values is not None:
        trouble.at(
            signal.where, f"{signal.id} needs one of below and above, and no values", expected="below: … or above: …"
        )
        return None
    side = given[0]
    wrong_clears = signal.clears_below if side == "below" else signal.clears_above
    if wrong_clears is not None:
        trouble.at(
            signal.where, f"a signal that is yes {side} a threshold clears on the other side", expected=clears_key[side]
        )
        return None
    kind = signal.measures.text.split(".")[0]
    if kind not in _MEASURED:
        says = f"{signal.measures.text} is nothing that can be measured"
        trouble.at(
            signal.where_of("measures"),
            says,
            found=kind,
            expected="voltage.BATTERY, speed, temperature.AREA",
            nearest=nearest(kind, _MEASURED),
        )
        return None
    clears_text = signal.clears_above if side == "below" else signal.clears_below

    def read(key: str, text: str) -> float | None:
        try:
            return parse_quantity(text, _MEASURED[kind])
        except QuantityError as error:
            trouble.at(signal.where_of(key), str(error), found=text)
            return None

    at = read(side, limits[side] or "")
    clears = at if clears_text is None else read(clears_key[side], clears_text)
    if at is None or clears is None:
        return None
    if (clears < at) if side == "below" else (clears > at):
        trouble.at(
            signal.where_of(clears_key[side]), f"{signal.id} would clear before it is set", found=clears_text or ""
        )
        return None
    wait = 0
    if signal.for_ is not None:
        wait = whole_ms(signal.for_, signal.where_of("for"), trouble, what="for", least=0)
    return Threshold("below" if side == "below" else "above", at, clears, wait)


def _memory(memory: Memory, trouble: Trouble) -> Variable | None:
    values: tuple[str, ...] = NO_YES
    stepping = memory.steps is not None
    if memory.steps is not None:
        if not _distinct(memory.steps, memory.where_of("steps"), trouble, what="steps"):
            return None
        values = tuple(memory.steps)
        if memory.next_on is None:
            trouble.at(memory.where, f"{memory.id} has steps but nothing steps it on", expected="next_on: …")
    wrong = ("set_when", "clear_when") if stepping else ("next_on", "first_when")
    for key in wrong:
        if getattr(memory, key) is not None:
            kind = "steps through values" if stepping else "is yes or no"
            trouble.at(memory.where_of(key), f"{memory.id} {kind}: {key} does not belong to it", found=key)
    if not stepping and memory.set_when is None:
        trouble.at(memory.where, f"nothing ever sets {memory.id}", expected="set_when: …")
    rest = 0
    if memory.starts is not None:
        if memory.starts in values:
            rest = values.index(memory.starts)
        else:
            says = f"{memory.starts} is no value of {memory.id}; it has {', '.join(values)}"
            trouble.at(memory.where_of("starts"), says, found=memory.starts, nearest=nearest(memory.starts, values))
    return Variable(
        name=memory.id,
        kind="memory",
        values=values,
        rest=rest,
        ordered=False,
        line=memory.where.line,
        file=memory.where.file,
        stepping=stepping,
    )


def _timer(timer: Timer, trouble: Trouble) -> Variable | None:
    given = [k for k in ("off_delay", "on_delay", "pulse") if getattr(timer, k) is not None]
    if len(given) != 1:
        trouble.at(
            timer.where, f"{timer.id} needs one of off_delay, on_delay and pulse", found=", ".join(given) or "none"
        )
        return None
    kind = given[0]
    at_most: int | None = None
    if timer.at_most is not None:
        at_most = whole_ms(timer.at_most, timer.where_of("at_most"), trouble, what="at_most")
        if kind != "off_delay":
            trouble.at(timer.where_of("at_most"), "at_most belongs to an off_delay", found=kind)
    again = 0
    if timer.again_after is not None:
        again = whole_ms(timer.again_after, timer.where_of("again_after"), trouble, what="again_after", least=0)
        if kind != "pulse":
            trouble.at(timer.where_of("again_after"), "again_after belongs to a pulse", found=kind)
    return Variable(
        name=timer.id,
        kind="timer",
        values=NO_YES,
        rest=0,
        ordered=False,
        line=timer.where.line,
        file=timer.where.file,
        timer_kind="off_delay" if kind == "off_delay" else "on_delay" if kind == "on_delay" else "pulse",
        for_ms=whole_ms(timer.for_, timer.where_of("for"), trouble, what="for"),
        at_most_ms=at_most,
        again_after_ms=again,
    )


def resolve_variables(section: Switching, names: Names, trouble: Trouble) -> None:
    """Fill the expressions of switches, memories and timers into their variables."""

    def fill(name: str, placed: Mapping[str, Placed | None], *, events: frozenset[str] = frozenset()) -> None:
        at = names.index.get(name)
        if at is None:
            return
        found: dict[str, Expression | None] = {}
        for key, text in placed.items():
            if text is None:
                found[key] = None
            else:
                found[key] = (event if key in events else level)(text, names, trouble) or NEVER
        names.variables[at] = replace(names.variables[at], **found)  # type: ignore[arg-type]

    for switch in section.switches:
        fill(switch.id, {"releases_when": switch.releases_when})
    for memory in section.memory:
        fill(
            memory.id,
            {
                "set_when": memory.set_when,
                "clear_when": memory.clear_when,
                "next_on": memory.next_on,
                "first_when": memory.first_when,
            },
            events=frozenset({"set_when", "clear_when", "next_on"}),
        )
    for timer in section.timers:
        condition = timer.pulse or timer.off_delay or timer.on_delay
        fill(timer.id, {"condition": condition}, events=frozenset({"condition"}) if timer.pulse else frozenset())


def resolve_conditions(section: Switching, names: Names, trouble: Trouble) -> tuple[tuple[str, Expression], ...]:
    """The named conditions in file order."""
    return tuple((name, level(placed, names, trouble) or NEVER) for name, placed in section.conditions.items())


def settle_order(
    names: Names, conditions: Sequence[tuple[str, Expression]], section: Switching, trouble: Trouble
) -> tuple[int, ...]:
    """Memories and timers in order of dependency, ties by their order; a circle among them and conditions is an error."""
    reads: dict[int, set[int]] = {}

    def read_by(*expressions: Expression | None) -> set[int]:
        found: set[int] = set()
        for expression in expressions:
            if expression is not None:
                variables, named = names_read(expression)
                found |= variables | {_CONDITION_KEYS + c for c in named}
        return found

    for index, (_, expression) in enumerate(conditions):
        reads[_CONDITION_KEYS + index] = read_by(expression)
    for index, variable in enumerate(names.variables):
        if variable.kind in ("memory", "timer"):
            reads[index] = read_by(
                variable.set_when, variable.clear_when, variable.next_on, variable.first_when, variable.condition
            )
    order, circle = order_of_dependency(reads)
    if circle:
        members = [conditions[k - _CONDITION_KEYS][0] if k < 0 else names.variables[k].name for k in circle]
        says = "conditions, memories and timers may not name each other in a circle: " + " → ".join(
            [*members, members[0]]
        )
        trouble.at(names.places[members[0]], says, found=members[0])
    depths: dict[int, int] = {}
    for condition in (key - _CONDITION_KEYS for key in order if key < 0):
        name, expression = conditions[condition]
        depths[condition] = depth_of(expression, depths)
        if depths[condition] > DEEPEST_CONDITION:
            says = f"{name} builds on conditions more than {DEEPEST_CONDITION} deep, their parts counted"
            trouble.at(section.conditions[name].where, says, found=name)
            break
    return tuple(key for key in order if key >= 0)
