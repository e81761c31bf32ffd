from __future__ import annotations

import random
from pathlib import Path

import pytest

from rigbook.desk import history
from rigbook.desk.history import Change, change_between, kept, redone, undone


def test_a_change_leads_there_and_back_for_any_two_texts() -> None:
    chance = random.Random(7)
    reached = {"longer": 0, "shorter": 0, "same": 0, "far": 0}
    for _ in range(400):
        before = bytes(chance.choice(b"ab\n") for _ in range(chance.choice([0, 1, 5, 3000])))
        cut = chance.randrange(len(before) + 1)
        after = (
            before[:cut]
            + bytes(chance.choice(b"ab\n") for _ in range(chance.randrange(4)))
            + before[cut + chance.randrange(3) :]
        )
        change = change_between(before, after, "try")
        assert redone(before, change) == after and undone(after, change) == before
        reached["longer" if len(after) > len(before) else "shorter" if len(after) < len(before) else "same"] += 1
        reached["far"] += change.at > history.STRIDE
    assert min(reached.values()) > 5, reached


def test_a_change_is_as_short_as_it_can_be() -> None:
    assert change_between(b"wire: 14 AWG\n", b"wire: 12 AWG\n", "w") == Change(7, b"4", b"2", "w")
    assert change_between(b"same", b"same", "w") == Change(4, b"", b"", "w")


def test_a_change_of_another_text_is_not_made() -> None:
    assert undone(b"wire: 10 AWG\n", Change(7, b"4", b"2", "w")) is None


def test_a_kept_history_is_given_back_for_the_text_it_belongs_to(tmp_path: Path) -> None:
    file = tmp_path / "van.yaml"
    done = [Change(0, b"\xff\xfe", b"a", "first"), Change(3, b"", "ü".encode(), "second")]
    assert history.keep(file, b"text", done, [Change(1, b"x", b"y", "third")])
    assert kept(file, b"text") == (done, [Change(1, b"x", b"y", "third")])
    assert kept(file, b"another text") == ([], [])
    assert kept(tmp_path / "other.yaml", b"text") == ([], [])


@pytest.mark.parametrize(
    "content", ["", "{", "[]", '{"digest": 1}', "\ud800".encode("utf-8", "surrogatepass").decode("latin-1")]
)
def test_what_is_half_gone_is_no_history(tmp_path: Path, content: str) -> None:
    file = tmp_path / "van.yaml"
    history.place_of(file).parent.mkdir()
    history.place_of(file).write_text(content, encoding="utf-8")
    assert kept(file, b"text") == ([], [])


def test_a_very_long_history_keeps_its_newest_part(tmp_path: Path) -> None:
    file = tmp_path / "van.yaml"
    done = [Change(0, b"x" * 200_000, b"", f"{n}") for n in range(32)]
    assert history.keep(file, b"text", done, [])
    found, _ = kept(file, b"text")
    assert found and found == done[-len(found) :] and len(found) < len(done)
    assert history.place_of(file).stat().st_size <= history.LONGEST_BYTES


def test_where_nothing_can_be_written_undo_ends_with_the_run(tmp_path: Path) -> None:
    (tmp_path / history.FOLDER).write_text("a file, not a folder", encoding="utf-8")
    assert not history.keep(tmp_path / "van.yaml", b"text", [], [])
