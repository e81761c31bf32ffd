from __future__ import annotations

import runpy
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_the_pictures_kept_are_what_is_drawn() -> None:
    made = runpy.run_path(str(ROOT / "tools" / "generate_silhouettes.py"))["pictures"]()
    assert set(made) == {"van.svg", "pickup.svg", "utility.svg"}
    page = (ROOT / "docs" / "pictures" / "silhouettes.md").read_text(encoding="utf-8")
    assert "What kind of vehicle is this?" in page
    for name, text in made.items():
        assert (ROOT / "docs" / "pictures" / name).read_text(encoding="utf-8") == text + "\n", (
            f"run tools/generate_silhouettes.py: {name}"
        )
        assert f"({name})" in page
    assert len(set(made.values())) == 3
