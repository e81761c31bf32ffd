"""What the Fit and Switching pages show: rows of what the text installs, with what was worked out of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from rigbook.assess.assessment import Assessment
from rigbook.documents.loader import Loaded
from rigbook.quantities.show import format_money, format_number, format_quantity
from rigbook.rig.model import Circuit, Device, Rig

SECTIONS = ("install", "feeds", "links", "batteries", "clauses", "states", "persons", "kit", "duty")
"""Lists of a build that are shown and edited as tables."""


def plain_text(value: Any) -> str:
    """A value of the text on one line, as it would be written inside brackets."""
    from rigbook.documents.writing import flow_text

    return value if isinstance(value, str) else flow_text(value)


def written(text: str) -> dict[str, list[dict[str, Any]]]:
    """The rows of every section that is a list, as written; none where the text cannot be read."""
    from rigbook.documents.editing import EditError, value_at

    try:
        whole = value_at(text, ())
    except EditError:
        return {}
    if not isinstance(whole, Mapping):
        return {}
    found: dict[str, list[dict[str, Any]]] = {}
    for name in SECTIONS:
        rows = whole.get(name)
        found[name] = [_written(r) for r in rows if isinstance(r, Mapping)] if isinstance(rows, list) else []
    return found


def _written(row: Mapping[str, Any]) -> dict[str, Any]:
    return {k: plain_text(v) for k, v in row.items() if v is not None}


def worked_rows(rig: Rig) -> dict[str, dict[str, Any]]:
    """By installed id: title of the part, where it is, its outputs, feeds, wires and fuses, price."""
    found: dict[str, dict[str, Any]] = {}
    for device in rig.devices.values():
        if device.part_id is None:
            continue
        circuits = [
            rig.circuits[i] for i in (d.circuit_id for d in device.draws) if i is not None and i in rig.circuits
        ]
        row = found.setdefault(
            device.row,
            {
                "title": device.title, "kind": device.part_kind, "where": _where(device), "outputs": [], "feeds": [],
                "wires": [], "current_a": 0.0, "price": _price(rig, device), "devices": [],
                "colours": [], "line": device.line, "part": device.part_id, "fused": [],
                "at": [_length(rig, v) for v in (device.placement.at.x_m, device.placement.at.y_m, device.placement.at.z_m)],
            },
        )  # fmt: skip
        row["devices"].append(device.id)
        row["current_a"] += _current(device)
        _extend(row["colours"], device.colours)
        _extend(row["outputs"], (c.id for c in circuits if c.kind == "output"))
        _extend(row["feeds"], (c.feed_id for c in circuits if c.feed_id))
        _extend(row["wires"], _wires(rig, circuits, device))
        _extend(row["fused"], (c.id for c in circuits if c.fuse_a is not None))
    for row in found.values():
        row["current_a"] = float(f"{row['current_a']:.6g}")
    return found


def _length(rig: Rig, value_m: float) -> str:
    """A coordinate in the shop's unit."""
    return format_quantity(round(value_m, 4) + 0.0, "length", rig.shop.units)


def _extend(known: list[str], more: Any) -> None:
    known.extend(m for m in dict.fromkeys(str(x) for x in more) if m not in known)


def _current(device: Device) -> float:
    """Highest draw by name-plate of what a circuit powers: colours add up, unless one at a time; states exclude each other."""
    powered = [d for d in device.draws if d.circuit_id is not None]
    colours = [d.current_a for d in powered if d.kind == "colour"]
    others = [d.current_a for d in powered if d.kind != "colour"]
    lit = (max if device.one_colour_at_a_time else sum)(colours) if colours else 0.0
    return max([lit, *others])


def _wires(rig: Rig, circuits: list[Circuit], device: Device) -> Iterator[str]:
    for circuit in circuits:
        for member in circuit.members:
            if any(name == device.id for name, _ in member.draws):
                yield from (
                    str(rig.segments[s].conductor.gauge) for s in member.feed_path if rig.segments[s].role == "feed"
                )


def _where(device: Device) -> str:
    at = device.placement
    return at.place or at.panel or at.node or ""


def _price(rig: Rig, device: Device) -> str | None:
    part = rig.parts.get(device.part_id or "")
    if part is None or not (part.list_price or part.cost):
        return None
    return format_money(part.list_price or part.cost, rig.shop.currency).removesuffix(f" {rig.shop.currency}")


def first_figures(rig: Rig) -> dict[str, Any]:
    """Name-plate loads, wires and fuses: what is there before anything is proved."""
    return {
        "units": rig.shop.units,
        "currency": rig.shop.currency,
        "nameplate_a": _rounded(sum(f.nameplate_a for f in rig.feeds.values() if f.parent is None)),
        "feeds": [{"id": f.id, "fuse_a": f.fuse_a, "nameplate_a": _rounded(f.nameplate_a)} for f in rig.feeds.values()],
        "circuits": [
            {"id": c.id, "feed": c.feed_id, "fuse_a": c.fuse_a, "nameplate_a": _rounded(c.nameplate_a)}
            for c in rig.circuits.values()
        ],
    }


def _rounded(value: float) -> float:
    return float(f"{value:.6g}")


