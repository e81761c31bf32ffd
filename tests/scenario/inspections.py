"""The final inspection of the whole build carried out on the vehicle that lacks something: which steps fail there.

Nothing is compared by its name alone. A current is the sum of what is left on the circuit against the printed value and
its tolerance; a function is brought about by the printed steps, and each lamp or device must then look as the form says.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from rigbook.assess.assessment import decide_rig
from rigbook.documents.errors import DocumentError
from rigbook.rig.model import Rig
from rigbook.shop.behaviour import LAMPS, Bench, Demonstration, Shown, changes, decided_by, losable_of, manner
from rigbook.shop.final_inspection import InspectionStep, inspection_of
from rigbook.shop.fitted import unshown
from rigbook.switching.evaluate import Outcome
from rigbook.switching.plain_words import name_of
from rigbook.switching.program import Program
from rigbook.switching.stepping import StepError, Stepper
from tests.scenario.shop import judge, load

Draws = frozenset[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Whole:
    """A build as delivered: its rig, its form by step, and its program being tried."""

    rig: Rig
    steps: Mapping[str, InspectionStep]
    bench: Bench


@lru_cache(maxsize=4)
def whole(build: str) -> Whole:
    """The delivered vehicle's form; the first of steps with the same name stands for them."""
    assessment = judge(build)
    bench = Bench(assessment.worked.program)
    steps: dict[str, InspectionStep] = {}
    for step in inspection_of(assessment, bench):
        if step.section != "Requirements":
            steps.setdefault(step.step, step)
    return Whole(assessment.worked, steps, bench)


def vehicle_of(build: str, source: str) -> tuple[Rig | None, tuple[DocumentError, ...]]:
    """The vehicle that a changed text describes, or why it describes none."""
    return decide_rig(load(build, {build: source}))


def draws(build: str, device: str) -> bool:
    """Whether a device loads a circuit of the delivered vehicle, or is switched in it: without it something else changes."""
    rig = whole(build).rig
    switched = any(d.id.split(".")[0] == device and d.entries for d in rig.program.devices)
    return switched or any(device == d for carried in draws_of(rig).values() for d, _ in carried)


def looked_for(build: str, name: str) -> set[str]:
    """The steps that look at a feed's or a link's own fuses, or at a part that no function shows."""
    asked = whole(build)
    link = asked.rig.links.get(name)
    ends = (link.from_bank, link.to_bank) if link is not None else ()
    places = {f"Fitted: {where}" for where, found in unshown(asked.rig).items() if any(d.row == name for d in found)}
    own = {f"Fuse {name}", *(f"Link {name}, fuse at {bank}" for bank in ends), *places}
    return {step for step in own if step in asked.steps}


def failing_steps(build: str, lacking: Rig, name: str) -> list[str]:
    """Names of the steps that fail on the lacking vehicle: those that print the missing name first, then as printed."""
    asked = whole(build)
    fails = {*_dead(asked, lacking), *_currents(asked, lacking), *_functions(asked, lacking)}
    assert fails <= asked.steps.keys(), fails - asked.steps.keys()

    def rank(step: InspectionStep) -> tuple[bool, bool, int]:
        named = re.compile(rf"(?<![\w-]){re.escape(name)}(?![\w-])")
        return step.step != name, not named.search(f"{step.step} | {step.see} | {step.expected}"), step.number

    return [step.step for step in sorted((asked.steps[each] for each in fails), key=rank)]


# --- without power ---------------------------------------------------------------------------------------------------


def _dead(asked: Whole, lacking: Rig) -> Iterator[str]:
    """Fuses of feeds and links that are not there to be looked at."""
    for name in asked.rig.feeds.keys() - lacking.feeds.keys():
        yield f"Fuse {name}"
    for name in asked.rig.links.keys() - lacking.links.keys():
        link = asked.rig.links[name]
        yield f"Link {name}, fuse at {link.from_bank}"
        yield f"Link {name}, fuse at {link.to_bank}"


