"""The entry of the engine of light: a decided rig and its photometric files in, the light block out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from importlib.util import find_spec

from rigbook.light import markings
from rigbook.light.areas import Scene, scene_of
from rigbook.light.behaviours import MOST_JOINTS, Behaviours
from rigbook.light.colours import part_colours
from rigbook.light.grid import Seen, seen
from rigbook.light.observers import Observers
from rigbook.light.outline import outline_of
from rigbook.light.result import LightResult
from rigbook.light.sources import Source, Unlit, sources_of
from rigbook.light.warning import ModeLight, Modes, lamp_warnings, modes_of, warning_of
from rigbook.proofs.worst import Prover
from rigbook.rig.model import Rig, RigNote

WARNING = "warning"


@dataclass(frozen=True, slots=True, kw_only=True)
class Light:
    """The light block, and what it was worked out from: explaining, papers and charts read it."""

    result: LightResult
    sources: tuple[Source, ...] = ()
    seen: Seen | None = None
    modes: tuple[ModeLight, ...] = ()
    unlit: tuple[Unlit, ...] = ()
    scene: Scene | None = None
    observers: Observers | None = None
    every: tuple[Source, ...] = ()
    """Sources of all lamps, warning or not."""


def work_out(rig: Rig, files: Mapping[str, bytes]) -> Light:
    """Work out the warning light of a rig by mode, zone and level, the light around it, and the areas it works in."""
    light, scene = _warning(rig, files), scene_of(rig, files)
    notes = (*light.result.notes, *scene.notes, *markings.notes_of(rig))
    marked = markings.markings_of(rig) if rig.build.markings else None
    every = sources_of(rig, files)[0]
    observers = Observers(rig, every, outline_of(rig.vehicle))
    states = tuple(observers.figures(saved) for saved in rig.states)
    result = replace(
        light.result, scene=scene.results, states=states, markings=marked, colour=part_colours(rig), notes=notes
    )
    return replace(light, result=result, scene=scene, every=every, observers=observers)


def _warning(rig: Rig, files: Mapping[str, bytes]) -> Light:
    sources, unlit = sources_of(rig, files, tags=(WARNING,))
    if not sources:
        notes = (*_unlit(unlit), _note("light-not-worked-out", "warning", "no warning lamp's light is known", rig))
        return Light(result=LightResult(notes=notes), unlit=unlit)
    along = seen(sources, outline_of(rig.vehicle))
    notes = (*_unlit(unlit), *_inside(along.inside), *_no_level(sources))
    if find_spec("pysat") is None:
        says = "warning by zone was not worked out: no solver is installed (package python-sat)"
        notes = (*notes, _note("light-not-worked-out", "warning", says, rig))
        return Light(result=LightResult(notes=notes), sources=sources, seen=along, unlit=unlit)
    prover = Prover(rig.program, engine="Cadical195")
    try:
        behaviours = Behaviours.of(rig, prover, sources)
        found = modes_of(behaviours, along)
        modes = found.worked
        warning, around = warning_of(modes)
        result = LightResult(
            warning=warning if modes else None,
            around=around,
            lamps=lamp_warnings(behaviours),
            notes=(*notes, *_beyond(found, rig)),
        )
    finally:
        prover.close()
    return Light(result=result, sources=sources, seen=along, modes=modes, unlit=unlit)


def _note(rule: str, subject: str, says: str, rig: Rig) -> RigNote:
    return RigNote(rule=rule, subject=subject, severity="note", says=says, file=rig.build_file, line=0)


def _unlit(unlit: tuple[Unlit, ...]) -> Iterator[RigNote]:
    for lamp in unlit:
        yield RigNote(
            rule="light-unknown", subject=f"{lamp.device_id}.{lamp.colour}", severity="note",
            says=f"The {lamp.colour} of {lamp.device_id} counts as dark: {lamp.why}.", file=lamp.file, line=lamp.line,
        )  # fmt: skip


def _inside(inside: tuple[Source, ...]) -> Iterator[RigNote]:
    for source in {s.device_id: s for s in inside}.values():
        yield RigNote(
            rule="lamp-inside-the-body", subject=source.device_id, severity="caution",
            says=f"{source.device_id} sits inside the outline of the vehicle, so that none of its light counts outside: "
            "move it to the skin, or give its place the glass it shines through.",
            file=source.file, line=source.line,
        )  # fmt: skip


def _no_level(sources: tuple[Source, ...]) -> Iterator[RigNote]:
    for source in {s.device_id: s for s in sources if s.level is None}.values():
        yield RigNote(
            rule="lamp-without-level", subject=source.device_id, severity="note",
            says=f"{source.device_id} is a warning lamp without a level, so it counts in neither upper nor lower: give "
            "its place or row `level`.",
            file=source.file, line=source.line,
        )  # fmt: skip


def _beyond(found: Modes, rig: Rig) -> Iterator[RigNote]:
    ways = f"its lamps may act in more than {MOST_JOINTS:,} ways together"
    for name in found.darkest_alone:
        yield _note(
            "light-darkest-alone", name,
            f"In mode {name} {ways}: sums, points and gaps are exact, and rates are those of the darkest of them.", rig,
        )  # fmt: skip
    for name in found.given_up:
        yield _note("light-not-worked-out", name, f"Warning in mode {name} was not worked out: {ways}.", rig)
