"""A slip of a nought ends in a sentence at its place, not in an endless run; the examples are far below every bound."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import rigbook
from rigbook.documents import sizes
from rigbook.documents.loader import load_build, load_shop

EXAMPLE = Path(rigbook.__file__).parent / "data" / "example_shop"
BUILD = "builds/duty-officer-utility.yaml"


def with_change(tmp_path: Path, old: str, new: str, name: str = BUILD) -> tuple[Path, str]:
    shutil.copytree(EXAMPLE, tmp_path / "shop")
    path = tmp_path / "shop" / name
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    changed = text.replace(old, new)
    path.write_text(changed, encoding="utf-8")
    return tmp_path / "shop", changed


def many(text: str, count: int) -> str:
    return "".join(text.replace("#", str(number)) for number in range(count))


CASES = {
    "row": ("count: 4", "count: 1000000", "the row stick has 1,000,000 lamps; at most 200", "count: 1000000"),
    "devices": (
        "\nswitching:\n",
        "\n" + many("  - {id: more-#, part: whip-vhf, place: roof-rear}\n", 1000) + "switching:\n",
        "devices; at most 1,000", "more-",
    ),
    "positions": (
        "positions: [off, left, right]", f"positions: [off, left, right{many(', p#', 9997)}]",
        "arrow has 10,000 positions; at most 100", "positions: [off, left",
    ),
    "states": (
        "\nstates:\n", "\nstates:\n" + many("  - {id: s#, title: t, set: {}}\n", 200), "in `states`; at most 200", "- id: responding",
    ),
    "kit": ("\nkit:\n", "\nkit:\n" + many("  - {id: k#, mass: 1 kg, at: [1 m, 0 m, 1 m]}\n", 500), "row 501", "- {id: throw-lines"),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_too_much_is_told_at_its_place(tmp_path: Path, case: str) -> None:
    old, new, says, stands = CASES[case]
    shop, text = with_change(tmp_path, old, new)
    told = [error for error in load_build(shop, BUILD).errors if says in error.says]
    assert len(told) == 1
    assert stands in text.splitlines()[told[0].line - 1]


def test_a_signal_of_the_vehicle_has_few_values(tmp_path: Path) -> None:
    old = "values: [park, reverse, neutral, drive]"
    name = "vehicles/compact-utility.yaml"
    shop, _ = with_change(tmp_path, old, old.replace("]", many(", v#", 100) + "]"), name)
    told = [error for error in load_build(shop, BUILD).errors if "gear has 104 values" in error.says]
    assert [error.file for error in told] == [name]


def test_the_examples_stay_far_below(tmp_path: Path) -> None:
    builds = load_shop(EXAMPLE).builds
    assert len(builds) == 4
    most = max(sum(row.along.count if row.along else 1 for row in build.install) for build in builds.values())
    assert 70 < most < sizes.MOST_INSTALLED / 5


def test_a_list_as_long_as_the_bound_is_taken(tmp_path: Path) -> None:
    kit = many("  - {id: k#, mass: 0.1 kg, at: [1 m, 0 m, 1 m]}\n", sizes.MOST_ROWS - 3)
    shop, _ = with_change(tmp_path, "\nkit:\n", "\nkit:\n" + kit)
    loaded = load_build(shop, BUILD)
    assert loaded.build is not None and len(loaded.build.kit) == sizes.MOST_ROWS
    assert loaded.errors == ()
