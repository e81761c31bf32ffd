"""Tables as sheets: what can be counted, weighed and measured of a build, with the unit in every header."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from rigbook.assess.assessment import Assessment
from rigbook.quantities.show import UnitSystem, convert
from rigbook.quantities.units import Dimension
from rigbook.rig.model import Device, Rig, Segment

Cell = str | int | float | None
DIGITS = 6


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its header, and its unit where the cells are quantities."""

    title: str
    unit: str = ""

    @property
    def header(self) -> str:
        """Title with unit, as printed."""
        return f"{self.title}, {self.unit}" if self.unit else self.title


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table. Cells are text, numbers in the column's unit, or None for empty."""

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True, slots=True)
class _Units:
    system: UnitSystem

    @property
    def mass(self) -> str:
        return "lb" if self.system == "us" else "kg"

    @property
    def length(self) -> str:
        return "in" if self.system == "us" else "mm"

    @property
    def run(self) -> str:
        return "ft" if self.system == "us" else "m"

    def of(self, value: float | None, dimension: Dimension, unit: str) -> float | None:
        return None if value is None else rounded(convert(value, dimension, unit))


def rounded(value: float | None) -> float | None:
    """A number at six significant digits; what a sheet shows and sums."""
    return None if value is None else float(f"{value:.{DIGITS}g}") + 0.0


def sheet(name: str, assessment: Assessment) -> Sheet:
    """One sheet by name, of these or of the papers. KeyError for a name that neither has."""
    if name not in SHEETS:
        from rigbook.papers.paper_sheets import paper_sheet

        return paper_sheet(name, assessment)
    return SHEETS[name](assessment, _Units(assessment.worked.shop.units))


def _place(device: Device) -> str:
    at = device.placement
    return at.place or at.panel or at.node or ""


def _equipment(assessment: Assessment, units: _Units) -> Sheet:
    rig = assessment.worked
    rows: list[tuple[Cell, ...]] = []
    grouped: dict[tuple[str, str], list[Device]] = {}
    for device in rig.devices.values():
        if device.bought and device.part_id is not None:
            grouped.setdefault((device.row, device.part_id), []).append(device)
    for (row, part), devices in grouped.items():
        first = devices[0]
        circuits = dict.fromkeys(d.circuit_id for one in devices for d in one.draws if d.circuit_id)
        note = next((i.note for i in rig.build.install if i.id == row), None)
        rows.append(
            (_place(first), row, part, rig.parts[part].title, len(devices), " ".join(circuits), first.serial, note)
        )
    rows.sort(key=lambda r: str(r[0]))
    columns = ("place", "id", "part", "title", "quantity", "circuits", "serial", "note")
    return Sheet("equipment", "Equipment list", tuple(Column(c) for c in columns), tuple(rows))


def _ends(rig: Rig) -> Iterator[tuple[str, str, Segment]]:
    """Circuit, device and segment of every conductor that hangs on a circuit, each segment once a circuit."""
    for circuit in rig.circuits.values():
        seen: set[str] = set()
        for member in circuit.members:
            for name in (*member.feed_path, *member.return_path):
                if name not in seen:
                    seen.add(name)
                    yield circuit.id, member.device_id, rig.segments[name]


def _circuits(assessment: Assessment, units: _Units) -> Sheet:
    power = assessment.power
    rows: list[tuple[Cell, ...]] = []
    for c in power.circuits if power else ():
        limit = assessment.worked.circuits[c.id].limit_a
        for d in c.devices or (None,):
            rows.append(
                (
                    c.id, c.feed, d.id if d else "", d.colour if d else "", str(c.conductor or ""),
                    units.of(d.length_m if d else None, "length", units.run), rounded(c.fuse_a), rounded(limit),
                    rounded(c.worst_average_a), rounded(c.worst_rms_a), rounded(c.worst_peak_a),
                    rounded(c.ampacity_a), rounded(d.drop_v if d else None), rounded(d.device_v if d else None),
                )
            )  # fmt: skip
    columns = (
        Column("circuit"), Column("feed"), Column("device"), Column("color" if units.system == "us" else "colour"),
        Column("conductor"), Column("length", units.run), Column("fuse", "A"), Column("output limit", "A"),
        Column("worst average", "A"), Column("worst RMS", "A"), Column("worst peak", "A"), Column("ampacity", "A"),
        Column("drop", "V"), Column("at device", "V"),
    )  # fmt: skip
    return Sheet("circuits", "Circuits", columns, tuple(rows))


def _conductors(assessment: Assessment, units: _Units) -> Sheet:
    rows = [
        (
            circuit, device, s.role, s.from_point, s.to_point, str(s.conductor.gauge), s.conductor.part_id,
            units.of(s.length_m, "length", units.run), " > ".join(s.route), s.bundle_count, s.conductor.how,
        )
        for circuit, device, s in _ends(assessment.worked)
    ]  # fmt: skip
    columns = (
        Column("circuit"), Column("device"), Column("role"), Column("from"), Column("to"), Column("gauge"),
        Column("part"), Column("length", units.run), Column("route"), Column("loaded in bundle"), Column("chosen"),
    )  # fmt: skip
    return Sheet("conductors", "Conductors of the circuits", columns, tuple(rows))


