"""Where to aim lamps so that areas get the light they ask for: exact on a grid of aims, then refined nearby.

On the grid it is a mixed-integer program: one aim a lamp, and the least share s of what is asked, over all points and
averages, as large as it can be. What the solver proves is the gap between its answer and the best there is *on the
grid and at these points*; the refinement afterwards is a local search and proves nothing. Or the other way round: as
few of the candidate lamps as meet all that is asked.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from rigbook.light.areas import state_of
from rigbook.light.illuminance import CHUNK, Mask, Numbers, Vector, illuminance_lx
from rigbook.light.outline import start_of
from rigbook.light.scene import Burning, Grid, Lighting, grid_of, reaching
from rigbook.light.shadow import reached
from rigbook.light.sources import Source

STEP_DEG = 5.0
TURN_DEG = 45.0
LOWEST_TILT_DEG, HIGHEST_TILT_DEG = -80.0, 10.0
POINTS_AT_MOST = 100
"""Points of an area that the solver looks at; the answer is then judged at all of them."""
EFFORT_S = 20.0
REFINE_STEPS = 400
GAINS_NOTHING = 1e-3
"""A turn that raises the least share by less than this is not worth a spanner."""

Aim = tuple[float, float]


class CannotAim(Exception):
    """Nothing to aim, nothing asked, or no answer: with the mend."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What an area asks for, lx; None where it asks for none of it."""

    area: str
    least: float | None
    average: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaLight:
    """What an area gets, lx."""

    area: str
    least_lx: float
    average_lx: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """Aims (azimuth, tilt, deg) by lamp and what they give. share: the least share of what is asked, 1 meets all."""

    aims: Mapping[str, Aim]
    share: float
    areas: tuple[AreaLight, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Aiming:
    """Before, on the grid, refined. bound: no aims on the grid give more at the points looked at; gap: relative, of it."""

    before: Proposal
    on_grid: Proposal
    refined: Proposal
    bound: float
    gap: float
    aims_tried: int
    looked_at: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Fewest:
    """The candidates taken, with their aims. bound: fewer are not enough, on the grid and at the points looked at."""

    taken: Mapping[str, Aim]
    bound: int
    before: Proposal
    after: Proposal


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Spot:
    """An area as the solver sees it: its points, what it asks for, what shines on it besides."""

    need: Need
    grid: Grid
    some: Numbers
    fixed: Numbers
    lamps: frozenset[str]


class Aimer:
    """The lamps that may be aimed, the areas they are aimed at."""

    def __init__(self, lighting: Lighting, needs: Sequence[Need], movable: Sequence[str]) -> None:
        self.lighting = lighting
        self.movable: dict[str, Burning] = {}
        self.spots: list[_Spot] = []
        self._masks: dict[tuple[str, Vector], Mask] = {}
        rig = lighting.rig
        areas = {area.id: area for area in rig.build.scene}
        for need in needs:
            area = areas[need.area]
            grid = grid_of(area, rig.vehicle)
            count = grid.points_m.shape[1]
            if count > CHUNK:
                raise CannotAim(
                    f"{need.area} has {count:,} points; aiming takes {CHUNK:,} at most: widen its `spacing:`"
                )
            if not count or (need.least is None and need.average is None):
                continue
            saved = next(s for s in rig.states if s.id == area.state)
            burning = reaching(lighting.burning(state_of(rig, saved)), inside=grid.inside)
            mine = [lamp for lamp in burning if lamp.source.device_id in movable]
            self.movable |= {lamp.source.id: lamp for lamp in mine if can_be_aimed(lamp.source, lighting)}
            rest = [lamp for lamp in burning if lamp.source.id not in self.movable]
            every = max(1, -(-count // POINTS_AT_MOST))
            fixed = lighting.light(rest, grid.points_m, (grid.normal,), inside=grid.inside)[0]
            lamps = frozenset(lamp.source.id for lamp in mine)
            self.spots.append(_Spot(need=need, grid=grid, some=np.arange(0, count, every), fixed=fixed, lamps=lamps))
        if not self.spots:
            raise CannotAim(
                "no area asks for light: give an area `least:` or `average:`, or a task that a rule pack knows"
            )

    def now(self) -> dict[str, Aim]:
        """The aims as they are."""
        return {name: (b.source.azimuth_deg, b.source.tilt_deg) for name, b in self.movable.items()}

    def lux(self, spot: _Spot, lamp: Burning, aim: Aim) -> Numbers:
        """What a lamp with an aim gives all points of an area, lx."""
        if lamp.source.id not in spot.lamps:
            return np.zeros(spot.grid.points_m.shape[1])
        turned = self._turned(lamp, aim)
        if turned.start is None and not spot.grid.inside:
            return np.zeros(spot.grid.points_m.shape[1])
        seen = None if spot.grid.inside else self._seen(spot, turned)
        beam = turned.beam(inside=spot.grid.inside)
        found: Numbers = illuminance_lx(spot.grid.points_m, (spot.grid.normal,), (beam,), seen=seen)[0]
        return found

    def _turned(self, lamp: Burning, aim: Aim) -> Burning:
        source = replace(lamp.source, azimuth_deg=aim[0] % 360, tilt_deg=aim[1])
        start = None
        if lamp.start is not None:
            glass = source.passes_share < 1
            found = start_of(self.lighting.prisms, source.at_m, source.axes[0], behind_glass=glass)
            start = None if found is None else (float(found[0]), float(found[1]), float(found[2]))
        return replace(lamp, source=source, start=start)

    def _seen(self, spot: _Spot, lamp: Burning) -> Callable[[int, Numbers], Mask]:
        """What the outline leaves of an area for a lamp; kept, since most aims look out from one place."""
        start = lamp.start
        assert start is not None
        key = (spot.need.area, start)
        if key not in self._masks:
            self._masks[key] = reached(self.lighting.prisms, start, spot.grid.points_m)
        mask, width = self._masks[key], spot.grid.points_m.shape[1]
        assert width <= CHUNK
        return lambda index, points: mask

    def proposal(self, aims: Mapping[str, Aim]) -> Proposal:
        """What aims give, at every point of every area."""
        share, rows = np.inf, []
        for spot in self.spots:
            total = spot.fixed + sum(self.lux(spot, self.movable[name], aim) for name, aim in aims.items())
            share = min(share, *(ratio for ratio in _ratios(spot.need, total)))
            rows.append(AreaLight(area=spot.need.area, least_lx=float(total.min()), average_lx=float(total.mean())))
        return Proposal(aims=dict(aims), share=float(share), areas=tuple(rows))


def can_be_aimed(source: Source, lighting: Lighting) -> bool:
    """Whether a lamp has an aim of its own: not all round, not a module of a bar, not on an open door."""
    device = lighting.rig.devices[source.device_id]
    return not source.all_round and device.inside_of is None and source.pose == 0


def _ratios(need: Need, total: Numbers) -> list[float]:
    found = []
    if need.least is not None:
        found.append(float(total.min()) / need.least)
    if need.average is not None:
        found.append(float(total.mean()) / need.average)
    return found


def aims_of(now: Aim, *, step_deg: float = STEP_DEG, turn_deg: float = TURN_DEG) -> list[Aim]:
    """The grid of aims of a lamp: whole steps, within a turn of where it faces, and its present aim."""
    first = np.ceil((now[0] - turn_deg) / step_deg) * step_deg
    azimuths = np.arange(first, now[0] + turn_deg + 1e-9, step_deg)
    tilts = np.arange(LOWEST_TILT_DEG, HIGHEST_TILT_DEG + 1e-9, step_deg)
    grid = [(float(a % 360), float(t)) for a in azimuths for t in tilts]
    return grid if now in grid else [*grid, now]


# --- aims ---------------------------------------------------------------------------------------------------------------


def aim(
    aimer: Aimer, *, step_deg: float = STEP_DEG, turn_deg: float = TURN_DEG, effort_s: float = EFFORT_S, refine: bool = True
) -> Aiming:  # fmt: skip
    """The best aims on the grid, with what is proved of them, and refined nearby.

    Raises:
        CannotAim: no lamp that may be aimed burns in the states of the areas, or the solver gives no answer.
    """
    if not aimer.movable:
        raise CannotAim("none of these lamps burns steadily with an aim of its own in the states that the areas name")
    before = aimer.proposal(aimer.now())
    candidates = {name: aims_of(now, step_deg=step_deg, turn_deg=turn_deg) for name, now in aimer.now().items()}
    rows = _rows(aimer, candidates)
    kept = _undominated(rows, candidates)
    chosen, bound = _best_share(kept, rows, effort_s)
    best = aimer.proposal({name: candidates[name][place] for name, place in chosen.items()})
    on_grid = _calm(aimer, best) if best.share > before.share else before
    refined = _refined(aimer, on_grid, step_deg) if refine else on_grid
    return Aiming(
        before=before, on_grid=on_grid, refined=refined, bound=bound,
        gap=max(0.0, (bound - rows.share(chosen)) / bound) if bound > 0 else 0.0,
        aims_tried=sum(len(each) for each in candidates.values()), looked_at=len(rows.asked),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Rows:
    """Everything asked as rows: light over what is asked, by lamp and aim, and of what cannot be aimed."""

    by_lamp: Mapping[str, Numbers]
    """Lamp to an array of aim by row."""
    fixed: Numbers
    asked: Numbers

    def share(self, chosen: Mapping[str, int]) -> float:
        """The least share that chosen aims give."""
        return float((self.fixed + sum(self.by_lamp[name][place] for name, place in chosen.items())).min())


def _rows(aimer: Aimer, candidates: Mapping[str, Sequence[Aim]]) -> _Rows:
    fixed: list[float] = []
    asked: list[float] = []
    light: dict[str, list[list[float]]] = {name: [[] for _ in aims] for name, aims in candidates.items()}
    for spot in aimer.spots:
        need, some = spot.need, spot.some
        if need.least is not None:
            fixed += (spot.fixed[some] / need.least).tolist()
            asked += [need.least] * len(some)
        if need.average is not None:
            fixed.append(float(spot.fixed.mean()) / need.average)
            asked.append(need.average)
        for name, aims in candidates.items():
            for place, one in enumerate(aims):
                lux = aimer.lux(spot, aimer.movable[name], one)
                if need.least is not None:
                    light[name][place] += (lux[some] / need.least).tolist()
                if need.average is not None:
                    light[name][place].append(float(lux.mean()) / need.average)
    return _Rows(by_lamp={n: np.array(v) for n, v in light.items()}, fixed=np.array(fixed), asked=np.array(asked))


def _undominated(rows: _Rows, candidates: Mapping[str, Sequence[Aim]]) -> dict[str, list[int]]:
    """The aims of each lamp that no other aim betters in every row; of equal ones the first."""
    kept: dict[str, list[int]] = {}
    for name in candidates:
        light = rows.by_lamp[name]
        mine: list[int] = []
        for place in np.argsort(-light.sum(axis=1), kind="stable").tolist():
            if not any((light[other] >= light[place]).all() for other in mine):
                mine.append(place)
        kept[name] = sorted(mine)
    return kept


def _best_share(kept: Mapping[str, list[int]], rows: _Rows, effort_s: float) -> tuple[dict[str, int], float]:
    """The aims with the largest least share, and the bound that the solver proves."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array, vstack

    columns = [(name, place) for name, places in kept.items() for place in places]
    count, asked = len(columns), len(rows.fixed)
    light = np.array([rows.by_lamp[name][place] for name, place in columns]).T.reshape(asked, count)
    above = np.hstack([light, -np.ones((asked, 1))])  # light + fixed - s >= 0
    one = np.zeros((len(kept), count + 1))
    for row, name in enumerate(kept):
        one[row, [n for n, column in enumerate(columns) if column[0] == name]] = 1.0
    top = float((rows.fixed + sum(rows.by_lamp[name].max(axis=0) for name in kept)).min())
    found = milp(
        np.concatenate((np.zeros(count), [-1.0])),
        integrality=np.array([1] * count + [0]),
        bounds=Bounds(np.zeros(count + 1), np.concatenate((np.ones(count), [max(top, 0.0) + 1.0]))),
        constraints=LinearConstraint(
            vstack([csr_array(above), csr_array(one)]),
            np.concatenate((-rows.fixed, np.ones(len(kept)))),
            np.concatenate((np.full(asked, np.inf), np.ones(len(kept)))),
        ),
        options={"time_limit": effort_s, "mip_rel_gap": 1e-6},
    )
    if found.x is None:
        raise CannotAim(f"the solver found no aims within {effort_s:g} s: allow it more time, or name fewer lamps")
    chosen: dict[str, int] = {}
    for name in kept:
        mine = [n for n, column in enumerate(columns) if column[0] == name]
        chosen[name] = columns[max(mine, key=lambda n: float(found.x[n]))][1]
    bound = top if found.mip_dual_bound is None else min(top, -float(found.mip_dual_bound))
    return chosen, max(bound, rows.share(chosen))


def _calm(aimer: Aimer, found: Proposal) -> Proposal:
    """The same with every lamp back at its present aim whose turn gains nothing."""
    for name, now in aimer.now().items():
        if found.aims[name] != now:
            back = aimer.proposal({**found.aims, name: now})
            if back.share >= found.share * (1 - GAINS_NOTHING):
                found = back
    return found


def _refined(aimer: Aimer, from_: Proposal, step_deg: float) -> Proposal:
    """Aims nearby that give a larger least share at every point; the same ones where none does."""
    from scipy.optimize import minimize

    names = [name for name, one in from_.aims.items() if one != aimer.now()[name]] or list(from_.aims)
    start = np.array([angle for name in names for angle in from_.aims[name]])

    def unpack(x: Numbers) -> dict[str, Aim]:
        return {
            name: (float(x[2 * n]) % 360, float(np.clip(x[2 * n + 1], -90.0, 90.0))) for n, name in enumerate(names)
        }

    simplex = np.vstack([start, start + np.eye(len(start)) * step_deg / 2])

    def short(x: Numbers) -> float:
        return -aimer.proposal({**from_.aims, **unpack(x)}).share

    options = {"maxfev": REFINE_STEPS, "initial_simplex": simplex, "xatol": 0.05, "fatol": 1e-6}
    found = minimize(short, start, method="Nelder-Mead", options=options)
    rounded = {name: (round(a, 1) % 360, round(t, 1)) for name, (a, t) in unpack(found.x).items()}
    better = aimer.proposal({**from_.aims, **rounded})
    return _calm(aimer, better) if better.share > from_.share else from_


# --- fewest lamps -----------------------------------------------------------------------------------------------------


def fewest(
    aimer: Aimer, candidates: Mapping[str, Burning], *, step_deg: float = STEP_DEG, turn_deg: float = TURN_DEG,
    effort_s: float = EFFORT_S,
) -> Fewest:  # fmt: skip
    """As few of the candidate lamps, each with an aim on the grid, as meet all that is asked beside what burns already.

    Raises:
        CannotAim: all of them together do not meet it on this grid, or the solver gives no answer in time.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    burning = aimer.proposal(aimer.now())
    with_all = _with_candidates(aimer, candidates)
    aims = {
        name: aims_of((b.source.azimuth_deg, b.source.tilt_deg), step_deg=step_deg, turn_deg=turn_deg)
        for name, b in candidates.items()
    }
    rows = _rows(with_all, aims)
    kept = _undominated(rows, aims)
    columns = [(name, place) for name, places in kept.items() for place in places]
    light = np.array([rows.by_lamp[name][place] for name, place in columns]).T.reshape(len(rows.fixed), len(columns))
    one = np.array([[1.0 if name == column[0] else 0.0 for column in columns] for name in kept])
    found = milp(
        np.ones(len(columns)),
        integrality=np.ones(len(columns), int),
        bounds=Bounds(0, 1),
        constraints=[LinearConstraint(light, 1 - rows.fixed, np.inf), LinearConstraint(one, -np.inf, 1.0)],
        options={"time_limit": effort_s},
    )
    if found.x is None:
        most = float((rows.fixed + sum(rows.by_lamp[name].max(axis=0) for name in kept)).min())
        raise CannotAim(
            f"these lamps do not meet all that is asked on a grid of {step_deg:g} deg: at best, each point for itself, "
            f"{100 * most:.3g} % of it; offer more places or brighter parts"
        )
    taken = {name: aims[name][place] for (name, place), x in zip(columns, found.x, strict=True) if x > 0.5}
    dual = 0.0 if found.mip_dual_bound is None else float(found.mip_dual_bound)
    return Fewest(taken=taken, bound=int(np.ceil(dual - 1e-6)), before=burning, after=with_all.proposal(taken))


def _with_candidates(aimer: Aimer, candidates: Mapping[str, Burning]) -> Aimer:
    """An aimer whose fixed light is all that burns now, and whose movable lamps are the candidates."""
    made = object.__new__(Aimer)
    made.lighting, made.movable, made._masks = aimer.lighting, dict(candidates), {}
    now = aimer.now()
    made.spots = [
        replace(
            spot,
            fixed=spot.fixed + sum(aimer.lux(spot, aimer.movable[name], one) for name, one in now.items()),
            lamps=frozenset(b.source.id for b in candidates.values() if b.inside == spot.grid.inside),
        )
        for spot in aimer.spots
    ]
    return made
