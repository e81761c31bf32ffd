"""Columns: together as wide as the page, no word wider than its column without a place to break."""

from __future__ import annotations

import random

from rigbook.papers import layout
from rigbook.papers.layout import BREAK, MM_PER_PT, PAD_MM, boxed, breakable, laid_out, shortened, texts_of, widths
from rigbook.papers.pieces import column, group, table
from rigbook.papers.svg import text_width


def test_random_tables_fill_the_page_and_keep_their_words() -> None:
    chance, broken, wrapped = random.Random(3), 0, 0
    for _ in range(150):
        count = chance.randint(1, 12)
        words = ["a", "module-front.12", "steady-burning", "x" * chance.randint(1, 120), "12.8 V", "the quick"]
        rows: list[object] = [
            [" ".join(chance.choices(words, k=chance.randint(0, 9))) for _ in range(count)]
            for _ in range(chance.randint(1, 20))
        ]
        rows.insert(chance.randint(0, len(rows)), group("Group " + "y" * 200))
        made = laid_out(
            table(caption="c", columns=[column(f"Column {n}") for n in range(count)], rows=rows, size=8), width_mm=180
        )  # type: ignore[arg-type]
        mm = [c["mm"] for c in made["columns"]]
        assert abs(sum(mm) - 180) < 0.05 and min(mm) > 2
        for row in made["rows"]:
            if isinstance(row, dict):
                continue
            for cell, wide in zip(row, mm, strict=True):
                for word in cell.replace("\u00a0", " ").split():
                    for part in word.split(BREAK):
                        room = text_width(part, size=8) * MM_PER_PT
                        assert room <= wide - PAD_MM + 0.01 or len(part) == 1, (part, wide)
                broken += BREAK in cell
                wrapped += text_width(cell, size=8) * MM_PER_PT > wide
    assert broken > 20 and wrapped > 100


def test_what_fits_stays_on_one_line() -> None:
    columns = [column("A"), column("B", share=1)]
    found = widths(columns, [["short", "a rather longer cell of words"]], width_mm=180, size=8)
    assert found[0] < 20 and found[1] > 150


def test_a_long_name_breaks_at_joints_first() -> None:
    assert breakable("module-front.12", width_mm=500, size=8) == "module-front.12"
    assert breakable("aaaaaaaa.bbbbbbbb", width_mm=15, size=8) == f"aaaaaaaa.{BREAK}bbbbbbbb"


def test_numbers_keep_their_units() -> None:
    assert layout.kept_together("12.8 V at 3 A, 4 As") == "12.8\u00a0V at 3\u00a0A, 4 As"


def test_characters_without_a_glyph_become_boxed_runs_and_nothing_else_changes() -> None:
    data = {"text": "a 中 b", "svg": "中", "rows": [["fine"]]}
    assert boxed(data) == {
        "text": [{"text": "a ", "boxed": False}, {"text": "U+4E2D", "boxed": True}, {"text": " b", "boxed": False}],
        "svg": "中",
        "rows": [["fine"]],
    }
    assert texts_of(data) == ["a 中 b", "fine"]


def test_running_heads_are_shortened_to_their_room() -> None:
    assert shortened("abc", width_mm=20, size=8) == "abc"
    short = shortened("W" * 300, width_mm=20, size=8)
    assert short.endswith("…") and text_width(short, size=8) * MM_PER_PT <= 20 and len(short) > 3
