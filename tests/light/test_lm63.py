"""LM-63: editions, types, TILT, separators; reading back; at every planted fault the line; mutated files."""

from __future__ import annotations

import random
from collections import Counter

import numpy as np
import pytest

from rigbook.light.beams import beam
from rigbook.light.lm63 import read_lm63, write_lm63
from rigbook.light.photometry import PhotometryError

from .writing import LM63


def read(text: str):
    return read_lm63(text.encode("latin-1"))


def test_a_small_file() -> None:
    """Multiplier 2, ballast 0.5; blanks and commas; a record wrapped over lines; quadrant symmetry."""
    light = read(LM63)
    assert (light.kind, light.title, light.lamp_lumens) == ("C", "invented lamp", 1000.0)
    assert light.horizontal_deg.tolist() == [0, 90, 180, 270, 360]
    assert light.candela.tolist() == [[100, 50, 0], [80, 40, 0], [100, 50, 0], [80, 40, 0], [100, 50, 0]]
    assert light.intensity_cd(45, 22.5) == pytest.approx((100 + 50 + 80 + 40) / 4)


@pytest.mark.parametrize(
    ("tag", "factor"),
    [("IESNA91", 3), ("IESNA:LM-63-1995", 1), ("IESNA:LM-63-2002", 1), ("IES:LM-63-2019", 1), ("free text of 1986", 3)],
)
def test_the_twelfth_number_multiplies_in_the_first_two_editions_alone(tag: str, factor: float) -> None:
    text = LM63.replace("IESNA:LM-63-2002", tag).replace("0.5 1 10", "0.5 3 10")
    assert read(text).peak_cd == 100 * factor


def test_tilt_include_is_read_past() -> None:
    text = LM63.replace("TILT=NONE", "TILT=INCLUDE\n1\n3\n0 45 90\n1 0.95 0.9")
    assert np.array_equal(read(text).candela, read(LM63).candela)


def test_type_b_is_mirrored() -> None:
    text = LM63.replace("3 2 1 2", "3 2 2 2").replace("0 45 90\n", "-10 0 10\n").replace("0 90\n100", "0 30\n100")
    light = read(text)
    assert light.kind == "B" and light.horizontal_deg.tolist() == [-30, 0, 30]
    assert light.candela[0].tolist() == light.candela[2].tolist() == [80, 40, 0]


def test_writing_and_reading_back() -> None:
    light = beam(peak_cd=4200, horizontal_deg=20, vertical_deg=10, step_deg=5)
    again = read_lm63(write_lm63(light))
    assert np.array_equal(again.candela, light.candela) and np.array_equal(again.vertical_deg, light.vertical_deg)


PLANTED = [
    ("", "", 1, "empty"),
    ("TILT=NONE", "TILTED", 14, "no TILT= line"),
    ("TILT=NONE", "TILT=other.tlt", 7, "tilt file"),
    ("TILT=NONE", "TILT=INCLUDE\n4\n2\n0 90\n1 1", 8, "geometry"),
    ("TILT=NONE", "TILT=INCLUDE\n1\n2\n90 0\n1 1", 10, "do not rise"),
    ("TILT=NONE", "TILT=INCLUDE\n1\n2\n0 90\n1 -1", 11, "tilt factor"),
    ("1 1000 2", "0 1000 2", 8, "number of lamps"),
    ("1 1000 2", "1 -5 2", 8, "-1 for absolute"),
    ("1 1000 2", "1 1000 0", 8, "multiplier"),
    ("3 2 1 2", "3.5 2 1 2", 8, "whole number"),
    ("3 2 1 2", "1 2 1 2", 8, "no distribution"),
    ("3 2 1 2", "9999 9999 1 2", 8, "no distribution"),
    ("3 2 1 2", "3 2 4 2", 8, "photometric type"),
    ("3 2 1 2", "3 2 1 3", 8, "unit of length"),
    ("0.5 1 10", "-0.5 1 10", 9, "ballast"),
    ("0.5 1 10", "0.5 1 -10", 9, "watts"),
    ("0 45 90", "0 45 45", 10, "do not rise"),
    ("0 45 90", "0 45 190", 10, "vertical angles lie"),
    ("0 90\n100", "0 370\n100", 11, "horizontal angles lie"),
    ("0 90\n100", "10 80\n100", 11, "no known symmetry"),
    ("100 50 0", "100 -50 0", 12, "below 0"),
    ("100 50 0", "100 fifty 0", 12, "not a number"),
    ("100 50 0", "100 nan 0", 12, "not a finite number"),
    ("80, 40\n0\n", "80, 40\n", 13, "ends before"),
    ("80, 40\n0\n", "80, 40\n0\n7 8\n", 15, "more than the counts"),
    ("80, 40\n0\n", "80, 40\n1e308 \n", 14, "beyond any number"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "line", "says"), PLANTED)
def test_planted_faults_are_named_with_their_line(old: str, new: str, line: int, says: str) -> None:
    text = LM63.replace(old, new) if old else ""
    if says == "beyond any number":
        text = text.replace("1 1000 2 ", "1 1000 99 ")
    assert text != LM63
    with pytest.raises(PhotometryError) as caught:
        read(text)
    assert says in str(caught.value) and caught.value.line == line


def test_mutated_files_are_read_or_refused_with_a_line() -> None:
    rng, reached = random.Random(63), Counter()
    for _ in range(1500):
        data = bytearray(LM63.encode())
        for _ in range(rng.randint(1, 4)):
            act, at = rng.choice("xdic"), rng.randrange(len(data))
            if act == "x":
                data[at] = rng.choice(b"0123456789-+.eE ,\n\xff\x00=")
            elif act == "d":
                del data[at : at + rng.randint(1, 9)]
            elif act == "i":
                data[at:at] = bytes(rng.choices(b"0123456789-. ,\n", k=3))
            else:
                del data[max(30, at) :]
        try:
            light = read_lm63(bytes(data))
        except PhotometryError as error:
            assert 1 <= error.line <= bytes(data).decode("latin-1").count("\n") + 3
            reached["refused"] += 1
        else:
            assert np.isfinite(light.total_lm()) and (light.candela >= 0).all()
            reached["read"] += 1
    assert min(reached["refused"], reached["read"]) > 100, reached
