"""The stand-alone page opened from disk, as on a phone: pressed, toured, answered, approved."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from rigbook.papers.page import stand_alone_page
from rigbook.switching.stepping import Stepper
from tests.cli.runner import rigbook
from tests.papers.example_builds import desk, shop_folder

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser
AXE = Path(__file__).with_name("axe.min.js")


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("mail")
    found = {}
    for build in ("duty-officer-utility", "flood-support-van"):
        found[build] = folder / f"{build}.html"
        found[build].write_bytes(stand_alone_page(desk(build)))
    return found


def opened(browser: Browser, path: Path, *, width: int = 390, **more: Any) -> tuple[Page, list[str]]:
    """The page from its file, and everything that went wrong or was asked of a network."""
    context = browser.new_context(viewport={"width": width, "height": 844}, accept_downloads=True, **more)
    page = context.new_page()
    wrong: list[str] = []
    page.on("console", lambda m: wrong.append(m.text) if m.type in ("error", "warning") else None)
    page.on("pageerror", lambda e: wrong.append(str(e)))
    page.on("request", lambda r: None if r.url.startswith(("file:", "blob:")) else wrong.append(r.url))
    page.goto(path.as_uri())
    page.locator("#start-flashing").wait_for()
    return page, wrong


def lit(page: Page) -> dict[str, str]:
    return page.evaluate(
        "() => Object.fromEntries([...document.querySelectorAll('.lamp.lit')].map(e => [e.dataset.device, e.dataset.lit]))"
    )


def test_pressing_lights_what_the_program_says(browser: Browser, files: dict[str, Path]) -> None:
    page, wrong = opened(browser, files["flood-support-van"])
    program = desk("flood-support-van").rig.program
    page.locator("[data-standing='in park']").click()
    page.locator("[data-variable=response] [data-value=on-scene]").click()
    page.locator("[data-variable=scene_left] button").click()
    stepper = Stepper(program)
    stepper.set({"ignition": "run", "engine_running": "yes"})
    stepper.set({"response": "on-scene"})
    stepper.press("scene_left")
    from rigbook.switching.evaluate import evaluate

    outcome = evaluate(program, stepper.state)
    expected = {d.id: " ".join(c for c, _ in outcome.lit[i]) for i, d in enumerate(program.devices) if outcome.lit[i]}
    assert lit(page) == expected and len(expected) > 30
    # into motion: the switch lets go, the scene light is out
    page.locator("[data-standing='in motion']").click()
    assert page.locator("[data-variable=scene_left] button").get_attribute("aria-pressed") == "false"
    assert "scene-left-front" not in lit(page)
    assert wrong == []
    page.context.close()


def test_taps_and_holds(browser: Browser, files: dict[str, Path]) -> None:
    page, wrong = opened(browser, files["flood-support-van"])
    page.locator("[data-state=responding]").click()
    key = page.locator("[data-variable=horn_ring] button")
    key.scroll_into_view_if_needed()
    box = key.bounding_box()
    assert box is not None and box["height"] >= 44
    page.mouse.move(box["x"] + 20, box["y"] + 20)
    page.mouse.down()
    page.locator("[data-device=siren-amp]", has_text="horn").wait_for(timeout=3_000)
    page.mouse.up()
    page.locator("[data-device=siren-amp]").wait_for(state="detached", timeout=3_000)
    assert wrong == []
    page.context.close()


def test_flashing_waits_for_the_caution_and_stops(browser: Browser, files: dict[str, Path]) -> None:
    page, wrong = opened(browser, files["duty-officer-utility"])
    page.locator("[data-state]:not([data-state=''])").first.click()
    still = page.evaluate("rigbookPage.ms")
    assert still is None
    page.locator("#start-flashing").click()
    assert page.locator("[role=alertdialog]").is_visible() and page.evaluate("rigbookPage.mode") == "asking"
    page.locator("#accept-flashing").click()
    for _ in range(100):  # the page's own policy forbids to wait by a function
        if page.evaluate("rigbookPage.ms") > 100:
            break
        page.wait_for_timeout(50)
    assert page.evaluate("rigbookPage.ms") > 100
    page.locator("#speed").select_option("0.1")
    page.keyboard.press("Escape")
    assert page.evaluate("rigbookPage.ms") is None and page.evaluate("rigbookPage.mode") == "still"
    assert wrong == []
    page.context.close()


def test_less_motion_is_honoured(browser: Browser, files: dict[str, Path]) -> None:
    page, _ = opened(browser, files["duty-officer-utility"], reduced_motion="reduce")
    assert page.locator("#start-flashing").is_disabled()
    page.locator("#step").click()
    page.locator("#step").click()
    assert page.evaluate("rigbookPage.ms") == 50
    page.locator("#tab-tour").click()
    page.locator("[data-start]").first.click()
    assert page.evaluate("rigbookPage.mode") == "still"
    page.context.close()


def test_every_stop_of_the_tour_shows_what_python_found(browser: Browser, files: dict[str, Path]) -> None:
    from rigbook.papers.page_tour import tour_of

    here = desk("flood-support-van")
    page, wrong = opened(browser, files["flood-support-van"], width=1200)
    stops, starts = tour_of(here)
    begins = {s["name"]: s["events"] for s in starts}
    looked = 0
    for stop in stops:
        for shown in stop["shows"]:
            stepper = Stepper(here.rig.program)
            for what, about in [*begins[shown["start"]], *shown["events"]]:
                getattr(stepper, what)(about)
            state = page.evaluate(
                "one => { rigbookPage.accepted = true; rigbookPage.demonstrate(one); return rigbookPage.machine.state; }",
                shown,
            )
            assert tuple(state) == stepper.state
            looked += 1
    assert looked == 60 and wrong == []
    page.context.close()


def test_an_answer_goes_from_the_page_into_the_records(
    browser: Browser, files: dict[str, Path], tmp_path: Path
) -> None:
    page, wrong = opened(browser, files["duty-officer-utility"], width=360)
    page.locator("#tab-tour").click()
    page.get_by_text("Leave a remark on this").click()
    page.locator("#remark").fill("Could it be slower? <b>\u00e9</b>")
    page.locator("#save").click()
    assert "choose one of the three answers, enter your name, enter the date" in str(
        page.locator("#saved").text_content()
    )
    page.locator("input[value='approved with remarks']").check()
    page.locator("#name").fill("Ann Example")
    page.locator("#date").fill("2026-05-04")
    with page.expect_download() as waiting:
        page.locator("#save").click()
    saved = tmp_path / waiting.value.suggested_filename
    waiting.value.save_as(saved)
    assert saved.name == "duty-officer-utility-answer.json"
    made = json.loads(saved.read_text(encoding="utf-8"))
    assert made["digest"] == desk("duty-officer-utility").rig.digest and made["remarks"][0]["text"].endswith(
        "<b>\u00e9</b>"
    )
    done = rigbook("approve", shop_folder() / "builds/duty-officer-utility.yaml", saved)
    assert done.returncode == 0 and "approved with remarks by Ann Example" in done.stdout, done.stderr
    assert wrong == []
    page.context.close()


def test_axe_finds_nothing_and_nothing_scrolls_sideways(browser: Browser, files: dict[str, Path]) -> None:
    looked = 0
    for width, theme in ((360, "light"), (390, "dark"), (820, "light"), (1440, "dark")):
        page, _ = opened(browser, files["flood-support-van"], width=width, color_scheme=theme, bypass_csp=True)
        page.add_script_tag(content=AXE.read_text(encoding="utf-8"))
        for part in ("try", "tour", "answer"):
            page.locator(f"#tab-{part}").click()
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            found = page.evaluate(
                "async () => { const r = await axe.run(document, {resultTypes: ['violations']}); return [r.passes.length, r.violations.map(v => [v.id, v.nodes.slice(0, 3).map(n => n.html.slice(0, 160))])]; }"
            )
            assert found[0] > 10 and found[1] == [], (width, theme, part)
            small = page.evaluate(
                "[...document.querySelectorAll('button, select, summary')].filter(e => e.offsetParent && e.getBoundingClientRect().height < 43.9).map(e => e.outerHTML.slice(0, 80))"
            )
            assert small == []
            looked += 1
        page.context.close()
    assert looked == 12
