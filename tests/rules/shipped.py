"""Rows of the packs that ship, as the loader reads them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from rigbook.documents.loader import load_build
from rigbook.documents.schema.shop import RuleRow

SHOP = Path(__file__).parent / "shop"


@cache
def pack_rows(pack: str) -> tuple[RuleRow, ...]:
    """The rows of a shipped pack."""
    loaded = load_build(SHOP, Path("builds/small.yaml"))
    assert loaded.errors == ()
    return tuple(loaded.packs[pack].rules)
