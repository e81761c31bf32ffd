"""Figures of circuits, feeds and modules explained. That all agree with the results: tests/assess."""

from __future__ import annotations

import pytest

from rigbook.power import explain, work_out
from rigbook.quantities.tables import bibliography
from rigbook.quantities.working import Working
from tests.power.cars import car

KEYS = {
    "circuits": ("nameplate_a", "ampacity_a", "practice_fuse_a", "drop_v", "drop_fraction", "own_drop_v",
                 "solved_drop_v"),
    "feeds": ("fuse_a", "nameplate_a", "ampacity_a", "practice_fuse_a", "drop_v"),
    "modules": ("nameplate_a", "limit_a"),
}  # fmt: skip


def test_every_figure_of_the_car_is_the_result_printed() -> None:
    rig, result = car(), work_out(car())
    looked = 0
    for kind, keys in KEYS.items():
        for row in getattr(result, kind):
            for key in keys:
                figure_id = f"power.{kind}[{row.id}].{key}"
                if getattr(row, key) is None:
                    continue
                working = explain(rig, figure_id)
                assert (working.figure_id, working.result) == (figure_id, getattr(row, key))
                looked += 1
            for device in getattr(row, "devices", ()):
                for key in ("length_m", "current_a", "drop_v", "device_v"):
                    figure_id = f"power.{kind}[{row.id}].devices[{device.id}].{key}"
                    assert explain(rig, figure_id).result == getattr(device, key)
                    looked += 1
    assert looked > 100
    assert explain(rig, "power.whole.nameplate_a").result == result.whole.nameplate_a


def test_a_drop_shows_each_conductor_with_its_source() -> None:
    working = explain(car(), "power.circuits[control.1].drop_v")
    shown = [w for w in working.walk() if w.formula.startswith("I x L x r20")]
    assert len(shown) == 6, "two above, wire and lead out and back"
    assert working.result == pytest.approx(sum(w.result for w in working.steps if isinstance(w, Working)))  # type: ignore[misc]
    for part in shown:
        values = {i.symbol: i.value for i in part.inputs}
        by_hand = values["I"] * values["L"] * values["r20"] * (234.5 + values["T"]) / 254.5  # type: ignore[operator]
        assert part.result == pytest.approx(by_hand)
    assert working.least_sure == "memory", "the resistance of copper is recalled, and the figure says so"


def test_ampacity_can_be_multiplied_by_hand() -> None:
    working = explain(car(), "power.circuits[control.1].ampacity_a")
    values = {i.symbol: i.value for i in working.inputs}
    assert working.result == pytest.approx(values["I"] * values["F(Ta)"] * values["B"])  # type: ignore[operator]
    assert working.source == "cfr-33-183-425" and working.clause == "Table 5"


def test_sources_are_in_the_bibliography() -> None:
    rig, known = car(), bibliography()
    looked = 0
    for key in KEYS["circuits"]:
        for working in explain(rig, f"power.circuits[control.1].{key}").walk():
            named = [working.source, *(i.source for i in working.inputs)]
            for source in named:
                if source and ":" not in source and source not in rig.parts:
                    assert source in known, source
                    looked += 1
    assert looked > 10


@pytest.mark.parametrize(
    "figure_id",
    [
        "power.circuits[control.1].colour_v", "power.circuits[control.1].devices[nobody].drop_v",
        "power.feeds[nothing].worst_rms_a", "power.modules[control].outputs", "power.nothing_a",
        "power.circuits[control.1].devices[nose].mass_kg", "power.circuits[no.1].drop_v",
    ],
)  # fmt: skip
def test_what_is_no_figure_is_refused(figure_id: str) -> None:
    with pytest.raises(KeyError):
        explain(car(), figure_id)
