"""Joints worked through: the group, its links and the torque."""

from __future__ import annotations

import re

from rigbook.body import fasteners, mounts
from rigbook.documents.schema.mounting import JointMount
from rigbook.quantities.working import Input, Working
from rigbook.rig.model import Rig

_MOUNT = re.compile(r"body\.mounts\[([a-z0-9_-]+)\]\.(mass_kg|load_n|capacity_n|reserve|torque_n_m)")
_WAY = re.compile(r"body\.mounts\[([a-z0-9_-]+)\]\.directions\[([a-z]+)\]\.(factor|load_n|used_share)")


def explain(rig: Rig, figure_id: str) -> Working | None:
    """The working of a figure of the joints; None where it is none."""
    named = {mount.id: mount for mount in rig.build.mounts}
    if (match := _WAY.fullmatch(figure_id)) and match.group(1) in named:
        return _way(rig, figure_id, named[match.group(1)], match.group(2), match.group(3))
    if not (match := _MOUNT.fullmatch(figure_id)) or match.group(1) not in named:
        return None
    mount, key = named[match.group(1)], match.group(2)
    if key == "mass_kg":
        return _mass(rig, figure_id, mount)
    if key == "torque_n_m":
        return _torque(figure_id, mount)
    result = mounts.mount_result(rig, mount)
    if result.worst is None:
        raise KeyError(figure_id)
    way = _way(rig, "", mount, result.worst, "used_share")
    formulas = {
        "load_n": ("n m g0", result.load_n, "N"),
        "capacity_n": ("load / used share", result.capacity_n, "N"),
        "reserve": ("capacity / load - 1", result.reserve, ""),
    }
    formula, value, unit = formulas[key]
    return Working(
        figure_id=figure_id, title=f"{mount.id}: direction {result.worst}, weakest link {result.weakest}",
        formula=formula, result=value, unit=unit, source="restraint-factors", sourced="published", steps=(way,),
    )  # fmt: skip


def _mass(rig: Rig, figure_id: str, mount: JointMount) -> Working:
    held = mounts.held(rig, mount)
    return Working(
        figure_id=figure_id, title=f"Mass on {mount.id}", formula="m = sum of m",
        inputs=tuple(
            Input(symbol="m", meaning=f"{m.id} at {m.at.x_m:g} m, {m.at.y_m:g} m, {m.at.z_m:g} m", value=m.mass_kg,
                  unit="kg", source=f"{m.file}:{m.line}")
            for m in held
        ),
        result=mounts.mount_result(rig, mount).mass_kg, unit="kg",
    )  # fmt: skip


def _way(rig: Rig, figure_id: str, mount: JointMount, way: str, key: str) -> Working:
    found = mounts.direction(rig, mount, way)
    if found is None:
        raise KeyError(figure_id)
    factor = Input(symbol="n", meaning=f"{mount.rule}, {way}", value=found.factor, source="restraint-factors",
                   sourced="published")  # fmt: skip
    if key in ("factor", "load_n"):
        return Working(
            figure_id=figure_id, title=f"Load of {mount.id}, {way}", formula="n" if key == "factor" else "n m g0",
            inputs=(factor,), result=found.factor if key == "factor" else found.load_n,
            unit="" if key == "factor" else "N", source="restraint-factors", sourced="published",
            steps=() if key == "factor" else (_mass(rig, "", mount),),
        )  # fmt: skip
    sheet = mount.sheet
    return Working(
        figure_id=figure_id,
        title=f"Share used of {found.link or 'the joint'}, {way}: the group's forces on the bolt that carries most",
        formula="most of V/Vr + T/(1.4 Tr), V/Fb, T/Bp or the nut's T/out + V/shear, over all bolts; bracket M c/I",
        inputs=(
            factor,
            Input(symbol="bolts", meaning=f"{mount.bolt} {mount.class_}, {mount.fastening}", value=len(mount.bolts),
                  source="ec3-1-8", sourced="published"),
            Input(symbol="As", meaning="stress area", value=fasteners.bolt(thread=mount.bolt, column="area_mm2"),
                  unit="mm2", source="iso-898-tables", sourced="published"),
            Input(symbol="t", meaning="sheet", value=sheet.thickness * 1e3, unit="mm"),
            Input(symbol="fu", meaning="strength of the sheet", value=sheet.strength / 1e6, unit="MPa"),
            Input(symbol="e", meaning="edge distance", value=sheet.edge * 1e3, unit="mm"),
        ),
        result=found.used_share, unit="fraction", source="bolt-group",
        sourced="published" if mount.fastening == "nut" else "common practice", steps=(_mass(rig, "", mount),),
    )  # fmt: skip


def _torque(figure_id: str, mount: JointMount) -> Working:
    own = () if mount.torque is None else (
        Input(symbol="own", meaning="supplier's torque", value=mount.torque, unit="N m",
              source=f"{mount.where.file}:{mount.where.line}"),
    )  # fmt: skip
    if mount.fastening == "nut":
        return Working(
            figure_id=figure_id, title=f"Torque of {mount.bolt} {mount.class_}, dry",
            formula="K d (0.75 proof), K 0.20; or the supplier's own", inputs=own, result=mounts.torque_n_m(mount),
            unit="N m", source="preload-torque", sourced="published",
        )  # fmt: skip
    body = mount.fastening.removeprefix("rivet-nut-")
    return Working(
        figure_id=figure_id, title=f"Torque of an {mount.bolt} screw in a {body} rivet nut",
        formula="least of screw, 0.8 spin and the supplier's own",
        inputs=(
            Input(symbol="screw", meaning="class 8.8", unit="N m", source="rivet-nuts", sourced="published",
                  value=fasteners.rivet_nut(thread=mount.bolt, column="screw_torque_8.8")),
            Input(symbol="spin", meaning="in 0.76 mm steel", unit="N m", source="rivet-nuts", sourced="published",
                  value=fasteners.rivet_nut(thread=mount.bolt, column=f"spin_{body}")),
            *own,
        ),
        result=mounts.torque_n_m(mount), unit="N m", source="practice-rivet-nuts", sourced="common practice",
    )  # fmt: skip
