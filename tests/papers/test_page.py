"""The stand-alone page as a file: small, whole, equal for equal builds, and silent about money and addresses."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from html.parser import HTMLParser

import pytest

from rigbook.papers.chapter import Desk
from rigbook.papers.page import MOST_BYTES, page_data, stand_alone_page
from tests.papers.example_builds import BUILDS, assessed, desk


class Parts(HTMLParser):
    """Scripts, styles, policy and everything that names another file."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.inside = ""
        self.scripts: list[tuple[str, str]] = []
        self.styles: list[str] = []
        self.policy = ""
        self.addresses: list[str] = []
        self.inline_styles = 0

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        given = dict(attributes)
        self.inside = tag
        if tag == "script":
            self.scripts.append((given.get("type") or "", ""))
        if given.get("http-equiv") == "Content-Security-Policy":
            self.policy = given["content"] or ""
        self.addresses += [str(given[k]) for k in ("src", "href", "action", "xlink:href") if k in given]
        self.inline_styles += "style" in given

    def handle_data(self, data: str) -> None:
        if self.inside == "script":
            self.scripts[-1] = (self.scripts[-1][0], self.scripts[-1][1] + data)
        if self.inside == "style":
            self.styles.append(data)

    def handle_endtag(self, tag: str) -> None:
        self.inside = ""


def parts(page: bytes) -> Parts:
    found = Parts()
    found.feed(page.decode())
    return found


@pytest.mark.parametrize("build", BUILDS)
def test_one_file_that_needs_no_other(build: str) -> None:
    page = stand_alone_page(desk(build))
    found = parts(page)
    assert len(page) < MOST_BYTES
    assert found.addresses == ["#parts"] and found.inline_styles == 0
    kinds = [kind for kind, _ in found.scripts]
    assert kinds == ["application/json", ""]
    for content, directive in ((found.scripts[1][1], "script-src"), (found.styles[0], "style-src")):
        digest = base64.b64encode(hashlib.sha256(content.encode()).digest()).decode()
        assert f"{directive} 'sha256-{digest}'" in found.policy
    assert "default-src 'none'" in found.policy and "unsafe" not in found.policy and "http" not in found.policy
    assert page.count(b'class="drawing drawing-') == 5
    assert b"@@" not in page


@pytest.mark.parametrize("build", BUILDS)
def test_the_data_is_whole(build: str) -> None:
    here = desk(build)
    data = json.loads(parts(stand_alone_page(here)).scripts[0][1])
    assert data == json.loads(json.dumps(page_data(here)))
    assert data["build"]["digest"] == here.rig.digest
    switches = [i for i, v in enumerate(here.rig.program.variables) if v.kind == "switch"]
    assert sorted(i for p in data["panels"] for i in p["switches"]) == switches
    assert {t["switch"] for t in data["tour"]} == set(switches)
    assert len(data["states"]) == len(here.rig.states)


def test_equal_builds_give_equal_bytes_and_no_clock() -> None:
    one = stand_alone_page(desk("duty-officer-utility"))
    again = Desk(assessed("duty-officer-utility"), desk("duty-officer-utility").report)
    assert stand_alone_page(again) == one


def test_no_price_stands_on_it() -> None:
    here = desk("flood-support-van")
    page = stand_alone_page(here).decode()
    money = here.report["money"]
    for key in ("parts", "labour", "total"):
        assert f"{money[key]:.2f}" not in page and f"{money[key]:,.2f}" not in page
    assert not re.search(r"\b(USD|price|cost|mark_up)\b", page)


def test_a_title_cannot_end_the_script() -> None:
    here = desk("duty-officer-utility")
    data = parts(stand_alone_page(here)).scripts[0][1]
    assert "<" not in data and "&" not in data
