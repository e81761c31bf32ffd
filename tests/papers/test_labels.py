from __future__ import annotations

import itertools

from hypothesis import given, settings
from hypothesis import strategies as st

from rigbook.papers.labels import Wanted, _crosses, label_width, place
from rigbook.papers.svg import Box

marks = st.tuples(st.floats(5, 95), st.floats(5, 95))


@settings(max_examples=40, deadline=None)
@given(st.lists(marks, min_size=1, max_size=30))
def test_no_label_overlaps_another_a_mark_or_the_edge(places: list[tuple[float, float]]) -> None:
    wanted = [Wanted(f"w{i}", f"lamp-{i}", "B", x, y, 1.1, (x - 50, y - 50)) for i, (x, y) in enumerate(places)]
    obstacles = [Box(x - 1.1, y - 1.1, x + 1.1, y + 1.1) for x, y in places]
    sheet = Box(0, 0, 100, 100)
    labels, failed = place(wanted, size=2.0, sheet=sheet, obstacles=obstacles)
    assert len(labels) + len(failed) == len(wanted)
    assert labels, "there is room for at least one"
    for label in labels:
        assert label.box.inside(sheet)
        assert not any(label.box.overlaps(o) for o in obstacles)
        assert label.box.right - label.box.left >= label_width(label.text, label.strong, size=2.0) - 1e-9
    for a, b in itertools.combinations(labels, 2):
        assert not a.box.overlaps(b.box)
        assert not (a.leader and _crosses(a.leader, b.box))
        assert not (b.leader and _crosses(b.leader, a.box))


def test_a_label_that_finds_no_room_is_named() -> None:
    wanted = [Wanted("a", "a very long name that cannot fit", "", 5, 5, 1, (0, -1))]
    labels, failed = place(wanted, size=4.0, sheet=Box(0, 0, 10, 10), obstacles=[])
    assert not labels and [w.key for w in failed] == ["a"]


def test_a_leader_that_runs_through_a_box_is_seen() -> None:
    assert _crosses((0, 0, 10, 10), Box(4, 4, 6, 6))
    assert not _crosses((0, 0, 10, 0), Box(4, 4, 6, 6))
    assert not _crosses((0, 0, 3, 3), Box(4, 4, 6, 6))
