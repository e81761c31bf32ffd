"""Pages as pictures: rendered small and grey, and compared with those that were looked at.

To renew after a change that is meant: `python -m tests.papers.test_golden`, then look at every picture that changed.
Tolerance: at most 1 % of the pixels may differ by a quarter of the range or more (another poppler smooths otherwise).
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path

import numpy as np
import pytest

from rigbook.assess.assessment import assess
from rigbook.documents.loader import load_build
from rigbook.papers.book import book

SHOP = Path(__file__).parents[1] / "rules" / "shop"
GOLDEN = Path(__file__).parent / "golden"
PAGES = ("quote", "equipment", "switches", "harness", "pins", "programming", "inspection")
DPI = "26"


def rendered(name: str) -> bytes:
    """The first page of a chapter as PGM."""
    made = book(assess(load_build(SHOP, Path("builds/small.yaml"))), only=[name])
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "p.pdf").write_bytes(made)
        subprocess.run(
            ["pdftoppm", "-gray", "-r", DPI, "-f", "1", "-l", "1", "-singlefile", "p.pdf", "p"],
            cwd=folder,
            check=True,
            timeout=60,
        )
        return (Path(folder) / "p.pgm").read_bytes()


def grey(data: bytes) -> np.ndarray:  # type: ignore[type-arg]
    """A binary PGM as rows of pixels."""
    magic, width, height, most, _ = data.split(maxsplit=4)
    assert magic == b"P5" and most == b"255"
    size = int(width) * int(height)
    return np.frombuffer(data[-size:], dtype=np.uint8).reshape(int(height), int(width)).astype(int)


@pytest.mark.parametrize("name", PAGES)
def test_the_page_looks_as_it_was_when_looked_at(name: str) -> None:
    if shutil.which("pdftoppm") is None:
        pytest.skip("poppler-utils is not installed; run.py test brings it")
    now, then = grey(rendered(name)), grey((GOLDEN / f"{name}.pgm").read_bytes())
    assert now.shape == then.shape
    assert 0.002 < float((now < 128).mean()) < 0.5, "a page with ink on it"
    off = float((abs(now - then) >= 64).mean())
    assert off <= 0.01, f"{off * 100:.2f} % of the pixels of {name} differ; look at the page, then renew"


if __name__ == "__main__":
    GOLDEN.mkdir(exist_ok=True)
    for page in PAGES:
        (GOLDEN / f"{page}.pgm").write_bytes(rendered(page))
