"""Modules as one script: exports are given, imports are taken, other forms are refused."""

from __future__ import annotations

import pytest

from rigbook.papers.bundle import CannotBundle, bundled


def test_exports_and_imports() -> None:
    made = bundled(
        {
            "a": "export const one = 1;\nexport function two() { return 2; }",
            "./b.js": 'import { one, two } from "a";\nexport class Three {}',
        }
    )
    assert "return { one, two };" in made and "const { one, two } = module_a;" in made and "return { Three };" in made
    assert "export" not in made and "import" not in made


@pytest.mark.parametrize(
    ("source", "says"),
    [
        ('import { x } from "later";', "has not come yet"),
        ("export default 1;", "export default"),
        ('import * as x from "a";', "import"),
    ],
)
def test_other_forms_are_refused(source: str, says: str) -> None:
    with pytest.raises(CannotBundle, match=says):
        bundled({"a": "const x = 1;", "b": source})
