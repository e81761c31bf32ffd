"""The lamp map: five views to scale, every lamp with its id (or a number and a key), its colours by letter, its aim.

Pure functions of the rig: equal rigs give equal bytes. The same views serve paper and screen; on the screen a style
sheet takes over the inks by class. Each lamp is a group of class `lamp` with `data-device` and `data-pose`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from rigbook.papers import colours as colour_words
from rigbook.papers import svg
from rigbook.papers.labels import Label, Wanted, label_width, place
from rigbook.papers.lamp_symbols import halo, label_markup, lamp_symbol, shape_markup
from rigbook.papers.lamps import Mark, aim_on_page, group_of, lamps_of, project, shows_in
from rigbook.papers.silhouette_ends import shapes_of
from rigbook.papers.silhouettes import VIEW_NAMES, Frame, ViewName, frame
from rigbook.papers.svg import Box, element
from rigbook.rig.model import Rig

TITLES: dict[ViewName, str] = {
    "plan": "Plan",
    "left": "Left side",
    "right": "Right side",
    "front": "Front",
    "rear": "Rear",
}
SHEET_WIDTH_MM = 180.0
MARGIN_MM = 8.5
TITLE_MM = 3.2
LABEL_MM = 2.1
LAMP_MM = 1.15
ATTEMPTS = ((False, 1.0), (True, 1.0), (True, 1.15), (True, 1.3), (True, 1.6), (True, 2.2), (True, 4.0))
"""Ids or numbers, and how much the drawing grows: the first that places every label is taken."""


@dataclass(frozen=True, slots=True)
class View:
    """One drawn view in millimetres: its markup, its lamps, its labels, and labels that found no room."""

    name: ViewName
    title: str
    width: float
    height: float
    markup: str
    marks: tuple[Mark, ...]
    labels: tuple[Label, ...]
    unplaced: tuple[str, ...]
    title_box: Box


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One row of the key: number, id, colour letters."""

    number: int
    group: str
    letters: str


@dataclass(frozen=True, slots=True)
class LampMap:
    """The five views, the key of numbers (used where ids have no room), and whether the drawing speaks in numbers."""

    views: tuple[View, ...]
    key: tuple[KeyRow, ...]
    numbered: bool
    mm_per_m: float
    unplaced: tuple[str, ...]

    def view(self, name: ViewName) -> View:
        """The view of that name."""
        return next(v for v in self.views if v.name == name)


# --- marks -----------------------------------------------------------------------------------------------------------


