"""Drives: timers and thresholds run between recorded times, and the same comes out as by hand through the stepper."""

from __future__ import annotations

import random
from collections.abc import Mapping

import pytest

from rigbook.switching.drive import Drive, run_drive
from rigbook.switching.drive_file import DriveFile, read_drive
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.logic import Lost, State
from rigbook.switching.program import Program
from rigbook.switching.stepping import StepError, Stepper
from tests.papers.opened import example


def nothing(state: State, lost: Lost) -> Mapping[str, float]:
    return {"average": float(sum(state)), "RMS": 0.0, "peak": 1.0 + len(lost)}


def driven(text: str, build: str = "flood-support-van") -> tuple[Program, Drive]:
    program = example(build).worked.program
    return program, run_drive(program, read_drive(program, text.encode()), nothing)


def times(program: Program, drive: Drive, name: str, value: str) -> list[tuple[int, int]]:
    index = next(i for i, v in enumerate(program.variables) if v.name == name)
    found: list[tuple[int, int]] = []
    for s in drive.stretches:
        if program.variables[index].values[s.state[index]] == value:
            if found and found[-1][1] == s.start_ms:
                found[-1] = (found[-1][0], s.end_ms)
            else:
                found.append((s.start_ms, s.end_ms))
    return found


def test_timers_thresholds_and_settling_act_at_their_own_time() -> None:
    program, drive = driven(
        "time (s),rear_door,voltage.auxiliary (V)\n0,no,12.5\n10,yes,11.7\n20,no,\n200,,12.9\n300,,\n"
    )
    assert times(program, drive, "rear_door", "yes") == [(10_150, 20_150)]
    assert times(program, drive, "door_light", "yes") == [(10_150, 50_150)]
    assert times(program, drive, "auxiliary_low", "yes") == [(130_000, 200_000)]
    assert drive.end_ms == 300_000 and drive.stretches[0].start_ms == 0
    assert all(a.end_ms == b.start_ms for a, b in zip(drive.stretches, drive.stretches[1:], strict=False))


def test_switches_are_pressed_held_and_let_go() -> None:
    text = "time (s),gear,ignition,engine_running,response,siren,horn_ring,scene_left\n"
    text += "0,park,run,yes,off,standby,no,yes\n5,drive,,,responding,,,\n6,,,,,,yes,\n6.5,,,,,,no,\n8,,,,,ring,,\n9,,,,,,yes,\n9.1,,,,,,no,\n12,,,,,,,no\n"
    program, drive = driven(text)
    assert times(program, drive, "scene_left", "yes") == [(0, 5_000)]
    assert times(program, drive, "horn_ring", "held") == [(6_400, 6_500)]
    assert times(program, drive, "tone", "wail") == [(9_100, 12_000)]
    assert [(d.start_ms, d.end_ms) for d in drive.doings if (d.device, d.what) == ("siren-amp", "horn")] == [
        (6_400, 6_500)
    ]
    assert drive.refused == ()


def test_losses_and_what_is_refused() -> None:
    text = "time (s),gear,ignition,scene_left\n0,park,run,no\n1,lost,,\n2,drive,,\n3,,off,\n4,,,yes\n5,,,\n"
    program, drive = driven(text)
    gear = next(i for i, v in enumerate(program.variables) if v.name == "gear")
    assert [(s.start_ms, s.end_ms) for s in drive.stretches if gear in s.lost] == [(1_000, 2_000)]
    assert [(r.line, r.at_ms) for r in drive.refused] == [(5, 3_000), (6, 4_000)]
    assert "impossible" in drive.refused[0].says and drive.refused[1].says == "scene_left does not stay on"
    assert times(program, drive, "ignition", "run") == [(0, 5_000)]


def test_requirements_are_broken_from_when_to_when() -> None:
    text = "time (s),ignition,gear,siren,response,shore\n0,run,park,wail,off,no\n7,,lost,,,\n9,,park,,,\n10,,,,responding,\n12,,,,,yes\n15,,,,off,\n20,,,,,\n"
    _program, drive = driven(text, "planted-faults")
    found = [(b.requirement, b.start_ms, b.end_ms) for b in drive.broken]
    assert ("No white ahead when parked", 10_000, 15_000) in found and ("Siren silent in park", 7_000, 9_000) in found
    assert all(b.line > 0 and b.end_ms > b.start_ms for b in drive.broken)


def test_figures_are_means_over_time() -> None:
    _program, drive = driven("time (s),night\n0,no\n10,yes\n40,\n", "flood-support-van")
    first, second = (s.drawn["average"] for s in drive.stretches)
    assert drive.mean("average") == pytest.approx((first * 10 + second * 30) / 40)
    assert drive.greatest("average") == (second, 10_000) and drive.greatest("peak") == (1.0, 0)


def test_random_drives_agree_with_the_stepper_looked_at_every_50_ms() -> None:
    """The oracle knows nothing of stretches: it does what is recorded and looks every 50 ms."""
    program = example("boat-crew-pickup").worked.program
    evaluator, chance = Evaluator(program), random.Random(5)
    operable = [
        v
        for v in program.variables
        if (v.kind == "signal" and not v.measures) or (v.kind == "switch" and v.switch_kind != "momentary")
    ]
    looked = broken = refused = 0
    for _ in range(12):
        chosen = chance.sample(operable, 6)
        lines, events = [], []
        at_ms = 0
        for _ in range(12):
            at_ms += 50 * chance.randint(1, 60)
            v = chance.choice(chosen)
            value = chance.choice(v.values)
            lines.append(f"{at_ms}," + ",".join(value if c is v else "" for c in chosen))
            events.append((at_ms, v, value))
        text = (
            "time (ms),"
            + ",".join(v.name for v in chosen)
            + "\n"
            + "\n".join(lines)
            + f"\n{at_ms + 2_000}"
            + "," * 6
            + "\n"
        )
        recorded: DriveFile = read_drive(program, text.encode())
        drive = run_drive(program, recorded, nothing)
        stepper, stood = Stepper(program), dict[str, str]()
        for now in range(0, at_ms + 2_000, 50):
            stepper.wait(now - stepper.now_ms)
            for when, v, value in events:
                if when == now and stood.get(v.name) != value:
                    stood[v.name] = value
                    try:
                        if v.kind == "switch" and v.switch_kind == "latching":
                            stepper.press(v.name) if stepper.value(v.name) != value else None
                        else:
                            stepper.set({v.name: value})
                    except StepError:
                        refused += 1
            stretch = next(s for s in drive.stretches if s.start_ms <= now < s.end_ms)
            assert (stretch.state, stretch.lost) == (stepper.state, stepper.lost), (text, now)
            for requirement in program.requirements:
                fails = not evaluator.requirement_holds(requirement, stepper.state)
                told = any(b.requirement == requirement.name and b.start_ms <= now < b.end_ms for b in drive.broken)
                assert fails == told
                broken += fails
            looked += 1
    assert looked > 4_000
