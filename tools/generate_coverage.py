"""Write `browser/fonts/coverage.json`: the characters that the vendored upright fonts, regular and bold, both hold.

    python tools/generate_coverage.py

Needs fontTools, which the program itself does not: it reads the table.
"""

from __future__ import annotations

import json
from pathlib import Path

FONTS = Path(__file__).parents[1] / "src" / "rigbook" / "browser" / "fonts"
FILES = ("DejaVuSansCondensed.ttf", "DejaVuSansCondensed-Bold.ttf")


def covered(folder: Path = FONTS) -> list[list[int]]:
    """Ranges of code points, ends included, in order."""
    from fontTools.ttLib import TTFont

    held = [set(TTFont(folder / name).getBestCmap()) for name in FILES]
    ranges: list[list[int]] = []
    for code in sorted(set.intersection(*held)):
        if ranges and ranges[-1][1] == code - 1:
            ranges[-1][1] = code
        else:
            ranges.append([code, code])
    return ranges


if __name__ == "__main__":
    lines = ",\n".join(f"[{first}, {last}]" for first, last in covered())
    (FONTS / "coverage.json").write_text(f"[\n{lines}\n]\n", encoding="utf-8")
    print(f"{len(json.loads((FONTS / 'coverage.json').read_text()))} ranges")
