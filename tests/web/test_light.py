"""The Light page: its data for any state, its refusals, and the map that follows the switches."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from fastapi.testclient import TestClient

from rigbook.web.app import create_app

from .conftest import BUILD, example_shop

if TYPE_CHECKING:
    from playwright.sync_api import Browser

AT = f"/api/builds/{BUILD}"


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    folder: Path = example_shop(tmp_path_factory.mktemp("light") / "shop", BUILD)
    return TestClient(create_app(folder), base_url="http://127.0.0.1:8765")


@pytest.fixture(scope="module")
def layout(client: TestClient) -> dict[str, Any]:
    found: dict[str, Any] = client.get(f"{AT}/program").json()["layout"]
    return found


def asked(client: TestClient, layout: dict[str, Any], name: str) -> dict[str, Any]:
    state = next(s["state"] for s in layout["states"] if s["id"] == name)
    answer = client.get(f"{AT}/light", params={"state": ".".join(map(str, state))})
    assert answer.status_code == 200
    found: dict[str, Any] = answer.json()
    return found


def test_the_light_of_a_state_agrees_with_the_results(client: TestClient, layout: dict[str, Any]) -> None:
    """The area that the build judges in this state has the figures of `check --json`."""
    light = asked(client, layout, "on-scene-hatch")
    (row,) = client.get(AT).json()["light"]["scene"]
    (area,) = light["areas"]
    assert area["average_lx"] == pytest.approx(row["average_lx"], rel=1e-5)
    assert area["minimum_lx"] == pytest.approx(row["minimum_lx"], rel=1e-5)
    assert [lamp["id"] for lamp in light["lamps"]] == ["hatch-light.white.pose-1"]
    assert light["levels"] and all(len(line) % 2 == 0 for level in light["levels"] for line in level["lines"])


def test_dark_and_flashing_states(client: TestClient, layout: dict[str, Any]) -> None:
    dark = client.get(f"{AT}/light").json()
    assert dark["levels"] == [] and dark["around"] == {} and all(z["cd_s_per_min"] == 0 for z in dark["zones"])
    flashing = asked(client, layout, "responding")
    assert max(flashing["around"]["blue"]) > 0 and len(flashing["bearings"]) == len(flashing["around"]["blue"]) == 72
    front = next(z for z in flashing["zones"] if (z["zone"], z["level"]) == ("front", "all"))
    total = sum(flashing["around"][c][b % 72] for c in flashing["around"] for b in range(-9, 10))
    assert front["cd_s_per_min"] == pytest.approx(total, rel=1e-5)


@pytest.mark.parametrize(
    ("query", "says"),
    (("state=1.2", "variables"), ("state=1..2", "whole numbers"), ("state=x", "state"), ("lost=999", "no number 999")),
)  # fmt: skip
def test_what_cannot_be_a_state_is_refused_in_one_sentence(client: TestClient, query: str, says: str) -> None:
    answer = client.get(f"{AT}/light?{query}")
    assert answer.status_code in (400, 422)
    assert says in answer.json()["says"]


def test_a_value_that_a_switch_does_not_have_is_refused(client: TestClient, layout: dict[str, Any]) -> None:
    state = list(layout["states"][0]["state"])
    state[0] = 99
    answer = client.get(f"{AT}/light", params={"state": ".".join(map(str, state))})
    assert answer.status_code == 422 and "no number 99" in answer.json()["says"]
    assert client.get("/api/builds/nowhere/light").status_code == 404


def test_the_page_stands_without_scripts(client: TestClient) -> None:
    page = client.get(f"/builds/{BUILD}/light")
    assert page.status_code == 200
    assert "Optical power by mode and zone" in page.text and 'id="plan-shapes"' in page.text
    assert client.get("/builds/nowhere/light").status_code == 404


@pytest.mark.browser
def test_the_map_follows_the_switches(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda fault: faults.append(str(fault)))
    page.goto(f"{address}/builds/{BUILD}/light?state=on-scene-hatch")
    page.locator('[data-level="1 fc"] path').first.wait_for(timeout=30_000)
    lines = page.locator(".contours path").count()
    assert lines >= 4 and page.locator(".vehicle path").count() > 5
    page.get_by_role("button", name="All at rest").click()
    page.wait_for_function("() => !document.querySelector('.contours path')", timeout=15_000)
    page.get_by_role("button", name="Responding", exact=True).click()
    page.locator('.curve[data-colour="blue"]').wait_for(timeout=15_000)
    page.get_by_role("button", name="30 m").click()
    assert page.get_by_role("button", name="30 m").get_attribute("aria-pressed") == "true"
    assert faults == []
    context.close()


@pytest.mark.browser
def test_every_figure_of_the_tables_opens_its_working(browser: Browser, address: str) -> None:
    """Areas in the state they name, and the warning of every mode and zone."""
    page = browser.new_page()
    page.goto(f"{address}/builds/{BUILD}/light")
    page.wait_for_selector("#areas .figure")
    for place, says in (("#areas .figure", "Average illuminance"), (".light-modes .figure", "optical power")):
        found = page.locator(place)
        assert found.count() >= 3
        found.first.click()
        page.locator("dialog pre", has_text="=").wait_for(timeout=15_000)
        assert says in page.locator("dialog pre").inner_text()
        page.locator("dialog button", has_text="Close").click()
        page.wait_for_selector("dialog", state="detached")
    page.close()