def _extent(f: Frame, view: ViewName, points: Sequence[tuple[float, float]]) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of a view in metres, lamps outside the body included."""
    half = f.width / 2 + 0.23
    u0, v0, u1, v1 = {
        "plan": (0.0, -half, f.length, half),
        "left": (0.0, 0.0, f.length, f.height),
        "right": (0.0, 0.0, f.length, f.height),
        "front": (-half, 0.0, half, f.height),
        "rear": (-half, 0.0, half, f.height),
    }[view]
    us, vs = [u for u, _ in points], [v for _, v in points]
    return min([u0, *us]), min([v0, *vs]), max([u1, *us]), max([v1, *vs])


def _raw_marks(rig: Rig, f: Frame, view: ViewName) -> list[tuple[Mark, float, float]]:
    found = []
    for device in lamps_of(rig):
        for index, pose in enumerate(device.placement.poses):
            if not shows_in(pose, view):
                continue
            u, v = project(pose.at, f, view)
            mark = Mark(
                device.id,
                group_of(device),
                index,
                0.0,
                0.0,
                aim_on_page(pose, view),
                device.colours,
                device.part_kind == "factory-lamp",
                pose.all_round,
                # the plan leaves the name of an open door's place to the view that faces it
                index == 0 or view != "plan" or not (pose.zones or pose.all_round),
            )
            found.append((mark, u, v))
    return found


# --- one view --------------------------------------------------------------------------------------------------------


def _wanted(
    marks: Sequence[Mark], texts: dict[str, tuple[str, str]], centre: tuple[float, float], lamp_mm: float
) -> list[Wanted]:
    """One label a group and pose: at the middle lamp of a row."""
    groups: dict[tuple[str, int], list[Mark]] = {}
    for mark in marks:
        if mark.labelled and mark.row in texts:
            groups.setdefault((mark.row, mark.pose), []).append(mark)
    wanted = []
    for (group, pose), members in groups.items():
        middle = members[(len(members) - 1) // 2]
        text, strong = texts[group]
        outward = (middle.x - centre[0], middle.y - centre[1])
        radius = lamp_mm + (0.6 if middle.all_round else 0.0)
        key = f"{group}/{pose}" if pose else group
        wanted.append(Wanted(key, text + (" (open)" if pose else ""), strong, middle.x, middle.y, radius, outward))
    return wanted


def _arrow_box(mark: Mark, lamp_mm: float) -> list[Box]:
    if mark.aim is None:
        return []
    reach = math.hypot(*mark.aim)
    tip = lamp_mm + 0.8 + 2.2 * reach
    x, y = mark.x + mark.aim[0] / reach * tip, mark.y + mark.aim[1] / reach * tip
    return [Box(min(x, mark.x) - 0.3, min(y, mark.y) - 0.3, max(x, mark.x) + 0.3, max(y, mark.y) + 0.3)]


def _view(
    rig: Rig,
    f: Frame,
    name: ViewName,
    *,
    scale: float,
    lamp_mm: float,
    texts: dict[str, tuple[str, str]],
    letters: dict[str, str],
    last: bool = False,
) -> View:
    raw = _raw_marks(rig, f, name)
    u0, v0, u1, v1 = _extent(f, name, [(u, v) for _, u, v in raw])
    width = (u1 - u0) * scale + 2 * MARGIN_MM
    height = (v1 - v0) * scale + 2 * MARGIN_MM
    marks = []
    for mark, u, v in raw:
        aim = (mark.aim[0], -mark.aim[1]) if mark.aim else None
        marks.append(replace(mark, x=MARGIN_MM + (u - u0) * scale, y=MARGIN_MM + (v1 - v) * scale, aim=aim))
    title = TITLES[name]
    title_box = Box(0.8, 0.6, 0.8 + svg.text_width(title, size=TITLE_MM) * 1.1, 0.6 + TITLE_MM)
    obstacles = [title_box.grown(0.4)]
    for mark in marks:
        obstacles.append(Box(mark.x, mark.y, mark.x, mark.y).grown(lamp_mm + 0.2))
        obstacles += _arrow_box(mark, lamp_mm)
    sheet = Box(0.4, 0.4, width - 0.4, height - 0.4)
    centre = (MARGIN_MM + ((u1 - u0) / 2) * scale, MARGIN_MM + ((v1 - v0) / 2) * scale)
    labels, failed = place(
        _wanted(marks, texts, centre, lamp_mm), size=LABEL_MM, sheet=sheet, obstacles=obstacles, all_or_none=not last
    )
    drawn = [shape_markup(s, u0=u0, v1=v1, scale=scale, dx=MARGIN_MM, dy=MARGIN_MM) for s in shapes_of(f, name)]
    if name != "plan":
        ground = MARGIN_MM + v1 * scale
        drawn.insert(
            0,
            element(
                "line",
                x1=2.0,
                y1=ground,
                x2=width - 2.0,
                y2=ground,
                class_="ground",
                stroke="#8a8a8a",
                stroke_width=0.25,
            ),
        )
    markup = element(
        "g",
        element("g", *drawn, class_="vehicle"),
        svg.text(
            title,
            x=title_box.left,
            y=title_box.bottom - DESCENT_OF_TITLE,
            size=TITLE_MM,
            class_="view-title",
            fill="#1a1a1a",
            font_weight="bold",
        ),
        element("g", *(halo(m, lamp_mm) for m in marks), class_="halos"),
        element("g", *(lamp_symbol(m, letters, lamp_mm) for m in marks), class_="lamps"),
        element("g", *(label_markup(b) for b in labels), class_="labels"),
        class_=f"view view-{name}",
    )
    return View(
        name, title, width, height, markup, tuple(marks), tuple(labels), tuple(w.key for w in failed), title_box
    )


DESCENT_OF_TITLE = 0.24 * TITLE_MM


# --- the map ---------------------------------------------------------------------------------------------------------


def _key(rig: Rig, letters: dict[str, str]) -> tuple[KeyRow, ...]:
    groups: dict[str, list[str]] = {}
    for device in lamps_of(rig):
        groups.setdefault(group_of(device), []).extend(device.colours)
    return tuple(
        KeyRow(i, group, " ".join(letters[c] for c in dict.fromkeys(names)))
        for i, (group, names) in enumerate(groups.items(), 1)
    )


def _range(rig: Rig, group: str) -> str:
    numbers = [d.index for d in lamps_of(rig) if group_of(d) == group and d.index is not None]
    return f"{group} {min(numbers)}–{max(numbers)}" if len(numbers) > 1 else group


def colour_letters(rig: Rig) -> dict[str, str]:
    """The letter of every colour that some lamp of the rig has."""
    return colour_words.letters(c for d in lamps_of(rig) for c in d.colours)


def lamp_map(rig: Rig, *, sheet_width_mm: float = SHEET_WIDTH_MM, lamp_mm: float = LAMP_MM) -> LampMap:
    """The five views at the scale that fills a sheet: with ids where they have room, else with numbers and a key.

    Where even numbers have no room the drawing grows until they have, up to four times; what then has no place is named
    in `unplaced`. `lamp_mm` is the radius of a lamp's symbol.
    """
    f = frame(rig.vehicle)
    base = (sheet_width_mm - 4 * MARGIN_MM - 4.0) / (f.length + f.width + 0.46 + 0.4)
    return _map(rig, f, VIEW_NAMES, base=base, lamp_mm=lamp_mm)


def bare_map(rig: Rig, *, sheet_width_mm: float = SHEET_WIDTH_MM, lamp_mm: float = LAMP_MM) -> LampMap:
    """The five views without labels, at the scale that fills a sheet: quick, for a screen that names what is pointed at."""
    f = frame(rig.vehicle)
    base = (sheet_width_mm - 4 * MARGIN_MM - 4.0) / (f.length + f.width + 0.46 + 0.4)
    letters = colour_letters(rig)
    views = tuple(_view(rig, f, name, scale=base, lamp_mm=lamp_mm, texts={}, letters=letters) for name in VIEW_NAMES)
    return LampMap(views, _key(rig, letters), False, base, ())


def single_view(
    rig: Rig, name: ViewName, *, sheet_width_mm: float = SHEET_WIDTH_MM, sheet_height_mm: float = 200.0
) -> LampMap:
    """One view at the scale that fills a sheet, with the key of the lamps it shows."""
    f = frame(rig.vehicle)
    raw = _raw_marks(rig, f, name)
    u0, v0, u1, v1 = _extent(f, name, [(u, v) for _, u, v in raw])
    base = min((sheet_width_mm - 2 * MARGIN_MM) / (u1 - u0), (sheet_height_mm - 2 * MARGIN_MM) / (v1 - v0))
    drawn = _map(rig, f, (name,), base=base, lamp_mm=LAMP_MM)
    shown = {mark.row for mark in drawn.view(name).marks}
    return replace(drawn, key=tuple(row for row in drawn.key if row.group in shown))


def _map(rig: Rig, f: Frame, names: Sequence[ViewName], *, base: float, lamp_mm: float) -> LampMap:
    letters = colour_letters(rig)
    key = _key(rig, letters)
    for numbered, grow in ATTEMPTS:
        texts = {r.group: (str(r.number) if numbered else _range(rig, r.group), r.letters) for r in key}
        last = (numbered, grow) == ATTEMPTS[-1]
        if not last and any(_too_full(rig, f, name, texts, scale=base * grow, lamp_mm=lamp_mm) for name in names):
            continue
        views = []
        for name in names:
            views.append(
                _view(rig, f, name, scale=base * grow, lamp_mm=lamp_mm, texts=texts, letters=letters, last=last)
            )
            if views[-1].unplaced and not last:
                break  # this attempt has failed: the other views need not be drawn
        else:
            unplaced = tuple(dict.fromkeys(k for v in views for k in v.unplaced))
            return LampMap(tuple(views), key, numbered, base * grow, unplaced)
    raise AssertionError("the last attempt always draws")


FULL = 0.36
"""Share of a view that labels and lamps may cover for placing to be worth trying."""


def _too_full(
    rig: Rig, f: Frame, name: ViewName, texts: dict[str, tuple[str, str]], *, scale: float, lamp_mm: float
) -> bool:
    """True where labels and lamps would cover more of a view than any placing could find room for."""
    raw = _raw_marks(rig, f, name)
    u0, v0, u1, v1 = _extent(f, name, [(u, v) for _, u, v in raw])
    area = ((u1 - u0) * scale + 2 * MARGIN_MM) * ((v1 - v0) * scale + 2 * MARGIN_MM)
    labels = {
        (mark.row, mark.pose): label_width(*texts[mark.row], size=LABEL_MM) for mark, _, _ in raw if mark.labelled
    }
    covered = sum(width * LABEL_MM for width in labels.values()) + len(raw) * (2 * lamp_mm) ** 2
    return covered > FULL * area
