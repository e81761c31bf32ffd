"""What happens around a page: slow and broken connections, a server that restarts, other tabs, documents beside a build."""

from __future__ import annotations

import time
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from .conftest import BUILD, Served, example_shop
from .test_fit_page import fresh, opened, settled

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser
SLOW = {"offline": False, "latency": 400, "downloadThroughput": 50_000, "uploadThroughput": 25_000}
WATCH = """() => {
  window.seen = [];
  const look = () => window.seen.push(document.querySelector('.strip-figures').textContent);
  new MutationObserver(look).observe(document.querySelector('#strip'), { subtree: true, childList: true, characterData: true });
}"""


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    running = Served(example_shop(tmp_path_factory.mktemp("robust") / "shop", BUILD))
    yield running
    running.stop()


def build_text(served: Served, name: str) -> str:
    return (served.shop / "builds" / f"{name}.yaml").read_text(encoding="utf-8")


def nameplate(page: Page) -> str:
    return (
        page.locator(".strip-figures", has_text="name-plate").inner_text().split("name-plate")[1].split("A")[0].strip()
    )


def test_on_a_slow_connection_edits_arrive_in_order_and_no_stale_figure_is_shown(browser: Browser, own: Served) -> None:
    name = fresh(own, "slow")
    page = opened(browser, own, name)
    settled(page)
    before = nameplate(page)
    session = page.context.new_cdp_session(page)
    session.send("Network.enable")
    session.send("Network.emulateNetworkConditions", SLOW)
    page.evaluate(WATCH)
    for row in ("quarter-left", "quarter-right"):  # the second before the first has come back
        field = page.get_by_label(f"part of {row}", exact=True)
        field.fill("surface-six-blue-white")
        field.press("Enter")
    page.wait_for_function(
        "() => document.querySelector('[aria-label=\"part of quarter-right\"]').defaultValue === 'surface-six-blue-white'",
        timeout=30_000,
    )
    page.wait_for_function("() => window.seen.some(t => t.includes('working…'))", timeout=20_000)
    settled(page)
    after = nameplate(page)
    assert after != before
    seen = page.evaluate("() => window.seen")
    first = next(i for i, text in enumerate(seen) if "working…" in text)
    stale = [text for text in seen[first:] if f"name-plate {before} A" in text]
    assert stale == [], "figures of the text before came back"
    text = build_text(own, name)
    assert "id: quarter-left, part: surface-six-blue-white" in text
    assert "id: quarter-right, part: surface-six-blue-white" in text
    page.context.close()


def test_a_server_that_is_gone_is_said_and_found_again(browser: Browser, own: Served) -> None:
    name = fresh(own, "gone")
    page = opened(browser, own, name)
    settled(page)
    own.stop()
    page.get_by_text("The server does not answer. This page tries again by itself.").wait_for(timeout=30_000)
    field = page.get_by_label("place of grille-right", exact=True)
    field.fill("grille-left")
    field.press("Enter")
    page.get_by_text("What you typed is kept in this page").first.wait_for()
    own.start()
    page.get_by_text("The server does not answer. This page tries again by itself.").wait_for(
        state="detached", timeout=30_000
    )
    field = page.get_by_label("place of grille-right", exact=True)
    field.fill("bumper-right" if "bumper-right" in build_text(own, name) else "grille-left")
    field.press("Enter")
    page.wait_for_function("() => document.querySelector('#undo').title.startsWith('Undo: place')", timeout=20_000)
    page.context.close()


def test_undo_goes_on_after_the_server_was_restarted(browser: Browser, own: Served) -> None:
    name = fresh(own, "again")
    page = opened(browser, own, name)
    before = build_text(own, name)
    page.locator("tr[data-row=grille-left] .link").first.click()
    page.get_by_role("button", name="Remove").click()
    page.locator("tr[data-row=grille-left]").wait_for(state="detached")
    own.stop()
    own.start()
    page.reload()
    page.locator("tr[data-row=grille-right]").wait_for(timeout=30_000)
    page.locator("#undo:not([disabled])").click()
    page.locator("tr[data-row=grille-left]").wait_for(timeout=30_000)
    assert build_text(own, name) == before
    page.context.close()


def test_another_document_of_the_shop_is_edited_beside_the_build(browser: Browser, own: Served) -> None:
    name = fresh(own, "beside")
    page = browser.new_context(viewport={"width": 1440, "height": 900}).new_page()
    page.goto(own.address)
    page.get_by_role("link", name="shop.yaml").click()
    page.goto(f"{own.address}/builds/{name}/text?file=shop.yaml")
    page.locator("#editor .cm-line").first.wait_for()
    settled(page)
    shop = own.shop / "shop.yaml"
    before = shop.read_text(encoding="utf-8")
    page.locator("#editor .cm-content").click()
    page.keyboard.press("ControlOrMeta+Home")
    page.keyboard.insert_text("# typed\n")
    page.get_by_text("kept as a draft").wait_for()
    assert shop.read_text(encoding="utf-8") == before
    page.locator("#save-text").click()
    page.locator("#undo-document:not([disabled])").wait_for()
    assert shop.read_text(encoding="utf-8") == "# typed\n" + before
    shop.write_text("# by another program\n" + before, encoding="utf-8")
    page.keyboard.insert_text("# more\n")
    page.get_by_role("heading", name="On disk now").wait_for(timeout=20_000)
    assert shop.read_text(encoding="utf-8") == "# by another program\n" + before, "never written over"
    page.get_by_role("button", name="Take the one on disk").click()
    page.get_by_text("Saved.").wait_for()
    page.context.close()
    shop.write_text(before, encoding="utf-8")


def test_many_tabs_wait_without_holding_up_anybody(browser: Browser, own: Served) -> None:
    name = fresh(own, "tabs")
    context = browser.new_context()
    pages = [context.new_page() for _ in range(7)]  # more than a browser's connections to one server
    for page in pages:
        page.goto(f"{own.address}/builds/{name}/papers", wait_until="domcontentloaded")
    started = time.monotonic()
    last = context.new_page()
    last.goto(f"{own.address}/builds/{name}/fit")
    last.locator("tr[data-row=control]").wait_for(timeout=30_000)
    assert time.monotonic() - started < 25
    context.close()


def test_where_the_work_stands_is_chosen_in_the_list_and_found_by(browser: Browser, own: Served) -> None:
    name = fresh(own, "stands")
    page = browser.new_context(viewport={"width": 1440, "height": 900}).new_page()
    page.goto(own.address)
    cards = page.locator(".build-card:visible").count()
    digest = page.request.get(f"{own.address}/api/builds/{name}").json()["build"]["digest"]
    page.locator(f"#stands-{name}").select_option("in the bay")
    page.wait_for_function("() => document.querySelector('#stands-says').hidden")
    deadline = time.monotonic() + 20
    while "stands: in the bay" not in build_text(own, name):
        assert time.monotonic() < deadline
        page.wait_for_timeout(50)
    assert page.request.get(f"{own.address}/api/builds/{name}").json()["build"]["digest"] == digest
    page.reload()
    assert page.locator(f"#stands-{name}").input_value() == "in the bay"
    page.get_by_label("Builds that stand at").select_option("in the bay")
    assert page.locator(".build-card:visible").count() == 1 < cards
    page.get_by_label("Find a build").fill("nobody has this")
    page.get_by_text("No build holds all of that.").wait_for()
    page.context.close()
