"""Every page by axe, in both themes and at three widths: no violation, nothing wider than the screen."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from .conftest import BUILD

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser
AXE = Path(__file__).with_name("axe.min.js")
PAGES = {
    "shop": ("/", ".builds"), "vehicle": (f"/builds/{BUILD}", ".state-list button"), "fit": (f"/builds/{BUILD}/fit", ".fit-views svg"),
    "switching": (f"/builds/{BUILD}/switching", ".decides"), "papers": (f"/builds/{BUILD}/papers", ".paper"),
    "light": (f"/builds/{BUILD}/light", ".contours"), "power": (f"/builds/{BUILD}/power", "#power-line svg"), "body": (f"/builds/{BUILD}/body", ".face-item"),
    "text": (f"/builds/{BUILD}/text", "#editor .cm-line"),
}  # fmt: skip


@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_no_violation_and_nothing_scrolls_sideways(browser: Browser, address: str, name: str) -> None:
    path, ready = PAGES[name]
    looked = 0
    for width, theme in ((1440, "light"), (820, "dark"), (390, "light"), (390, "dark")):
        context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=theme, bypass_csp=True)
        page = context.new_page()
        page.goto(address + path)
        page.locator(ready).first.wait_for(timeout=30_000)
        page.wait_for_function("() => !document.querySelector('.verdict-working')", timeout=30_000)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        page.add_script_tag(content=AXE.read_text(encoding="utf-8"))
        found = page.evaluate(
            "async () => { const r = await axe.run(document, {resultTypes: ['violations']}); return [r.passes.length, r.violations.map(v => [v.id, v.nodes.slice(0, 4).map(n => n.html.slice(0, 160))])]; }"
        )
        assert found[0] > 10
        assert found[1] == [], f"{name} at {width} {theme}"
        looked += 1
        context.close()
    assert looked == 4
