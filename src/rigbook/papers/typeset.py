"""From data to PDF: typst with our own fonts and templates, offline, the same bytes for the same data."""

from __future__ import annotations

import json
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from typing import Any


class CannotTypeset(Exception):
    """A template of ours does not compile, or compiled with a warning: our own fault, never the user's."""


def typeset(template: str, data: Mapping[str, Any]) -> bytes:
    """Compile a template with its data to PDF.

    The fonts are the vendored ones alone, so that every machine gives the same page; no clock enters the file.

    Raises:
        CannotTypeset: an error or any warning (a missing font is only a warning to typst, and a wrong page to us).
    """
    papers, browser = resources.files("rigbook.papers"), resources.files("rigbook.browser")
    with (
        resources.as_file(papers.joinpath("templates")) as templates,
        resources.as_file(browser.joinpath("fonts")) as fonts,
    ):
        return compile_pdf(Path(templates) / template, fonts=Path(fonts), data=data)


def compile_pdf(template: Path, *, fonts: Path, data: Mapping[str, Any]) -> bytes:
    """Compile one template with the fonts of one folder.

    Raises:
        CannotTypeset: see `typeset`; also where there is no such template.
    """
    import typst

    if not template.is_file():
        raise CannotTypeset(f"{template.name}: there is no such template")
    compiler = typst.Compiler(
        root=str(template.parent),
        input=str(template),
        font_paths=[str(fonts)],
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False, sort_keys=True)},
    )
    try:
        made, warnings = compiler.compile_with_warnings(format="pdf", timestamp=0)
    except typst.TypstError as wrong:
        raise CannotTypeset(f"{template.name}: {wrong.diagnostic}") from wrong
    if warnings:
        raise CannotTypeset(f"{template.name}: " + "; ".join(w.diagnostic for w in warnings))
    if not isinstance(made, bytes):
        raise CannotTypeset(f"{template.name}: gave no page")
    return made
