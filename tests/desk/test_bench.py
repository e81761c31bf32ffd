from __future__ import annotations

import shutil
import threading
from importlib import resources
from pathlib import Path

import pytest

from rigbook.desk import drafts
from rigbook.desk.bench import Bench, NoBuild
from rigbook.desk.drafts import Draft
from rigbook.desk.newbuild import CannotBegin
from rigbook.desk.nudging import Step
from rigbook.desk.shopfolder import ChangedMeanwhile
from rigbook.documents.arranging import Operation
from rigbook.documents.editing import EditError, value_at

BUILD = "duty-officer-utility"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    folder = tmp_path / "shop"
    with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as source:
        shutil.copytree(source, folder)
    return Bench(folder)


def rename(bench: Bench, title: str, seen: str | None = None) -> str:
    seen = seen or bench.text(BUILD).digest
    return bench.edit(BUILD, seen=seen, operations=[Operation("set", "build.title", title)], why="title").digest


def test_an_edit_changes_its_value_alone_and_is_taken_back_to_the_byte(bench: Bench) -> None:
    before = bench.text(BUILD)
    rename(bench, "Another title")
    after = bench.text(BUILD)
    differing = [(a, b) for a, b in zip(before.text.splitlines(), after.text.splitlines(), strict=True) if a != b]
    assert [b.strip() for _, b in differing] == ["title: Another title"]
    assert (after.undo, after.redo) == ("title", None)
    undone = bench.step(BUILD, backward=True)
    assert undone is not None and undone.text == before.text and undone.redo == "title"
    redone = bench.step(BUILD, backward=False)
    assert redone is not None and redone.text == after.text
    assert bench.step(BUILD, backward=False) is None


def test_edits_are_made_all_or_none(bench: Bench) -> None:
    before = bench.text(BUILD)
    wrong = [Operation("set", "build.title", "Half"), Operation("remove", "install[nobody]")]
    with pytest.raises(EditError, match="nobody"):
        bench.edit(BUILD, seen=before.digest, operations=wrong, why="both")
    assert bench.text(BUILD).text == before.text


def test_a_text_that_changed_meanwhile_is_never_written_over(bench: Bench) -> None:
    seen = bench.text(BUILD).digest
    path = bench.shop.path_of(f"builds/{BUILD}.yaml")
    path.write_text(path.read_text(encoding="utf-8") + "# by hand\n", encoding="utf-8")
    for change in (lambda: rename(bench, "Mine", seen), lambda: bench.save(BUILD, seen=seen, text="rigbook: 1\n")):
        with pytest.raises(ChangedMeanwhile):
            change()
    assert path.read_text(encoding="utf-8").endswith("# by hand\n")


def test_a_draft_lies_beside_the_build_until_the_text_is_saved(bench: Bench) -> None:
    saved = bench.text(BUILD)
    bench.keep_draft(BUILD, Draft(saved.text + "# more\n", saved.digest))
    assert Bench(bench.shop.root).text(BUILD).draft == Draft(saved.text + "# more\n", saved.digest), (
        "another process sees it"
    )
    assert bench.text(BUILD).text == saved.text
    assert f"builds/{BUILD}.yaml" in bench.shop.builds() and len(bench.shop.builds()) == 4, "a draft is no build"
    bench.save(BUILD, seen=saved.digest, text=saved.text + "# more\n")
    assert bench.text(BUILD).draft is None


def test_a_draft_that_is_half_there_is_none(bench: Bench) -> None:
    path = bench.shop.path_of(f"builds/{BUILD}.yaml")
    drafts.keep(path, Draft("x", "0" * 64))
    (path.parent / drafts.FOLDER / f"{BUILD}.base").unlink()
    assert drafts.kept(path) is None
    drafts.drop(path)


def test_errors_of_an_unsaved_text_name_their_place(bench: Bench) -> None:
    text = bench.text(BUILD).text.replace("kind: slide", "kind: slid", 1)
    errors = bench.errors_in(BUILD, text)
    assert [(e.found, e.nearest) for e in errors] == [("'slid'", "slide")]
    assert text.splitlines()[errors[0].line - 1][errors[0].column - 1 :] == "slid"


