"""The guided tour of the stand-alone page: what each switch does, with the events that show it.

The tour says what was tried out on the program, so it says what the page then shows: each stop carries its events, with
the waits in which wires settle, for the page to do again.
"""

from __future__ import annotations

from typing import Any

from rigbook.papers.chapter import Desk
from rigbook.shop.behaviour import Bench, Step
from rigbook.shop.switch_table import Effect, PositionRow, switch_table
from rigbook.switching.stepping import Stepper

SETTLES_MS = 1_000
"""What settles within this is waited for; longer delays run on the page itself."""


def tour_of(desk: Desk) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """The stops in the order of the switches, and the standing starts they begin from."""
    bench = desk.bench
    starts = [
        {"name": name, "words": bench.start_words[name], "events": start_events(bench, name)} for name in bench.starts
    ]
    return [_stop(bench, row) for row in switch_table(bench)], starts


def start_events(bench: Bench, name: str) -> list[list[Any]]:
    """Events that lead from rest to a standing start."""
    start = bench.starts[name]
    changes = {
        v.name: v.values[start.state[i]]
        for i, v in enumerate(bench.program.variables)
        if v.kind == "signal" and start.state[i] != bench.program.rest[i]
    }
    stepper = Stepper(bench.program)
    events: list[list[Any]] = []
    if changes:
        stepper.set(changes)
        events.append(["set", changes])
        events += _settled(stepper)
    return events


def step_events(start: Stepper, steps: tuple[Step, ...]) -> list[list[Any]]:
    """Steps as events of the stepper, each followed by what settles."""
    stepper = start.copy()
    events: list[list[Any]] = []
    for step in steps:
        step.act(stepper)
        if step.what in ("set", "signal"):
            events.append(["set", {step.name: step.value}])
        elif step.what == "wait":
            events.append(["wait", int(step.value)])
        else:
            events.append([step.what, step.name])
        events += _settled(stepper)
    return events


def _settled(stepper: Stepper) -> list[list[Any]]:
    due = stepper.next_due_ms
    if due is None or due - stepper.now_ms > SETTLES_MS:
        return []
    wait_ms = due - stepper.now_ms
    stepper.wait(wait_ms)
    return [["wait", wait_ms]]


def _stop(bench: Bench, row: PositionRow) -> dict[str, Any]:
    return {
        "switch": bench.index[row.switch],
        "label": row.label,
        "position": row.position,
        "shows": [_shown(bench, name, effect) for name, effect in row.effects],
    }


def _shown(bench: Bench, start: str, effect: Effect) -> dict[str, Any]:
    return {
        "start": start,
        "does": effect.does.split("; "),
        "after": effect.after,
        "lost": [[signal, words] for signal, words in effect.lost],
        "events": step_events(bench.starts[start], effect.done) if _can(bench, start, effect) else [],
    }


def _can(bench: Bench, start: str, effect: Effect) -> bool:
    """Whether the steps can be done at all: a position that cannot be reached has nothing to show."""
    return bool(effect.done) and bench.done(bench.starts[start], effect.done) is not None
