"""Programs and event sequences written by hand for what random ones seldom meet; both evaluators run them."""

from __future__ import annotations

from typing import Any

from rigbook.switching.program import Program
from tests.switching.sections import EXCERPT, program_of

SAME_MOMENT = """
switches: [{id: a, kind: latching}, {id: b, kind: latching}, {id: m, kind: momentary, tap_under: 1 s}]
memory: [{id: saw, set_when: not first and second}, {id: also, set_when: held(m) and first and second}]
timers: [{id: first, off_delay: a, for: 1 s}, {id: second, off_delay: b, for: 2 s}]
"""
SETTLING = """
signals: [{id: limit, source: wire, settles: 300 ms}, {id: low, measures: voltage.auxiliary, below: 11.8 V, for: 2 s, clears_above: 12.8 V}]
impossible: [limit and not rear_door, low and gear == drive]
"""


def hand_cases() -> list[tuple[Program, list[tuple[str, Any]], dict[str, str]]]:
    """Program, events, and values that must stand at the end."""
    both = [("press", "a"), ("press", "b")]
    return [
        (
            program_of(SAME_MOMENT),
            [*both, ("press", "b"), ("wait", 1000), ("press", "m"), ("press", "a"), ("wait", 1000)],
            {"first": "no", "second": "no", "saw": "yes", "also": "yes", "m": "held"},
        ),
        (
            program_of(SETTLING),
            [
                ("set", {"rear_door": "yes", "limit": "yes"}),
                ("wait", 300),
                ("set", {"rear_door": "no", "limit": "no"}),
                ("wait", 299),
                ("measure", ["low", 11.0]),
                ("set", {"ignition": "run", "gear": "drive"}),
                ("wait", 2000),
                ("set", {"gear": "park"}),
                ("wait", 2000),
            ],
            {"rear_door": "no", "limit": "no", "low": "yes"},
        ),
        (
            program_of(EXCERPT),
            [
                ("set", {"ignition": "run", "gear": "drive"}),
                ("set", {"siren": "yelp"}),
                ("tap", "horn_ring"),
                ("lose", "gear"),
            ],
            {"tone": "yelp", "siren_armed": "yes"},
        ),
    ]
