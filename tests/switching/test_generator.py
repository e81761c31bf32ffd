from __future__ import annotations

from math import prod

from tests.switching.generator import CONSTRUCTS, generate, report


def test_every_construct_stands_in_one_program_of_twenty():
    made = [generate(seed, "small") for seed in range(400)]
    shares = report(made)
    assert list(shares) == list(CONSTRUCTS) and len(CONSTRUCTS) >= 115
    assert {name: share for name, share in shares.items() if share < 0.05} == {}


def test_small_programs_are_small_and_equal_seeds_equal():
    for seed in range(30):
        program = generate(seed, "small").program
        assert prod(len(v.values) for v in program.variables) <= 4096
        assert program == generate(seed, "small").program
