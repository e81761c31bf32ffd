"""IES LM-63 photometric files, 1986 to 2019, read and written [LM-63-2002 sections 1 to 3; LM-63-19 first line].

Candela = value x multiplier x ballast factor; the twelfth number multiplies in 1986 and 1991 files alone, is kept for
the future in 1995 and 2002, and tells how the file was made in 2019, where nothing is claimed from it.
TILT=INCLUDE is read and checked, and the intensities are those of the measured position (its factors are not applied,
since a vehicle lamp's own aim is what the file was measured for). A tilt file beside the file is refused.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from rigbook.light.photometry import Angles, Distribution, Kind, PhotometryError, unfold_c

Edition = Literal["1986", "1991", "1995", "2002", "2019"]
_TAGS: tuple[tuple[str, Edition], ...] = (
    ("IESNA91", "1991"), ("IESNA:LM-63-1995", "1995"), ("IESNA:LM-63-2002", "2002"),
    ("IES:LM-63-2019", "2019"), ("IESNA:LM-63-2019", "2019"),
)  # fmt: skip
_KINDS: dict[int, Kind] = {1: "C", 2: "B", 3: "A"}
MOST_VALUES = 1_000_000
"""More intensities than any goniometer writes: a count beyond it is a slip, and would take the memory."""


@dataclass(slots=True)
class _Tokens:
    """Numbers of the file in order, each with its line."""

    items: list[tuple[str, int]]
    last_line: int
    at: int = 0

    def number(self, what: str) -> float:
        if self.at >= len(self.items):
            raise PhotometryError(self.last_line, f"the file ends before {what}", "the end", what)
        text, line = self.items[self.at]
        self.at += 1
        try:
            value = float(text)
        except ValueError:
            raise PhotometryError(line, f"{text!r} is not a number: {what}", text, what) from None
        if not math.isfinite(value):
            raise PhotometryError(line, f"{text!r} is not a finite number: {what}", text, what)
        return value

    def count(self, what: str, *, most: int) -> int:
        value, line = self.number(what), self.line
        if value != int(value) or not 1 <= value <= most:
            raise PhotometryError(line, f"{what} is a whole number from 1 to {most}", f"{value:g}", f"1 to {most}")
        return int(value)

    def choice(self, what: str, among: tuple[int, ...]) -> int:
        value, line = self.number(what), self.line
        if value not in among:
            raise PhotometryError(line, f"{what} is one of {among}", f"{value:g}", " or ".join(map(str, among)))
        return int(value)

    def row(self, count: int, what: str) -> Angles:
        return np.array([self.number(f"{what} {place} of {count}") for place in range(1, count + 1)])

    @property
    def line(self) -> int:
        """Line of the number read last."""
        return self.items[self.at - 1][1] if self.at else self.last_line


def read_lm63(data: bytes) -> Distribution:
    """Read a file.

    Raises:
        PhotometryError: what is wrong, and in which line.
    """
    lines = data.decode("latin-1").splitlines()
    if not any(line.strip() for line in lines):
        raise PhotometryError(1, "the file is empty", "nothing", "an LM-63 file")
    first = lines[0].strip().upper()
    edition: Edition = next((name for tag, name in _TAGS if first.startswith(tag)), "1986")
    tilt_at = next((i for i, line in enumerate(lines) if re.match(r"\s*TILT\s*=", line, re.IGNORECASE)), None)
    if tilt_at is None:
        raise PhotometryError(len(lines), "there is no TILT= line", "none", "TILT=NONE or TILT=INCLUDE")
    items = [
        (text, number)
        for number, line in enumerate(lines[tilt_at + 1 :], start=tilt_at + 2)
        for text in re.split(r"[\s,\x00\x1a]+", line)
        if text
    ]
    tokens = _Tokens(items, len(lines))
    _tilt(lines[tilt_at], tilt_at + 1, tokens)
    found = _body(tokens, edition, _title(lines[:tilt_at], edition))
    if tokens.at < len(items):
        text, line = items[tokens.at]
        raise PhotometryError(line, f"{len(items) - tokens.at} values more than the counts say", text, "the end")
    return found


def _title(labels: list[str], edition: Edition) -> str:
    for key in ("LUMCAT", "LUMINAIRE"):
        for line in labels:
            if line.strip().upper().startswith(f"[{key}]"):
                return line.split("]", 1)[1].strip()
    texts = [line.strip() for line in labels[0 if edition == "1986" else 1 :] if line.strip()]
    return texts[0] if texts and edition == "1986" else ""


def _tilt(text: str, line: int, tokens: _Tokens) -> None:
    value = text.split("=", 1)[1].strip()
    if value.upper() == "NONE":
        return
    if value.upper() != "INCLUDE":
        raise PhotometryError(line, "a tilt file beside the file is not read", value, "TILT=NONE or TILT=INCLUDE")
    tokens.choice("the lamp's geometry under tilt", (1, 2, 3))
    count = tokens.count("the number of tilt angles", most=1000)
    _rising(tokens.row(count, "tilt angle"), "tilt angles", tokens.line)
    factors = tokens.row(count, "tilt factor")
    if (factors < 0).any():
        raise PhotometryError(tokens.line, "a tilt factor is below 0", f"{factors.min():g}", "0 or more")


def _body(tokens: _Tokens, edition: Edition, title: str) -> Distribution:
    lamps = tokens.count("the number of lamps", most=10_000)
    lumens = tokens.number("lumens per lamp")
    if lumens < 0 and lumens != -1:
        raise PhotometryError(tokens.line, "lumens per lamp are 0 or more, or -1 for absolute", f"{lumens:g}", "-1")
    multiplier = _positive(tokens, "the candela multiplier")
    vertical_count = tokens.count("the number of vertical angles", most=10_000)
    horizontal_count = tokens.count("the number of horizontal angles", most=10_000)
    if vertical_count < 2 or vertical_count * horizontal_count > MOST_VALUES:
        says = f"{vertical_count} by {horizontal_count} angles are no distribution"
        raise PhotometryError(
            tokens.line, says, f"{vertical_count} by {horizontal_count}", "2 by 1 to 1,000,000 values"
        )
    kind = _KINDS[tokens.choice("the photometric type", (1, 2, 3))]
    tokens.choice("the unit of length", (1, 2))
    tokens.row(3, "dimension")
    factor = multiplier * _positive(tokens, "the ballast factor")
    twelfth = tokens.number("the twelfth number")
    if edition in ("1986", "1991"):
        if twelfth <= 0:
            raise PhotometryError(tokens.line, "the ballast-lamp factor is above 0", f"{twelfth:g}", "1")
        factor *= twelfth
    if tokens.number("the input watts") < 0:
        raise PhotometryError(tokens.line, "input watts are below 0", "below 0", "0 or more")
    vertical = _rising(tokens.row(vertical_count, "vertical angle"), "vertical angles", tokens.line)
    _range(vertical, (0.0, 180.0) if kind == "C" else (-90.0, 90.0), "vertical angles", tokens.line)
    horizontal = _rising(tokens.row(horizontal_count, "horizontal angle"), "horizontal angles", tokens.line)
    _range(horizontal, (0.0, 360.0) if kind == "C" else (-180.0, 180.0), "horizontal angles", tokens.line)
    angles_line = tokens.line
    candela = np.empty((horizontal_count, vertical_count))
    for h in range(horizontal_count):
        candela[h] = tokens.row(vertical_count, f"at horizontal angle {horizontal[h]:g}: candela")
        if (candela[h] < 0).any():
            raise PhotometryError(tokens.line, "a candela value is below 0", f"{candela[h].min():g}", "0 or more")
    with np.errstate(over="ignore"):  # refused below, with its line
        candela *= factor
    if not np.isfinite(candela).all():
        raise PhotometryError(tokens.line, "candela values are beyond any number", "infinite", "finite values")
    if kind == "C":
        horizontal, candela = unfold_c(horizontal, candela, line=angles_line)
    elif horizontal[0] == 0 and horizontal[-1] > 0:
        horizontal, candela = (
            np.concatenate((-horizontal[:0:-1], horizontal)),
            np.concatenate((candela[:0:-1], candela)),
        )
    elif len(horizontal) < 2:
        raise PhotometryError(angles_line, f"type {kind} needs two horizontal angles", "1", "0 to 90 or -90 to 90")
    return Distribution(
        kind=kind, horizontal_deg=horizontal, vertical_deg=vertical, candela=candela, title=title,
        lamp_lumens=None if lumens == -1 else lumens * lamps,
    )  # fmt: skip


def _positive(tokens: _Tokens, what: str) -> float:
    value = tokens.number(what)
    if value <= 0:
        raise PhotometryError(tokens.line, f"{what} is above 0", f"{value:g}", "1")
    return value


def _rising(angles: Angles, what: str, line: int) -> Angles:
    for before, after in pairwise(angles):
        if after <= before:
            raise PhotometryError(line, f"{what} do not rise: {after:g} after {before:g}", f"{after:g}", "rising")
    return angles


def _range(angles: Angles, limits: tuple[float, float], what: str, line: int) -> None:
    if angles[0] < limits[0] or angles[-1] > limits[1]:
        found = f"{angles[0]:g} to {angles[-1]:g}"
        raise PhotometryError(line, f"{what} lie from {limits[0]:g} to {limits[1]:g} deg", found, "angles in degrees")


def write_lm63(light: Distribution) -> bytes:
    """An LM-63-2002 file of the full grid, absolute photometry; reading it gives the same intensities."""
    number = next(key for key, kind in _KINDS.items() if kind == light.kind)
    counts = f"1 -1 1 {len(light.vertical_deg)} {len(light.horizontal_deg)} {number} 2 0 0 0"
    title = " ".join(light.title.split()) or "-"
    head = [
        "IESNA:LM-63-2002",
        "[TEST] -",
        "[TESTLAB] -",
        "[ISSUEDATE] -",
        "[MANUFAC] -",
        f"[LUMCAT] {title}",
        "TILT=NONE",
    ]
    rows = [light.vertical_deg, light.horizontal_deg, *light.candela]
    text = [*head, counts, "1 1 0"]
    for row in rows:
        values = [repr(float(value)) for value in row]
        text += [" ".join(values[start : start + 10]) for start in range(0, len(values), 10)]
    return ("\r\n".join(text) + "\r\n").encode("latin-1", "replace")
