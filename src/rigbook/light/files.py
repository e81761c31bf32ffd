"""A photometric file by its name: LM-63 (.ies) or EULUMDAT (.ldt)."""

from __future__ import annotations

from rigbook.light.eulumdat import read_eulumdat
from rigbook.light.lm63 import read_lm63
from rigbook.light.photometry import Distribution, PhotometryError


def read(name: str, data: bytes) -> Distribution:
    """Read a file by the ending of its name.

    Raises:
        PhotometryError: what is wrong, and in which line; another ending is wrong in line 1.
    """
    ending = name.rsplit(".", 1)[-1].lower()
    if ending == "ies":
        return read_lm63(data)
    if ending == "ldt":
        return read_eulumdat(data)
    raise PhotometryError(1, f"{name} is neither LM-63 nor EULUMDAT by its ending", ending, ".ies or .ldt")
