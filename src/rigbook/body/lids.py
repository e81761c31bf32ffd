"""Lids and boards on gas springs: forces through the swing, cold and hot, and the spring and stud that work best."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from rigbook.body.gas_springs import Swing
from rigbook.documents.schema.swinging import Lid
from rigbook.rig.model import Rig, RigNote

POINTS = 13
STEP_M = 0.01
"""How finely a stud left open is tried."""


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
    of temperature and tolerance. `stroke_m` is what the swing asks of the spring."""

    id: str
    spring: str
    springs: int
    stud_m: float
    mass_kg: float
    open_cold_n_m: float
    closed_hot_n_m: float
    hand_to_open_n: float
    hand_to_close_n: float
    balance_deg: float | None
    stroke_m: float
    reaches: bool
    goes_over_centre: bool
    points: tuple[SwingPoint, ...]


def swing_of(rig: Rig, lid: Lid, part: Any, stud_m: float) -> Swing:
    """A lid with a spring and a stud."""
    board = next(row for row in rig.build.install if row.id == lid.board)
    mass = rig.parts[board.part].mass if lid.mass is None else lid.mass
    return Swing(
        mass_kg=mass, centre_m=lid.length / 2 if lid.centre is None else lid.centre, body_x_m=lid.springs.body[0],
        body_y_m=lid.springs.body[1], stud_m=stud_m, stud_deg=lid.springs.angle, count=lid.springs.count,
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


def _candidates(rig: Rig, lid: Lid) -> Iterator[tuple[str, float]]:
    springs = lid.springs
    parts = [n for n, p in rig.parts.items() if p.kind == "gas-spring"] if springs.part == "auto" else [springs.part]
    steps = int(lid.length / STEP_M + 1e-9)
    studs = [k * STEP_M for k in range(1, steps + 1)] if springs.radius == "auto" else [float(springs.radius)]
    for part in parts:
        for stud in studs:
            yield part, stud


def choose(rig: Rig, lid: Lid) -> tuple[str, float]:
    """Spring and stud: what is set; else of those that reach the one whose worse end is surest; the first on a tie."""
    best: tuple[tuple[bool, float], str, float] | None = None
    for name, stud in _candidates(rig, lid):
        part = rig.parts[name]
        swing = swing_of(rig, lid, part, stud)
        if swing.length_m(lid.open) == 0 or swing.length_m(lid.closed) == 0:
            continue
        wide, shut = extremes_n_m(lid, swing)
        fits = reaches(swing, part, lid) and not over_centre(swing, lid)
        score = (fits, min(wide, -shut))
        if best is None or score > best[0]:
            best = (score, name, stud)
    assert best is not None
    return best[1], best[2]


def lid_result(rig: Rig, lid: Lid) -> LidResult:
    """Everything of one lid."""
    name, stud = choose(rig, lid)
    part = rig.parts[name]
    swing = swing_of(rig, lid, part, stud)
    wide, shut = extremes_n_m(lid, swing)
    points = tuple(swing_point(lid, swing, index) for index in range(POINTS))
    lengths = [point.spring_length_m for point in points]
    return LidResult(
        id=lid.id, spring=name, springs=lid.springs.count, stud_m=stud, mass_kg=swing.mass_kg, open_cold_n_m=wide,
        closed_hot_n_m=shut, hand_to_open_n=max(0.0, *(-point.net_n_m for point in points)) / lid.length,
        hand_to_close_n=max(0.0, *(point.net_n_m for point in points)) / lid.length, balance_deg=swing.balance_deg(),
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
