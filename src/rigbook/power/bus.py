"""One bus of joined banks at an instant: the voltage at which sources, batteries and loads balance. Plain numbers.

A charging source holds its voltage up to its current; a battery below the bus takes current, at most what it accepts,
straight by how far the bus lies above its own voltage; above the bus it gives current through its inside resistance. Loads
hold current, power or resistance. The wiring between is left out here: `vehicle_network` has it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

_ROUNDS = 60
_LEAST_V = 1.0


class Sums(NamedTuple):
    """What loads on a bus ask for: amperes held, watts held, siemens."""

    held_a: float = 0.0
    power_w: float = 0.0
    siemens: float = 0.0

    def at(self, volts: float) -> float:
        """Current in A at a voltage."""
        return self.held_a + self.power_w / volts + self.siemens * volts

    def slope(self, volts: float) -> float:
        """Change of the current by the voltage, A/V."""
        return self.siemens - self.power_w / (volts * volts)

    def and_(self, other: Sums) -> Sums:
        """Both together."""
        return Sums(self.held_a + other.held_a, self.power_w + other.power_w, self.siemens + other.siemens)


class Cell(NamedTuple):
    """A battery at an instant: its own voltage, inside resistance, what it accepts at `full_v`; gives nothing if flat."""

    open_v: float
    ohm: float
    accepts_a: float
    full_v: float
    flat: bool = False

    def into(self, volts: float) -> tuple[float, float]:
        """Current into it in A at a bus voltage (below 0: it gives), and its slope in A/V."""
        over = volts - self.open_v
        if over >= 0.0:
            reach = self.full_v - self.open_v
            if reach <= 0.0 or over >= reach:
                return self.accepts_a, 0.0
            return self.accepts_a * over / reach, self.accepts_a / reach
        if self.flat:
            return 0.0, 0.0
        return over / self.ohm, 1.0 / self.ohm


class Source(NamedTuple):
    """A charging source: the voltage it holds, and up to what current."""

    holds_v: float
    most_a: float


@dataclass(frozen=True, slots=True)
class Balance:
    """A bus in balance: volts, current into each battery, current of each source. Dead: nothing carries the loads."""

    volts: float
    into_a: tuple[float, ...]
    given_a: tuple[float, ...]
    dead: bool = False


def balance(cells: Sequence[Cell], sources: Sequence[Source], loads: Sums) -> Balance:
    """The bus voltage at which all balances; dead where loads ask for what nothing gives."""
    if len(cells) == 1 and not sources and not cells[0].flat:
        return _alone(cells[0], loads)
    below: float | None = None
    for level in sorted({s.holds_v for s in sources}):
        asked, _ = _asked(cells, loads, level)
        above_a = sum(s.most_a for s in sources if s.holds_v > level)
        here_a = sum(s.most_a for s in sources if s.holds_v == level)
        if asked <= above_a:
            below = level
            continue
        if asked <= above_a + here_a:
            return _settled(cells, sources, level, asked - above_a)
        return _between(cells, sources, loads, below, level, above_a + here_a)
    if below is not None:
        return _between(cells, sources, loads, below, None, 0.0)
    return _between(cells, sources, loads, None, None, 0.0)


def _alone(cell: Cell, loads: Sums) -> Balance:
    volts = cell.open_v
    for _ in range(_ROUNDS):
        new = cell.open_v - cell.ohm * loads.at(max(volts, _LEAST_V))
        if abs(new - volts) < 1e-11:
            volts = new
            break
        volts = new
    if volts <= _LEAST_V:
        return Balance(cell.open_v, (0.0,), (), True)
    return Balance(volts, ((volts - cell.open_v) / cell.ohm,), ())


def _asked(cells: Sequence[Cell], loads: Sums, volts: float) -> tuple[float, float]:
    """What batteries and loads ask for at a voltage, A, and the slope."""
    amps, slope = loads.at(volts), loads.slope(volts)
    for cell in cells:
        more, steep = cell.into(volts)
        amps += more
        slope += steep
    return amps, slope


def _settled(cells: Sequence[Cell], sources: Sequence[Source], level: float, here_a: float) -> Balance:
    """A bus held at a level; the sources of that level share what is left by their size."""
    whole = sum(s.most_a for s in sources if s.holds_v == level)
    given = tuple(
        s.most_a if s.holds_v > level else (here_a * s.most_a / whole if s.holds_v == level and whole else 0.0)
        for s in sources
    )
    return Balance(level, tuple(cell.into(level)[0] for cell in cells), given)


def _between(
    cells: Sequence[Cell], sources: Sequence[Source], loads: Sums, low: float | None, high: float | None, given_a: float
) -> Balance:
    """The voltage where what is asked equals the current that sources above it give, all at their most."""
    rest_v = max((cell.open_v for cell in cells), default=0.0)
    floor = low if low is not None else _LEAST_V
    top = high if high is not None else max(rest_v, floor) + 10.0
    lower, upper = floor, top
    volts = min(max(rest_v, lower), upper)
    for _ in range(_ROUNDS):
        asked, slope = _asked(cells, loads, volts)
        off = asked - given_a
        if off > 0:
            upper = volts
        else:
            lower = volts
        new = volts - off / slope if slope > 0 else (lower + upper) / 2
        if not lower <= new <= upper:
            new = (lower + upper) / 2
        if abs(new - volts) < 1e-11:
            volts = new
            break
        volts = new
    asked, _ = _asked(cells, loads, volts)
    if volts <= _LEAST_V * 1.01 or abs(asked - given_a) > 1e-3 * (1.0 + abs(asked)):
        return Balance(rest_v, tuple(0.0 for _ in cells), tuple(0.0 for _ in sources), True)
    given = tuple(s.most_a if high is not None and s.holds_v >= high else 0.0 for s in sources)
    return Balance(volts, tuple(cell.into(volts)[0] for cell in cells), given)
