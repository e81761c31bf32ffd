"""EULUMDAT photometric files (.ldt), read and written [field list of Stockmar 1990/1998].

Intensity = value x flux of all lamp sets / 1000 x conversion factor, cd. The stored planes follow the symmetry:
0 all, 1 one, 2 C0 to C180, 3 C90 to C270, 4 C0 to C90.
"""

from __future__ import annotations

import math

import numpy as np

from rigbook.light.photometry import Angles, Distribution, PhotometryError, unfold_c

MOST_PLANES, MOST_GAMMAS, MOST_SETS = 721, 361, 20


class _Lines:
    """Fields in order, one a line."""

    def __init__(self, data: bytes) -> None:
        self.lines = data.decode("latin-1").splitlines()
        while self.lines and not self.lines[-1].strip(" \t\x1a\x00"):
            self.lines.pop()
        self.at = 0

    def text(self, what: str) -> str:
        if self.at >= len(self.lines):
            raise PhotometryError(max(1, len(self.lines)), f"the file ends before {what}", "the end", what)
        self.at += 1
        return self.lines[self.at - 1].strip()

    def number(self, what: str) -> float:
        text = self.text(what)
        try:
            value = float(text.replace(",", "."))
        except ValueError:
            raise PhotometryError(self.at, f"{text!r} is not a number: {what}", text, what) from None
        if not math.isfinite(value):
            raise PhotometryError(self.at, f"{text!r} is not a finite number: {what}", text, what)
        return value

    def whole(self, what: str, least: int, most: int) -> int:
        value = self.number(what)
        if value != int(value) or not least <= value <= most:
            says = f"{what} is a whole number from {least} to {most}"
            raise PhotometryError(self.at, says, f"{value:g}", f"{least} to {most}")
        return int(value)

    def angles(self, count: int, what: str, most_deg: float) -> Angles:
        found: list[float] = []
        for place in range(1, count + 1):
            value = self.number(f"{what} {place} of {count}")
            if not 0 <= value <= most_deg or (found and value <= found[-1]):
                says = f"{what}s rise from 0 to at most {most_deg:g} deg"
                raise PhotometryError(self.at, says, f"{value:g}", f"above {found[-1]:g}" if found else "0")
            found.append(value)
        return np.array(found)


