"""A rig made by hand, so that drawings are tested without the loader and the engines."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from rigbook.rig.model import Device, Placement, Point, Pose, Rig


def vehicle(body: str = "utility", **sizes: float) -> Any:
    usual: dict[str, dict[str, float]] = {
        "utility": {"length": 4.6, "width": 1.86, "height": 1.7, "wheelbase": 2.7, "front_overhang": 0.92},
        "pickup": {"length": 5.9, "width": 2.03, "height": 1.96, "wheelbase": 3.68, "front_overhang": 0.95},
        "van": {"length": 5.98, "width": 2.05, "height": 2.75, "wheelbase": 3.67, "front_overhang": 1.02},
    }
    size = SimpleNamespace(**(usual[body] | sizes))
    outline = SimpleNamespace(
        body=body,
        bonnet_length=None,
        bonnet_height=None,
        roof_start=None,
        cab_length=None,
        bed_height=None,
        ground_clearance=None,
        tyre_diameter=None,
    )
    return SimpleNamespace(
        id=f"some-{body}",
        title=f"Some {body}",
        size=size,
        outline=outline,
        tyres=SimpleNamespace(size="245/75R16"),
        track=SimpleNamespace(front=1.6, rear=1.6),
    )


def zones_of(facing: float | None, all_round: bool) -> frozenset[str]:
    if all_round:
        return frozenset(("front", "right", "rear", "left"))
    if facing is None:
        return frozenset()
    middle = {"front": 0.0, "right": 90.0, "rear": 180.0, "left": 270.0}
    return frozenset(z for z, m in middle.items() if abs((facing - m + 180) % 360 - 180) <= 45)


def pose(
    at: tuple[float, float, float],
    facing: float | None,
    *,
    tilt: float = 0.0,
    when: str | None = None,
    all_round: bool = False,
) -> Pose:
    zones = zones_of(facing, all_round)
    return Pose(Point(*at), facing, all_round, tilt, when, zones, zones if abs(tilt) <= 45 else frozenset())


def lamp(
    id: str,
    at: tuple[float, float, float],
    facing: float | None,
    colours: tuple[str, ...],
    *,
    row: str | None = None,
    index: int | None = None,
    kind: str = "lamp",
    all_round: bool = False,
    opened: Pose | None = None,
) -> Device:
    poses = (pose(at, facing, all_round=all_round), *((opened,) if opened else ()))
    placement = Placement(poses, id, None, 0.0, None, None, False, "left" if at[1] < 0 else "right", 1.0)
    return Device(
        id,
        row or id,
        index,
        "some-lamp",
        kind,
        id,
        True,
        placement,
        frozenset(),
        colours,
        (),
        None,
        False,
        "wire-per-colour",
        "control",
        (),
        "control",
        None,
        None,
        "stud",
        None,
        (0.03, 0.13, 0.04),
        0.2,
        "builds/x.yaml",
        10,
    )


def rig(devices: list[Device], *, body: str = "utility", units: str = "us", title: str = "Some build") -> Rig:
    made: Any = SimpleNamespace(
        shop=SimpleNamespace(units=units, title="Some shop"),
        vehicle=vehicle(body),
        build=SimpleNamespace(build=SimpleNamespace(id="some-build", title=title)),
        devices={d.id: d for d in devices},
    )
    return made  # type: ignore[no-any-return]


def usual_devices() -> list[Device]:
    return [
        lamp("grille-left", (-0.88, -0.32, 0.72), 0, ("blue", "white")),
        lamp("grille-right", (-0.88, 0.32, 0.72), 0, ("blue", "white")),
        lamp("bumper-left", (-0.90, -0.6, 0.5), 330, ("blue", "red")),
        lamp("bumper-right", (-0.90, 0.6, 0.5), 30, ("blue", "red")),
        lamp("mirror-left", (0.72, -1.02, 1.02), 315, ("blue",)),
        lamp("mirror-right", (0.72, 1.02, 1.02), 45, ("blue",)),
        lamp("quarter-left", (2.95, -0.8, 1.25), 270, ("blue", "white")),
        lamp("quarter-right", (2.95, 0.8, 1.25), 90, ("blue", "white")),
        *(
            lamp(f"stick.{i + 1}", (3.2, -0.45 + i * 0.128, 1.5), 180, ("amber",), row="stick", index=i + 1)
            for i in range(8)
        ),
        lamp("roof", (2.7, 0, 1.7), None, ("blue",), all_round=True),
        lamp("hatch", (3.45, 0, 1.3), 180, ("red",), opened=pose((3.8, 0, 1.95), 180, tilt=-50, when="hatch")),
        lamp("tail-left", (3.62, -0.75, 1.0), 180, ("red",), kind="factory-lamp"),
        lamp("tail-right", (3.62, 0.75, 1.0), 180, ("red",), kind="factory-lamp"),
        lamp("dome", (1.5, 0, 1.5), None, ("white",)),
    ]
