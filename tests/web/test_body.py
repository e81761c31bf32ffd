"""The Body page: figures live, a cut-out dragged and nudged into the text, a lid through its swing, cut files to fetch."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from fastapi.testclient import TestClient

from rigbook.documents.editing import value_at
from rigbook.web.app import create_app

from .conftest import Served, example_shop

if TYPE_CHECKING:
    from playwright.sync_api import Browser

VAN = "flood-support-van"


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    running = Served(example_shop(tmp_path_factory.mktemp("body") / "shop", VAN))
    yield running
    running.stop()


def at(served: Served, row: str) -> object:
    text = (served.shop / "builds" / f"{VAN}.yaml").read_text(encoding="utf-8")
    return value_at(text, ("install", row, "on"))


def test_page_and_files_without_a_browser(tmp_path: Path) -> None:
    client = TestClient(create_app(example_shop(tmp_path / "shop", VAN)), base_url="http://localhost")
    page = client.get(f"/builds/{VAN}/body")
    assert page.status_code == 200
    assert "side-outline" in page.text and "map-table" in page.text and "console-face" in page.text
    assert client.get("/builds/nowhere/body").status_code == 404
    files = f"/api/builds/{VAN}/papers/faces"
    cut = client.get(f"{files}/console-face.dxf")
    assert (
        cut.status_code == 200
        and cut.headers["content-type"].startswith("image/vnd.dxf")
        and b"LWPOLYLINE" in cut.content
    )
    old = client.get(f"{files}/console-face.dxf?r12=true")
    assert b"AC1009" in old.content and b"LWPOLYLINE" not in old.content
    assert client.get(f"{files}/console-face.svg").text.startswith("<svg")
    assert client.get(f"{files}/console-fake.dxf").status_code == 404
    assert client.get(f"{files}/console-face.doc").status_code == 404


@pytest.mark.browser
def test_a_cut_out_is_dragged_and_nudged_and_the_text_follows(browser: Browser, own: Served) -> None:
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda fault: faults.append(str(fault)))
    page.goto(f"{own.address}/builds/{VAN}/body")
    cups = page.locator(".face-item", has_text="cups")
    cups.wait_for(timeout=30_000)
    assert page.locator(".axle-bars li").count() == 12 and page.locator(".cg").count() == 2
    cups.focus()
    page.keyboard.press("ArrowLeft")
    page.wait_for_function("() => document.querySelector('[aria-label^=\"cups, 144 mm\"]')", timeout=30_000)
    assert "144 mm" in str(at(own, "cups"))
    drawer = page.locator(".face-item", has_text="drawer-upper")
    drawer.scroll_into_view_if_needed()
    box = drawer.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2 + 100, steps=6)
    assert "overlaps drawer-middle" in page.locator(".face-says", has_text="drawer-upper").inner_text()
    page.mouse.up()
    page.locator(".strip .verdict-fail").wait_for(timeout=30_000)
    assert page.locator(".face-item.bad").count() >= 2
    page.get_by_role("button", name="Undo").click()
    page.wait_for_function("() => document.querySelector('.strip .verdict-caution')", timeout=30_000)
    assert page.locator(".face-item.bad").count() == 0
    slider = page.get_by_role("slider")
    slider.focus()
    page.keyboard.press("Home")
    assert page.locator(".lid [role=status]").inner_text().startswith("At 0 deg")
    page.get_by_role("combobox", name="Loading").select_option("as-delivered")
    assert "2900 lb" in (page.locator(".axle-load").first.text_content() or "")
    page.locator(".body-facts .figure").first.click()
    page.locator("dialog pre", has_text="W = sum of m").wait_for(timeout=15_000)
    assert faults == []
    context.close()
