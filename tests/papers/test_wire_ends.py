"""Ends of wires: connectors where the part names them, else by gauge."""

from __future__ import annotations

import pytest

from rigbook.papers.wire_ends import end_of, terminal_for
from rigbook.quantities.gauge import parse_gauge
from tests.papers.example_builds import desk


@pytest.mark.parametrize(
    ("node", "connector", "cavity"),
    [
        ("control.3", "j1 (connector-ten)", "3"),
        ("control.12", "j2 (connector-ten)", "4"),
        ("control:power", "p1 (connector-power-two)", "1"),
    ],
)
def test_a_named_connector_gives_its_cavity(node: str, connector: str, cavity: str) -> None:
    end = end_of(desk("flood-support-van").rig, node, parse_gauge("18 AWG"))
    assert (end.connector, end.cavity) == (connector, cavity)


@pytest.mark.parametrize(
    ("form", "gauge", "terminal"),
    [
        ("ring", "18 AWG", "ring-18"),
        ("ring", "2/0 AWG", "lug-2-0"),
        ("blade", "10 AWG", "blade-10"),
        ("splice", "14 AWG", "splice-14"),
    ],
)
def test_terminals_by_gauge(form: str, gauge: str, terminal: str) -> None:
    assert terminal_for(desk("flood-support-van").rig, form, parse_gauge(gauge)) == terminal  # type: ignore[arg-type]


def test_no_terminal_where_none_fits() -> None:
    assert terminal_for(desk("flood-support-van").rig, "blade", parse_gauge("2/0 AWG")) is None


def test_an_own_lead_is_named_with_colour_and_gauge_and_takes_a_splice() -> None:
    end = end_of(desk("boat-crew-pickup").rig, "bumper-left:blue/joint", parse_gauge("18 AWG"))
    assert end.connector == "own lead blue" and "AWG" in end.cavity and end.terminal == "splice-18"
