"""The Fit page in a real browser: one selection in table and drawing, small steps, figures that open their working."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from rigbook.documents.editing import value_at
from rigbook.quantities.parse import parse_quantity

from .conftest import BUILD, Served, example_shop

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A server whose builds these tests change."""
    running = Served(example_shop(tmp_path_factory.mktemp("fit") / "shop", BUILD))
    yield running
    running.stop()


def fresh(served: Served, name: str) -> str:
    """A copy of the build under another id, of one test alone."""
    text = (served.shop / "builds" / f"{BUILD}.yaml").read_text(encoding="utf-8")
    (served.shop / "builds" / f"{name}.yaml").write_text(
        text.replace(f"id: {BUILD}", f"id: {name}", 1), encoding="utf-8"
    )
    return name


def row_in(served: Served, name: str, row: str) -> Any:
    text = (served.shop / "builds" / f"{name}.yaml").read_text(encoding="utf-8")
    return value_at(text, ("install", row))


def opened(browser: Browser, served: Served, name: str, *, width: int = 1440) -> Page:
    page = browser.new_context(viewport={"width": width, "height": 900}).new_page()
    page.goto(f"{served.address}/builds/{name}/fit")
    page.locator(".fit-views svg").first.wait_for(timeout=60_000)
    return page


def settled(page: Page) -> None:
    page.wait_for_function("() => !document.querySelector('.verdict-working')", timeout=60_000)


def test_one_selection_in_table_and_drawing(browser: Browser, own: Served) -> None:
    page = opened(browser, own, fresh(own, "select"))
    page.locator("tr[data-row=grille-left] .link").first.click()
    marked = page.locator(".fit-views .lamp.chosen")
    assert set(marked.evaluate_all("l => l.map(x => x.dataset.device)")) == {"grille-left"}
    assert marked.first.get_attribute("aria-pressed") == "true"
    page.locator(".drawing-front .lamp[data-device=grille-right]").click(force=True)
    assert page.locator("tr.chosen").get_attribute("data-row") == "grille-right"
    assert page.locator("#chosen h2").inner_text() == "grille-right"
    page.context.close()


def test_lamps_are_reached_picked_and_moved_by_keys(browser: Browser, own: Served) -> None:
    name = fresh(own, "keys")
    page = opened(browser, own, name)
    stops = page.locator(".fit-views .lamp[tabindex='0']").count()
    assert stops == page.locator(".fit-views svg:has(.lamp)").count(), "each view is one stop of the Tab key"
    page.locator(".drawing-plan .lamp[tabindex='0']").focus()
    reached = set()
    for key in ("ArrowLeft",) * 4 + ("ArrowUp",) * 4 + ("ArrowRight",) * 6:
        page.keyboard.press(key)
        reached.add(page.evaluate("document.activeElement.dataset.device"))
    assert len(reached) >= 4, reached
    page.locator(".drawing-plan .lamp[data-device=grille-left]").focus()
    page.keyboard.press("Enter")
    assert page.locator("tr.chosen").get_attribute("data-row") == "grille-left"
    start = page.locator("#chosen .steps-box").inner_text()
    assert "back from the front axle" in start
    page.keyboard.press("Shift+ArrowUp")  # in the plan: to the vehicle's right
    page.wait_for_function("() => document.querySelector('tr[data-row=grille-left] .c-place textarea')")
    settled(page)
    at = row_in(own, name, "grille-left")["at"]
    place = next(p for p in _places(own) if p["id"] == "grille-left")["at"]
    moved = [parse_quantity(a, "length") - parse_quantity(b, "length") for a, b in zip(at, place, strict=True)]
    assert moved == pytest.approx([0, 0.0127, 0], abs=1e-4)
    page.wait_for_function("() => document.activeElement?.dataset?.device === 'grille-left'")
    page.keyboard.press("Shift+ArrowDown")
    page.get_by_text(re.compile(r"-\d")).first.wait_for()
    page.wait_for_function("() => document.querySelector('#undo').title === 'Undo: move grille-left'")
    page.locator("#undo").click()
    page.locator("#undo").click()
    page.wait_for_function(
        "() => document.querySelector('[aria-label=\"place of grille-left\"]')?.value === 'grille-left'"
    )
    assert row_in(own, name, "grille-left")["place"] == "grille-left"
    page.context.close()


def _places(served: Served) -> Any:
    text = (served.shop / "vehicles" / "compact-utility.yaml").read_text(encoding="utf-8")
    return value_at(text, ("vehicle", "places"))


def test_what_moves_with_a_door_says_so(browser: Browser, own: Served) -> None:
    page = opened(browser, own, fresh(own, "door"))
    page.locator("tr[data-row=hatch-edge] .link").first.click()
    page.locator("#chosen .nudges button").first.click()
    page.get_by_role("alert").filter(has_text="a part that opens").first.wait_for()
    page.context.close()


def test_figures_of_the_table_the_row_and_the_strip_open_their_working(browser: Browser, own: Served) -> None:
    page = opened(browser, own, fresh(own, "figures"))
    settled(page)
    page.locator("tr[data-row=grille-left] .link").first.click()
    opened_workings = 0
    for figure in (
        "#strip .figure",
        ".c-current .figure",
        ".c-price .figure",
        ".c-fuse .figure",
        "#chosen .circuits .figure",
    ):
        page.locator(figure).first.click()
        lines = page.locator("dialog .calculation")
        page.wait_for_function("() => document.querySelector('dialog .calculation')?.textContent !== 'working…'")
        assert re.search(r"= -?[\d.]+", lines.inner_text()), (figure, lines.inner_text())
        page.keyboard.press("Escape")
        page.wait_for_function("() => !document.querySelector('dialog[open]')")
        opened_workings += 1
    assert opened_workings == 5
    numbers = page.evaluate(
        "() => [...document.querySelectorAll('td.c-current, td.c-price, td.c-fuse')].filter(t => /\\d/.test(t.textContent) && !t.querySelector('button')).map(t => t.textContent)"
    )
    assert numbers == [], "a number that opens nothing"
    page.context.close()


@pytest.mark.parametrize("width", [1440, 820, 390])
def test_nothing_written_in_the_table_is_cut(browser: Browser, own: Served, width: int) -> None:
    page = opened(browser, own, fresh(own, f"cut-{width}"), width=width)
    settled(page)
    cut = page.evaluate(
        """() => [...document.querySelectorAll('.fit-install .cell')].filter(e => e.getClientRects().length && e.value)
          .filter(e => e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 2).map(e => e.value)"""
    )
    looked = page.evaluate(
        "() => [...document.querySelectorAll('.fit-install .cell')].filter(e => e.getClientRects().length).length"
    )
    assert looked > 20
    assert cut == []
    page.context.close()


def test_on_a_phone_the_drawing_stays_and_the_chosen_row_comes_up(browser: Browser, own: Served) -> None:
    page = opened(browser, own, fresh(own, "phone"), width=390)
    page.mouse.wheel(0, 1200)
    page.wait_for_timeout(200)
    box = page.locator(".fit-where").bounding_box()
    assert box is not None and box["y"] >= -1, "the drawing stays in sight"
    assert not page.locator("#chosen").is_visible()
    page.locator("tr[data-row=control] .link").first.click()
    sheet = page.locator("#chosen").bounding_box()
    assert sheet is not None and sheet["y"] + sheet["height"] <= 901
    page.locator("#chosen").get_by_role("button", name="Close").click()
    assert not page.locator("#chosen").is_visible()
    page.context.close()
