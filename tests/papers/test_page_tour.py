"""The tour shows what it says: its events, done again, bring about what the table of switches found."""

from __future__ import annotations

import pytest

from rigbook.papers.page_tour import tour_of
from rigbook.shop.behaviour import changes, said
from rigbook.switching.stepping import Stepper
from tests.papers.example_builds import BUILDS, desk


@pytest.mark.parametrize("build", BUILDS)
def test_every_stop_shows_what_it_says(build: str) -> None:
    here = desk(build)
    bench = here.bench
    stops, starts = tour_of(here)
    begins = {s["name"]: s for s in starts}
    assert list(begins) == list(bench.starts)
    looked = 0
    for stop in stops:
        for shown in stop["shows"]:
            stepper = Stepper(bench.program)
            for what, about in begins[shown["start"]]["events"]:
                getattr(stepper, what)(about)
            assert stepper.state == bench.starts[shown["start"]].state
            if not shown["events"] or shown["does"][0] in ("nothing by itself", "does not stay on"):
                continue
            own = stop["switch"]
            last = max(
                n
                for n, (what, about) in enumerate(shown["events"])
                if bench.program.variables[own].name in (about if isinstance(about, dict) else [about])
                and what != "wait"
            )
            first = min(
                n
                for n, (what, about) in enumerate(shown["events"])
                if n >= last - 2 * stop["position"].count("twice")
                and what != "wait"
                and bench.program.variables[own].name in (about if isinstance(about, dict) else [about])
            )
            for what, about in shown["events"][:first]:
                getattr(stepper, what)(about)
            before = bench.outcome(stepper)
            for what, about in shown["events"][first:]:
                getattr(stepper, what)(about)
            assert (
                said(bench.program, changes(bench.program, before, bench.outcome(stepper))).split("; ") == shown["does"]
            ), (stop["label"], stop["position"], shown["start"])
            looked += 1
    assert looked > 8


def test_the_tour_of_the_complete_build_reaches_every_switch() -> None:
    stops, _ = tour_of(desk("flood-support-van"))
    nothing = [s["label"] for s in stops if all(e["does"] == ["nothing by itself"] for e in s["shows"])]
    # the siren's position for the horn ring waits for taps: those have a stop of their own
    assert len(stops) == 30 and nothing == ["SIREN"], nothing
