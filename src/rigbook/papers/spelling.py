"""US spelling of our own words, for shops that read in US units. Never applied to what a person wrote."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

_US: Mapping[str, str] = MappingProxyType(
    {
        "colour": "color",
        "colours": "colors",
        "tyre": "tire",
        "tyres": "tires",
        "labour": "labor",
        "centre": "center",
        "centres": "centers",
        "aluminium": "aluminum",
        "grey": "gray",
        "metre": "meter",
        "metres": "meters",
    }
)
_WORDS = re.compile(r"\b(" + "|".join(_US) + r")\b", re.IGNORECASE)


def spelled(words: str, units: str) -> str:
    """The words as the shop spells them.

    >>> spelled("Colours and tyres", "us"), spelled("Colours and tyres", "metric")
    ('Colors and tires', 'Colours and tyres')
    """
    if units != "us":
        return words

    def us(found: re.Match[str]) -> str:
        word = found.group()
        other = _US[word.lower()]
        return other.capitalize() if word[0].isupper() else other

    return _WORDS.sub(us, words)
