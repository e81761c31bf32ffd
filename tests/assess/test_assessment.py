"""The order of the run: errors before work, packs, notes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from rigbook.assess.assessment import Assessment, assess, assess_rig_alone, packs_of
from rigbook.documents.loader import load_build

from .conftest import BUILDS, SHOP, SMALL

Assess = Callable[[str], Assessment]
BUILD = Path("builds") / SMALL


def changed(old: str, new: str) -> Assessment:
    text = (SHOP / BUILD).read_text()
    assert text.count(old) == 1
    return assess(load_build(SHOP, BUILD, {BUILD.as_posix(): text.replace(old, new).encode()}))


def test_errors_keep_everything_from_being_worked_out() -> None:
    assessment = changed("vehicle: compact-utility", "vehicle: compact-utilty")
    assert assessment.rig is None
    assert assessment.findings == ()
    assert [e.nearest for e in assessment.errors] == ["compact-utility"]


def test_errors_of_switching_stand_at_their_place() -> None:
    assessment = changed("parked: gear == park", "parked: gear == parc")
    assert assessment.rig is None
    line = (SHOP / BUILD).read_text().splitlines()[assessment.errors[0].line - 1]
    assert line.strip() == "parked: gear == park"


def test_comments_and_layout_do_not_change_the_result(assessed: Assess) -> None:
    text = (SHOP / BUILD).read_text() + "\n# a remark\n"
    again = assess(load_build(SHOP, BUILD, {BUILD.as_posix(): text.encode()}))
    assert again.worked.digest == assessed(SMALL).worked.digest
    assert [f.id for f in again.findings] == [f.id for f in assessed(SMALL).findings]


def test_the_build_packs_go_before_the_shops() -> None:
    loaded = load_build(SHOP, BUILD)
    packs, notes = packs_of(loaded)
    assert loaded.build is not None and loaded.shop is not None
    own = [str(name) for name in loaded.build.build.rules]
    assert [p.id for p in packs] == own != list(loaded.shop.rules) and own[:2] == ["wiring", "altered-vehicle"]
    assert notes == ()


def test_example_builds_work_out_and_no_rule_crashes(assessed: Assess) -> None:
    assert len(BUILDS) >= 3
    for name in BUILDS:
        assessment = assessed(name)
        assert assessment.errors == (), name
        assert not [f for f in assessment.findings if f.own_fault], name
        assert assessment.power is not None
        assert assessment.body is not None
        assert assessment.money is not None
        assert assessment.verdicts is not None


def test_the_rig_alone() -> None:
    alone = assess_rig_alone(load_build(SHOP, BUILD))
    assert alone.rig is not None
    assert alone.verdicts is None