# --- currents --------------------------------------------------------------------------------------------------------


def draws_of(rig: Rig) -> dict[str, Draws]:
    """What each circuit carries: devices and channels by circuit."""
    return {c.id: frozenset((d, ch) for m in c.members for d, ch in m.draws) for c in rig.circuits.values()}


def current_left_a(asked: Rig, lacking: Rig, circuit: str) -> float | None:
    """What a clamp meter finds on a circuit of the delivered vehicle when only the lacking vehicle's parts draw.

    Outputs may be dealt out anew once a part is gone, so circuits are matched by what they carry; None where what is left
    shares its circuit with parts that the delivered one does not carry.
    """
    kind, carried = asked.circuits[circuit].kind, draws_of(asked)[circuit]
    left = 0.0
    for other, draws in draws_of(lacking).items():
        if lacking.circuits[other].kind == kind and draws & carried:
            if draws - carried:
                return None
            left += lacking.circuits[other].nameplate_a
    return left


def _currents(asked: Whole, lacking: Rig) -> Iterator[str]:
    for step in asked.steps.values():
        found = re.match(r"([\d.]+) A ± ([\d.]+) A", step.expected)
        if found is None:
            continue
        left = current_left_a(asked.rig, lacking, step.step.removeprefix("Circuit "))
        if left is not None and abs(left - float(found.group(1))) > float(found.group(2)) + 0.005:
            yield step.step


# --- what must be seen -----------------------------------------------------------------------------------------------


def _functions(asked: Whole, lacking: Rig) -> Iterator[str]:
    bench = Bench(lacking.program)
    program = asked.bench.program
    for number, function in enumerate(program.functions):
        shown = asked.bench.demonstration(number)
        if shown is None:
            continue
        reached = _repeated(bench, shown)
        must = decided_by(program, shown.after, number)
        if reached is None or not _seen(program, must, bench, reached):
            yield function.name
        for v in losable_of(program, number):
            before = shown.stepper.copy()
            try:
                before.lose(v.name)
            except StepError:
                continue
            name = f"{name_of(v)} lost: {function.name}"
            if name not in asked.steps:
                continue
            must = changes(program, shown.after, asked.bench.outcome(before))
            if not _lost_too(program, must, bench, reached, v.name):
                yield name


def _repeated(bench: Bench, shown: Demonstration) -> Stepper | None:
    """The printed steps done on another vehicle; None where one cannot be done."""
    start = bench.starts.get(shown.start)
    if start is None:
        return None
    return bench.done(start, shown.steps)


def _lost_too(program: Program, must: list[Shown], bench: Bench, reached: Stepper | None, signal: str) -> bool:
    if reached is None:
        return False
    after = reached.copy()
    try:
        after.lose(signal)
    except StepError:
        return False
    was, now = bench.outcome(reached), bench.outcome(after)
    there = {
        (s.colour, s.manner, bench.program.devices[i].id) for s in changes(bench.program, was, now) for i in s.devices
    }
    return {(s.colour, s.manner, program.devices[i].id) for s in must for i in s.devices} <= there


def _seen(program: Program, must: list[Shown], bench: Bench, reached: Stepper) -> bool:
    """Whether every device of the form looks as the form says, whatever makes it so."""
    outcome = bench.outcome(reached)
    index = {device.id: i for i, device in enumerate(bench.program.devices)}
    for one in must:
        for i in one.devices:
            there = index.get(program.devices[i].id)
            if there is None or (one.colour, one.manner) not in looks(bench.program, outcome, there):
                return False
    return True


def looks(program: Program, outcome: Outcome, index: int) -> set[tuple[str, str]]:
    """(colour, manner) of everything one device shows, in the words of the form."""
    found = {(colour, manner(timeline)) for colour, timeline in outcome.lit[index]}
    if program.devices[index].kind in LAMPS:
        return found or {("", "dark")}
    if outcome.driven[index] is not None:
        found.add((str(outcome.driven[index]), "driven"))
    return found
