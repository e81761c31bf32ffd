"""The working day of the batteries as a chart: charge and voltage of each bank over the stretches of the day."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rigbook.papers.canvas import HAIR, INK, QUIET, SHEET_MM, Canvas, Plate, wrapped
from rigbook.papers.svg import number
from rigbook.power.duty import DayRun, run_day
from rigbook.power.duty_case import plant_of
from rigbook.quantities.show import format_number
from rigbook.rig.model import Rig

LEFT, RIGHT, SIZE = 14.0, SHEET_MM - 14.0, 2.3
CHARGE = (12.0, 52.0)
VOLTS = (60.0, 100.0)
"""Top and bottom of the two charts."""
DASHES = (None, "2.2 1", "0.8 0.8", "3 1 0.8 1")
INKS = ("#1f5fbf", "#b3541e", "#3c7d3c", "#7a3f8f")
STEPS_H = (0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0)


@dataclass(frozen=True, slots=True)
class Curve:
    """A bank over the day: hours, share of its charge, volts."""

    bank: str
    hours: tuple[float, ...]
    shares: tuple[float, ...]
    volts: tuple[float, ...]


def curves(run: DayRun) -> tuple[Curve, ...]:
    """Every bank of a day."""
    found = []
    for index, bank in enumerate(run.plant.banks):
        found.append(
            Curve(
                bank=bank.id,
                hours=tuple(point.at_h for point in run.points),
                shares=tuple(max(0.0, point.charge_ah[index] / bank.kinetic.full_ah) for point in run.points),
                volts=tuple(point.volts[index] for point in run.points),
            )
        )
    return tuple(found)


def day_chart(rig: Rig) -> list[Plate]:
    """The chart, or a plate that says why there is none."""
    plant = plant_of(rig)
    run = None if plant is None else run_day(rig, plant)
    if run is None or not run.points:
        canvas = Canvas()
        canvas.text(
            "No working day is entered, or a bank of it is not known well enough.", 0.0, 4.0, size=SIZE, key="none"
        )
        return [canvas.plate("day", "Batteries through the working day", height=8.0)]
    return [drawn(run)]


def drawn(run: DayRun) -> Plate:
    """The chart of a day."""
    canvas = Canvas()
    whole_h = max(run.points[-1].at_h, 1e-6)

    def x(hours: float) -> float:
        return LEFT + (RIGHT - LEFT) * hours / whole_h

    made = curves(run)
    low_v = min(min(each.volts) for each in made)
    high_v = max(max(each.volts) for each in made)
    low_v, high_v = int(low_v * 2 - 0.5) / 2, int(high_v * 2 + 1.5) / 2
    _frame(canvas, run, x, whole_h)
    _axis(canvas, CHARGE, [(share / 100, f"{share}") for share in (0, 25, 50, 75, 100)], (0.0, 1.0), "charge, %")
    span = high_v - low_v
    steps = [low_v + span * part / 4 for part in range(5)]
    _axis(canvas, VOLTS, [(value, f"{value:.2f}") for value in steps], (low_v, high_v), "volts, V")
    for place, curve in enumerate(made):
        ink, dash = INKS[place % len(INKS)], DASHES[place % len(DASHES)]
        _line(canvas, curve.hours, curve.shares, x, CHARGE, (0.0, 1.0), ink, dash)
        _line(canvas, curve.hours, curve.volts, x, VOLTS, (low_v, high_v), ink, dash)
        at = LEFT + place * 44.0
        canvas.line(at, 5.0, at + 8.0, 5.0, width=0.6, stroke=ink, dash=dash)
        canvas.text(curve.bank, at + 9.5, 5.8, size=SIZE, key=f"bank:{curve.bank}")
    base = _stretches(canvas, run)
    return canvas.plate("day", "Batteries through the working day", height=base + 3.0)


def _frame(canvas: Canvas, run: DayRun, x: Callable[[float], float], whole_h: float) -> None:
    """Stretches as bands with their numbers, and the hours below."""
    for place, stretch in enumerate(run.stretches):
        left, right = x(stretch.start_h), x(stretch.start_h + stretch.hours)
        for top, bottom in (CHARGE, VOLTS):
            if place % 2 == 0:
                canvas.rect(left, top, right - left, bottom - top, fill="#f1f1f1", stroke=None)
    step = next((each for each in STEPS_H if whole_h / each <= 14), 48.0)
    hour = 0.0
    while hour <= whole_h + 1e-9:
        for top, bottom in (CHARGE, VOLTS):
            canvas.line(x(hour), top, x(hour), bottom, width=0.12, stroke=HAIR)
        canvas.text(format_number(hour), x(hour), VOLTS[1] + 3.4, size=SIZE, key=f"hour:{hour:g}", anchor="middle")
        hour += step
    canvas.text("hours", RIGHT, VOLTS[1] + 7.0, size=SIZE, key="hours", anchor="end", fill=QUIET)
    for top, bottom in (CHARGE, VOLTS):
        canvas.rect(LEFT, top, RIGHT - LEFT, bottom - top, stroke_width=0.25)


def _axis(
    canvas: Canvas, room: tuple[float, float], marks: Sequence[tuple[float, str]], span: tuple[float, float], title: str
) -> None:
    for value, text in marks:
        y = _y(value, room, span)
        canvas.line(LEFT, y, RIGHT, y, width=0.12, stroke=HAIR)
        canvas.text(text, LEFT - 1.2, y + 0.8, size=SIZE, key=f"{title}:{text}", anchor="end")
    canvas.text(title, LEFT, room[0] - 1.6, size=SIZE, key=title, fill=QUIET)


def _y(value: float, room: tuple[float, float], span: tuple[float, float]) -> float:
    return room[1] - (room[1] - room[0]) * (value - span[0]) / max(span[1] - span[0], 1e-9)


def _line(
    canvas: Canvas, hours: Sequence[float], values: Sequence[float], x: Callable[[float], float],
    room: tuple[float, float], span: tuple[float, float], ink: str, dash: str | None,
) -> None:  # fmt: skip
    from rigbook.papers.svg import element

    points: list[str] = []
    for hour, value in zip(hours, values, strict=True):
        shown = f"{number(x(hour))} {number(_y(min(max(value, span[0]), span[1]), room, span))}"
        if not points or points[-1] != shown:
            points.append(shown)
    canvas.add(
        element("path", d="M" + " L".join(points), fill="none", stroke=ink, stroke_width=0.5, stroke_dasharray=dash)
    )


def _stretches(canvas: Canvas, run: DayRun) -> float:
    """The stretches in words below, in their order."""
    y = VOLTS[1] + 11.0
    for place, stretch in enumerate(run.stretches, start=1):
        banks = ", ".join(
            f"{name} to {max(0.0, ledger.end_ah):.0f} Ah, lowest {ledger.lowest_v:.2f} V"
            for name, ledger in stretch.ledgers.items()
        )
        text = f"{place}. {stretch.name}, {format_number(round(stretch.hours, 2))} h: {banks}"
        for row, line in enumerate(wrapped(text, width=SHEET_MM - 2.0, size=SIZE)):
            canvas.text(line, 0.0 if row == 0 else 4.0, y, size=SIZE, key=f"stretch:{place}:{row}", fill=INK)
            y += SIZE * 1.35
    return y