def _feeds(assessment: Assessment, units: _Units) -> Sheet:
    rig, power = assessment.worked, assessment.power
    figures = {f.id: f for f in power.feeds} if power else {}
    rows: list[tuple[Cell, ...]] = []
    for feed in rig.feeds.values():
        f = figures.get(feed.id)
        start = f"{feed.block_id}.{feed.block_position}" if feed.block_id else f"battery.{feed.bank_id}"
        rows.append(
            (
                feed.id, start, feed.to, feed.load_class, "never" if feed.sheds is None else feed.sheds,
                rounded(feed.starts_after_s), feed.live_when, feed.through, str(f.conductor or "") if f else "",
                rounded(feed.fuse_a), rounded(feed.nameplate_a), rounded(f.worst_rms_a) if f else None,
                rounded(f.worst_peak_a) if f else None, rounded(f.ampacity_a) if f else None,
                rounded(f.drop_v) if f else None,
            )
        )  # fmt: skip
    columns = (
        Column("feed"), Column("from"), Column("to"), Column("class"), Column("shed step"),
        Column("starts after", "s"), Column("live when"), Column("through"), Column("conductor"),
        Column("fuse", "A"), Column("name-plate", "A"), Column("worst RMS", "A"), Column("worst peak", "A"),
        Column("ampacity", "A"), Column("drop", "V"),
    )  # fmt: skip
    return Sheet("feeds", "Feeds", columns, tuple(rows))


def _weights(assessment: Assessment, units: _Units) -> Sheet:
    rig = assessment.worked
    rows = [
        (
            m.id, m.why, units.of(m.mass_kg, "mass", units.mass), units.of(m.at.x_m, "length", units.length),
            units.of(m.at.y_m, "length", units.length), units.of(m.at.z_m, "length", units.length),
        )
        for m in rig.masses
    ]  # fmt: skip
    length = units.length
    columns = (
        Column("what"), Column("why"), Column("mass", units.mass), Column("behind front axle", length),
        Column("right of the centerline" if units.system == "us" else "right of the centreline", length),
        Column("above ground", length),
    )  # fmt: skip
    return Sheet("weights", "Masses beside the curb mass", columns, tuple(rows))


def _states(assessment: Assessment, units: _Units) -> Sheet:
    rig, power = assessment.worked, assessment.power
    figures = {s.id: s for s in power.supply.states} if power else {}
    rows: list[tuple[Cell, ...]] = []
    for point in rig.states:
        f = figures.get(point.id)
        settings = ", ".join(f"{name} {value}" for name, value in point.settings)
        rows.append(
            (
                point.id, point.title, settings, point.rpm, rounded(f.average_a) if f else None,
                rounded(f.margin_a) if f else None,
            )
        )  # fmt: skip
    columns = (
        Column("state"), Column("title"), Column("set"), Column("engine speed", "rpm"), Column("average", "A"),
        Column("margin", "A"),
    )  # fmt: skip
    return Sheet("states", "Saved states", columns, tuple(rows))


def _functions(assessment: Assessment, units: _Units) -> Sheet:
    rig, verdicts = assessment.worked, assessment.verdicts
    proved = {f.name: f for f in (verdicts.functions if verdicts else None) or ()}
    rows: list[tuple[Cell, ...]] = []
    for function in rig.build.switching.functions:
        verdict = proved.get(function.name)
        lamps = [t for s in function.show for t in _texts(s.lamps)]
        driven = [f"{d.device.text} {d.state.text}" for d in function.drive]
        cut = _texts(function.cut) if function.cut is not None else []
        dimmed = [t for d in function.dim for t in _texts(d.lamps)]
        rows.append(
            (
                function.name, function.rank.text, function.when.text, "; ".join(lamps), "; ".join(driven),
                "; ".join(cut), "; ".join(dimmed), function.if_unknown,
                _yes(verdict.reachable) if verdict else None, _yes(verdict.effective) if verdict else None,
            )
        )  # fmt: skip
    columns = (
        "function", "rank", "when", "shows", "drives", "cuts", "dims", "when a signal is lost", "can be on",
        "has effect",
    )  # fmt: skip
    return Sheet("functions", "Functions", tuple(Column(c) for c in columns), tuple(rows))


def _texts(selector: object) -> list[str]:
    items: Iterable[object] = selector if isinstance(selector, list) else [selector]
    return [str(item) for item in items]


def _yes(value: bool) -> str:
    return "yes" if value else "no"


def _labels(assessment: Assessment, units: _Units) -> Sheet:
    from rigbook.papers.label_items import label_items

    rows = [
        (
            i.kind, i.number, i.end, i.text, i.circuit, i.at, i.other, i.gauge, units.of(i.length_m, "length", units.run),
            " / ".join(i.lines), i.code,
        )
        for i in label_items(assessment.worked)
    ]  # fmt: skip
    columns = (
        Column("kind"), Column("number"), Column("end"), Column("text"), Column("circuit"), Column("here"), Column("to"),
        Column("gauge"), Column("length", units.run), Column("small print"), Column("code"),
    )  # fmt: skip
    return Sheet("labels", "Labels", columns, tuple(rows))


SHEETS: Mapping[str, Callable[[Assessment, _Units], Sheet]] = MappingProxyType(
    {
        "equipment": _equipment,
        "circuits": _circuits,
        "conductors": _conductors,
        "feeds": _feeds,
        "weights": _weights,
        "states": _states,
        "functions": _functions,
        "labels": _labels,
    }
)
"""The sheets this edition can fill, by name."""
