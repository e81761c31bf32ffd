from __future__ import annotations

from rigbook.papers.label_items import code_of, label_items

from .opened import example


def test_modules_and_blocks_carry_a_code_and_nothing_else_does() -> None:
    rig = example("flood-support-van").worked
    items = label_items(rig)
    coded = {i.text for i in items if i.code}
    assert set(rig.modules) | {"block-front", "block-rear", "bus-ground"} <= coded
    assert {i.kind for i in items if i.code} == {"module"}
    assert {i.text for i in items if i.kind == "circuit"} == set(rig.circuits)
    assert code_of("van", "control") == "van/control"


def test_a_circuits_label_says_what_guards_it_and_what_it_feeds() -> None:
    items = {i.text: i for i in label_items(example("flood-support-van").worked) if i.kind == "circuit"}
    assert items["siren-feed"].lines == ("fuse 30 A", "siren-amp")
    assert items["module-rear.3"].lines[1].split()[-1] in ("blue", "white")