def test_a_new_build_is_complete_and_empty(bench: Bench) -> None:
    bench.new_build(build_id="fresh", title="Fresh", customer=None, vehicle="compact-utility", sister=None)
    assessment = bench.worker.whole("builds/fresh.yaml")
    assert not assessment.errors and assessment.worked.build.install == []


def test_a_sister_build_is_its_sister_under_another_name(bench: Bench) -> None:
    bench.new_build(build_id="twin", title="Twin", customer=None, vehicle=None, sister=BUILD)
    first, twin = bench.worker.whole(f"builds/{BUILD}.yaml").worked, bench.worker.whole("builds/twin.yaml").worked
    assert [i.id for i in twin.build.install] == [i.id for i in first.build.install]
    assert (twin.build.build.id, twin.build.build.customer) == ("twin", None)


@pytest.mark.parametrize(
    "given",
    [
        {"build_id": "Not a name", "vehicle": "compact-utility", "sister": None},
        {"build_id": "../out", "vehicle": "compact-utility", "sister": None},
        {"build_id": BUILD, "vehicle": "compact-utility", "sister": None},
        {"build_id": "fresh", "vehicle": None, "sister": None},
        {"build_id": "fresh", "vehicle": "compact-utility", "sister": BUILD},
    ],
)
def test_what_cannot_begin_says_why_and_writes_nothing(bench: Bench, given: dict[str, str | None]) -> None:
    before = bench.shop.builds()
    with pytest.raises(CannotBegin):
        bench.new_build(title="T", customer=None, **given)  # type: ignore[arg-type]
    assert bench.shop.builds() == before
    with pytest.raises(NoBuild):
        bench.new_build(build_id="fresh", title="T", customer=None, vehicle=None, sister="nobody")


def test_figures_always_belong_to_the_text_they_are_given_for(bench: Bench) -> None:
    """Edits while figures are worked out: whatever is answered names the revision of the text it was worked out of."""
    from rigbook.desk.shopfolder import text_digest

    file = f"builds/{BUILD}.yaml"
    stopped = threading.Event()
    seen: list[tuple[str, str]] = []
    wrong: list[str] = []

    def watch() -> None:
        revision, stage = "", ""
        while not stopped.is_set():
            found = bench.worker.after(file, revision=revision, stage=stage, wait_s=1)
            revision, stage = found.revision, found.stage
            if found.assessment is not None:
                title = found.assessment.worked.build.build.title
                content = found.assessment.loaded.files[file]
                seen.append((found.stage, title))
                if f"title: {title}" not in content.decode() or not text_digest(content):
                    wrong.append(title)

    watcher = threading.Thread(target=watch)
    watcher.start()
    for number in range(6):
        rename(bench, f"Title {number}")
    last = bench.worker.after(file, revision="", stage="", wait_s=20)
    while last.stage != "whole":
        last = bench.worker.after(file, revision=last.revision, stage=last.stage, wait_s=20)
    stopped.set()
    watcher.join()
    assert last.assessment is not None and last.assessment.worked.build.build.title == "Title 5"
    assert last.revision == bench.worker.revision(file)
    assert seen and wrong == []


def test_undo_survives_a_restart_and_ends_where_another_program_wrote(bench: Bench) -> None:
    before = bench.text(BUILD).text
    rename(bench, "Second title")
    rename(bench, "Third title")
    again = Bench(bench.shop.root)
    assert again.text(BUILD).undo == "title"
    undone = again.step(BUILD, backward=True)
    assert undone is not None and "Second title" in undone.text and undone.redo == "title"
    third = Bench(bench.shop.root)
    assert third.text(BUILD).redo == "title"
    first = third.step(BUILD, backward=True)
    assert first is not None and first.text == before
    path = bench.shop.path_of(f"builds/{BUILD}.yaml")
    path.write_text(before + "# by hand\n", encoding="utf-8")
    fresh = Bench(bench.shop.root).text(BUILD)
    assert (fresh.undo, fresh.redo) == (None, None), "what was edited before is no step of another text"


def test_that_a_build_came_is_no_step(bench: Bench) -> None:
    bench.new_build(build_id="fresh", title="Fresh", customer=None, vehicle="compact-utility", sister=None)
    assert bench.text("fresh").undo is None
    assert bench.step("fresh", backward=True) is None
    assert bench.shop.path_of("builds/fresh.yaml").is_file()


