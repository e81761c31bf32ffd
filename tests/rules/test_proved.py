"""Verdicts as findings: what each says and how bad it is."""

from __future__ import annotations

import pytest
from syrupy.assertion import SnapshotAssertion

from rigbook.assess.text import finding_lines
from rigbook.rules.proved import SEVERITY, witness_words
from rigbook.switching.program import Witness

from .test_rules import BUILD, Change, assessed

NO_STATES: Change = (
    BUILD, "states:\n  - {id: on-scene, title: On scene, set: {warn: yes, engine_running: yes}, rpm: 700}\n", "",
)  # fmt: skip
VERDICTS: dict[str, tuple[str, list[Change]]] = {
    "no-reachable-state": ("fail", [(BUILD, "switching:\n", "switching:\n  impossible:\n    - gear in (park, drive)\n"), NO_STATES]),
    "rest-not-reachable": ("fail", [(BUILD, "switching:\n", "switching:\n  impossible:\n    - gear == park\n"), NO_STATES]),
    "never-on": ("caution", [(BUILD, "      when: warn\n", "      when: warn and gear == park and gear == drive\n")]),
    "always-overridden": (
        "caution",
        [(BUILD, "  modes:\n", "    - name: Over it\n      rank: warning\n      when: yes\n      cut: warning\n  modes:\n")],
    ),
    "dead-switch": ("caution", [(BUILD, "    - {id: warn, kind: latching}", "    - {id: warn, kind: latching}\n    - {id: idle, kind: latching}")]),
    "dead-position": (
        "caution",
        [(BUILD, "    - {id: warn, kind: latching}", "    - {id: warn, kind: rotary, positions: [off, low, high]}"),
         (BUILD, "when: warn and gear == park, purpose", "when: warn == high and gear == park, purpose"),
         (BUILD, "when: warn and gear == drive, purpose", "when: warn == high and gear == drive, purpose"),
         (BUILD, "      when: warn\n", "      when: warn == high\n"), (BUILD, "set: {warn: yes,", "set: {warn: high,")],
    ),
    "never-lit": ("fail", [(BUILD, "            white: {pattern: single, phase: 1/2}\n", "")]),
    "two-colours-at-once": (
        "fail",
        [("parts/all.yaml", "    title: Lamp\n", "    title: Lamp\n    one_colour_at_a_time: yes\n"), (BUILD, ", phase: 1/2", "")],
    ),
    "broken-requirement": (
        "fail",
        [(BUILD, "  modes:\n", "  require:\n    - name: No white ahead when parked\n      never: gear == park and lit(front, white)\n  modes:\n")],
    ),
    "zone-without-warning": ("fail", [(BUILD, "  modes:\n", "  warning_when: warn\n  modes:\n")]),
    "lost-signal": (
        "caution",
        [("vehicles/van.yaml", "{id: gear, values: [park, drive], source: wire, active: battery, broken_reads: park}",
          "{id: gear, values: [park, drive], source: data-bus}"),
         (BUILD, "      when: warn\n", "      when: warn and gear == park\n      if_unknown: on\n")],
    ),
}  # fmt: skip


@pytest.mark.parametrize("rule", list(VERDICTS))
def test_what_the_user_reads(rule: str, snapshot: SnapshotAssertion) -> None:
    severity, changes = VERDICTS[rule]
    assessment = assessed(changes)
    assert assessment.errors == ()
    found = [f for f in assessment.findings if f.rule == rule]
    assert found, [f.id for f in assessment.findings]
    assert {f.severity for f in found} == {severity}
    assert all(f.file == "builds/small.yaml" for f in found)
    assert "\n".join(line for f in found for line in finding_lines(f)) == snapshot


def test_every_verdict_of_the_table_is_looked_at() -> None:
    elsewhere = {"switch-only-releases", "never-lit-warning", "zone-without-warning-explained", "not-proved"}
    assert set(SEVERITY) - elsewhere == set(VERDICTS)


def test_a_cut_explains_a_dark_zone() -> None:
    changes = [
        (BUILD, "  modes:\n", "    - name: Dark\n      rank: dark\n      when: dark\n      cut: rear\n  warning_when: warn\n  modes:\n"),
        (BUILD, "ranks: [warning]", "ranks: [warning, dark]"),
        (BUILD, "    - {id: warn, kind: latching}", "    - {id: warn, kind: latching}\n    - {id: dark, kind: latching}"),
    ]  # fmt: skip
    rear = next(f for f in assessed(changes).findings if f.id == "zone-without-warning@rear")
    assert rear.severity == "note"
    assert "a cut takes its lamps" in rear.says


def test_witness_in_words() -> None:
    assert witness_words(None) == "in some reachable state"
    assert witness_words(Witness()) == "at rest"
    assert witness_words(Witness((("gear", "drive"),), ("brake",))) == "with gear drive, brake lost"
