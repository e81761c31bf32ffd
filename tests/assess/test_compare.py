"""Two builds side by side."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from rigbook.assess.assessment import Assessment, assess
from rigbook.assess.compare import compare, comparison_json, comparison_lines, document_leaves
from rigbook.documents.loader import load_build

from .conftest import SHOP, SMALL

Assess = Callable[[str], Assessment]
BUILD = Path("builds") / SMALL


def changed(old: str, new: str) -> Assessment:
    text = (SHOP / BUILD).read_text()
    assert text.count(old) == 1
    return assess(load_build(SHOP, BUILD, {BUILD.as_posix(): text.replace(old, new).encode()}))


def test_a_build_is_the_same_as_itself(assessed: Assess) -> None:
    same = compare(assessed(SMALL), assessed(SMALL))
    assert same.same
    assert comparison_lines(same) == ["duty-officer-utility and duty-officer-utility: nothing differs"]


def test_a_remark_is_no_difference(assessed: Assess) -> None:
    assert compare(assessed(SMALL), changed("persons:\n", "# a remark\npersons:\n")).same


def test_a_change_shows_in_document_and_figures_and_both_ways(assessed: Assess) -> None:
    heavier = changed("mass: 12 kg, at: [3.20 m", "mass: 32 kg, at: [3.20 m")
    there, back = compare(assessed(SMALL), heavier), compare(heavier, assessed(SMALL))
    assert [(d.path, d.before, d.after) for d in there.documents] == [("kit[throw-lines].mass", "12", "32")]
    masses = {d.path: d for d in there.figures}
    before, after = masses["body.mass_kg"].before, masses["body.mass_kg"].after
    assert isinstance(before, float)
    assert isinstance(after, float)
    assert abs(after - before - 20) < 1e-9
    assert [(d.path, d.after, d.before) for d in back.documents] == [
        (d.path, d.before, d.after) for d in there.documents
    ]
    assert not any(d.path.startswith("power.") for d in there.figures)
    assert set(comparison_json(there)) == {
        "rigbook",
        "before",
        "after",
        "documents",
        "figures",
        "findings",
        "switching",
    }


def test_findings_gone_and_new(assessed: Assess) -> None:
    worse = changed(
        "- {id: panel-feed, from: block-cargo.5, fuse: 3 A,",
        "- {id: panel-feed, from: block-cargo.5, fuse: 40 A, wire: 18 AWG,",
    )
    there, back = compare(assessed(SMALL), worse), compare(worse, assessed(SMALL))
    assert "fuse-above-practice@panel-feed" in [f.id for f in there.new]
    assert [f.id for f in there.new] == [f.id for f in back.gone]
    assert any(line.startswith("findings new") for line in comparison_lines(there))


def test_leaves_name_items_by_id(assessed: Assess) -> None:
    leaves = document_leaves(assessed(SMALL).worked.build)
    assert leaves["build.id"] == "duty-officer-utility"
    assert leaves["feeds[main].from"] == "battery.auxiliary"
    assert leaves["install[grille-left].place"] == "grille-left"


def test_states_that_act_differently_are_shown_with_the_smallest_one(assessed: Assess) -> None:
    text = (SHOP / BUILD).read_text()
    assert text.count("pattern: double") >= 1
    other = changed_all("pattern: double", "pattern: single")
    there = compare(assessed(SMALL), other)
    assert there.switching is not None
    assert there.switching.states
    assert there.switching.only_before is None
    first = there.switching.states[0]
    assert first.before != first.after
    data = comparison_json(there)["switching"]
    assert data["states"][0]["witness"]["set"] == dict(first.witness.set)
    assert any(line.startswith("states in which they act differently") for line in comparison_lines(there))


def changed_all(old: str, new: str) -> Assessment:
    text = (SHOP / BUILD).read_text()
    return assess(load_build(SHOP, BUILD, {BUILD.as_posix(): text.replace(old, new).encode()}))
