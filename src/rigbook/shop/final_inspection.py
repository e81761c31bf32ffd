"""The final inspection: tests made from the build itself, and those the build adds.

Expected currents are the name-plate currents at the part's own voltage, plus or minus a tenth [common practice, no
source]; what must be seen comes from trying the program out. Resistances to ground are common practice too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rigbook.assess.assessment import Assessment
from rigbook.rig.model import Rig
from rigbook.shop.behaviour import Bench, changes, decided_by, losable_of, said
from rigbook.shop.fitted import unshown, words
from rigbook.shop.walk_form import WalkForm
from rigbook.switching.plain_words import depends_on, name_of, words_of
from rigbook.switching.program import Any_, Not, Program, RequirementExpression
from rigbook.switching.stepping import StepError

CURRENT_SHARE = 0.10
CURRENT_LEAST_A = 0.1
GROUND_MOHM = 5.0
"""Ground stud to the battery's negative post, with the vehicle's own figure where it is larger [common practice]."""

FORCE = "Force the output on"
WALK, IN_ORDER = "Walk", "From rest, in this order; nothing is put back between moves"


@dataclass(frozen=True, slots=True)
class InspectionStep:
    """One step of the form. `number` as printed, `section` its head, `group` what steps beside it share: what is done
    (the module that is forced, say), or the standing start."""

    number: int
    section: str
    group: str
    step: str
    do: str
    see: str
    expected: str


def inspection_of(assessment: Assessment, bench: Bench, walk: WalkForm | None = None) -> list[InspectionStep]:
    """Every step in the order it is done: dead, then live, then driven by switches, then disturbed; in a section, what
    shares a tool or a standing start comes together. With a walk, its moves stand for the functions one by one."""
    rig = assessment.worked
    functions = ("Functions", _functions(bench)) if walk is None else (WALK, _walked(walk))
    makers = (
        ("Before power", _fitted(rig)), ("Before power", _grounds(rig)), ("Before power", _link_fuses(rig)), ("Before power", _fuses(rig)), ("Currents, one circuit at a time", _currents(rig)),
        functions, ("Requirements", _requirements(rig, bench)), ("Doors and wires", _doors(bench)),
        ("Lost signals", _lost(bench)), ("Joints and sensors", _body(assessment)),
        ("Tests of this build", _own(rig)),
    )  # fmt: skip
    sections: dict[str, list[Row]] = {}
    for section, steps in makers:
        sections.setdefault(section, []).extend(steps)
    found: list[InspectionStep] = []
    for section, rows in sections.items():
        groups = [IN_ORDER if section == WALK else group_of(row) for row in rows]
        order = {name: place for place, name in enumerate(dict.fromkeys(groups))}
        for name, (step, do, see, expected) in sorted(zip(groups, rows, strict=True), key=lambda pair: order[pair[0]]):
            found.append(InspectionStep(len(found) + 1, section, name, step, do, see, expected))
    return found


def group_of(row: Row) -> str:
    """What a step shares with others: its standing start, the module whose outputs are forced, else what is done."""
    step, do, _see, _expected = row
    start, _, rest = do.partition("; ")
    if rest and start in ("In park", "In motion"):
        return start
    if do == FORCE:
        return f"{do}: {step.removeprefix('Circuit ').rpartition('.')[0]}"
    if step.startswith("Fuse "):
        return do.partition(" position ")[0]
    return do


Row = tuple[str, str, str, str]


def _fitted(rig: Rig) -> Iterator[Row]:
    for where, devices in unshown(rig).items():
        yield (
            f"Fitted: {where}",
            "Look, pull by hand, work what opens, slides or plugs",
            ", ".join(words(device) for device in devices),
            "all there, firm, nothing rubs",
        )


def _grounds(rig: Rig) -> Iterator[Row]:
    used = dict.fromkeys(m.ground for c in rig.circuits.values() for m in c.members if m.ground)
    for stud in used:
        own = rig.studs[stud].resistance_ohm * 1000 if stud in rig.studs else 0.0
        most = max(GROUND_MOHM, own)
        yield (
            f"Ground {stud}",
            "Batteries disconnected, four-wire meter",
            f"{stud} to the battery's negative post",
            f"at most {most:g} milliohm",
        )


def _link_fuses(rig: Rig) -> Iterator[Row]:
    for link in rig.links.values():
        for bank, amps in ((link.from_bank, link.start_fuse_a), (link.to_bank, link.end_fuse_a)):
            yield (
                f"Link {link.id}, fuse at {bank}",
                "Look, then take the fuse out and put it back",
                f"rating; {link.id} dead at the {bank} end without it",
                f"{amps:g} A, and 0 V behind it with both fuses out",
            )


def _fuses(rig: Rig) -> Iterator[Row]:
    for feed in rig.feeds.values():
        where = f"{feed.block_id} position {feed.block_position}" if feed.block_id else f"battery {feed.bank_id}"
        yield (
            f"Fuse {feed.id}",
            f"Look at {where}",
            "rating on the fuse, label beside it",
            f"{feed.fuse_a:g} A, {feed.id}",
        )


def _currents(rig: Rig) -> Iterator[Row]:
    for circuit in rig.circuits.values():
        amps = circuit.nameplate_a
        if circuit.kind == "fuse" and any(m.carries for m in circuit.members):
            continue
        if amps <= 0:
            continue
        volts = sorted(
            {w.at_v for m in circuit.members for d, c in m.draws for w in rig.devices[d].draws if w.channel == c}
        )
        at = f" at {volts[0]:g} V" if len(volts) == 1 else ""
        off = max(CURRENT_SHARE * amps, CURRENT_LEAST_A)
        what = ", ".join(dict.fromkeys(m.device_id for m in circuit.members))
        do = FORCE if circuit.kind == "output" else "Clamp meter, at most"
        yield f"Circuit {circuit.id}", do, what, f"{amps:.2f} A ± {off:.2f} A{at}"


def _functions(bench: Bench) -> Iterator[Row]:
    for number, function in enumerate(bench.program.functions):
        shown = bench.demonstration(number)
        if shown is None:
            yield function.name, "No steps were found that bring it about", "see the findings", "–"
            continue
        do = "; ".join((f"{shown.start}", *(s.words for s in shown.steps)))
        yield (
            function.name,
            do[0].upper() + do[1:],
            "watch from every side",
            said(bench.program, decided_by(bench.program, shown.after, number)),
        )


def _walked(walk: WalkForm) -> Iterator[Row]:
    for move in walk.moves:
        yield move.shows, move.do[0].upper() + move.do[1:], move.zones, move.seen


def _requirements(rig: Rig, bench: Bench) -> Iterator[Row]:
    for requirement in bench.program.requirements:
        never = requirement.never
        if isinstance(never, Not):
            yield (
                requirement.name,
                "Work every switch it speaks of, in park and in motion",
                _speaks(bench.program, never.of),
                "always holds",
            )
        else:
            yield (
                requirement.name,
                "Try to bring it about, in park and in motion",
                _speaks(bench.program, never),
                "never happens",
            )


def _speaks(program: Program, expression: RequirementExpression) -> str:
    """`not A or B` reads as *when A: B*."""
    if isinstance(expression, Any_):
        given = [part.of for part in expression.of if isinstance(part, Not)]
        then = [part for part in expression.of if not isinstance(part, Not)]
        if given and then:
            when = " and ".join(words_of(program, g) for g in given)
            return f"when {when}: {' or '.join(words_of(program, t) for t in then)}"
    return words_of(program, expression)


def _doors(bench: Bench) -> Iterator[Row]:
    """Every wire signal changed once, from every standing start in which something is then seen."""
    for v in bench.program.variables:
        if v.kind != "signal" or v.losable or v.measures or v.values != ("no", "yes"):
            continue
        index = bench.index[v.name]
        for name, start in bench.starts.items():
            for steps in bench.steps_of(index, start.state[index]):
                moved = bench.done(start, steps)
                if moved is None:
                    continue
                seen = changes(bench.program, bench.outcome(start), bench.outcome(moved))
                if seen:
                    now = v.values[moved.state[index]]
                    yield (
                        f"{name_of(v)}",
                        f"{name[0].upper() + name[1:]}, everything off; {name_of(v)} {now}",
                        "watch",
                        said(bench.program, seen),
                    )


def _lost(bench: Bench) -> Iterator[Row]:
    """Every data-bus signal lost while a function that needs it acts."""
    told: set[tuple[str, str]] = set()
    for number, function in enumerate(bench.program.functions):
        shown = bench.demonstration(number)
        if shown is None:
            continue
        for v in losable_of(bench.program, number):
            other = shown.stepper.copy()
            try:
                other.lose(v.name)
            except StepError:
                continue
            seen = changes(bench.program, shown.after, bench.outcome(other))
            words = said(bench.program, seen) if seen else "nothing changes"
            if (v.name, words) in told:
                continue
            told.add((v.name, words))
            do = "; ".join((shown.start, *(s.words for s in shown.steps), f"then take {name_of(v)} off the data bus"))
            yield f"{name_of(v)} lost: {function.name}", do[0].upper() + do[1:], "watch", words


def _body(assessment: Assessment) -> Iterator[Row]:
    """Torque of every joint on record, and radars and cameras that something stands in front of."""
    body = assessment.body
    for mount in body.mounts if body is not None else ():
        see = f"{mount.bolts} x {mount.bolt}, a line drawn across bolt and part"
        yield f"Joint {mount.id}", "Try each bolt with the set wrench", see, f"{mount.torque_n_m:.1f} N m"
    for sensor in body.recalibrate if body is not None else ():
        do = f"Recalibrate it: {sensor.because_of} stands in front of it"
        yield f"Sensor {sensor.sensor}", do, "The record of the recalibration", "passed, record kept"


def _own(rig: Rig) -> Iterator[Row]:
    for test in rig.build.inspection:
        by = f" (by {test.by})" if test.by else ""
        yield test.step, test.do + by, test.see, test.expected


def signals_of(program: Program, function: int) -> list[str]:
    """Signals a function depends on, by name."""
    about = depends_on(program, program.functions[function].when)
    return [name_of(program.variables[i]) for i in sorted(about) if program.variables[i].kind == "signal"]
