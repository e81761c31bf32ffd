"""A newcomer's path in a real browser: an empty shop to papers in hand, by the pages alone."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from rigbook.assess.assessment import assess
from rigbook.documents.loader import load_build

from .conftest import Served, example_shop
from .walking import Walker

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser
WALK = Path(__file__).parents[2] / "docs" / "workbench.md"


def page_of(browser: Browser, **more: Any) -> Page:
    return browser.new_context(viewport={"width": 1440, "height": 900}, accept_downloads=True, **more).new_page()


def begin(page: Page, address: str, title: str = "First build") -> None:
    page.goto(address)
    page.get_by_role("button", name="New build").click()
    page.get_by_label("Title").fill(title)
    page.get_by_label("Begin from").select_option("vehicle:compact-utility")
    page.get_by_role("button", name="Begin", exact=True).click()
    page.wait_for_url("**/fit")
    page.get_by_text("Nothing is fitted yet").wait_for()


def fit(page: Page, words: str, part: str, name: str, place: str) -> None:
    if not page.locator("#catalogue-words").is_visible():
        page.locator("#add-part").click()
    page.locator("#catalogue-words").fill(words)
    page.get_by_role("button", name=f"Fit {part}", exact=True).click()
    page.locator("#add-id").fill(name)
    page.locator("#add-place").fill(place)
    page.locator("#add-here").click()
    page.locator(f"tr[data-row={name}]").wait_for()


def cell(page: Page, row: str, key: str, value: str) -> None:
    field = page.get_by_label(f"{key} of {row}", exact=True)
    field.fill(value)
    field.press("Enter")
    page.wait_for_function(
        "([row, label, value]) => document.querySelector(`[aria-label='${label}']`)?.defaultValue === value",
        arg=[row, f"{key} of {row}", value],
    )
    assert not page.locator(".refused").count()


def test_a_newcomer_follows_the_docs_from_an_empty_shop_to_papers(
    browser: Browser, served: Served, tmp_path: Path
) -> None:
    """Six lamps, a controller, a siren, a slide switch of three positions: findings fall to notes, papers come down."""
    page = page_of(browser)
    trouble: list[str] = []
    page.on("pageerror", lambda e: trouble.append(str(e)))
    page.on("console", lambda m: trouble.append(m.text) if m.type == "error" and "status of" not in m.text else None)
    walker = Walker(page, served.address, tmp_path)
    walker.walk(WALK.read_text(encoding="utf-8"))
    assert walker.done["fit"] == 9 and walker.done["write"] == 2 and walker.done["cell"] > 15, walker.done

    assessment = assess(load_build(served.shop, Path("builds/first-build.yaml")))
    assert not assessment.errors, [e.says for e in assessment.errors]
    left = [f.id for f in assessment.findings if f.severity != "note"]
    assert left == [], [f.says for f in assessment.findings if f.severity != "note"]
    page.locator(".verdict-pass").wait_for()
    assert "0 fail · 0 caution" in page.locator(".strip-figures").inner_text()
    switch = assessment.worked.build.switching.switches[0]
    assert switch.kind == "slide" and len(switch.positions) == 3
    assert sum(p.part_kind == "lamp" for p in assessment.worked.devices.values()) == 6
    papers = {target.suffix: target.read_bytes() for target in walker.fetched}
    assert papers.keys() == {".pdf", ".svg", ".csv"}
    assert papers[".pdf"].startswith(b"%PDF") and b"grille-left" in papers[".csv"]
    assert trouble == []


# --- what happens around a person who types ------------------------------------------------------------


def typed(page: Page) -> str:
    return str(
        page.evaluate(
            "() => document.querySelector('#editor').shadowRoot.querySelector('.cm-content').cmTile?.view?.state.doc.toString() ?? document.querySelector('#editor').shadowRoot.querySelector('.cm-content').innerText"
        )
    )


def opened_text(page: Page, address: str) -> None:
    page.goto(f"{address}/builds/first-build/text")
    page.locator("#editor .cm-content").wait_for()


def append_line(page: Page, line: str) -> None:
    page.locator("#editor .cm-content").click()
    page.keyboard.press("ControlOrMeta+End")
    page.keyboard.insert_text(line)


def test_a_crash_loses_nothing_that_was_kept_and_a_changed_file_is_never_written_over(
    browser: Browser, served: Served
) -> None:
    page = page_of(browser)
    begin(page, served.address)
    opened_text(page, served.address)
    append_line(page, "# typed and not saved\n")
    page.get_by_text("Not saved yet; kept as a draft.").wait_for()
    build = served.shop / "builds" / "first-build.yaml"
    assert "typed and not saved" not in build.read_text(encoding="utf-8")
    page.context.close()  # the browser crashes
    served.stop()
    served.start()
    page = page_of(browser)
    opened_text(page, served.address)
    page.get_by_text("# typed and not saved").wait_for()
    build.write_text(build.read_text(encoding="utf-8") + "# from another program\n", encoding="utf-8")
    page.get_by_role("heading", name="On disk now").wait_for()
    assert "# from another program" in page.locator(".beside-text").inner_text()
    assert "typed and not saved" not in build.read_text(encoding="utf-8"), "never overwritten"
    page.get_by_role("button", name="Save mine over it").click()
    page.get_by_text("Saved.").wait_for()
    assert "typed and not saved" in build.read_text(encoding="utf-8")
    page.context.close()


def test_an_error_stands_at_its_word_and_names_are_completed(browser: Browser, served: Served) -> None:
    page = page_of(browser)
    begin(page, served.address)
    opened_text(page, served.address)
    append_line(page, "persons:\n  - {seet: driver}\n")
    page.locator("#editor .cm-lintRange-error").first.wait_for()
    assert "seet" in [e.inner_text() for e in page.locator("#editor .cm-lintRange-error").all()]
    page.get_by_role("button", name="Back to saved").click()
    append_line(page, "kit:\n  - i")
    page.keyboard.press("Control+Space")
    page.locator("#editor .cm-tooltip-autocomplete").wait_for()
    assert "id" in page.locator("#editor .cm-tooltip-autocomplete li").first.inner_text()
    page.context.close()


def test_two_tabs_undo_back_and_reload_show_one_truth(browser: Browser, served: Served) -> None:
    page = page_of(browser)
    begin(page, served.address)
    fit(page, "controller", "controller-sixteen", "control", "cargo-board")
    other = page.context.new_page()
    other.goto(f"{served.address}/builds/first-build/fit")
    other.locator("tr[data-row=control]").wait_for()
    cell(page, "control", "note" if page.get_by_label("note of control").count() else "place", "cargo-tray")
    other.wait_for_function("() => document.querySelector('[aria-label=\"place of control\"]')?.value === 'cargo-tray'")
    page.locator("#undo").click()
    other.wait_for_function(
        "() => document.querySelector('[aria-label=\"place of control\"]')?.value === 'cargo-board'"
    )
    page.locator("#redo").click()
    page.wait_for_function("() => document.querySelector('[aria-label=\"place of control\"]')?.value === 'cargo-tray'")
    page.get_by_role("link", name="Papers").click()
    page.wait_for_url("**/papers")
    page.go_back()
    page.reload()
    page.locator("tr[data-row=control]").wait_for()
    assert page.get_by_label("place of control").input_value() == "cargo-tray"
    page.get_by_role("button", name="control", exact=True).click()
    page.get_by_role("button", name="Duplicate").click()
    page.locator("tr[data-row=control-2]").wait_for()
    page.get_by_role("button", name="Remove").click()
    page.locator("tr[data-row=control-2]").wait_for(state="detached")
    page.context.close()


def test_a_witness_opens_on_the_vehicle_as_steps(browser: Browser, tmp_path: Path) -> None:
    folder = example_shop(tmp_path / "shop", "planted-faults")
    served = Served(folder)
    try:
        page = page_of(browser)
        page.goto(f"{served.address}/builds/planted-faults")
        page.get_by_role("link", name="see it as steps").first.click()
        page.locator("#witness:not([hidden])").wait_for(timeout=60_000)
        assert page.locator("#witness").inner_text().startswith("Witness")
        found = assess(load_build(folder, Path("builds/planted-faults.yaml"))).findings
        witness = next(f.witness for f in found if f.witness is not None)
        for name, value in witness.set:
            assert f"{name} {value}" in page.locator("#witness").inner_text()
        assert page.locator("#witness .steps li").count() == len(witness.steps or ())
        page.context.close()
    finally:
        served.stop()
