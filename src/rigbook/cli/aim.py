"""`rigbook aim BUILD`: where to aim lamps so that areas get the light they ask for, or how few lamps would do."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rigbook.cli import status
from rigbook.cli.trouble import CommandTrouble

if TYPE_CHECKING:
    from rigbook.light.aiming import Aiming, Fewest, Proposal


@click.command("aim")
@click.argument("build", type=click.Path(path_type=Path))
@click.option("--area", "areas", multiple=True, help="Only this area of `scene:`; may be given again.")
@click.option(
    "--lamp", "lamps", multiple=True, help="A lamp that may be aimed; those tagged `scene` where none is given."
)
@click.option("--part", help="Instead: as few lamps of this part as meet what is asked, in the places given.")
@click.option("--place", "places", multiple=True, help="A place such a lamp may take; may be given again.")
@click.option(
    "--step", "step_deg", type=click.FloatRange(1, 30), default=5.0, show_default=True, help="Grid of aims, deg."
)
@click.option(
    "--turn",
    "turn_deg",
    type=click.FloatRange(0, 180),
    default=45.0,
    show_default=True,
    help="How far a lamp may turn to either side, deg.",
)
@click.option(
    "--effort",
    "effort_s",
    type=click.FloatRange(0.1, 3600),
    default=20.0,
    show_default=True,
    help="Time for the solver, s.",
)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def command(
    build: Path, areas: tuple[str, ...], lamps: tuple[str, ...], part: str | None, places: tuple[str, ...], step_deg: float,
    turn_deg: float, effort_s: float, as_json: bool,
) -> None:  # fmt: skip
    """Propose aims for lamps, before and after; nothing is written.

    The best aims on a grid are found with the gap that the solver proves, then refined nearby. What areas ask for is
    their own `least` and `average`, and the levels of the rule packs in use for their task.
    """
    from rigbook.cli.common import assess_or_stop

    if bool(part) != bool(places):
        raise CommandTrouble("fewest lamps take both --part PART and --place PLACE, each place once more")
    if part and lamps:
        raise CommandTrouble("--lamp aims what is fitted, --part fits more: give one of the two")
    assessment = assess_or_stop(build, as_json=as_json)
    from rigbook.assess.aiming import better_aims, fewest_lamps
    from rigbook.light.aiming import CannotAim

    limits = {"step_deg": step_deg, "turn_deg": turn_deg, "effort_s": effort_s}
    try:
        if part:
            few = fewest_lamps(assessment, part_id=part, places=places, areas=areas, **limits)
            _tell(few_json(few), few_lines(few), as_json)
        else:
            found = better_aims(assessment, areas=areas, lamps=lamps, **limits)
            _tell(aims_json(found), aims_lines(found), as_json)
    except CannotAim as wrong:
        raise CommandTrouble(str(wrong)) from wrong
    except ModuleNotFoundError as missing:
        raise CommandTrouble(f"aiming needs {missing.name}, which is not installed", status.MISSING_PART) from missing


def _tell(data: Mapping[str, Any], lines: Iterator[str], as_json: bool) -> None:
    if as_json:
        click.echo(json.dumps(data, ensure_ascii=False, allow_nan=False, indent=1))
    else:
        for line in lines:
            click.echo(line)


def aims_lines(found: Aiming) -> Iterator[str]:
    """The proposal as a person reads it."""
    for name, before in found.before.aims.items():
        after = found.refined.aims[name]
        change = "stays" if after == before else f"-> facing: {after[0]:g} deg, tilt: {after[1]:g} deg"
        yield f"{name}: facing {before[0]:g} deg, tilt {before[1]:g} deg {change}"
    yield from _area_lines(found.before, found.refined)
    yield (
        f"least share of what is asked: {_percent(found.before.share)} as it is, {_percent(found.on_grid.share)} on the grid, "
        f"{_percent(found.refined.share)} refined"
    )
    proven = "and no aims on the grid give more" if found.gap < 1e-6 else f"proven within {100 * found.gap:.2g} %"
    yield f"{found.aims_tried} aims, {found.looked_at} points and averages looked at; at most {_percent(found.bound)}, {proven}"
    if found.bound <= 0:
        yield "some point is hidden from every one of these lamps by the vehicle: move a lamp, or add one"
    yield "Worked out of the beams as entered. Check on the vehicle, by night; keep dazzling light off the road."


def few_lines(found: Fewest) -> Iterator[str]:
    """The fewest lamps as a person reads them."""
    for place, (facing, tilt) in found.taken.items():
        yield f"{place}: facing: {facing:g} deg, tilt: {tilt:g} deg"
    yield from _area_lines(found.before, found.after)
    count = len(found.taken)
    proven = "fewer are not enough on this grid" if count <= found.bound else f"at least {found.bound} are needed"
    yield f"{count} {'lamp' if count == 1 else 'lamps'}; {proven}"
    yield "Worked out of the beams as entered. Check on the vehicle, by night; keep dazzling light off the road."


def _area_lines(before: Proposal, after: Proposal) -> Iterator[str]:
    for was, now in zip(before.areas, after.areas, strict=True):
        yield (
            f"{was.area}: least {was.least_lx:.3g} -> {now.least_lx:.3g} lx, average {was.average_lx:.3g} -> {now.average_lx:.3g} lx"
        )


def _percent(share: float) -> str:
    return f"{100 * share:.3g} %"


def _proposal_json(found: Proposal) -> dict[str, Any]:
    return {
        "share": found.share,
        "aims": [{"id": name, "facing_deg": a, "tilt_deg": t} for name, (a, t) in found.aims.items()],
        "areas": [{"id": a.area, "minimum_lx": a.least_lx, "average_lx": a.average_lx} for a in found.areas],
    }


def aims_json(found: Aiming) -> dict[str, Any]:
    """The proposal as plain data."""
    return {
        "rigbook": 1, "before": _proposal_json(found.before), "on_grid": _proposal_json(found.on_grid),
        "refined": _proposal_json(found.refined), "bound": found.bound, "gap": found.gap, "aims": found.aims_tried,
        "points": found.looked_at,
    }  # fmt: skip


def few_json(found: Fewest) -> dict[str, Any]:
    """The fewest lamps as plain data."""
    return {
        "rigbook": 1, "lamps": len(found.taken), "bound": found.bound, "before": _proposal_json(found.before),
        "after": _proposal_json(found.after),
    }  # fmt: skip
