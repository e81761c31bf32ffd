"""Leads on paper: made from stock, labelled at both ends, the same in chapter, sheet and pin-outs."""

from __future__ import annotations

import pytest

from rigbook.papers.leads_sheet import CABLES, leads_table, pieces
from rigbook.papers.pins import pin_outs
from rigbook.rig.leads import leads_of
from tests.papers.example_builds import BUILDS, desk


@pytest.mark.parametrize("build", BUILDS)
def test_every_lead_is_cut_once_with_labels_of_its_own(build: str) -> None:
    made = desk(build).leads
    assert [c.lead for c in made] == list(leads_of(desk(build).rig))
    labels = [text for c in made for text in c.labels] + [
        e.text for c in desk(build).harness.cuts for e in c.label.ends
    ]
    assert len(labels) == len(set(labels))


@pytest.mark.parametrize("build", BUILDS)
def test_wires_and_terminals_are_of_the_stock_and_cables_come_with_plugs(build: str) -> None:
    rig = desk(build).rig
    looked = 0
    for cut in desk(build).leads:
        if cut.gauge is None:
            assert cut.lead.kind in CABLES
            assert cut.start.terminal == cut.end.terminal == "plug of the cable"
            continue
        stock = next(w.colours for w in rig.shop.wires if w.gauge == cut.gauge)
        assert set(cut.colours) <= set(stock)
        assert len(cut.colours) == (2 if cut.lead.kind == "speaker" else 1)
        for end in (cut.start, cut.end):
            low, high = rig.parts[end.terminal].gauges
            assert low <= cut.gauge <= high
        looked += 1
    assert looked >= 1


@pytest.mark.parametrize("build", BUILDS)
def test_lengths_are_rounded_up_and_the_sheet_says_the_same(build: str) -> None:
    rows = {row[0]: row for row in leads_table(desk(build)).rows}
    assert len(rows) == len(desk(build).leads)
    for cut in desk(build).leads:
        row = rows[cut.lead.id]
        assert row[2:4] == cut.labels
        if cut.lead.length_m is None:
            assert cut.length_m is None
            continue
        inches = cut.lead.length_m / 0.0254
        assert cut.length_m is not None
        assert inches - 1e-6 <= cut.length_m < inches + 0.5
        assert row[17] == cut.length_m


def test_pin_outs_name_the_wire_of_every_input() -> None:
    pins = {p.purpose: p for out in pin_outs(desk("flood-support-van")) for p in out.pins}
    assert pins["horn_ring"].label == "control.in1-2"
    assert pins["horn_ring"].gauge == "18 AWG"
    assert pins["horn_ring"].colour not in ("", "–", "red", "black")


def test_the_chapter_has_the_table_where_there_is_something() -> None:
    made = pieces(desk("flood-support-van"))
    assert len(made) == 2
    assert len(made[0]["rows"]) == len(desk("flood-support-van").leads)
