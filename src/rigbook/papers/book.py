"""The build book: the chapters of one assessment, typeset."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rigbook.papers import chapters, pieces
from rigbook.papers.lampsheet import lamp_map_svg
from rigbook.papers.spelling import spelled
from rigbook.papers.typeset import typeset
from rigbook.quantities.show import format_money
from rigbook.rig.model import Rig

if TYPE_CHECKING:
    from rigbook.assess.assessment import Assessment

FOOT = "Worked out from the text as entered. Check local law, current editions and licensed practice."
DIGEST_DIGITS = 16


def book(assessment: Assessment) -> bytes:
    """The build book as PDF. Equal assessments give equal bytes.

    Raises:
        rigbook.papers.typeset.CannotTypeset: a fault of ours in a template.
        ValueError: the assessment holds errors, so there is nothing to print.
    """
    from rigbook.assess.results_json import to_json

    if assessment.rig is None:
        raise ValueError("a build with errors has no book")
    return typeset("book.typ", book_data(assessment.rig, to_json(assessment)))


def book_data(rig: Rig, report: Mapping[str, Any]) -> dict[str, Any]:
    """What the template lays out: frame and pieces."""
    return frame_data(rig, report) | {
        "blocks": [
            *cover(rig, report),
            pieces.new_page(),
            *chapters.cautions(rig),
            *chapters.findings(report),
            *chapters.equipment(rig),
            *chapters.functions(rig),
            *chapters.circuits(rig, report),
            *chapters.weights(rig, report),
        ]
    }


def frame_data(rig: Rig, report: Mapping[str, Any]) -> dict[str, Any]:
    """What stands on every page: shop, build, digest, paper by the shop's units."""
    us = rig.shop.units == "us"
    return {
        "title": rig.build.build.title,
        "shop": rig.shop.title,
        "region": "us" if us else "gb",
        "paper": "us-letter" if us else "a4",
        "running_head": f"{rig.shop.title} · {rig.build.build.title}",
        "digest_line": f"build {report['build']['id']} · digest {report['build']['digest'][:DIGEST_DIGITS]}",
        "foot": FOOT,
    }


def cover(rig: Rig, report: Mapping[str, Any]) -> list[pieces.Piece]:
    """The first page: what it is, for whom, where it stands, and its picture."""
    build, money = rig.build.build, report["money"]
    facts = [("Vehicle", rig.vehicle.title)]
    if build.customer:
        facts.append(("Customer", build.customer))
    if build.date:
        facts.append(("Date", build.date))
    counts = {s: sum(f["severity"] == s for f in report["findings"]) for s in ("fail", "caution", "note")}
    facts.append(("Verdict", f"{report['verdict']} ({counts['fail']} fail, {counts['caution']} caution, {counts['note']} note)"))
    if money["total"] is not None:
        facts.append((spelled("Parts and labour", rig.shop.units), _price(money)))
    subtitle = f"Build book · {rig.shop.title}"
    return [
        pieces.cover(title=build.title, subtitle=subtitle, facts=facts),
        pieces.drawing(lamp_map_svg(rig), caption="Lamp map, to scale from the vehicle file", max_height_mm=_cover_room_mm(build.title, len(facts))),
    ]


def _price(money: Mapping[str, Any]) -> str:
    return format_money(round(money["total"] * 100), money["currency"])


def _cover_room_mm(title: str, facts: int) -> float:
    """What the shorter paper (letter) leaves for the picture below the title's lines and the facts."""
    lines = math.ceil(len(title) / 45)  # characters of the title's size on a line, on the safe side
    return 213.0 - 10.0 * lines - 5.0 * facts
