from __future__ import annotations

import json

from rigbook.switching.program import All, Any_, ConditionRef, Constant, Expression, Is, Not, Rises, Tap
from rigbook.switching.serialise import expression_to_json, program_to_json
from tests.switching.generator import generate
from tests.switching.sections import EXCERPT, program_of


def read(data) -> Expression:
    """Back again, for this test alone."""
    word, *rest = data
    match word:
        case "constant":
            return Constant(*rest)
        case "is":
            return Is(rest[0], frozenset(rest[1]))
        case "not":
            return Not(read(rest[0]))
        case "all":
            return All(tuple(map(read, rest[0])))
        case "any":
            return Any_(tuple(map(read, rest[0])))
        case "condition":
            return ConditionRef(*rest)
        case "tap":
            return Tap(*rest)
        case "rises":
            return Rises(read(rest[0]))
    raise AssertionError(word)


def test_expressions_there_and_back():
    looked = 0
    for seed in range(60):
        program = generate(seed, "medium").program
        found = [e for _, e in program.conditions] + [f.when for f in program.functions]
        found += [e for v in program.variables for e in (v.set_when, v.clear_when, v.next_on, v.condition) if e]
        for expression in found:
            assert read(json.loads(json.dumps(expression_to_json(expression)))) == expression
            looked += 1
    assert looked > 500
    assert expression_to_json(None) is None


def test_equal_programs_give_equal_text_and_nothing_is_lost():
    one, other = program_of(EXCERPT), program_of(EXCERPT)
    text = json.dumps(program_to_json(one))
    assert text == json.dumps(program_to_json(other))
    data = json.loads(text)
    assert [v["name"] for v in data["variables"]] == [v.name for v in one.variables]
    assert len(data["contents"]) == len(one.contents) and data["rest"] == list(one.rest)
    horn = next(v for v in data["variables"] if v["name"] == "horn_ring")
    assert horn["tap_under_ms"] == 400
    light = next(v for v in data["variables"] if v["name"] == "step_light")
    assert (light["for_ms"], light["at_most_ms"]) == (30000, 1200000)
