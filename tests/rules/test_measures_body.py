"""Rules over tyres, loadings, wheels, tickets and payload."""

from __future__ import annotations

import pytest

from rigbook.body import work_out
from rigbook.documents.schema.shop import RuleRow
from rigbook.quantities.units import POUND_KG
from rigbook.rig.model import Rig
from rigbook.rules import measures_body
from rigbook.rules.judge import Pack, judge
from rigbook.rules.measures import Results, registry
from tests.body.test_balance import LOAD
from tests.body.test_weighing import WHEELS
from tests.rig.small import VEHICLE, build_text, worked


def findings(rig: Rig, measure: str, **limit: str) -> list[str]:
    per = registry()[measure].per
    row = RuleRow.model_validate(
        {"id": "row", "measure": measure, "per": per, "limit": limit, "severity": "caution", "source": "entered",
         "sourced": "published", "says": "{subject} {value}", "remedy": "Mend it."}
    )  # fmt: skip
    found = judge([Pack("p", "p.yaml", (row,))], Results(rig=rig, body=work_out(rig)), registry(), "us")
    assert not any(f.own_fault for f in found)
    return [f.subject for f in found]


def car(more: str = "", vehicle: str = VEHICLE) -> Rig:
    return worked(build_text(more=LOAD + more), vehicle=vehicle)


def ticket(left: float, right: float) -> str:
    return (
        WHEELS.replace("rear_left: 360 kg, rear_right: 350 kg", f"rear_left: {left} lb, rear_right: {right} lb")
        .replace("whole: 1662 kg\n", "")
        .replace("  whole: 1662 kg", "")
    )


@pytest.mark.outside
@pytest.mark.parametrize(("left", "right", "fails"), [(465, 535, []), (460, 540, ["rear"])])
def test_seven_per_cent_of_an_axle(left: float, right: float, fails: list[str]) -> None:
    """Municipal purchase specification of 2010: 4,650 / 5,350 lb is 7.0 % and passes, 4,600 / 5,400 lb is 8.0 %; here a tenth."""
    lifted = WHEELS[WHEELS.index("  lifted:") :]
    text = ticket(left, right).replace(lifted, "")
    assert findings(car(text), "axle_side_difference", at_most="7 %") == fails


@pytest.mark.outside
@pytest.mark.parametrize(
    ("payload", "limit", "keeps"),
    [(1480, 1500, False), (1500, 1500, True), (2200, 2250, False), (1600, 1700, False)],
)
def test_payload_as_built_against_the_payloads_of_ambulance_rules(payload: float, limit: float, keeps: bool) -> None:
    """KKK-A-1822F type II 1,500 lb and I-AD 2,250 lb, ASTM F2020 type II 1,700 lb, by slides that compare them."""
    rig = car()
    mass = next(c for c in work_out(rig).cases if c.id == "without-crew").mass_kg
    gvwr = mass / POUND_KG + payload
    vehicle = VEHICLE.replace("gvwr: 4900 lb", f"gvwr: {gvwr!r} lb")
    assert bool(findings(car(vehicle=vehicle), "payload_as_built", at_least=f"{limit} lb")) != keeps


def test_tyres_too_small_and_a_light_front() -> None:
    weak = VEHICLE.replace("load_index: 102", "load_index: 80")
    assert findings(car(vehicle=weak), "tyre_load", at_most="tyres") == ["front"]
    assert findings(car(), "tyre_load", at_most="tyres") == []
    assert findings(car(), "front_share", at_least="20 %") == []
    assert findings(car(), "front_share", at_least="70 %") == ["vehicle"]


def test_an_axle_may_be_heaviest_with_kit_at_home() -> None:
    far = "  - {id: boat, mass: 300 kg, at: [4.5 m, 0 m, 1 m]}\n"
    rig = car(far)
    results = Results(rig=rig, body=work_out(rig))
    front = next(r for r in measures_body.axle_load_any_loading(results) if r.subject == "front")
    assert front.figure == "body.cases[with-crew].front_kg"
    assert front.value > work_out(rig).axles[0].load_kg


def test_scales_far_from_arithmetic() -> None:
    heavy = WHEELS.replace("front_left: 480 kg", "front_left: 580 kg").replace("whole: 1662 kg", "whole: 1762 kg")
    heavy = heavy.replace("other: 1010 kg", "other: 1110 kg")
    assert findings(car(heavy), "weighing_residual", at_most="3 %") == ["vehicle"]
    assert findings(car(), "weighing_residual", at_most="3 %") == []


def test_without_an_engine_nothing_is_read() -> None:
    rig = car()
    assert all(list(m.take(Results(rig=rig))) == [] for m in measures_body.MEASURES)
