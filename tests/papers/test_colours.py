from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rigbook.papers.colours import INKS, LETTERS, ink, letters


@given(st.lists(st.from_regex(r"[a-z][a-z0-9_-]{0,8}", fullmatch=True), max_size=30))
def test_every_colour_has_a_letter_of_its_own(names: list[str]) -> None:
    given_letters = letters(names)
    assert set(given_letters) == set(names)
    assert len(set(given_letters.values())) == len(given_letters)
    assert all(given_letters.values())


def test_usual_colours_have_their_usual_letters_and_inks() -> None:
    assert letters(["white", "red", "blue", "amber", "green"]) == {
        "white": "W",
        "red": "R",
        "blue": "B",
        "amber": "A",
        "green": "G",
    }
    assert set(INKS) == set(LETTERS)
    assert ink("ultra-violet") == "#b8b8b8"
