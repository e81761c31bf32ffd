"""Measures of tyres, loadings, wheels and weigh tickets."""

from __future__ import annotations

from collections.abc import Iterator

from rigbook.body.face_fit import FaceItem
from rigbook.body.lids import LidResult
from rigbook.body.shelves import ShelfResult
from rigbook.documents.schema.panels import Panel
from rigbook.rules.measures import Measure, Reading, Results


def tyre_load(results: Results) -> Iterator[Reading]:
    """Load on an axle with everything fitted, persons and kit, against its tyres.

    Unit: kg. Formula: moments about the other axle. Source: statics. Limit `tyres`: by load index (load-index).
    """
    if results.body is None:
        return
    rig = results.rig
    for axle in results.body.axles:
        if axle.tyre_kg is not None:
            yield Reading(
                subject=axle.id,
                value=axle.load_kg,
                file=rig.vehicle_file,
                line=rig.vehicle.tyres.where.line or None,
                limits={"tyres": axle.tyre_kg},
                figure=f"body.axles[{axle.id}].load_kg",
            )


def axle_load_any_loading(results: Results) -> Iterator[Reading]:
    """Heaviest load on an axle over the loadings other than laden, where it is above the laden one.

    Unit: kg. Formula: moments about the other axle. Source: statics. Limit `rating`: as entered.
    """
    if results.body is None:
        return
    rig = results.rig
    for axle, rating in (("front", rig.vehicle.ratings.gawr_front), ("rear", rig.vehicle.ratings.gawr_rear)):
        worst = max(results.body.cases, key=lambda case: getattr(case, f"{axle}_kg"))
        if worst.id == "laden":
            continue
        yield Reading(
            subject=axle,
            value=getattr(worst, f"{axle}_kg"),
            file=rig.vehicle_file,
            line=rig.vehicle.ratings.where.line or None,
            limits={"rating": rating},
            words={"loading": worst.title[0].lower() + worst.title[1:]},
            figure=f"body.cases[{worst.id}].{axle}_kg",
        )


def front_share(results: Results) -> Iterator[Reading]:
    """Least share of the mass on the front axle over every loading.

    Unit: share. Formula: front axle over whole mass. Source: statics.
    """
    if results.body is None:
        return
    rig = results.rig
    least = min(results.body.cases, key=lambda case: case.front_share)
    yield Reading(
        subject="vehicle",
        value=least.front_share,
        file=rig.vehicle_file,
        line=rig.vehicle.ratings.where.line or None,
        words={"loading": least.title[0].lower() + least.title[1:]},
        figure=f"body.cases[{least.id}].front_share",
    )


def axle_side_difference(results: Results) -> Iterator[Reading]:
    """Difference of left and right on one axle as a share of that axle, where the wheels were weighed.

    Unit: share. Formula: |L - R| / (L + R). Source: side-balance. Without scales it is not known, and not judged.
    """
    if results.body is None:
        return
    ticket = results.rig.build.weighed
    if ticket is None or ticket.wheels is None:
        return
    wheels = ticket.wheels
    for axle, left, right in (
        ("front", wheels.front_left, wheels.front_right),
        ("rear", wheels.rear_left, wheels.rear_right),
    ):
        yield Reading(
            subject=axle,
            value=abs(left - right) / (left + right),
            file=ticket.where.file,
            line=ticket.where_of("wheels").line or None,
            words={"heavier": "left" if left > right else "right"},
        )


def weighing_residual(results: Results) -> Iterator[Reading]:
    """How far the scales are from what was computed for the same loading.

    Unit: share. Formula: |weighed - computed| / weighed. Source: statics.
    """
    if results.body is None or results.body.weighed is None:
        return
    ticket = results.rig.build.weighed
    assert ticket is not None
    found = results.body.weighed
    yield Reading(
        subject="vehicle",
        value=abs(found.residual_kg) / found.mass_kg,
        file=ticket.where.file,
        line=ticket.where.line or None,
        words={"way": "more" if found.residual_kg > 0 else "less"},
        figure="body.weighed.residual_kg",
    )


def payload_as_built(results: Results) -> Iterator[Reading]:
    """What the gross rating leaves for persons and kit once everything is built in and the tank is full.

    Unit: kg. Formula: gross rating - mass without persons and kit. Source: capacity-weight.
    """
    if results.body is None:
        return
    rig = results.rig
    case = next(case for case in results.body.cases if case.id == "without-crew")
    yield Reading(
        subject="vehicle",
        value=case.margin_kg,
        file=rig.vehicle_file,
        line=rig.vehicle.ratings.where.line or None,
        figure="body.cases[without-crew].margin_kg",
    )


