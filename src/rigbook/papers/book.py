"""The build book: the chapters of one assessment, typeset."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rigbook.papers import glyphs, pieces
from rigbook.papers.contents import CHAPTERS, Chapter, Desk
from rigbook.papers.layout import BREAK, boxed, laid_out, shortened, texts_of, worded
from rigbook.papers.spelling import spelled
from rigbook.papers.typeset import typeset
from rigbook.quantities.show import format_money
from rigbook.rig.model import Rig

if TYPE_CHECKING:
    from rigbook.assess.assessment import Assessment

FOOT = (
    "Worked out from the text as entered. Check local law, current editions and licensed practice. "
    "* common practice  † from memory"
)
DIGEST_DIGITS = 16
MARGINS_MM = 34.0
HEAD_MM = 67.0
"""Room of the running head at either side of the chapter's title."""
SIZES_MM: Mapping[str, tuple[float, float]] = {"us-letter": (215.9, 279.4), "a4": (210.0, 297.0)}
Progress = Callable[[str], None]


def book(
    assessment: Assessment, *, only: Sequence[str] = (), progress: Progress | None = None, desk: Desk | None = None
) -> bytes:
    """The build book as PDF, or some chapters of it. Equal assessments give equal bytes.

    Args:
        assessment: what is printed.
        only: names of chapters (`rigbook.papers.contents.CHAPTERS`); all, with cover and contents, where left out.
        progress: told the name of every chapter as work on it begins, and `pages` before it is typeset.
        desk: the assessment's own desk, where some of its work was done before.

    Raises:
        rigbook.papers.typeset.CannotTypeset: a fault of ours in a template.
        ValueError: the assessment holds errors, so there is nothing to print; or there is no such chapter.
    """
    if assessment.rig is None:
        raise ValueError("a build with errors has no book")
    data = book_data(assessment, only=only, progress=progress, desk=desk)
    if progress is not None:
        progress("pages")
    return typeset("book.typ", data)


def book_data(
    assessment: Assessment, *, only: Sequence[str] = (), progress: Progress | None = None, desk: Desk | None = None
) -> dict[str, Any]:
    """What the template lays out: frame, and parts of pieces, with the widths of every table."""
    from rigbook.assess.results_json import to_json

    unknown = [name for name in only if name not in CHAPTERS]
    if unknown:
        raise ValueError(f"there is no chapter {unknown[0]}; there are {', '.join(CHAPTERS)}")
    desk = desk or Desk(assessment, to_json(assessment))
    parts = [] if only else [_part("cover", False, [*cover(desk), pieces.new_page(), pieces.contents()])]
    for name, chapter in CHAPTERS.items():
        if only and name not in only:
            continue
        if progress is not None:
            progress(name)
        parts.extend(_chapter(name, chapter, desk))
    frame = frame_data(desk.rig, desk.report)
    parts = [_laid(part, frame["paper"]) for part in parts]
    listed = glyphs.missing(text.replace(BREAK, "") for text in texts_of([parts, frame]))
    if listed and parts:
        rows = [[m.code_point, m.name] for m in listed]
        columns = [pieces.column("Code point"), pieces.column("Character", share=1)]
        note = pieces.table(
            caption="Characters of this paper that no font has; they stand as boxed code points",
            columns=columns,
            rows=rows,
        )
        parts.append(_laid(_part("characters", False, [pieces.heading("Characters"), note]), frame["paper"]))
    made: dict[str, Any] = boxed(frame | {"parts": parts})
    return made


def _part(name: str, flipped: bool, blocks: list[pieces.Piece]) -> dict[str, Any]:
    return {"name": name, "flipped": flipped, "blocks": blocks}


def _chapter(name: str, chapter: Chapter, desk: Desk) -> list[dict[str, Any]]:
    """A chapter as one part; its cautions stand below its heading."""
    blocks = chapter.pieces(desk)
    return [_part(name, chapter.flipped, blocks)] if blocks else []


def _laid(part: dict[str, Any], paper: str) -> dict[str, Any]:
    narrow, high = SIZES_MM[paper]
    width = (high if part["flipped"] else narrow) - MARGINS_MM
    return part | {
        "blocks": [(laid_out if b["kind"] == "table" else worded)(b, width_mm=width) for b in part["blocks"]]
    }


def frame_data(rig: Rig, report: Mapping[str, Any]) -> dict[str, Any]:
    """What stands on every page: shop, build, digest, paper by the shop's units."""
    us = rig.shop.units == "us"
    title = rig.build.build.title
    return {
        "document_title": title,
        "document_author": rig.shop.title,
        "region": "us" if us else "gb",
        "paper": "us-letter" if us else "a4",
        "running_head": shortened(f"{rig.shop.title} · {title}", width_mm=HEAD_MM, size=7.5),
        "digest_line": f"build {shortened(report['build']['id'], width_mm=HEAD_MM - 36.0, size=7.5)} · digest {report['build']['digest'][:DIGEST_DIGITS]}",
        "foot": FOOT,
    }


def cover(desk: Desk) -> list[pieces.Piece]:
    """The first page: what it is, for whom, where it stands, and its picture."""
    rig, report = desk.rig, desk.report
    build, money = rig.build.build, report["money"]
    facts = [("Vehicle", rig.vehicle.title)]
    if build.customer:
        facts.append(("Customer", build.customer))
    if build.date:
        facts.append(("Date", build.date))
    counts = {s: sum(f["severity"] == s for f in report["findings"]) for s in ("fail", "caution", "note")}
    facts.append(
        ("Verdict", f"{report['verdict']} ({counts['fail']} fail, {counts['caution']} caution, {counts['note']} note)")
    )
    if money["total"] is not None:
        facts.append((spelled("Parts and labour", rig.shop.units), _price(money)))
    subtitle = f"Build book · {rig.shop.title}"
    return [
        pieces.cover(title=build.title, subtitle=subtitle, facts=facts),
        pieces.drawing(
            desk.lamp_map,
            caption="Lamp map, to scale from the vehicle file",
            max_height_mm=_cover_room_mm(build.title, len(facts)),
        ),
    ]


def _price(money: Mapping[str, Any]) -> str:
    return format_money(round(money["total"] * 100), money["currency"])


def _cover_room_mm(title: str, facts: int) -> float:
    """What the shorter paper (letter) leaves for the picture below the title's lines and the facts."""
    lines = math.ceil(len(title) / 45)  # characters of the title's size on a line, on the safe side
    return 213.0 - 10.0 * lines - 5.0 * facts
