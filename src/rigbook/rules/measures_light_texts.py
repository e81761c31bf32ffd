"""Measures that public texts on lamps speak of: flood lamps of ambulances, flashers, lamp classes, arrow boards."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from rigbook.light.flashes import flashing_of, rate_by_cycles_per_min, steps_of
from rigbook.light.signal_class import CLASSES, shape_share
from rigbook.light.sources import Source
from rigbook.rig.model import Device
from rigbook.rules.measures import Measure, Reading, Results
from rigbook.rules.measures_light import LEVELS
from rigbook.switching.program import Timeline

SIDES = ("left", "right")


# --- flood lamps ---------------------------------------------------------------------------------------------------


def side_flood_height(results: Results) -> Iterator[Reading]:
    """Height above ground of a white lamp tagged `scene` that faces a side.

    Unit: m. Source: the build.
    """
    for source, device in _floods(results, SIDES):
        yield _of(device, source.at_m[2])


def side_flood_down(results: Results) -> Iterator[Reading]:
    """How far below the horizontal a white lamp tagged `scene` that faces a side points.

    Unit: deg. Source: the build.
    """
    for source, device in _floods(results, SIDES):
        yield _of(device, -source.tilt_deg)


def side_flood_peak(results: Results) -> Iterator[Reading]:
    """Peaks of the white lamps tagged `scene` that face one side, added.

    Unit: cd. Source: the catalogue or photometric files.
    """
    yield from _peaks(results, SIDES)


def rear_loading_peak(results: Results) -> Iterator[Reading]:
    """Peaks of the white lamps tagged `scene` that face the rear, added.

    Unit: cd. Source: the catalogue or photometric files.
    """
    yield from _peaks(results, ("rear",))


def _floods(results: Results, zones: tuple[str, ...]) -> Iterator[tuple[Source, Device]]:
    for source in results.light.every if results.light is not None else ():
        device = results.rig.devices[source.device_id]
        if source.colour == "white" and "scene" in source.tags and not source.pose and _zones(device) & set(zones):
            yield source, device


def _peaks(results: Results, zones: tuple[str, ...]) -> Iterator[Reading]:
    for zone in zones:
        own = [source for source, _ in _floods(results, (zone,))]
        if own:
            peak_cd = sum(source.peak_cd for source in own)
            yield Reading(subject=zone, value=peak_cd, file=own[0].file, line=own[0].line, words={"zone": zone})


def _zones(device: Device) -> frozenset[str]:
    return device.placement.zones


# --- flashers of factory lamps ----------------------------------------------------------------------------------------


def flasher_rate(results: Results) -> Iterator[Reading]:
    """Rate of a factory lamp that a function flashes: the rates of its cycles, averaged.

    Unit: count. Formula: mean of 60000 / (on + off) over the cycles of its pattern. Source: nhtsa-flashers, published.
    Facts `headlamp`, `hazard`: the lamp's tags.
    """
    program = results.rig.program
    for decided in program.devices:
        if decided.kind != "factory-lamp":
            continue
        device = results.rig.devices[decided.id]
        flashed = [t for e in decided.entries for _, t in program.contents[e.content].channels if _flashes(t)]
        for number, timeline in enumerate(dict.fromkeys(flashed)):
            suffix = f"-{number + 1}" if number else ""
            yield Reading(
                subject=f"{device.id}{suffix}", value=rate_by_cycles_per_min(cycles_ms(timeline)), file=device.file,
                line=device.line, words={"lamp": device.id},
                facts={"headlamp": bool({"headlamp", "high-beam"} & device.tags), "hazard": "hazard" in device.tags},
            )  # fmt: skip


def _flashes(timeline: Timeline) -> bool:
    return flashing_of(timeline).flashes_per_min > 0


def cycles_ms(timeline: Timeline) -> list[tuple[int, int]]:
    """On and off times of a timeline, each pulse with the dark time behind it."""
    steps = steps_of(timeline)
    starts = [start for start, _, _ in steps]
    following = [*starts[1:], starts[0] + timeline.period_ms]
    return [(end - start, after - end) for (start, end, _), after in zip(steps, following, strict=True) if after > end]


# --- white ahead, lamp classes ------------------------------------------------------------------------------------------


def white_ahead_count(results: Results) -> Iterator[Reading]:
    """Lamps of a level that may flash white ahead, factory headlamps aside.

    Unit: count. Source: proof over every reachable state.
    """
    rows = () if results.light is None else results.light.result.lamps or ()
    for level in LEVELS[:2]:
        count, first = 0, None
        for row in rows:
            device = results.rig.devices[row.id.rsplit(".", 1)[0]]
            ahead = "front" in _zones(device) and device.placement.level == level
            if row.colour == "white" and row.least_flashes_per_min is not None and ahead:
                count, first = count + 1, first or device
        file, line = (results.rig.build_file, None) if first is None else (first.file, first.line)
        yield Reading(subject=f"white-ahead-{level}", value=float(count), file=file, line=line, words={"level": level})


def signal_class_share(results: Results) -> Iterator[Reading]:
    """Least candela of a warning lamp over the printed figure of a class, at the points of the table that were seen.

    Unit: share. Formula: least of I(point) / printed. Source: ccr-13-817 Table I, published. Fact `asked`: the lamp
    carries the tag `class-a` … `class-d`.
    """
    for source in results.light.sources if results.light is not None else ():
        device = results.rig.devices[source.device_id]
        for name in CLASSES:
            share = None if source.pose else shape_share(source.shape, name=name, colour=source.colour)
            if share is not None:
                yield Reading(
                    subject=f"{source.device_id}.{source.colour}.{name}", value=share * source.passes_share,
                    file=source.file, line=source.line,
                    words={"lamp": source.device_id, "colour": source.colour, "class": name},
                    facts={"class": name.lower(), "asked": f"class-{name.lower()}" in device.tags},
                )  # fmt: skip


def colour_inside(results: Results) -> Iterator[Reading]:
    """1 where the chromaticity of a fitted part's colour lies inside the boundaries of an edition, else 0.

    Unit: count. Source: fmvss-108-colour lines, sae-j578-2020 vertices, kkk-a-1822e box, each as printed.
    """
    rows = () if results.light is None else results.light.result.colour or ()
    for row in rows:
        part = row.id.rsplit(".", 1)[0]
        device = next(d for d in results.rig.devices.values() if d.part_id == part)
        for name in (*row.inside, *row.outside):
            yield Reading(
                subject=f"{row.id}.{name}", value=float(name in row.inside), file=device.file, line=device.line,
                words={"part": part, "colour": row.colour, "x": f"{row.x:.4g}", "y": f"{row.y:.4g}", "edition": name},
                facts={"colour": row.colour, "edition": name},
            )  # fmt: skip


# --- arrow boards --------------------------------------------------------------------------------------------------------

TYPES = ("a", "b", "c", "d")


@dataclass(frozen=True, slots=True)
class _Board:
    row: str
    type: str
    devices: tuple[Device, ...]

    def flashes(self, results: Results) -> list[Timeline]:
        """Timelines on which all its lit elements flash together; sequences are not among them."""
        program = results.rig.program
        names = {device.id for device in self.devices}
        shown: dict[int, set[Timeline]] = {}
        for device in program.devices:
            for entry in device.entries if device.id in names else ():
                shown.setdefault(entry.function, set()).update(t for _, t in program.contents[entry.content].channels)
        return [t for ts in shown.values() if len(ts) == 1 for t in ts if _flashes(t)]


def _boards(results: Results) -> Iterator[_Board]:
    own: dict[tuple[str, str], list[Device]] = {}
    for device in results.rig.devices.values():
        for name in TYPES:
            if f"arrow-board-{name}" in device.tags and device.colours:
                own.setdefault((device.row, name), []).append(device)
    return (_Board(row, name, tuple(devices)) for (row, name), devices in own.items())


def arrow_rate(results: Results) -> Iterator[Reading]:
    """Rate at which an arrow board flashes, its sequences aside.

    Unit: count. Formula: 60000 / period. Source: the build's patterns.
    """
    for board in _boards(results):
        for timeline in board.flashes(results):
            yield _board(board, flashing_of(timeline).flashes_per_min)


def arrow_on_share(results: Results) -> Iterator[Reading]:
    """Share of time that the elements of an arrow board are lit while they flash.

    Unit: share. Source: the build's patterns.
    """
    for board in _boards(results):
        for timeline in board.flashes(results):
            yield _board(board, flashing_of(timeline).duty)


def arrow_elements(results: Results) -> Iterator[Reading]:
    """Elements of an arrow board.

    Unit: count. Source: the build.
    """
    for board in _boards(results):
        yield _board(board, float(len(board.devices)))


def arrow_width(results: Results) -> Iterator[Reading]:
    """Width of an arrow board, first element to last with an element's own width.

    Unit: m. Source: the build.
    """
    for board in _boards(results):
        across = [device.placement.at.y_m for device in board.devices]
        yield _board(board, max(across) - min(across) + board.devices[0].size_m[1])


def _board(board: _Board, value: float) -> Reading:
    first = board.devices[0]
    return Reading(subject=board.row, value=value, file=first.file, line=first.line, words={"lamp": board.row},
                   facts={"type": board.type})  # fmt: skip


# --- common ------------------------------------------------------------------------------------------------------------


def _of(device: Device, value: float) -> Reading:
    return Reading(subject=device.id, value=value, file=device.file, line=device.line, words={"lamp": device.id})


_FLASHER: Mapping[str, tuple[str, ...] | None] = MappingProxyType({"headlamp": None, "hazard": None})
_COLOUR: Mapping[str, tuple[str, ...] | None] = MappingProxyType(
    {"colour": (), "edition": ("fmvss-108", "sae-j578-2020", "kkk-a-1822e")}
)
_CLASS: Mapping[str, tuple[str, ...] | None] = MappingProxyType({"class": TYPES, "asked": None})
_TYPE: Mapping[str, tuple[str, ...] | None] = MappingProxyType({"type": TYPES})
MEASURES: tuple[Measure, ...] = (
    Measure(name="side_flood_height", per="device", unit="m", take=side_flood_height, words=("lamp",)),
    Measure(name="side_flood_down", per="device", unit="deg", take=side_flood_down, words=("lamp",)),
    Measure(name="side_flood_peak", per="side", unit="cd", take=side_flood_peak, words=("zone",)),
    Measure(name="rear_loading_peak", per="side", unit="cd", take=rear_loading_peak, words=("zone",)),
    Measure(name="flasher_rate", per="device", unit="count", take=flasher_rate, words=("lamp",), facts=_FLASHER),
    Measure(name="white_ahead_count", per="whole", unit="count", take=white_ahead_count, words=("level",)),
    Measure(name="signal_class_share", per="device", unit="share", take=signal_class_share,
            words=("lamp", "colour", "class"), facts=_CLASS),
    Measure(name="colour_inside", per="device", unit="count", take=colour_inside,
            words=("part", "colour", "x", "y", "edition"), facts=_COLOUR),
    Measure(name="arrow_rate", per="device", unit="count", take=arrow_rate, words=("lamp",), facts=_TYPE),
    Measure(name="arrow_on_share", per="device", unit="share", take=arrow_on_share, words=("lamp",), facts=_TYPE),
    Measure(name="arrow_elements", per="device", unit="count", take=arrow_elements, words=("lamp",), facts=_TYPE),
    Measure(name="arrow_width", per="device", unit="m", take=arrow_width, words=("lamp",), facts=_TYPE),
)  # fmt: skip
