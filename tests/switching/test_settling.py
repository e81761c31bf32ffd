from __future__ import annotations

import random

from rigbook.switching.settling import Settling
from rigbook.switching.states import repetition_limit
from rigbook.switching.stepping import StepError, Stepper
from tests.switching.generator import generate, random_events
from tests.switching.sections import program_of


def test_after_any_event_nothing_more_changes():
    """A settled state is a fixed point: settling once more, without an event, leaves everything as it is."""
    rng = random.Random(11)
    looked = 0
    for seed in range(120):
        program = generate(seed, "medium").program
        stepper = Stepper(program)
        for what, about in random_events(program, rng, 25):
            try:
                getattr(stepper, what)(*about) if what == "measure" else getattr(stepper, what)(about)
            except StepError:
                continue
            before = stepper.key()
            stepper._core.settle()
            assert stepper.key() == before, (seed, what, about)
            looked += 1
    assert looked > 1500


def test_a_chain_settles_in_one_event_whatever_its_length():
    """Each memory after the one it reads, releases between: far fewer rounds than the bound."""
    links = 30
    memory = [f"  - {{id: k{n}, set_when: {'rear_door' if n == 0 else f'k{n - 1}'}}}" for n in reversed(range(links))]
    program = program_of("memory:\n" + "\n".join(memory))
    core = Settling(program, list(program.rest))
    core.start()
    door = next(i for i, v in enumerate(program.variables) if v.name == "rear_door")
    core.values[door] = 1
    core.settle()
    assert sum(core.values) - 1 == links
    assert repetition_limit(program) > links


def test_a_chain_of_what_turned_true():
    text = "memory: [{id: p, set_when: rises(rear_door)}, {id: q, set_when: rises(p)}, {id: r, set_when: rises(q)}]"
    program = program_of(text)
    stepper = Stepper(program)
    stepper.set({"rear_door": "yes"})
    stepper.wait(150)
    assert [stepper.value(n) for n in "pqr"] == ["yes"] * 3
