from __future__ import annotations

from itertools import islice

from rigbook.papers.wire_labels import _letters, owners, wire_labels

from .opened import example


def test_letters_leave_out_what_reads_as_a_digit_or_a_return() -> None:
    letters = list(islice(_letters(alone=False), 60))
    assert len(set(letters)) == 60
    assert not {x[0] for x in letters} & set("IOR")
    assert list(_letters(alone=True)) == [""]


def test_a_wire_belongs_to_a_circuit_that_it_lies_on() -> None:
    rig = example("flood-support-van").worked
    checked = 0
    for segment_id, (circuit, _) in owners(rig).items():
        if circuit in rig.circuits and rig.feeds.get(circuit, None) is None:
            members = rig.circuits[circuit].members
            assert any(segment_id in (*m.feed_path, *m.return_path) for m in members)
            checked += 1
    assert checked > 100


def test_a_return_says_so() -> None:
    wires = wire_labels(example("duty-officer-utility").worked)
    returns = [w for w in wires if w.segment.role == "return"]
    assert len(returns) > 5
    assert all(".R" in w.source.text for w in returns)
    assert not any(".R" in w.source.text for w in wires if w.segment.role != "return")
    assert {w.load.there for w in returns} and returns[0].load.here.startswith("ground ")