def clauses(loaded: Loaded) -> list[dict[str, Any]]:
    """The customer's clauses and what meets them; which of those names the build knows."""
    if loaded.build is None:
        return []
    build = loaded.build
    known = {i.id for i in build.install} | {t for i in build.install for t in i.tags}
    known |= {f.name for f in build.switching.functions} | {r.name for r in build.switching.require}
    known |= {s.id for s in build.switching.switches} | {f.id for f in build.feeds}
    known |= {x.id for x in build.links} | {s.id for s in build.states}
    return [
        {
            "id": c.id, "text": c.text, "answer": c.answer, "note": c.note,
            "met_by": [{"name": m, "known": m in known} for m in c.met_by], "line": c.where.line,
        }
        for c in build.clauses
    ]  # fmt: skip


def decision_lists(rig: Rig) -> list[dict[str, Any]]:
    """Per device its decision list in plain words, most important entry first; devices of one row and one list together."""
    from rigbook.switching.plain_words import words_of

    program = rig.program
    rows: list[dict[str, Any]] = []
    groups: dict[tuple[Any, ...], list[str]] = {}
    for device in program.devices:
        owner = rig.devices[device.id].row if device.id in rig.devices else device.id
        groups.setdefault((owner, device.entries, device.dims, device.rest), []).append(device.id)
    for (owner, entries, dims, rest), ids in groups.items():
        listed = [
            {
                "function": program.functions[e.function].name,
                "line": program.functions[e.function].line,
                "when": words_of(program, program.functions[e.function].when),
                "does": _does(program.contents[e.content]) if e.kind != "cut" else "at rest",
            }
            for e in entries
        ]
        dimmed = [
            {"function": program.functions[d.function].name, "when": words_of(program, program.functions[d.function].when),
             "to": f"{format_number(100 * d.to)} %"}
            for d in dims
        ]  # fmt: skip
        name = owner if len(ids) > 1 or ids == [owner] else ids[0]
        rows.append(
            {"id": name, "devices": ids, "entries": listed, "dims": dimmed, "rest": _does(program.contents[rest])}
        )
    return [r for r in rows if r["entries"] or r["dims"]]


def _does(content: Any) -> str:
    if content.commanded:
        return "as the vehicle commands"
    if content.state is not None:
        return f"state {content.state}"
    if not content.channels:
        return "dark"
    return " and ".join(f"{colour} {_timed(timeline)}" for colour, timeline in content.channels)


def _timed(timeline: Any) -> str:
    spans = timeline.spans
    at = f" at {format_number(100 * spans[0].intensity_from)} %" if spans and spans[0].intensity_from < 1 else ""
    if len(spans) == 1 and spans[0].start_ms == 0 and spans[0].end_ms == timeline.period_ms:
        return f"steady-burning{at}"
    merged = len(spans)
    if merged > 1 and spans[0].start_ms == 0 and spans[-1].end_ms == timeline.period_ms:
        merged -= 1
    return f"{merged} flash{'es' if merged != 1 else ''} in {timeline.period_ms} ms{at}"


def names_in(assessment: Assessment | None, text: str, shop_files: Mapping[str, Any]) -> dict[str, list[str]]:
    """Names that an editor offers, by kind."""
    names: dict[str, list[str]] = {
        "words": ["and", "or", "not", "in (", "=="],
        "predicates": ["lit(", "all_lit(", "steady(", "flashing(", "seen(", "driven("],
        "zones": ["front", "right", "rear", "left", "left-half", "right-half", "upper", "lower", "inside"],
        **{k: list(v) for k, v in shop_files.items()},
    }
    rows = written(text).get("install", [])
    names["install"] = [str(r["id"]) for r in rows if "id" in r]
    loaded = None if assessment is None else assessment.loaded
    if loaded is None:
        return names
    names["parts"] = list(loaded.parts)
    names["packs"] = list(loaded.packs)
    names["vehicles"] = list(loaded.vehicles)
    if loaded.shop is not None:
        names["patterns"] = list(loaded.shop.patterns)
    names["colours"] = sorted({c for p in loaded.parts.values() for c in (getattr(p, "colours", None) or {})})
    if loaded.vehicle is not None:
        names |= _vehicle_names(loaded.vehicle)
    if loaded.build is not None:
        names |= _build_names(loaded, names)
    return names


def _vehicle_names(vehicle: Any) -> dict[str, list[str]]:
    found = {
        kind: [x.id for x in getattr(vehicle, attribute, ())]
        for kind, attribute in (("places", "places"), ("areas", "areas"), ("grounds", "grounds"))
    }
    found["nodes"] = list(vehicle.routes.nodes)
    return found | {"variables": [s.id for s in getattr(vehicle, "signals", ())]}


def _build_names(loaded: Loaded, names: Mapping[str, list[str]]) -> dict[str, list[str]]:
    assert loaded.build is not None
    build, switching = loaded.build, loaded.build.switching
    own = [s.id for s in switching.switches] + [s.id for s in switching.signals]
    own += [m.id for m in switching.memory] + [t.id for t in switching.timers]
    return {
        "feeds": [f.id for f in build.feeds],
        "tags": sorted({t for i in build.install for t in i.tags}),
        "ranks": list(switching.ranks),
        "functions": [f.name for f in switching.functions],
        "variables": [*own, *names.get("variables", [])],
        "conditions": list(switching.conditions),
        "outputs": list(_outputs(loaded)),
    }


def _outputs(loaded: Loaded) -> Iterator[str]:
    assert loaded.build is not None
    for row in loaded.build.install:
        part: Any = loaded.parts.get(row.part)
        for number in range(1, _count(part) + 1):
            yield f"{row.id}.{number}"


def _count(part: Any) -> int:
    return int(getattr(getattr(part, "outputs", None), "count", 0) or 0)
