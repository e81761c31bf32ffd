"""Following a page of the docs in a browser: every line that begins with a dot is one thing to do."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page

_FENCE = re.compile(r"```yaml\n(.*?)```", re.DOTALL)


def steps_of(text: str) -> Iterator[tuple[str, str]]:
    """Each thing to do, and the text that stands under it where it says to write one."""
    for match in re.finditer(r"^- (.+?)$(?:\n\n```yaml\n(.*?)```)?", text, re.DOTALL | re.MULTILINE):
        yield match[1], match[2] or ""


class Walker:
    """Does what a page of the docs says; a line it does not know is an error of that page."""

    def __init__(self, page: Page, address: str, downloads: Path) -> None:
        self.page = page
        self.address = address
        self.downloads = downloads
        self.done: dict[str, int] = {}
        self.fetched: list[Path] = []
        self._ways: tuple[tuple[str, Callable[..., None]], ...] = (
            (r"Open the address .*", self.open),
            (r"Press \*\*(.+)\*\*\.", self.press),
            (r"Type `(.+)` into \*\*(.+)\*\*\.", self.type),
            (r"Choose `(.+)` under \*\*(.+)\*\*\.", self.choose),
            (r"Choose the position `(.+)` of \*\*(.+)\*\*\.", self.position),
            (r"Fit `(.+)` as `(.+)` at `(.+)`\.", self.fit),
            (r"In row `(.+)` write `(.+)` under \*\*(.+)\*\*\.", self.cell),
            (r"Write:", self.write),
            (r"See “(.+)”\.", self.see),
            (r"Fetch \*\*(.+)\*\*\.", self.fetch),
        )

    def walk(self, text: str) -> None:
        """Follow the whole page."""
        for line, under in steps_of(text):
            for pattern, do in self._ways:
                match = re.fullmatch(pattern, line)
                if match:
                    self.done[do.__name__] = self.done.get(do.__name__, 0) + 1
                    do(*match.groups(), *([under] if under else []))
                    break
            else:
                raise AssertionError(f"nobody knows how to: {line}")

    def open(self) -> None:
        self.page.goto(self.address)

    def press(self, name: str) -> None:
        if name in ("Switches", "Functions"):  # leaving a section saves it first
            self.page.locator("#editor .cm-content").wait_for()
        found = self.page.get_by_role("button", name=re.compile(rf"^{re.escape(name)}( \d+)?$"))
        link = self.page.get_by_role("link", name=name, exact=True)
        rows = self.page.locator("tbody tr").count()
        found.or_(link).first.click()
        if name == "Add a row":
            self.page.wait_for_function("n => document.querySelectorAll('tbody tr').length > n", arg=rows)

    def type(self, value: str, label: str) -> None:
        self.page.get_by_label(label, exact=True).fill(value)

    def choose(self, value: str, label: str) -> None:
        self.page.get_by_label(label, exact=True).select_option(label=value)

    def position(self, value: str, legend: str) -> None:
        self.page.get_by_role("group", name=legend, exact=True).get_by_role("radio", name=value, exact=True).click(
            force=True
        )

    def fit(self, part: str, name: str, place: str) -> None:
        if not self.page.locator("#catalogue-words").is_visible():
            self.page.locator("#add-part").click()
        self.page.locator("#catalogue-words").fill(part)
        self.page.get_by_role("button", name=f"Fit {part}", exact=True).click()
        self.page.locator("#add-id").fill(name)
        self.page.locator("#add-place").fill(place)
        self.page.locator("#add-here").click()
        self.page.locator(f"tr[data-row={name}]").wait_for()

    def cell(self, row: str, value: str, key: str) -> None:
        label = f"{key} of {row}"
        field = self.page.get_by_label(label, exact=True)
        field.fill(value)
        field.press("Enter")
        self.page.wait_for_function(
            "([label, value]) => document.querySelector(`[aria-label='${label}']`)?.defaultValue === value",
            arg=[label, value],
        )
        assert not self.page.locator(".refused").count()

    def write(self, text: str) -> None:
        self.page.locator("#editor .cm-content").click()
        self.page.keyboard.press("ControlOrMeta+a")
        self.page.keyboard.insert_text(text.rstrip("\n"))
        self.page.locator("#save-text:not([disabled])").click()
        self.page.wait_for_function("() => document.querySelector('#save-text').disabled")

    def see(self, words: str) -> None:
        self.page.get_by_text(words).locator("visible=true").first.wait_for(timeout=30_000)

    def fetch(self, name: str) -> None:
        with self.page.expect_download() as coming:
            self.page.get_by_role("link", name=name, exact=True).click()
        target = self.downloads / coming.value.suggested_filename
        coming.value.save_as(target)
        self.fetched.append(target)
