from __future__ import annotations

from importlib import resources
from pathlib import Path

import pytest

from rigbook.papers.typeset import CannotTypeset, compile_pdf, typeset


def made(tmp_path: Path, source: str, data: dict[str, str]) -> bytes:
    (tmp_path / "page.typ").write_text(source, encoding="utf-8")
    with resources.as_file(resources.files("rigbook.browser").joinpath("fonts")) as fonts:
        return compile_pdf(tmp_path / "page.typ", fonts=Path(fonts), data=data)


GOOD = '#set document(date: none)\n#set text(font: "DejaVu Sans", stretch: 75%)\n#json(bytes(sys.inputs.data)).words\n'


def test_words_come_from_the_data_and_bytes_repeat(tmp_path: Path) -> None:
    first = made(tmp_path, GOOD, {"words": "#panic() *as written* Ω"})
    assert first.startswith(b"%PDF") and first == made(tmp_path, GOOD, {"words": "#panic() *as written* Ω"})
    assert first != made(tmp_path, GOOD, {"words": "other"})


def test_a_missing_font_is_refused_though_it_is_only_a_warning(tmp_path: Path) -> None:
    with pytest.raises(CannotTypeset, match="unknown font family"):
        made(tmp_path, GOOD.replace("DejaVu Sans", "No Such Face"), {"words": "x"})


@pytest.mark.parametrize(
    "source", ["#nothing-of-that-name", '#image("../../etc/passwd")', '#import "@preview/cetz:0.3.0": *']
)
def test_a_wrong_template_is_our_fault_and_says_where(tmp_path: Path, source: str) -> None:
    with pytest.raises(CannotTypeset, match=r"page\.typ"):
        made(tmp_path, source, {})


def test_a_template_that_is_not_there_is_named() -> None:
    with pytest.raises(CannotTypeset, match=r"none\.typ: there is no such template"):
        typeset("none.typ", {})