def mount_used(results: Results) -> Iterator[Reading]:
    """Load of a joint over what its weakest link takes, in the direction that uses most.

    Unit: share. Formula: n m g0 over capacity. Source: restraint-factors, ec3-1-8, rivet-nuts, bolt-group.
    """
    if results.body is None:
        return
    for mount, found in zip(results.rig.build.mounts, results.body.mounts, strict=True):
        if found.load_n is None or found.capacity_n is None:
            continue
        yield Reading(
            subject=found.id,
            value=found.load_n / found.capacity_n,
            file=mount.where.file,
            line=mount.where.line or None,
            words={"link": str(found.weakest), "direction": str(found.worst)},
            figure=f"body.mounts[{found.id}].reserve",
        )


def lid_open(results: Results) -> Iterator[Reading]:
    """Moment that holds a lid open, at its coldest with a weak spring.

    Unit: N m. Formula: springs less weight about the hinge. Source: gas-springs, gas-spring-heat.
    """
    for subject, found, file, line in _lids(results):
        figure = f"body.lids[{subject}].open_cold_n_m"
        yield Reading(subject=subject, value=found.open_cold_n_m, file=file, line=line, figure=figure)


def lid_closed(results: Results) -> Iterator[Reading]:
    """Moment that opens a closed lid, at its hottest with a strong spring.

    Unit: N m. Formula: springs less weight about the hinge. Source: gas-springs, gas-spring-heat.
    """
    for subject, found, file, line in _lids(results):
        figure = f"body.lids[{subject}].closed_hot_n_m"
        yield Reading(subject=subject, value=found.closed_hot_n_m, file=file, line=line, figure=figure)


def lid_hand(results: Results) -> Iterator[Reading]:
    """Most force of the hand at the edge of a lid, opening or closing, at 20 C.

    Unit: N. Formula: net moment over the distance of the hand. Source: gas-springs.
    """
    for subject, found, file, line in _lids(results):
        opening = found.hand_to_open_n >= found.hand_to_close_n
        yield Reading(
            subject=subject,
            value=max(found.hand_to_open_n, found.hand_to_close_n),
            file=file,
            line=line,
            words={"way": "lifts" if opening else "pulls down"},
            figure=f"body.lids[{subject}].hand_to_{'open' if opening else 'close'}_n",
        )


def _lids(results: Results) -> Iterator[tuple[str, LidResult, str, int | None]]:
    if results.body is None:
        return
    for lid, found in zip(results.rig.build.lids, results.body.lids, strict=True):
        yield found.id, found, lid.where.file, lid.where.line or None


def inside_temperature(results: Results) -> Iterator[Reading]:
    """Air inside a cabinet or console in its warmest stretch of the duty day.

    Unit: C. Formula: P = (kA + rho cp Q) dT + s dT^1.5. Source: enclosure-walls, fan-flow, stack-flow. Limit `limit`:
    as entered.
    """
    if results.body is None:
        return
    for enclosure, found in zip(results.rig.build.enclosures, results.body.heat, strict=True):
        yield Reading(
            subject=found.id,
            value=found.inside_c,
            file=enclosure.where.file,
            line=enclosure.where.line or None,
            limits={"limit": found.limit_c},
            figure=f"body.heat[{found.id}].inside_c",
        )


def shelf_load(results: Results) -> Iterator[Reading]:
    """Load on a shelf or drawer: what stands and lies on it and the spare it is to carry.

    Unit: kg. Formula: sum of masses. Source: the build. Limit `rating`: of the part, as entered.
    """
    for found, file, line in _shelves(results):
        if found.rating_kg is not None:
            yield Reading(
                subject=found.id,
                value=found.load_kg,
                file=file,
                line=line,
                limits={"rating": found.rating_kg},
                figure=f"body.shelves[{found.id}].load_kg",
            )


def shelf_sag(results: Results) -> Iterator[Reading]:
    """Sag of a shelf in the middle over its span.

    Unit: share. Formula: 5 w L^4/(384 E I) over L. Source: beam-bending, stiffness.
    """
    for found, file, line in _shelves(results):
        if found.sag_span_share is not None:
            figure = f"body.shelves[{found.id}].sag_span_share"
            yield Reading(subject=found.id, value=found.sag_span_share, file=file, line=line, figure=figure)


def _shelves(results: Results) -> Iterator[tuple[ShelfResult, str, int | None]]:
    if results.body is None:
        return
    for carrier, found in zip(results.rig.build.shelves, results.body.shelves, strict=True):
        yield found, carrier.where.file, carrier.where.line or None


