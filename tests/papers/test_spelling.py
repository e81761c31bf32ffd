from __future__ import annotations

import pytest

from rigbook.papers.spelling import spelled


@pytest.mark.parametrize(
    ("words", "us"),
    [
        ("Colours and tyres", "Colors and tires"),
        ("centre", "center"),
        ("discoloured colourless", "discoloured colourless"),
        ("Labour, aluminium", "Labor, aluminum"),
        ("", ""),
    ],
)
def test_our_words_by_the_shops_units(words: str, us: str) -> None:
    assert spelled(words, "us") == us
    assert spelled(words, "metric") == words