def stored_planes(*, symmetry: int, planes: int) -> int:
    """How many C planes a file with `planes` C angles holds."""
    return {0: planes, 1: 1, 2: planes // 2 + 1, 3: planes // 2 + 1, 4: planes // 4 + 1}[symmetry]


def read_eulumdat(data: bytes) -> Distribution:
    """Read a file.

    Raises:
        PhotometryError: what is wrong, and in which line.
    """
    fields = _Lines(data)
    fields.text("the maker")
    fields.whole("the type of light source", 0, 3)
    symmetry = fields.whole("the symmetry", 0, 4)
    planes = fields.whole("the number of C planes", 1, MOST_PLANES)
    fields.number("the step of C planes")
    gammas = fields.whole("the number of gamma angles", 2, MOST_GAMMAS)
    fields.number("the step of gamma angles")
    fields.text("the report number")
    title = fields.text("the name")
    for what in ("the number of the luminaire", "the file name", "the date"):
        fields.text(what)
    for place in range(1, 10):
        fields.number(f"dimension {place} of 9")
    fields.number("the downward flux fraction")
    fields.number("the light output ratio")
    factor = fields.number("the conversion factor")
    if factor <= 0:
        raise PhotometryError(fields.at, "the conversion factor is above 0", f"{factor:g}", "1")
    fields.number("the tilt")
    flux_lm = _sets(fields)
    for place in range(1, 11):
        fields.number(f"direct ratio {place} of 10")
    around = fields.angles(planes, "C angle", 360.0)
    angles_line = fields.at
    gamma = fields.angles(gammas, "gamma angle", 180.0)
    with np.errstate(over="ignore"):  # refused below, with its line
        candela = _values(fields, stored_planes(symmetry=symmetry, planes=planes), gammas) * (flux_lm / 1000 * factor)
    if not np.isfinite(candela).all():
        raise PhotometryError(fields.at, "intensities are beyond any number", "infinite", "finite values")
    if fields.at < len(fields.lines):
        more = len(fields.lines) - fields.at
        raise PhotometryError(
            fields.at + 1, f"{more} lines more than the counts say", fields.lines[fields.at], "the end"
        )
    around = _stored_angles(around, symmetry, angles_line)
    horizontal, candela = unfold_c(around, candela, line=angles_line)
    return Distribution(
        kind="C", horizontal_deg=horizontal, vertical_deg=gamma, candela=candela, lamp_lumens=flux_lm, title=title
    )


def _sets(fields: _Lines) -> float:
    count = fields.whole("the number of lamp sets", 1, MOST_SETS)
    flux_lm = 0.0
    for place in range(1, count + 1):
        fields.number(f"lamps of set {place}")
        fields.text(f"lamp type of set {place}")
        flux = fields.number(f"flux of set {place}")
        if flux <= 0:
            raise PhotometryError(fields.at, "the flux of a lamp set is above 0", f"{flux:g}", "lumens")
        flux_lm += flux
        fields.text(f"colour of set {place}")
        fields.text(f"colour rendering of set {place}")
        fields.number(f"watts of set {place}")
    return flux_lm


def _values(fields: _Lines, planes: int, gammas: int) -> Angles:
    found = np.empty((planes, gammas))
    for plane in range(planes):
        for place in range(gammas):
            value = fields.number(f"intensity {place + 1} of {gammas} in plane {plane + 1} of {planes}")
            if value < 0:
                raise PhotometryError(fields.at, "an intensity is below 0", f"{value:g}", "0 or more")
            found[plane, place] = value
    return found


def _stored_angles(around: Angles, symmetry: int, line: int) -> Angles:
    """The C angles that the stored planes belong to."""
    if symmetry == 1:
        return np.array([0.0])
    first, last = {0: (0.0, 360.0), 2: (0.0, 180.0), 3: (90.0, 270.0), 4: (0.0, 90.0)}[symmetry]
    chosen = around[(around >= first) & (around <= last)]
    if len(chosen) != stored_planes(symmetry=symmetry, planes=len(around)):
        says = f"the C angles do not fit symmetry {symmetry}"
        raise PhotometryError(line, says, f"{len(chosen)} from {first:g} to {last:g} deg", "planes evenly around")
    return chosen


def write_eulumdat(light: Distribution) -> bytes:
    """A file of the full grid (symmetry 0) with one lamp set of 1000 lm, so that its values are candela.

    The format has no plane at 360 deg: where an LM-63 file measured it apart from the plane at 0, that one is left out.

    Raises:
        ValueError: the distribution is of type A or B: sample it `about_axis` first.
    """
    if light.kind != "C":
        raise ValueError("EULUMDAT holds type C alone")
    hs, vs = light.horizontal_deg[:-1], light.vertical_deg
    title = " ".join(light.title.split()) or "-"
    steps = [_step(light.horizontal_deg), _step(vs)]
    head = ["-", "1", "0", str(len(hs)), steps[0], str(len(vs)), steps[1], "-", title, "-", "-", "-"]
    head += ["0"] * 9 + ["0", "100", "1", "0", "1", "1", "-", "1000", "-", "-", "0"] + ["0"] * 10
    numbers = [repr(float(value)) for row in (hs, vs, *light.candela[:-1]) for value in row]
    return ("\r\n".join([*head, *numbers]) + "\r\n").encode("latin-1", "replace")


def _step(angles: Angles) -> str:
    steps = np.diff(angles)
    return f"{steps[0]:g}" if np.allclose(steps, steps[0]) else "0"
