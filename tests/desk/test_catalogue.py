from __future__ import annotations

import shutil
import time
from importlib import resources
from pathlib import Path

import pytest

from rigbook.desk.catalogue import Catalogue, Row, search
from rigbook.desk.shopfolder import ShopFolder

COLOURS = ("blue", "red", "amber", "white", "green")


@pytest.fixture(scope="module")
def rows() -> tuple[Row, ...]:
    return tuple(
        Row(
            f"made-{n}",
            "lamp" if n % 3 else "siren-speaker",
            f"Made thing {n}",
            (COLOURS[n % 5],),
            n % 7 / 2,
            0.2,
            None,
            None,
            f"made-{n} made thing {n} {COLOURS[n % 5]}",
        )
        for n in range(5000)
    )


def test_a_search_agrees_with_looking_at_every_row(rows: tuple[Row, ...]) -> None:
    looked = 0
    for words in ("", "made-49", "thing 7", "BLUE 12", "absent"):
        for kind in ("", "lamp"):
            for colour in ("", "blue"):
                found = search(rows, words=words, kind=kind, colour=colour, most_a=2.0, count=100)
                by_hand = {
                    r.id for r in rows
                    if all(w in r.words for w in words.lower().split()) and kind in ("", r.kind) and (not colour or colour in r.colours)
                    and r.current_a is not None and r.current_a <= 2.0
                }  # fmt: skip
                assert found.total == len(by_hand) and {r.id for r in found.rows} <= by_hand
                assert sum(found.kinds.values()) >= found.total
                looked += found.total
    assert looked > 1000


def test_the_id_asked_for_comes_first(rows: tuple[Row, ...]) -> None:
    assert search(rows, words="made-49").rows[0].id == "made-49"


def test_pages_of_a_search_meet_without_gap(rows: tuple[Row, ...]) -> None:
    whole = [r.id for r in search(rows, words="made", count=100).rows]
    assert [r.id for first in (0, 40, 80) for r in search(rows, words="made", first=first, count=40).rows][
        :100
    ] == whole


def test_a_search_over_five_thousand_parts_takes_under_50_ms(rows: tuple[Row, ...]) -> None:
    times = []
    for words in ("", "made 4", "thing blue", "nothing has this", "made-4999"):
        started = time.process_time()
        search(rows, words=words, kind="lamp", colour="blue")
        times.append(time.process_time() - started)
    assert sorted(times)[2] < 0.050


def test_the_index_is_kept_until_a_file_of_parts_changes(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as source:
        shutil.copytree(source, folder)
    catalogue = Catalogue(ShopFolder(folder))
    first, currency = catalogue.rows()
    assert catalogue.rows()[0] is first and currency == "USD" and len(first) > 50
    blue = next(r for r in first if r.id == "surface-six-blue")
    assert (blue.kind, blue.colours, blue.current_a) == ("lamp", ("blue",), 0.95)
    text = (
        (folder / "parts" / "lamps.yaml")
        .read_text(encoding="utf-8")
        .replace("id: surface-six-blue\n", "id: surface-renamed\n")
    )
    (folder / "parts" / "lamps.yaml").write_text(text, encoding="utf-8")
    assert "surface-renamed" in {r.id for r in catalogue.rows()[0]}
