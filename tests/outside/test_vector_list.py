"""Every check vector of electrical engineering has a test that names it, or a written reason why not."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
LAST = 65


def test_each_vector_has_a_test_or_a_reason() -> None:
    rows = dict(
        re.findall(r"^\| (V\d+) \| (.+) \|$", (ROOT / "docs/electrical-vectors.md").read_text("utf-8"), flags=re.M)
    )
    assert list(rows) == [f"V{number}" for number in range(1, LAST + 1)]
    tested = 0
    for vector, where in rows.items():
        if where.startswith("no test: "):
            assert len(where) > 60, vector
            continue
        assert re.search(rf'"{vector} ', (ROOT / where).read_text("utf-8")), f"{vector} is not in {where}"
        tested += 1
    assert tested >= LAST - 3


def test_the_files_of_the_tables_are_there() -> None:
    files = re.findall(r"\| (tests/\S+\.py) \|", (ROOT / "docs/electrical-vectors.md").read_text("utf-8"))
    assert len(files) > LAST and all((ROOT / name).is_file() for name in files)
