"""Write two tables of the vendored upright fonts, regular and bold, for `browser/fonts`.

`coverage.json`: the characters that both hold. `advances.json`: how wide each is, in units of the font.

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


def advances(folder: Path = FONTS) -> dict[str, dict[str, int]]:
    """Advance width of every covered character, by weight."""
    from fontTools.ttLib import TTFont

    codes = [code for first, last in covered(folder) for code in range(first, last + 1)]
    found = {}
    for weight, name in zip(("regular", "bold"), FILES, strict=True):
        font = TTFont(folder / name)
        glyphs, widths = font.getBestCmap(), font["hmtx"]
        found[weight] = {chr(code): widths[glyphs[code]][0] for code in codes}
    return found


if __name__ == "__main__":
    lines = ",\n".join(f"[{first}, {last}]" for first, last in covered())
    (FONTS / "coverage.json").write_text(f"[\n{lines}\n]\n", encoding="utf-8")
    widths = json.dumps(advances(), ensure_ascii=False, separators=(",", ":"))
    (FONTS / "advances.json").write_text(widths + "\n", encoding="utf-8")
    print(f"{len(json.loads((FONTS / 'coverage.json').read_text()))} ranges")
