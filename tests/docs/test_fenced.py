"""Working a block into a file."""

from __future__ import annotations

from pathlib import Path

from tests.docs.fenced import blocks, merged

BEFORE = """rigbook: 1
install:
  - {id: a, part: x}
  - id: b
    part: y
switching:
  ranks: [one]
  functions:
    - name: First
      rank: one
"""


def test_items_go_to_the_end_of_their_section() -> None:
    after = merged(BEFORE, "install:\n  - {id: c, part: z}\n")
    assert after == BEFORE.replace("    part: y\n", "    part: y\n  - {id: c, part: z}\n")


def test_an_item_of_the_same_name_takes_its_place() -> None:
    after = merged(BEFORE, "install:\n  - {id: b, part: q}\n")
    assert after == BEFORE.replace("  - id: b\n    part: y\n", "  - {id: b, part: q}\n")


def test_sections_within_sections_and_new_sections() -> None:
    after = merged(
        BEFORE, "switching:\n  ranks: [one, two]\n  functions:\n    - name: Second\n      rank: two\nstates: []\n"
    )
    assert "ranks: [one, two]" in after and "ranks: [one]\n" not in after
    assert after.index("First") < after.index("Second")
    assert after.endswith("states: []\n")


def test_blocks_know_their_language_file_and_place(tmp_path: Path) -> None:
    page = tmp_path / "page.md"
    page.write_text("# A\n\n```yaml shop.yaml\na: 1\n```\n\n```text\nfail x\n```\n", encoding="utf-8")
    first, second = blocks(page)
    assert (first.language, first.about, first.text, first.line) == ("yaml", "shop.yaml", "a: 1\n", 3)
    assert (second.language, second.text) == ("text", "fail x\n")
