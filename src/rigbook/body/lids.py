"""Lids and boards on gas springs: forces through the swing, cold and hot, and the spring and stud that work best."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from rigbook.body.gas_springs import Swing
from rigbook.documents.schema.swinging import Lid
from rigbook.rig.model import Rig, RigNote

POINTS = 13
STEP_M = 0.01
"""How finely a stud left open is tried."""
Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class SwingPoint:
    """One angle of the swing. Net moments open the lid where positive; the hand pulls down or lifts at the edge."""

    id: str
    angle_deg: float
    spring_length_m: float
    arm_m: float
    spring_n: float
    net_n_m: float
    cold_n_m: float
    hot_n_m: float
    hand_n: float


@dataclass(frozen=True, slots=True)
class LidResult:
    """One lid. `open_cold_n_m` holds it open (positive), `closed_hot_n_m` keeps it shut (negative), at their worst
    of temperature and tolerance; so do the forces of the hand that are named cold and hot. `stroke_m` is what the swing
    asks of the spring; `stud_m`, `body_out_m` and `body_up_m` are the studs on lid and body, from the hinge."""

    id: str
    spring: str
    springs: int
    stud_m: float
    body_out_m: float
    body_up_m: float
    mass_kg: float
    open_cold_n_m: float
    closed_hot_n_m: float
    hand_to_open_n: float
    hand_to_close_n: float
    hand_to_open_cold_n: float
    hand_to_close_hot_n: float
    balance_deg: float | None
    stroke_m: float
    reaches: bool
    goes_over_centre: bool
    points: tuple[SwingPoint, ...]


def swing_of(rig: Rig, lid: Lid, part: Any, stud_m: float, body: Pair | None = None) -> Swing:
    """A lid with a spring and its studs; the one on the body as set where it is left out."""
    fixed = body or lid.springs.body
    assert isinstance(fixed, tuple)
    board = next(row for row in rig.build.install if row.id == lid.board)
    mass = rig.parts[board.part].mass if lid.mass is None else lid.mass
    return Swing(
        mass_kg=mass, centre_m=lid.length / 2 if lid.centre is None else lid.centre, body_x_m=fixed[0],
        body_y_m=fixed[1], stud_m=stud_m, stud_deg=lid.springs.angle, count=lid.springs.count,
        force_n=part.force, ratio=part.ratio, closed_deg=lid.closed, open_deg=lid.open,
    )  # fmt: skip


def extremes_n_m(lid: Lid, swing: Swing) -> tuple[float, float]:
    """Open at the coldest with a weak spring, closed at the hottest with a strong one."""
    weak = replace(swing, force_n=swing.force_n * (1 - lid.springs.tolerance))
    strong = replace(swing, force_n=swing.force_n * (1 + lid.springs.tolerance))
    return weak.net_n_m(lid.open, lid.coldest), strong.net_n_m(lid.closed, lid.hottest)


def angles(lid: Lid) -> tuple[float, ...]:
    """Angles of the curve, closed first."""
    return tuple(lid.closed + (lid.open - lid.closed) * k / (POINTS - 1) for k in range(POINTS))


def reaches(swing: Swing, part: Any, lid: Lid) -> bool:
    """Whether the spring is long enough open and short enough closed, and never longer or shorter between."""
    extended = max(part.size)
    lengths = [swing.length_m(angle) for angle in angles(lid)]
    return bool(max(lengths) <= extended + 1e-9 and min(lengths) >= extended - part.stroke - 1e-9)


def over_centre(swing: Swing, lid: Lid) -> bool:
    """Whether the arm of the spring changes side within the swing."""
    signs = {swing.signed_arm_m(angle) > 0 for angle in angles(lid)}
    return len(signs) > 1


def springs_of(rig: Rig, lid: Lid) -> list[str]:
    """Gas springs that may carry it: the one that is set, or every one of the catalogue."""
    springs = lid.springs
    return [n for n, p in rig.parts.items() if p.kind == "gas-spring"] if springs.part == "auto" else [springs.part]


def studs_of(lid: Lid) -> list[float]:
    """Places of the stud on the lid that are tried."""
    steps = int(lid.length / STEP_M + 1e-9)
    radius = lid.springs.radius
    return [k * STEP_M for k in range(1, steps + 1)] if radius == "auto" else [float(radius)]


def bodies_of(lid: Lid) -> list[Pair]:
    """Places of the stud on the body that are tried: outward first, then up."""
    room = lid.springs.room
    if room is None or isinstance(lid.springs.body, tuple):
        assert isinstance(lid.springs.body, tuple)
        return [lid.springs.body]
    return [(x, y) for x in _steps(*room.out) for y in _steps(*room.up)]


def _steps(low: float, high: float) -> list[float]:
    return [low + k * STEP_M for k in range(int((high - low) / STEP_M + 1e-9) + 1)]


def choose(rig: Rig, lid: Lid) -> tuple[str, float, Pair]:
    """Spring and studs: what is set; else of those that reach the one whose worse end is surest; the first on a tie."""
    best: tuple[tuple[bool, float], str, float, Pair] | None = None
    studs, bodies = studs_of(lid), bodies_of(lid)
    for name in springs_of(rig, lid):
        part = rig.parts[name]
        tried = [(stud, body) for body in bodies for stud in studs]
        for stud, body in tried if len(tried) <= FEW else [_best_of(rig, lid, part, studs, bodies)]:
            swing = swing_of(rig, lid, part, stud, body)
            if any(swing.length_m(angle) == 0 for angle in angles(lid)):
                continue
            wide, shut = extremes_n_m(lid, swing)
            fits = reaches(swing, part, lid) and not over_centre(swing, lid)
            score = (fits, min(wide, -shut))
            if best is None or score > best[0]:
                best = (score, name, stud, body)
    assert best is not None
    return best[1], best[2], best[3]


FEW = 200
"""Up to so many pairs of studs are tried one by one; beyond that all of them at once."""


def _best_of(rig: Rig, lid: Lid, part: Any, studs: list[float], bodies: list[Pair]) -> tuple[float, Pair]:
    """The best pair of studs for one spring, by the same formulas over all pairs at once."""
    import numpy as np

    swing = swing_of(rig, lid, part, studs[0], bodies[0])
    turned = np.radians(np.array(angles(lid)) + swing.stud_deg)
    x, y = (np.array(studs)[:, None] * trig for trig in (np.cos(turned), np.sin(turned)))
    bx, by = (np.array(axis)[:, None, None] for axis in zip(*bodies, strict=True))
    length = np.hypot(x - bx, y - by)
    with np.errstate(divide="ignore", invalid="ignore"):
        arm = (y * bx - x * by) / length
    extended = max(part.size)
    fits = (length.max(-1) <= extended + 1e-9) & (length.min(-1) >= extended - part.stroke - 1e-9)
    fits &= (arm > 0).all(-1) | (arm <= 0).all(-1)
    fits &= length.min(-1) > 0
    weak, strong = 1 - lid.springs.tolerance, 1 + lid.springs.tolerance
    cold, hot = ((273.15 + t) / 293.15 for t in (lid.coldest, lid.hottest))
    wide = swing.count * swing.force_n * weak * cold * arm[..., -1] - swing.weight_n_m(lid.open)
    shut = swing.count * swing.force_n * strong * hot * swing.ratio * arm[..., 0] - swing.weight_n_m(lid.closed)
    worse = np.nan_to_num(np.minimum(wide, -shut), nan=-1e12, posinf=-1e12, neginf=-1e12)
    score = np.where(fits, worse, worse - 1e9)
    body, stud = np.unravel_index(int(score.argmax()), score.shape)
    return studs[int(stud)], bodies[int(body)]


def lid_result(rig: Rig, lid: Lid) -> LidResult:
    """Everything of one lid."""
    name, stud, body = choose(rig, lid)
    part = rig.parts[name]
    swing = swing_of(rig, lid, part, stud, body)
    weak = replace(swing, force_n=swing.force_n * (1 - lid.springs.tolerance))
    strong = replace(swing, force_n=swing.force_n * (1 + lid.springs.tolerance))
    lifts = max(0.0, *(-weak.net_n_m(angle, lid.coldest) for angle in angles(lid)))
    pulls = max(0.0, *(strong.net_n_m(angle, lid.hottest) for angle in angles(lid)))
    wide, shut = extremes_n_m(lid, swing)
    points = tuple(swing_point(lid, swing, index) for index in range(POINTS))
    lengths = [point.spring_length_m for point in points]
    return LidResult(
        id=lid.id, spring=name, springs=lid.springs.count, stud_m=stud, body_out_m=body[0],
        body_up_m=body[1], mass_kg=swing.mass_kg, open_cold_n_m=wide,
        closed_hot_n_m=shut, hand_to_open_n=max(0.0, *(-point.net_n_m for point in points)) / lid.length,
        hand_to_close_n=max(0.0, *(point.net_n_m for point in points)) / lid.length,
        hand_to_open_cold_n=lifts / lid.length, hand_to_close_hot_n=pulls / lid.length, balance_deg=swing.balance_deg(),
        stroke_m=max(lengths) - min(lengths), reaches=reaches(swing, part, lid),
        goes_over_centre=over_centre(swing, lid), points=points,
    )  # fmt: skip


def swing_point(lid: Lid, swing: Swing, index: int) -> SwingPoint:
    """One angle of the curve."""
    angle = angles(lid)[index]
    net = swing.net_n_m(angle)
    return SwingPoint(
        str(index), angle, swing.length_m(angle), swing.signed_arm_m(angle), swing.force_of_one_n(angle), net,
        swing.net_n_m(angle, lid.coldest), swing.net_n_m(angle, lid.hottest), net / lid.length,
    )  # fmt: skip


def work_out(rig: Rig) -> tuple[LidResult, ...]:
    """Every lid of the build."""
    return tuple(lid_result(rig, lid) for lid in rig.build.lids)


def notes(rig: Rig, results: tuple[LidResult, ...]) -> tuple[RigNote, ...]:
    """Springs that cannot reach and springs that go over centre."""
    made = []
    for lid, found in zip(rig.build.lids, results, strict=True):
        where = lid.springs.where
        if not found.reaches:
            part = rig.parts[found.spring]
            lengths = [point.spring_length_m for point in found.points]
            says = (
                f"the springs of {lid.id} run from {1e3 * min(lengths):.0f} to {1e3 * max(lengths):.0f} mm, and "
                f"{found.spring} from {1e3 * (max(part.size) - part.stroke):.0f} to {1e3 * max(part.size):.0f} mm: "
                "move a stud or take another spring"
            )
            made.append(RigNote("spring-reach", lid.id, "fail", says, where.file, where.line))
        if found.goes_over_centre:
            says = f"the springs of {lid.id} change side within the swing and then push it the other way: move a stud"
            made.append(RigNote("spring-over-centre", lid.id, "caution", says, where.file, where.line))
    return tuple(made)
