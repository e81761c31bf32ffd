"""Peaks from a few instants against every millisecond."""

from __future__ import annotations

import math
import random
from fractions import Fraction

from rigbook.power.flowing import Flow
from rigbook.power.instants import alternatives, is_constant, parts_of
from rigbook.power.waveform import Wave, WaveSpan
from rigbook.proofs.acts import Act
from tests.power.cars import car


def wave(rng: random.Random, clock: str = "one") -> Wave:
    period = rng.choice((4, 6, 8, 9, 12))
    cuts = sorted(rng.sample(range(period + 1), 2 * rng.randint(1, 2)))
    spans = tuple(WaveSpan(a, b, Fraction(rng.randint(1, 4))) for a, b in zip(cuts[::2], cuts[1::2], strict=True))
    return Wave(clock, period, spans)


def at(one: Wave, ms: int) -> Fraction:
    ms %= one.period_ms
    return next((s.current_a for s in one.spans if s.start_ms <= ms < s.end_ms), Fraction(0))


def test_every_subset_of_waves_has_its_peak_at_one_of_the_instants() -> None:
    rng = random.Random(1)
    dropped = 0
    for _ in range(150):
        waves = [wave(rng) for _ in range(rng.randint(1, 4))]
        rows = alternatives(waves, scale=1)
        common = math.lcm(*(w.period_ms for w in waves))
        dropped += len(rows) < common
        for chosen in range(1, 2 ** len(waves)):
            subset = [n for n in range(len(waves)) if chosen >> n & 1]
            true = max(sum(at(waves[n], ms) for n in subset) for ms in range(common))
            assert max(sum(row[n] for n in subset) for row in rows) == true
    assert dropped > 100


def flow(number: int, one: Wave) -> Flow:
    draw = next(draw for device in car().devices.values() for draw in device.draws)
    return Flow(draw, Act(number, "blue"), one, number=number)


def test_clocks_choose_for_themselves_and_constants_need_no_choice() -> None:
    rng = random.Random(2)
    several = 0
    for _ in range(100):
        flows = [flow(n, wave(rng, rng.choice(("one", "two", "three")))) for n in range(4)]
        parts, bound = parts_of(flows, scale=1)
        assert not bound
        true = Fraction(0)
        for clock in {f.wave.clock for f in flows}:
            own = [f.wave for f in flows if f.wave.clock == clock]
            true += max(sum(at(w, ms) for w in own) for ms in range(math.lcm(*(w.period_ms for w in own))))
        assert sum(max(map(sum, zip(*part.values(), strict=True))) for part in parts) == true
        several += len(parts) > 1
    assert several > 50


def test_too_many_instants_give_an_upper_bound_and_say_so() -> None:
    periods = (1999, 2 * 1999 * 3, 1999 * 5 * 7, 1999 * 11 * 13)
    waves = [Wave("one", period, (WaveSpan(0, 5, Fraction(1)), WaveSpan(7, 9, Fraction(1)))) for period in periods]
    parts, bound = parts_of([flow(n, one) for n, one in enumerate(waves)], scale=1)
    assert bound
    assert len(parts) == 4


def test_constant_is_what_never_changes() -> None:
    assert is_constant(Wave("a", 4, (WaveSpan(0, 2, Fraction(1), Fraction(1, 2)), WaveSpan(2, 4, Fraction(1)))))
    assert not is_constant(Wave("a", 4, (WaveSpan(0, 3, Fraction(1)),)))
    assert not is_constant(Wave("a", 4, (WaveSpan(0, 2, Fraction(1)), WaveSpan(2, 4, Fraction(2)))))
