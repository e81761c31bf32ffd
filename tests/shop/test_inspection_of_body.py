"""Joints and sensors on the final inspection."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

from rigbook.body import work_out
from rigbook.body.result import Recalibrate
from rigbook.shop.final_inspection import _body
from tests.body.test_mounts import car


def test_every_joint_and_every_sensor_has_a_step() -> None:
    body = replace(work_out(car()), recalibrate=(Recalibrate("radar", "bar"),))
    rows = list(_body(SimpleNamespace(body=body)))  # type: ignore[arg-type]
    assert [row[0] for row in rows] == ["Joint joint", "Sensor radar"]
    assert rows[0][3] == f"{body.mounts[0].torque_n_m:.1f} N m" and "bar stands in front" in rows[1][1]
    assert list(_body(SimpleNamespace(body=None))) == []  # type: ignore[arg-type]
