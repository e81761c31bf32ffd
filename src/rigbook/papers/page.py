"""The stand-alone page: one file that a customer opens from a mail, to press the switches and to answer.

Everything is inside: drawing, program, scripts, style. Nothing is fetched, and the page forbids it to itself (content
security policy). It carries no price and no clock; equal builds give equal bytes. What the person answers leaves the
page as a small file, which `rigbook approve` takes.
"""

from __future__ import annotations

import base64
import hashlib
import json
from importlib import resources
from typing import Any

from rigbook.papers.bundle import bundled
from rigbook.papers.chapter import Desk
from rigbook.papers.lampmap import colour_letters
from rigbook.papers.page_tour import tour_of
from rigbook.papers.screen_panels import saved_values, switches_by_panel
from rigbook.papers.screen_views import page_views, screen_map
from rigbook.papers.svg import escape
from rigbook.switching.serialise import program_to_json

MOST_BYTES = 1_000_000
"""A page goes by mail: it stays below this."""


def stand_alone_page(desk: Desk) -> bytes:
    """The page of one build, whole."""
    rig = desk.rig
    drawn = screen_map(rig)
    script = bundled(_modules())
    style = _asset("page/customer.css")
    key = "".join(
        f'<li value="{row.number}">{escape(row.group)} <b>{escape(row.letters)}</b></li>' for row in drawn.key
    )
    values = {
        "POLICY": f"default-src 'none'; script-src {_hash(script)}; style-src {_hash(style)}; base-uri 'none'; form-action 'none'",
        "TITLE": escape(desk.words(rig.build.build.title)),
        "CUSTOMER": escape(_for_whom(desk)),
        "DIGEST": escape(desk.report["build"]["digest"][:12]),
        "STYLE": style,
        "VIEWS": "".join(page_views(drawn)),
        "KEY": key,
        "DATA": _data(desk),
        "SCRIPT": script,
    }
    page = _asset("page/customer.html")
    for name, value in values.items():
        page = page.replace(f"@@{name}@@", value)
    return page.encode()


def page_data(desk: Desk) -> dict[str, Any]:
    """What the page's script reads."""
    rig = desk.rig
    states = [
        {"id": point.id, "title": point.title, "state": list(values)}
        for point in rig.states
        if (values := saved_values(rig, point)) is not None
    ]
    tour, starts = tour_of(desk)
    return {
        "build": {"id": rig.build.build.id, "title": rig.build.build.title, "digest": desk.report["build"]["digest"]},
        "program": program_to_json(rig.program),
        "letters": colour_letters(rig),
        "panels": [p | {"title": _panel_words(p["id"])} for p in switches_by_panel(rig)],
        "states": states,
        "starts": starts,
        "tour": tour,
        "words": {"colours": desk.words("Colours each side sees")},
    }


def _panel_words(id_: str) -> str:
    """A panel by its id in words: a part's title says nothing to those who press its keys."""
    return id_.replace("-", " ").replace("_", " ").capitalize() if id_ else "Not on a panel"


def _for_whom(desk: Desk) -> str:
    customer = desk.rig.build.build.customer
    return f"For {customer}, from {desk.rig.shop.title}" if customer else f"From {desk.rig.shop.title}"


def _data(desk: Desk) -> str:
    """The data as text that can stand inside a script element, whatever a title holds."""
    made = json.dumps(page_data(desk), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return made.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _modules() -> dict[str, str]:
    """Our modules in the order in which they build on each other."""
    program = resources.files("rigbook.switching").joinpath("program.js").read_text(encoding="utf-8")
    return {
        "program": program,
        "./timelines.js": _asset("islands/timelines.js"),
        "./drawing.js": _asset("islands/drawing.js"),
        "./machine.js": _asset("islands/machine.js"),
        "./elements.js": _asset("page/elements.js"),
        "./answer.js": _asset("page/answer.js"),
        "./hands.js": _asset("page/hands.js"),
        "./tour.js": _asset("page/tour.js"),
        "./customer.js": _asset("page/customer.js"),
    }


def _asset(name: str) -> str:
    return resources.files("rigbook.browser").joinpath(name).read_text(encoding="utf-8")


def _hash(content: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(content.encode()).digest()).decode()}'"
