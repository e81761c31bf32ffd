"""No requirement of the sound builds is empty: each part of each line can go either way."""

from __future__ import annotations

import re

import pytest

from tests.scenario.shop import SOUND, judge, text

GUARDS = {"Arrow moves"}
"""Lines that guard against a slip nobody has made: a stick lit without its sequence."""


def parts_at_top(expression: str, word: str) -> list[str]:
    """An expression cut at a word that stands outside parentheses."""
    parts, depth, held = [], 0, ""
    for token in re.split(rf"(\(|\)| {word} )", expression):
        depth += (token == "(") - (token == ")")
        if token == f" {word} " and depth == 0:
            parts.append(held)
            held = ""
        else:
            held += token
    return [part.strip() for part in [*parts, held]]


def test_cutting_minds_parentheses() -> None:
    assert parts_at_top("a and (b and c) and f(d, e)", "and") == ["a", "(b and c)", "f(d, e)"]
    assert parts_at_top("not a or b and c", "or") == ["not a", "b and c"]


@pytest.mark.parametrize("build", SOUND)
def test_every_part_of_a_requirement_can_go_either_way(build: str) -> None:
    """`never A and B`: A and B each hold in some reachable state. `always A or B`: neither holds in all of them."""
    document = judge(build).loaded.build
    assert document is not None
    lines = []
    for requirement in document.switching.require:
        kind, expression, word = (
            ("never", str(requirement.never), "and") if requirement.never else ("always", str(requirement.always), "or")
        )
        for part in parts_at_top(expression, word):
            lines.append(f"    - name: Part {len(lines)} of {requirement.name}\n      {kind}: {part}\n")
    assert len(lines) >= 2 * len(document.switching.require) - 2
    source = text(build)
    assessment = judge(build, {build: source.replace("\n  require:\n", "\n  require:\n" + "".join(lines), 1)})
    assert not assessment.errors, assessment.errors
    verdicts = assessment.verdicts
    assert verdicts is not None and verdicts.requirements is not None
    empty = [verdict.name for verdict in verdicts.requirements if verdict.name.startswith("Part ") and verdict.holds]
    assert [name for name in empty if name.partition(" of ")[2] not in GUARDS] == []