def face_gap(results: Results) -> Iterator[Reading]:
    """Least distance between two things on a face, legends included; below zero where they overlap.

    Unit: m. Formula: distance of rectangles. Source: the build. Limit `gap`: of the face, as entered.
    """
    for panel, item, file, line in _on_faces(results):
        if item.gap_m is not None:
            yield Reading(
                subject=f"{panel.id}-{item.id}", value=item.gap_m, file=file, line=line, limits={"gap": panel.gap},
                words={"thing": item.id, "beside": str(item.nearest), "face": panel.id},
                figure=f"body.panels[{panel.id}].items[{item.id}].gap_m",
            )  # fmt: skip


def face_edge(results: Results) -> Iterator[Reading]:
    """Least distance from a cut-out to the edge of its face.

    Unit: m. Formula: distance of rectangles. Source: practice-faces. Limit `edge`: of the face, as entered.
    """
    for panel, item, file, line in _on_faces(results):
        yield Reading(
            subject=f"{panel.id}-{item.id}", value=item.edge_m, file=file, line=line, limits={"edge": panel.edge},
            words={"thing": item.id, "face": panel.id}, figure=f"body.panels[{panel.id}].items[{item.id}].edge_m",
        )  # fmt: skip


def face_depth(results: Results) -> Iterator[Reading]:
    """Room that a thing with its plugs takes behind its face, against what there is.

    Unit: m. Formula: depth behind the face and cable room. Source: practice-faces. Limit `room`: down to what stands there.
    """
    for panel, item, file, line in _on_faces(results):
        yield Reading(
            subject=f"{panel.id}-{item.id}", value=item.needs_m, file=file, line=line, limits={"room": item.room_m},
            words={"thing": item.id, "face": panel.id, "there": f"until {item.behind}" if item.behind else "in all"},
            figure=f"body.panels[{panel.id}].items[{item.id}].needs_m",
        )  # fmt: skip


def face_reach(results: Results) -> Iterator[Reading]:
    """Distance from the seat's point to a thing on a face that is worked from there.

    Unit: m. Formula: straight distance. Source: practice-faces. Limit `within`: of the face, as entered.
    """
    for panel, item, file, line in _on_faces(results):
        if item.reach_m is not None and panel.reach is not None:
            yield Reading(
                subject=f"{panel.id}-{item.id}", value=item.reach_m, file=file, line=line,
                limits={"within": panel.reach.within},
                words={"thing": item.id, "face": panel.id, "seat": panel.reach.seat},
                figure=f"body.panels[{panel.id}].items[{item.id}].reach_m",
            )  # fmt: skip


def _on_faces(results: Results) -> Iterator[tuple[Panel, FaceItem, str, int | None]]:
    if results.body is None:
        return
    for panel, found in zip(results.rig.build.panels, results.body.panels, strict=True):
        for item in found.items:
            device = results.rig.devices[item.id]
            yield panel, item, device.file, device.line or None


MEASURES: tuple[Measure, ...] = (
    Measure(name="face_gap", per="face", unit="m", take=face_gap, limits=("gap",), words=("thing", "beside", "face")),
    Measure(name="face_edge", per="face", unit="m", take=face_edge, limits=("edge",), words=("thing", "face")),
    Measure(
        name="face_depth", per="face", unit="m", take=face_depth, limits=("room",), words=("thing", "face", "there")
    ),
    Measure(
        name="face_reach", per="face", unit="m", take=face_reach, limits=("within",), words=("thing", "face", "seat")
    ),
    Measure(name="tyre_load", per="axle", unit="kg", take=tyre_load, limits=("tyres",)),
    Measure(
        name="axle_load_any_loading",
        per="axle",
        unit="kg",
        take=axle_load_any_loading,
        limits=("rating",),
        words=("loading",),
    ),
    Measure(name="front_share", per="whole", unit="share", take=front_share, words=("loading",)),
    Measure(name="axle_side_difference", per="axle", unit="share", take=axle_side_difference, words=("heavier",)),
    Measure(name="weighing_residual", per="whole", unit="share", take=weighing_residual, words=("way",)),
    Measure(name="mount_used", per="mount", unit="share", take=mount_used, words=("link", "direction")),
    Measure(name="lid_open", per="lid", unit="N m", take=lid_open),
    Measure(name="lid_closed", per="lid", unit="N m", take=lid_closed),
    Measure(name="lid_hand", per="lid", unit="N", take=lid_hand, words=("way",)),
    Measure(name="inside_temperature", per="device", unit="C", take=inside_temperature, limits=("limit",)),
    Measure(name="shelf_load", per="device", unit="kg", take=shelf_load, limits=("rating",)),
    Measure(name="shelf_sag", per="device", unit="share", take=shelf_sag),
    Measure(name="payload_as_built", per="whole", unit="kg", take=payload_as_built),
)
