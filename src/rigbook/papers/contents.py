"""The chapters of the build book, in their order; `--only` takes their names."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from rigbook.papers import (
    body_chapters,
    chapters,
    drill_sheet,
    fuses_paper,
    harness,
    inspection_paper,
    light_paper,
    marking_paper,
    pins,
    places_paper,
    power_paper,
    programming,
    quote_paper,
    scene_paper,
    switches_paper,
    weights_paper,
)
from rigbook.papers.chapter import Chapter, Desk

__all__ = ["CHAPTERS", "Chapter", "Desk"]

CHAPTERS: Mapping[str, Chapter] = MappingProxyType(
    {
        "cautions": Chapter("Cautions", lambda d: chapters.cautions(d.rig)),
        "findings": Chapter("Findings", lambda d: chapters.findings(d.report)),
        "quote": Chapter("Quote", quote_paper.pieces),
        "equipment": Chapter("Equipment", places_paper.equipment),
        "switches": Chapter("What each switch does", switches_paper.pieces),
        "functions": Chapter("Functions", lambda d: chapters.functions(d.rig)),
        "lamps": Chapter("Lamp map", places_paper.lamps),
        "light": Chapter("Light report", light_paper.pieces),
        "scene": Chapter("Light to work by", scene_paper.pieces),
        "circuits": Chapter("Circuits", chapters.circuits),
        "power": Chapter("Power", power_paper.pieces),
        "fuses": Chapter("Fuse map", fuses_paper.pieces),
        "harness": Chapter("Harness build sheet", harness.pieces, flipped=True),
        "pins": Chapter("Pin-outs", pins.pin_chapter),
        "inputs": Chapter("Inputs", pins.input_chapter, flipped=True),
        "programming": Chapter("Programming sheet", programming.pieces),
        "weights": Chapter("Weights", weights_paper.pieces),
        "joints": Chapter("Joints and torque", body_chapters.torques),
        "faces": Chapter("Faces, drill and cut sheet", drill_sheet.pieces, flipped=True),
        "markings": Chapter("Markings", marking_paper.pieces),
        "inspection": Chapter("Final inspection", inspection_paper.pieces, flipped=True),
    }
)
"""Name to chapter. `cli.book.NAMES` repeats the names, so that help needs no import; a test compares them."""
