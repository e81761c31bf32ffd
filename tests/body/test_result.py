from __future__ import annotations

from dataclasses import fields

from rigbook.body.result import Axle, BodyResult, Centre


def test_every_promised_key_stands() -> None:
    promised = "axles mass_kg payload_remaining_kg left_share cg stability_factor mounts lids panels heat"
    assert set(promised.split()) <= {f.name for f in fields(BodyResult)}
    assert {"id", "load_kg", "rating_kg", "margin_kg"} <= {f.name for f in fields(Axle)}
    assert [f.name for f in fields(Centre)] == ["x_m", "y_m", "z_m"]
