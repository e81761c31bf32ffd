"""Aims for the lamps of a build, against what its areas and the rule packs in use ask for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rigbook.assess.assessment import Assessment, packs_of
from rigbook.light.aiming import Aimer, Aiming, CannotAim, Fewest, Need, aim, can_be_aimed, fewest
from rigbook.light.scene import Burning, lighting_of
from rigbook.light.sources import Source, Unlit, sources_of
from rigbook.rig.model import Rig
from rigbook.rules.judge import limit_of
from rigbook.rules.measures import Results, registry

MEASURES = ("scene_least", "scene_average")


def needs_of(assessment: Assessment, areas: Sequence[str] = ()) -> tuple[Need, ...]:
    """What each area asks for: its own figures, and the strictest that a rule pack in use sets for its task.

    Raises:
        CannotAim: an area that the build does not have.
    """
    rig, measures = assessment.worked, registry()
    known = [area.id for area in rig.build.scene]
    for name in areas:
        if name not in known:
            raise CannotAim(f"there is no area {name}; the build has: {', '.join(known) or 'none under scene:'}")
    results = Results(rig=rig, light=assessment.light)
    asked: dict[tuple[str, str], float] = {}
    for pack in packs_of(assessment.loaded)[0]:
        for row in pack.rows:
            if row.measure in MEASURES:
                for reading in measures[row.measure].take(results):
                    limit = limit_of(row, measures[row.measure], reading)
                    if limit is not None:
                        key = (reading.subject, row.measure)
                        asked[key] = max(limit, asked.get(key, 0.0))
    found = []
    for area in rig.build.scene:
        if not areas or area.id in areas:
            least, average = asked.get((area.id, "scene_least")), asked.get((area.id, "scene_average"))
            found.append(Need(area=area.id, least=_larger(area.least, least), average=_larger(area.average, average)))
    return tuple(found)


def _larger(one: float | None, other: float | None) -> float | None:
    return max((v for v in (one, other) if v is not None), default=None)


def better_aims(
    assessment: Assessment, *, areas: Sequence[str] = (), lamps: Sequence[str] = (), step_deg: float, turn_deg: float,
    effort_s: float,
) -> Aiming:  # fmt: skip
    """The best aims of lamps for areas; all areas and all lamps tagged `scene` where none is named.

    Raises:
        CannotAim: names that are none, nothing asked, nothing to aim.
    """
    rig = assessment.worked
    needs = needs_of(assessment, areas)
    lighting, _ = lighting_of(rig, rig.light)
    known = {source.device_id for source in lighting.sources}
    for name in lamps:
        if name not in known:
            raise CannotAim(f"there is no lamp {name} whose light is known")
        fixed = [s for s in lighting.sources if s.device_id == name and not can_be_aimed(s, lighting)]
        if fixed:
            raise CannotAim(f"{name} has no aim of its own: it shines all round, sits in a bar, or hangs on a door")
    movable = list(lamps) or [s.device_id for s in lighting.sources if "scene" in s.tags]
    return aim(Aimer(lighting, needs, movable), step_deg=step_deg, turn_deg=turn_deg, effort_s=effort_s)


def fewest_lamps(
    assessment: Assessment, *, part_id: str, places: Sequence[str], areas: Sequence[str] = (), step_deg: float, turn_deg: float,
    effort_s: float,
) -> Fewest:  # fmt: skip
    """As few lamps of a part, in places of the vehicle, as meet what the areas ask for beside what burns already.

    Raises:
        CannotAim: names that are none, a part without known light, or places that do not do.
    """
    rig = assessment.worked
    needs = needs_of(assessment, areas)
    lighting, _ = lighting_of(rig, rig.light)
    aimer = Aimer(lighting, needs, ())
    candidates = {place: _candidate(rig, part_id, place) for place in places}
    return fewest(aimer, candidates, step_deg=step_deg, turn_deg=turn_deg, effort_s=effort_s)


def _candidate(rig: Rig, part_id: str, place_id: str) -> Burning:
    """A lamp of a part in a place of the vehicle, burning white (or its first colour) at full intensity."""
    place = next((p for p in rig.vehicle.places if p.id == place_id), None)
    part = rig.parts.get(part_id)
    if place is None:
        raise CannotAim(f"the vehicle has no place {place_id}")
    if not isinstance(place.facing, float):
        raise CannotAim(f"the place {place_id} faces nowhere: a lamp there has no aim")
    colours = getattr(part, "colours", None)
    if not colours:
        raise CannotAim(f"{part_id} is no lamp of the catalogue that this build reaches")
    sources, unlit = _sources_of_part(rig, part_id)
    colour = "white" if "white" in colours else next(iter(colours))
    source = next((s for s in sources if s.colour == colour), None)
    if source is None:
        why = next((u.why for u in unlit if u.colour == colour), "no lamp of it is fitted: fit one first")
        raise CannotAim(f"the light of {part_id} is not known: {why}")
    at = tuple(float(v) for v in place.at)
    moved = replace(
        source, device_id=place_id, at_m=(at[0], at[1], at[2]), azimuth_deg=place.facing % 360, tilt_deg=place.tilt, pose=0,
        when=None, passes_share=place.through.glass if place.through else 1.0,
    )  # fmt: skip
    return Burning(source=moved, share=1.0, start=moved.at_m, inside=place.inside)


def _sources_of_part(rig: Rig, part_id: str) -> tuple[list[Source], list[Unlit]]:
    sources, unlit = sources_of(rig, rig.light)
    of = {device.id for device in rig.devices.values() if device.part_id == part_id}
    return [s for s in sources if s.device_id in of], [u for u in unlit if u.device_id in of]
