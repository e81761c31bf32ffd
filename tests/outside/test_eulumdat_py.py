"""EULUMDAT files against eulumdat-py, a general-purpose reader that unfolds the symmetry itself."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from pyldt import LdtReader

from rigbook.light.beams import beam
from rigbook.light.eulumdat import read_eulumdat, write_eulumdat

STORED = {0: range(24), 2: range(13), 4: range(7)}


@pytest.mark.parametrize("symmetry", sorted(STORED))
def test_intensities_are_those_of_the_other_reader(tmp_path: Path, symmetry: int) -> None:
    light = beam(peak_cd=4200, horizontal_deg=40, vertical_deg=20, step_deg=15)
    lines = write_eulumdat(light).decode().splitlines()
    planes, gammas = 24, 7
    values = np.array(lines[-planes * gammas :]).reshape(planes, gammas)[list(STORED[symmetry])]
    text = "\n".join([*lines[:2], str(symmetry), *lines[3 : -planes * gammas], *values.ravel(), ""])
    path = tmp_path / "lamp.ldt"
    path.write_text(text, encoding="latin-1")
    theirs = LdtReader.read(str(path))
    ours = read_eulumdat(text.encode("latin-1"))
    flux = sum(map(float, theirs.header.lamp_flux))
    assert len(theirs.intensities) >= planes
    assert ours.candela[:planes] == pytest.approx(np.array(theirs.intensities)[:planes] * flux / 1000, abs=1e-9)
    assert ours.peak_cd == pytest.approx(4200)
