"""One step of the embedded pair of Dormand and Prince, and its interpolation, on plain lists (source: dormand-prince)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

Slopes = Callable[[Sequence[float]], list[float]]
_ERROR = (-71 / 57600, 71 / 16695, -71 / 1920, 17253 / 339200, -22 / 525, 1 / 40)
_BETWEEN = (
    (1.0, -8048581381 / 2820520608, 8663915743 / 2820520608, -12715105075 / 11282082432),
    (0.0, 0.0, 0.0, 0.0),
    (0.0, 131558114200 / 32700410799, -68118460800 / 10900136933, 87487479700 / 32700410799),
    (0.0, -1754552775 / 470086768, 14199869525 / 1410260304, -10690763975 / 1880347072),
    (0.0, 127303824393 / 49829197408, -318862633887 / 49829197408, 701980252875 / 199316789632),
    (0.0, -282668133 / 205662961, 2019193451 / 616988883, -1453857185 / 822651844),
    (0.0, 40617522 / 29380423, -110615467 / 29380423, 69997945 / 29380423),
)


@dataclass(frozen=True, slots=True)
class Step:
    """A step from `start` over `hours`; `slopes` are the seven of the pair."""

    start: Sequence[float]
    hours: float
    slopes: Sequence[Sequence[float]]
    error: float

    def at(self, part: float) -> list[float]:
        """Values at a part 0 to 1 of the step, 4th order."""
        if part == 0.0 or not self.slopes:
            return list(self.start)
        weights = [((d * part + c) * part + b) * part + a for a, b, c, d in _BETWEEN]
        reach = part * self.hours
        return [
            value + reach * sum(w * k[index] for w, k in zip(weights, self.slopes, strict=True) if w)
            for index, value in enumerate(self.start)
        ]


def take_step(slopes: Slopes, start: Sequence[float], first: list[float], hours: float) -> tuple[Step, list[float]]:
    """A step and the values at its end; `first` are the slopes at its start. The error is the largest of all values."""
    h = hours
    k1 = first
    k2 = slopes([y + h * (1 / 5) * a for y, a in zip(start, k1, strict=True)])
    k3 = slopes([y + h * (3 / 40 * a + 9 / 40 * b) for y, a, b in zip(start, k1, k2, strict=True)])
    k4 = slopes(
        [y + h * (44 / 45 * a - 56 / 15 * b + 32 / 9 * c) for y, a, b, c in zip(start, k1, k2, k3, strict=True)]
    )
    k5 = slopes(
        [
            y + h * (19372 / 6561 * a - 25360 / 2187 * b + 64448 / 6561 * c - 212 / 729 * d)
            for y, a, b, c, d in zip(start, k1, k2, k3, k4, strict=True)
        ]
    )
    k6 = slopes(
        [
            y + h * (9017 / 3168 * a - 355 / 33 * b + 46732 / 5247 * c + 49 / 176 * d - 5103 / 18656 * e)
            for y, a, b, c, d, e in zip(start, k1, k2, k3, k4, k5, strict=True)
        ]
    )
    value = [
        y + h * (35 / 384 * a + 500 / 1113 * c + 125 / 192 * d - 2187 / 6784 * e + 11 / 84 * f)
        for y, a, c, d, e, f in zip(start, k1, k3, k4, k5, k6, strict=True)
    ]
    k7 = slopes(value)
    e1, e3, e4, e5, e6, e7 = _ERROR
    error = h * max(
        (
            abs(e1 * a + e3 * c + e4 * d + e5 * e + e6 * f + e7 * g)
            for a, c, d, e, f, g in zip(k1, k3, k4, k5, k6, k7, strict=True)
        ),
        default=0.0,
    )
    return Step(start, hours, (k1, k2, k3, k4, k5, k6, k7), error), value
