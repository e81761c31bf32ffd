"""EULUMDAT: counts, symmetries, decimal commas; reading back; at every planted fault the line; mutated files."""

from __future__ import annotations

import random
from collections import Counter

import numpy as np
import pytest

from rigbook.light.beams import beam
from rigbook.light.eulumdat import read_eulumdat, stored_planes, write_eulumdat
from rigbook.light.lm63 import read_lm63
from rigbook.light.photometry import Distribution, PhotometryError

from .writing import LDT, LM63

LINES = LDT.splitlines()


def changed(line: int, text: str) -> bytes:
    return "\n".join([*LINES[: line - 1], text, *LINES[line:]]).encode()


def test_stored_planes() -> None:
    """Mc 24, Isym 0 to 4 [crate documentation of an open reader]."""
    assert [stored_planes(symmetry=s, planes=24) for s in range(5)] == [24, 1, 13, 13, 7]


def test_a_small_file() -> None:
    """2000 lm of lamps: candela are twice the values; a decimal comma; mirrored in both planes."""
    light = read_eulumdat(LDT.encode())
    assert light.candela[:, 0].tolist() == [200, 180, 160, 180, 200, 180, 160, 180, 200]
    assert light.lamp_lumens == 2000 and light.title == "invented"


def test_the_same_light_in_both_formats() -> None:
    """26 fields with one set's count, 6 a set, 10 ratios, angles and values: the lines add up."""
    light = read_lm63(LM63.encode())
    data = write_eulumdat(light)
    assert len(data.decode().splitlines()) == 26 + 6 + 10 + 4 + 3 + 4 * 3
    again = read_eulumdat(data)
    assert np.array_equal(again.candela, light.candela)
    assert again.total_lm() == pytest.approx(light.total_lm(), rel=1e-12)


def test_type_b_is_sampled_first() -> None:
    at = np.array([-10.0, 0.0, 10.0])
    light = Distribution(kind="B", horizontal_deg=at, vertical_deg=at, candela=np.ones((3, 3)))
    with pytest.raises(ValueError, match="type C alone"):
        write_eulumdat(light)
    again = read_eulumdat(write_eulumdat(light.about_axis(step_deg=5)))
    assert again.toward_cd(ahead=1.0, right=0.0, up=0.0) == 1.0


def test_each_symmetry_reads_what_was_stored() -> None:
    light = beam(peak_cd=100, horizontal_deg=40, vertical_deg=20, step_deg=45)
    lines = write_eulumdat(light).decode().splitlines()
    planes, gammas = 8, 3
    values = np.array(lines[-planes * gammas :]).reshape(planes, gammas)
    for symmetry, chosen in ((0, range(8)), (2, range(5)), (3, range(2, 7)), (4, range(3))):
        head = [*lines[:2], str(symmetry), *lines[3 : -planes * gammas]]
        again = read_eulumdat("\n".join([*head, *values[list(chosen)].ravel()]).encode())
        assert again.candela == pytest.approx(light.candela, abs=1e-9), symmetry


PLANTED = [
    (2, "7", "type of light source"), (3, "5", "symmetry"), (3, "-1", "symmetry"), (4, "0", "C planes"),
    (4, "4000", "C planes"), (6, "1", "gamma"), (6, "2.5", "whole number"), (13, "wide", "not a number"),
    (24, "0", "conversion factor"), (26, "0", "lamp sets"), (29, "0", "flux"), (29, "inf", "finite"),
    (44, "0", "rise"), (44, "361", "rise"), (52, "0", "rise"), (54, "-1", "below 0"), (54, "", "not a number"),
    (3, "0", "ends before"), (3, "1", "more than the counts"), (50, "359,5", None),
]  # fmt: skip


@pytest.mark.parametrize(("line", "text", "says"), PLANTED)
def test_planted_faults_are_named_with_their_line(line: int, text: str, says: str | None) -> None:
    data = changed(line, text)
    if says is None:
        assert read_eulumdat(data).peak_cd == 200, "a last plane a little aside is no fault of quadrant files"
        return
    with pytest.raises(PhotometryError) as caught:
        read_eulumdat(data)
    assert says in str(caught.value)
    if says not in ("ends before", "more than the counts"):
        assert caught.value.line in (line, line + 1)


def test_mutated_files_are_read_or_refused_with_a_line() -> None:
    rng, reached = random.Random(64), Counter()
    for _ in range(1500):
        lines = list(LINES)
        for _ in range(rng.randint(1, 3)):
            at = rng.randrange(len(lines))
            act = rng.choice("rdc")
            if act == "r":
                lines[at] = rng.choice(["", "-1", "0", "1,5", "x", "1e999", "\xff", "7", "90"])
            elif act == "d" and len(lines) > 2:
                del lines[at]
            elif len(lines) > 20:
                del lines[max(20, at) :]
        data = "\n".join(lines).encode("latin-1")
        try:
            light = read_eulumdat(data)
        except PhotometryError as error:
            assert 1 <= error.line <= len(lines) + 1
            reached["refused"] += 1
        else:
            assert np.isfinite(light.total_lm())
            reached["read"] += 1
    assert min(reached["refused"], reached["read"]) > 50, reached
