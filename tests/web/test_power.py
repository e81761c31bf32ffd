"""The Power page: its drawings and rows, its refusals, and a changed fuse and wire that show what they do at once."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from fastapi.testclient import TestClient

from rigbook.documents.editing import value_at
from rigbook.web.app import create_app

from .conftest import BUILD, Served, example_shop

if TYPE_CHECKING:
    from playwright.sync_api import Browser

AT = f"/api/builds/{BUILD}"


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    folder: Path = example_shop(tmp_path_factory.mktemp("power") / "shop", BUILD)
    return TestClient(create_app(folder), base_url="http://127.0.0.1:8765")


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    running = Served(example_shop(tmp_path_factory.mktemp("power") / "shop", BUILD))
    yield running
    running.stop()


def test_drawings_rows_and_stock(client: TestClient) -> None:
    found = client.get(f"{AT}/power").json()
    report = client.get(AT).json()["power"]
    assert found["text_digest"] == client.get(f"{AT}/text").json()["digest"]
    assert [row["id"] for row in found["feeds"]] == [feed["id"] for feed in report["feeds"]]
    outputs = [c["id"] for c in report["circuits"] if c["limit_a"] is not None]
    assert [row["id"] for row in found["outputs"]] == outputs
    for drawing in (*found["one_line"], *found["day"]):
        assert ET.fromstring(drawing["svg"]).get("aria-label") == drawing["title"]
    assert len(found["one_line"]) >= 2 and len(found["day"]) == 1
    assert found["fuses"][0] == "3 A" and "18 AWG" in found["wires"]


def test_the_chart_of_any_chain(client: TestClient) -> None:
    for row in client.get(f"{AT}/power").json()["feeds"]:
        answer = client.get(f"{AT}/power/chain", params={"feed": row["id"]})
        assert answer.status_code == 200
        assert row["id"] in answer.json()["svg"]


def test_what_is_not_there_is_said(client: TestClient) -> None:
    answer = client.get(f"{AT}/power/chain", params={"feed": "nowhere"})
    assert answer.status_code == 404 and "no feed nowhere" in answer.json()["says"]
    assert client.get("/api/builds/none/power").status_code == 404
    assert client.get(f"/builds/{BUILD}/power").status_code == 200
    assert client.get("/builds/none/power").status_code == 404


@pytest.mark.browser
def test_a_changed_fuse_and_wire_show_their_effect_at_once(browser: Browser, own: Served) -> None:
    from playwright.sync_api import expect

    page = browser.new_context(viewport={"width": 1440, "height": 900}).new_page()
    page.goto(f"{own.address}/builds/{BUILD}/power")
    fuse = page.get_by_label("Fuse of siren-feed", exact=True)
    fuse.wait_for(timeout=60_000)
    wire = page.get_by_label("Wire of siren-feed", exact=True)
    row = page.locator("tr", has=fuse)
    assert "✓" in row.inner_text()
    before = fuse.input_value(), wire.input_value()
    wire.fill("18 AWG")
    wire.press("Enter")
    fuse.fill("30 A")
    fuse.press("Enter")
    page.wait_for_function(
        "() => document.querySelector('.verdict-fail') && document.querySelector('#power-feeds')?.textContent.includes('30 A')",
        timeout=60_000,
    )
    page.wait_for_function("() => !document.querySelector('.body-stale')", timeout=60_000)
    assert "✕" in row.inner_text()
    text = (own.shop / "builds" / f"{BUILD}.yaml").read_text(encoding="utf-8")
    assert value_at(text, ("feeds", "siren-feed"))["fuse"] == "30 A"
    page.locator("#undo").click()
    page.locator("#undo").click()
    for field, value in zip((fuse, wire), before, strict=True):
        expect(field).to_have_value(value, timeout=60_000)
    page.wait_for_function(
        "() => !document.querySelector('.verdict-fail') && !document.querySelector('.body-stale')", timeout=60_000
    )
    fuse.fill("three")
    fuse.press("Enter")
    page.locator(".refused, .notice-fail").first.wait_for(timeout=20_000)


@pytest.mark.browser
def test_a_feed_picked_shows_its_chart(browser: Browser, address: str) -> None:
    page = browser.new_context(viewport={"width": 820, "height": 900}).new_page()
    page.goto(f"{address}/builds/{BUILD}/power")
    page.locator("#power-feeds .link", has_text="siren-feed").first.click(timeout=60_000)
    page.locator("#power-chain svg", has_text="siren-feed").wait_for(timeout=30_000)
    assert page.locator("#power-chain select").input_value() == "siren-feed"
    page.locator("#power-feeds .figure").first.click()
    assert page.locator("dialog").inner_text()
