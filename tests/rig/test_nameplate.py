"""The name-plate sum against adding up by hand and by brute force over what may be on together."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.rig.model import Draw
from rigbook.rig.nameplate import draws_peak_a, nameplate_a
from tests.rig.small import build_text, opened


def draw(channel: str, kind: str, current_a: float) -> Draw:
    return Draw("x", channel, kind, current_a, 12.8, "constant-current", None, None, None, "switching", None, "x:y",
                "x:return", None)  # type: ignore[arg-type]  # fmt: skip


currents = st.lists(st.sampled_from([0.0, 0.5, 1.25, 3.0]), max_size=4)


@given(currents, currents, st.booleans())
def test_the_peak_is_the_most_of_all_combinations(colours: list[float], states: list[float], one: bool) -> None:
    draws = [draw(f"c{i}", "colour", a) for i, a in enumerate(colours)]
    draws += [draw(f"s{i}", "state", a) for i, a in enumerate(states)]
    best = 0.0
    for lit in product([False, True], repeat=len(colours)):
        if one and sum(lit) > 1:
            continue
        for state in [0.0, *states]:
            best = max(best, sum(a for a, on in zip(colours, lit, strict=True) if on) + state)
    assert draws_peak_a(draws, one_colour_at_a_time=one) == pytest.approx(best)


def test_a_device_counts_once_however_many_of_its_channels_are_asked_for() -> None:
    rig = opened(build_text(install="  - {id: lamp, part: dual, place: nose}\n"))
    assert nameplate_a(rig.devices, [("lamp", "blue"), ("lamp", "white"), ("lamp", "blue")]) == 1.1
    assert nameplate_a(rig.devices, [("lamp", "blue")]) == 0.9
    assert nameplate_a(rig.devices, [("lamp", "white"), ("control", "awake")]) == pytest.approx(1.35)
    assert nameplate_a(rig.devices, []) == 0.0
