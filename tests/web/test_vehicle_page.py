"""The vehicle page in a real browser, against what the Python evaluator and the power engine say."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from rigbook.assess.assessment import Assessment, assess
from rigbook.documents.loader import load_build
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.states import saved_state

from .conftest import BUILD

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def assessment(shop: Path) -> Assessment:
    return assess(load_build(shop, Path(f"builds/{BUILD}.yaml")))


def opened(
    browser: Browser, address: str, *, width: int = 1440, height: int = 900, **context: Any
) -> tuple[Page, list[str]]:
    """The vehicle page once its switches are there, and whatever the browser complained of."""
    page = browser.new_context(viewport={"width": width, "height": height}, **context).new_page()
    trouble: list[str] = []
    page.on("console", lambda m: trouble.append(m.text) if m.type in ("error", "warning") else None)
    page.on("pageerror", lambda e: trouble.append(str(e)))
    page.on("requestfailed", lambda r: trouble.append(r.url))
    page.on(
        "request",
        lambda r: None if r.url.startswith((address, "data:")) else trouble.append(f"asked elsewhere: {r.url}"),
    )
    page.goto(f"{address}/builds/{BUILD}")
    page.wait_for_selector(".state-list button")
    return page, trouble


def lit_on_page(page: Page) -> dict[str, set[str]]:
    """Device to the colours its marks show, over all views and poses."""
    rows = page.eval_on_selector_all(".lamp", "found => found.map(g => [g.dataset.device, g.dataset.lit ?? ''])")
    lit: dict[str, set[str]] = {}
    for device, colours in rows:
        lit.setdefault(device, set()).update(colours.split())
    return {d: c for d, c in lit.items() if c}


def lit_by_python(assessment: Assessment, values: dict[str, str]) -> dict[str, set[str]]:
    program = assessment.worked.program
    state = saved_state(program, values)
    outcome = Evaluator(program).outcome(state)  # type: ignore[arg-type]
    return {d.id: {colour for colour, _ in lit} for d, lit in zip(program.devices, outcome.lit, strict=True) if lit}


def press(page: Page, group: str, value: str) -> None:
    page.get_by_role("group", name=group, exact=True).get_by_role("radio", name=value, exact=True).check(force=True)


def test_every_saved_state_lights_draws_and_shows_as_python_says(
    browser: Browser, address: str, assessment: Assessment
) -> None:
    page, trouble = opened(browser, address)
    rig, power = assessment.worked, assessment.power
    assert power is not None and len(rig.states) >= 4
    lit_states = 0
    for point, figures in zip(rig.states, power.states, strict=True):
        page.get_by_role("button", name=point.title, exact=True).click()
        expected = lit_by_python(assessment, dict(point.settings))
        assert lit_on_page(page) == expected, point.id
        assert float(page.inner_text("#whole-amperes")) == pytest.approx(
            figures.average_a, abs=0.051 if figures.average_a > 9.99 else 0.0051
        ), point.id
        for flow in figures.feeds:
            shown = float(page.inner_text(f"tr[data-feed='{flow.id}'] td:nth-child(2)"))
            assert shown == pytest.approx(flow.average_a, abs=0.051 if flow.average_a > 9.99 else 0.0051), (
                point.id,
                flow.id,
            )
        lit_states += bool(expected)
    assert lit_states >= 3, "the states reach something to compare"
    assert trouble == []


def test_pressing_switches_and_signals_lights_lamps_as_python_says(
    browser: Browser, address: str, assessment: Assessment
) -> None:
    page, trouble = opened(browser, address)
    assert lit_on_page(page) == lit_by_python(assessment, {}) == {}
    press(page, "WARN", "on scene")
    assert lit_on_page(page) == lit_by_python(assessment, {"response": "on-scene"}) != {}
    press(page, "ARROW", "left")
    assert lit_on_page(page) == lit_by_python(assessment, {"response": "on-scene", "arrow": "left"})
    press(page, "ignition", "run")
    press(page, "gear", "drive")
    press(page, "WARN", "responding")
    moving = {"response": "responding", "arrow": "left", "ignition": "run", "gear": "drive"}
    assert lit_on_page(page) == lit_by_python(assessment, moving)
    assert "white" in set().union(*lit_on_page(page).values())
    assert trouble == []


def test_an_impossible_signal_is_refused_in_words(browser: Browser, address: str) -> None:
    page, _ = opened(browser, address)
    # with the ignition off the vehicle file calls this impossible
    page.get_by_role("group", name="gear", exact=True).get_by_role("radio", name="drive", exact=True).click(force=True)
    assert "impossible" in page.get_by_role("alert").inner_text()
    assert page.get_by_role("group", name="gear", exact=True).get_by_role("radio", name="park", exact=True).is_checked()


def test_a_lamp_on_a_door_moves_with_the_door(browser: Browser, address: str) -> None:
    page, _ = opened(browser, address)
    press(page, "WARN", "on scene")
    poses = "g.lamp[data-device='hatch-edge'][data-pose='{}'].lit"
    assert page.locator(poses.format(0)).count() > 0 and page.locator(poses.format(1)).count() == 0
    press(page, "hatch", "yes")
    page.wait_for_selector(poses.format(1), state="attached", timeout=3000)  # the wire settles first
    assert page.locator(poses.format(0)).count() == 0


def test_a_held_button_is_released_by_lifting_leaving_or_losing_focus(browser: Browser, address: str) -> None:
    page, _ = opened(browser, address)
    button = page.get_by_role("button", name="HORN RING, hold")
    button.focus()
    for key in (" ", "Enter"):
        page.keyboard.down(key)
        assert button.get_attribute("aria-pressed") == "true"
        page.keyboard.up(key)
        assert button.get_attribute("aria-pressed") == "false"
    page.keyboard.down(" ")
    page.keyboard.press("Tab")
    assert button.get_attribute("aria-pressed") == "false"
    page.keyboard.up(" ")
    box = button.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 10, box["y"] + 10)
    page.mouse.down()
    assert button.get_attribute("aria-pressed") == "true"
    page.mouse.move(box["x"] + 10, box["y"] - 60)
    assert button.get_attribute("aria-pressed") == "false"
    page.mouse.up()


def watched(page: Page, ms: int) -> int:
    """How often any lamp changed what it shows within a time."""
    return int(
        page.evaluate(
            """ms => new Promise(done => {
              let count = 0;
              const watch = new MutationObserver(seen => { count += seen.length; });
              for (const g of document.querySelectorAll('.lamp')) watch.observe(g, { attributes: true, attributeFilter: ['data-lit'] });
              setTimeout(() => { watch.disconnect(); done(count); }, ms);
            })""",
            ms,
        )
    )


def test_nothing_flashes_before_the_caution_is_accepted_and_escape_stops_it(browser: Browser, address: str) -> None:
    page, _ = opened(browser, address)
    page.get_by_role("button", name="Responding", exact=True).click()
    assert watched(page, 900) == 0
    page.click("#start-flashing")
    caution = page.get_by_role("alertdialog")
    assert "photosensitive" in caution.inner_text()
    assert watched(page, 500) == 0, "asking is not yet flashing"
    page.get_by_role("button", name="Leave it still").click()
    assert watched(page, 500) == 0
    page.click("#start-flashing")
    page.click("#accept-flashing")
    assert watched(page, 1200) > 10
    page.keyboard.press("Escape")
    assert watched(page, 700) == 0
    page.click("#start-flashing")
    assert page.locator("[role=alertdialog]").count() == 0, "the caution was accepted once on this page"
    fast = watched(page, 1600)
    page.select_option("#speed", "0.1")
    assert watched(page, 1600) < fast / 3


def test_flashing_shows_at_each_instant_what_the_timelines_say(
    browser: Browser, address: str, assessment: Assessment
) -> None:
    page, _ = opened(browser, address)
    program = assessment.worked.program
    point = next(s for s in assessment.worked.states if s.id == "responding")
    page.get_by_role("button", name=point.title, exact=True).click()
    outcome = Evaluator(program).outcome(saved_state(program, dict(point.settings)))  # type: ignore[arg-type]
    instants = set()
    for step in range(20):
        page.get_by_role("button", name="Step 50 ms").click()
        at = step * 50
        expected = {}
        for device, lit in zip(program.devices, outcome.lit, strict=True):
            shown = {c for c, t in lit if any(s.start_ms <= at % t.period_ms < s.end_ms for s in t.spans)}
            if shown:
                expected[device.id] = shown
        assert lit_on_page(page) == expected, at
        instants.add(str(sorted((d, sorted(c)) for d, c in expected.items())))
    assert len(instants) >= 3, "the instants differ"


def test_less_motion_is_honoured(browser: Browser, address: str) -> None:
    page, _ = opened(browser, address, reduced_motion="reduce")
    page.get_by_role("button", name="Responding", exact=True).click()
    assert page.locator("#start-flashing").is_disabled()
    assert "less motion" in page.inner_text("#motion")
    assert watched(page, 600) == 0


@pytest.mark.parametrize(("width", "height"), [(390, 844), (360, 740), (820, 1180), (1440, 900)])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_scrolls_sideways_and_targets_are_large_enough(
    browser: Browser, address: str, width: int, height: int, scheme: str
) -> None:
    page, trouble = opened(browser, address, width=width, height=height, color_scheme=scheme)
    page.get_by_role("button", name="Responding with siren").click()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    clipped = page.evaluate("""() => [...document.querySelectorAll('main button, main label, main h1, main h2, main p, main td, .verdict')]
        .filter(e => e.getClientRects().length && (e.getBoundingClientRect().right > innerWidth + 0.5 || e.getBoundingClientRect().left < -0.5)).map(e => e.textContent)""")
    assert clipped == []
    small = page.evaluate("""() => [...document.querySelectorAll('#vehicle-page button:not(.figure), #vehicle-page .positions label, #vehicle-page .lost, select')]
        .filter(e => e.getClientRects().length && (e.getBoundingClientRect().height < 43.5 || e.getBoundingClientRect().width < 43.5)).map(e => e.textContent)""")
    assert small == []
    assert trouble == []


def test_on_touch_the_figures_are_large_enough_too(browser: Browser, address: str) -> None:
    page, _ = opened(browser, address, width=390, height=844, has_touch=True, is_mobile=True)
    page.get_by_role("button", name="Responding", exact=True).click()
    boxes = page.evaluate(
        """() => [...document.querySelectorAll('#vehicle-page td .figure')].map(e => [e.getBoundingClientRect().width, e.getBoundingClientRect().height])"""
    )
    assert len(boxes) >= 10
    assert [b for b in boxes if b[0] < 43.5 or b[1] < 43.5] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_all_controls_have_names_and_show_their_focus(browser: Browser, address: str) -> None:
    page, _ = opened(browser, address)
    nameless = page.evaluate("""() => [...document.querySelectorAll('button, select, input')]
        .filter(e => !(e.textContent.trim() || e.labels?.length || e.getAttribute('aria-label'))).map(e => e.outerHTML)""")
    assert nameless == []
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert outline != "none"


def test_losing_a_signal_changes_what_functions_see(browser: Browser, address: str, assessment: Assessment) -> None:
    page, _ = opened(browser, address)
    page.get_by_role("button", name="Responding", exact=True).click()
    before = lit_on_page(page)
    page.get_by_role("group", name="gear", exact=True).get_by_role("checkbox", name="lost").check(force=True)
    program = assessment.worked.program
    point = next(s for s in assessment.worked.states if s.id == "responding")
    gear = next(i for i, v in enumerate(program.variables) if v.name == "gear")
    outcome = Evaluator(program).outcome(saved_state(program, dict(point.settings)), frozenset({gear}))  # type: ignore[arg-type]
    expected = {d.id: {c for c, _ in lit} for d, lit in zip(program.devices, outcome.lit, strict=True) if lit}
    assert lit_on_page(page) == expected != before
