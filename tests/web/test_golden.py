"""Pictures of every page in both themes and at three widths against the reviewed ones that are kept.

A page that is meant to look otherwise: run with `RIGBOOK_KEEP_PICTURES=yes`, look at what changed, keep it with the change.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from .pictures import COARSE, KEPT, MOST_SHARE, PAGES, THEMES, WIDTHS, Picture, all_pictures, changed_share, small, take

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser
KEEP = os.environ.get("RIGBOOK_KEEP_PICTURES") == "yes"
LARGEST_BYTES = 6_000_000
EVERYDAY = [p for i, page in enumerate(PAGES) for p in [Picture(page, list(WIDTHS)[i % 3], THEMES[i % 2])]]


@pytest.fixture(scope="module")
def blank(browser: Browser) -> Iterator[Page]:
    page = browser.new_context().new_page()
    yield page
    page.context.close()


def compare(browser: Browser, address: str, blank: Page, picture: Picture, folder: Path) -> None:
    taken = take(browser, address, picture)
    if KEEP:
        KEPT.mkdir(exist_ok=True)
        if not picture.kept.is_file() or changed_share(blank, picture.kept.read_bytes(), taken) > 0:
            picture.kept.write_bytes(small(taken))
    share = changed_share(blank, picture.kept.read_bytes(), taken)
    if share > MOST_SHARE:
        beside = folder / f"{picture.name}.png"
        beside.write_bytes(taken)
        pytest.fail(
            f"{picture.name} changed in {share:.1%} of its squares; as it is now: {beside}, as reviewed: {picture.kept}"
        )


@pytest.mark.parametrize("picture", EVERYDAY, ids=lambda p: p.name)
def test_a_page_looks_as_reviewed(
    browser: Browser, address: str, blank: Page, picture: Picture, tmp_path: Path
) -> None:
    compare(browser, address, blank, picture, tmp_path)


@pytest.mark.long
@pytest.mark.parametrize("picture", [p for p in all_pictures() if p not in EVERYDAY], ids=lambda p: p.name)
def test_every_page_looks_as_reviewed_everywhere(
    browser: Browser, address: str, blank: Page, picture: Picture, tmp_path: Path
) -> None:
    compare(browser, address, blank, picture, tmp_path)


def test_every_picture_is_kept_and_they_are_not_large() -> None:
    kept = {path.stem for path in KEPT.glob("*.png")}
    assert kept == {p.name for p in all_pictures()}
    assert sum(path.stat().st_size for path in KEPT.glob("*.png")) < LARGEST_BYTES


def test_a_change_of_layout_is_seen_and_a_figure_is_not(browser: Browser, blank: Page) -> None:
    """The measure itself: a block moved by its own height counts, a few letters do not."""
    page = browser.new_context(viewport={"width": 820, "height": 600}).new_page()

    def shown(body: str) -> bytes:
        page.set_content(f"<body style='font:16px sans-serif;margin:20px'>{body}</body>")
        return page.screenshot()

    rows = "".join(f"<p>row {n} of a table that is long enough to fill a line of the page</p>" for n in range(12))
    before = shown(rows)
    assert changed_share(blank, before, before) == 0
    assert 0 < changed_share(blank, before, shown(rows.replace("row 3 of", "row 8 of"))) < MOST_SHARE
    assert changed_share(blank, before, shown(f"<p style='height:{COARSE * 6}px'></p>{rows}")) > MOST_SHARE
    assert (
        changed_share(blank, before, shown(rows.replace("<p>row 5", "<p style='background:#ffd'>row 5"))) > MOST_SHARE
    )
    page.context.close()