def test_another_document_is_edited_under_the_same_guards(bench: Bench) -> None:
    name = "parts/lamps.yaml"
    assert {"shop.yaml", name, "vehicles/compact-utility.yaml"} <= set(bench.documents())
    found = bench.text(BUILD, name)
    revision = bench.worker.revision(f"builds/{BUILD}.yaml")
    bench.keep_draft(BUILD, Draft(found.text + "# typing\n", found.digest), name)
    assert bench.worker.revision(f"builds/{BUILD}.yaml") == revision, "a draft is no document"
    assert bench.text(BUILD, name).draft is not None
    saved = bench.save(BUILD, seen=found.digest, text=found.text + "# typed\n", file=name)
    assert saved.draft is None and saved.undo == "text"
    assert bench.worker.revision(f"builds/{BUILD}.yaml") != revision
    with pytest.raises(ChangedMeanwhile):
        bench.save(BUILD, seen=found.digest, text="parts: []\n", file=name)
    undone = bench.step(BUILD, backward=True, file=name)
    assert undone is not None and undone.text == found.text


@pytest.mark.parametrize(
    "name",
    ["../secret.yaml", "parts/../shop.yaml", "builds/other.yaml", "parts/none.yaml", "/etc/passwd", "records/x", ""],
)
def test_what_is_no_document_of_the_shop_is_not_opened(bench: Bench, name: str) -> None:
    with pytest.raises(NoBuild, match="no such document"):
        bench.text(BUILD, name)
    with pytest.raises(NoBuild, match="no such document"):
        bench.save(BUILD, seen="0" * 64, text="x", file=name)


def test_a_linked_document_out_of_the_shop_is_none(bench: Bench, tmp_path: Path) -> None:
    outside = tmp_path / "outside.yaml"
    outside.write_text("rigbook: 1\n", encoding="utf-8")
    (bench.shop.root / "parts" / "link.yaml").symlink_to(outside)
    assert "parts/link.yaml" not in bench.documents()


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("parts/lamps.yaml", "kind: lamp", "kind: lamb"),
        ("shop.yaml", "labour_rate: 95 USD", "labour_rate: 95 apples"),
        ("vehicles/high-roof-van.yaml", "system: 12 V", "system: 12 parsecs"),
        ("vehicles/compact-utility.yaml", "system: 12 V", "system: 12 parsecs"),
    ],
)
def test_an_unsaved_document_says_what_is_wrong_in_it(bench: Bench, name: str, old: str, new: str) -> None:
    text = bench.text(BUILD, name).text
    assert old in text
    assert bench.errors_in(BUILD, text, name) == ()
    errors = bench.errors_in(BUILD, text.replace(old, new, 1), name)
    assert errors and {e.file for e in errors} == {name}


def test_what_is_fitted_is_nudged_from_a_place_and_by_its_coordinates(bench: Bench) -> None:
    rows = {r["id"]: r for r in value_at(bench.text(BUILD).text, ("install",))}
    lamp = next(i for i, r in rows.items() if r.get("place") == "grille-left")
    moved = bench.nudge(BUILD, seen=bench.text(BUILD).digest, row=lamp, by=Step(0.0, 0.01, 0.0))
    row = value_at(moved.text, ("install", lamp))
    assert "place" not in row and len(row["at"]) == 3 and row["facing"]
    again = bench.nudge(BUILD, seen=moved.digest, row=lamp, by=Step(0.0, -0.01, 0.0))
    rig = bench.worker.whole(f"builds/{BUILD}.yaml").worked
    place = next(p for p in rig.vehicle.places if p.id == "grille-left")
    at = next(d for d in rig.devices.values() if d.row == lamp).placement.at
    assert (at.x_m, at.y_m, at.z_m) == pytest.approx(tuple(place.at), abs=1e-9)
    with pytest.raises(ChangedMeanwhile):
        bench.nudge(BUILD, seen=moved.digest, row=lamp, by=Step(0.0, 0.01, 0.0))
    with pytest.raises(EditError):
        bench.nudge(BUILD, seen=again.digest, row="nobody", by=Step(0.0, 0.01, 0.0))
