"""The references of a build: to its vehicle, to parts, and between what is fitted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from rigbook.documents.errors import DocumentError
from rigbook.documents.references import (
    Check,
    Part,
    check_input,
    check_output,
    check_set,
    find,
    measures,
    member_of,
    names,
    scalars,
    variables,
)
from rigbook.documents.schema.base import Mapping_, Scalar

_PASSES = ("isolator", "contactor", "charger", "dc-dc", "relay", "breaker", "disconnect")
_RELAYS = ("relay", "contactor")
_DRIVERS = ("controller", "output-module")
_UNKNOWN = Part("", (), (), "", None, None, None)


@dataclass(frozen=True, slots=True)
class Around:
    """What a build may point to outside itself; None where it could not be read."""

    vehicle: Any
    parts: Mapping[str, Part] | None
    packs: Iterable[str] | None
    builds: Iterable[str] | None


def check_build(tree: Any, around: Around) -> list[DocumentError]:
    """All references of a build."""
    check = Check()
    check.known(scalars(tree, "install[].part"), "part", around.parts)
    check.known(scalars(tree, "quote.options[].parts[].part"), "part", around.parts)
    check.kind(scalars(tree, "batteries[].part"), around.parts, ("battery",), "battery")
    check.kind(scalars(tree, "markings[].parts[]"), around.parts, ("marking",), "marking")
    check.known(scalars(tree, "build.rules[]"), "rule pack", around.packs)
    check.known(scalars(tree, "build.match"), "build", around.builds)
    kinds = _kinds(tree, around.parts)
    feeds = names(tree, "feeds[].id")
    banks = {**names(tree, "batteries[].id"), **names(around.vehicle, "vehicle.batteries[].id")}
    _vehicle(check, tree, around.vehicle, banks)
    _sources(check, tree, kinds, feeds, banks, around.vehicle is not None)
    _fitted(check, tree, kinds, feeds)
    _tags(check, tree, around.vehicle, kinds)
    _states(check, tree, around.vehicle, kinds)
    _clauses(check, tree, kinds, feeds, around)
    return check.errors


def _kinds(tree: Any, parts: Mapping[str, Part] | None) -> dict[str, Part]:
    """The part of each installed id; unknown parts count as anything."""
    kinds: dict[str, Part] = {}
    for node in find(tree, "install[]"):
        name = next(scalars(node, "id"), None)
        part = next(scalars(node, "part"), None)
        if name is not None:
            kinds.setdefault(str(name), (parts or {}).get(part or "", _UNKNOWN))
    return kinds


def _vehicle(check: Check, tree: Any, vehicle: Any, banks: Mapping[str, Scalar]) -> None:
    if vehicle is None:
        return
    nodes = names(vehicle, "vehicle.routes.nodes{key}")
    areas = names(vehicle, "vehicle.areas[].id")
    places = names(vehicle, "vehicle.places[].id")
    check.known(scalars(tree, "install[].place", "batteries[].place"), "place", places)
    check.known(
        scalars(tree, "install[].node", "batteries[].node", "links[].route[]", "feeds[].route[]"), "node", nodes
    )
    check.known(scalars(tree, "install[].area"), "area", areas)
    check.known(scalars(tree, "install[].ground"), "ground", names(vehicle, "vehicle.grounds[].id"))
    check.known(scalars(tree, "persons[].seat"), "seat", names(vehicle, "vehicle.seats[].id"))
    check.errors.extend(measures(tree, "switching.signals[].measures", banks, areas))
    theirs = names(vehicle, "vehicle.batteries[].id")
    for bank in scalars(tree, "batteries[].id"):
        if bank in theirs:
            check.say(bank, f"the vehicle already has a battery {str(bank)!r}", "another id")


def _bank(check: Check, found: Scalar, banks: Mapping[str, Scalar]) -> None:
    if (name := found.removeprefix("battery.")) not in banks:
        check.nowhere(Scalar.of(name, found.where), "battery", banks)


def _sources(
    check: Check,
    tree: Any,
    kinds: Mapping[str, Part],
    feeds: Mapping[str, Scalar],
    banks: Mapping[str, Scalar],
    whole: bool,
) -> None:
    for end in scalars(tree, "links[].from", "links[].to"):
        if not end.startswith("battery."):
            check.say(end, f"{str(end)!r} is no battery bank; a link joins two banks", "battery.BANK")
        elif whole:
            _bank(check, end, banks)
    check.kind(scalars(tree, "links[].through"), kinds, _PASSES, "installed isolator, contactor or charger")
    check.kind(scalars(tree, "feeds[].through"), kinds, _RELAYS, "installed relay")
    check.known((s for s in scalars(tree, "feeds[].to")), "installed block or bus bar", kinds)
    for source in scalars(tree, "feeds[].from"):
        if source.startswith("battery."):
            if whole:
                _bank(check, source, banks)
        elif source not in feeds:
            part, member = member_of(check, source, kinds, "installed block")
            if part is not None and member.isdecimal() and part.positions is not None and int(member) > part.positions:
                head = source.partition(".")[0]
                says = f"{head} has {part.positions} positions, and no position {member}"
                check.say(source, says, f"{head}.1 to {head}.{part.positions}")


def _fitted(check: Check, tree: Any, kinds: Mapping[str, Part], feeds: Mapping[str, Scalar]) -> None:
    check.known(scalars(tree, "install[].feed", "install[].feed{}", "install[].sense_feed"), "feed", feeds)
    check.kind(scalars(tree, "install[].controller"), kinds, ("controller",), "installed controller")
    check.kind(
        scalars(tree, "install[].amplifier"),
        kinds,
        ("siren-amplifier", "radio", "modem"),
        "installed amplifier or radio",
    )
    check.kind(scalars(tree, "install[].antenna"), kinds, ("antenna",), "installed antenna")
    check.kind(scalars(tree, "install[].outputs.from[]"), kinds, _DRIVERS, "installed controller or module")
    check.kind(
        scalars(tree, "switching.switches[].link"), kinds, ("switch-panel", "controller"), "installed switch panel"
    )
    for found in scalars(
        tree,
        "switching.switches[].input",
        "switching.switches[].input{}",
        "switching.signals[].input",
        "switching.inputs{}",
    ):
        check_input(check, found, kinds)
    for node in find(tree, "install[]"):
        outputs = node.get("outputs") if isinstance(node, Mapping_) else None
        if isinstance(outputs, list):
            _outputs(check, outputs, kinds)
        elif isinstance(outputs, Mapping_) and "from" not in outputs:
            for value in outputs.values():
                _outputs(check, value if isinstance(value, list) else [value], kinds)
            if "together" not in outputs:
                _channels(check, outputs, kinds.get(str(next(scalars(node, "id"), "")), _UNKNOWN))


def _outputs(check: Check, values: Iterable[Any], kinds: Mapping[str, Part]) -> None:
    for value in values:
        if isinstance(value, Scalar):
            check_output(check, value, kinds)


def _channels(check: Check, outputs: Mapping_, part: Part) -> None:
    """Keys of an outputs mapping: colours of a lamp, states of anything else."""
    if part.kind == "lamp" and part.driven in ("", "wire-per-colour"):
        known, what = part.colours, "colour"
    elif part.states and part.kind not in ("lamp", "lightbar", "relay"):
        known, what = part.states, "state"
    else:
        return
    found = [Scalar.of(key, outputs.marks.keys[key], True) for key in outputs]
    check.known(found, f"{what} of this part", known)


def _tags(check: Check, tree: Any, vehicle: Any, kinds: Mapping[str, Part]) -> None:
    lamps = names(vehicle, "vehicle.factory_lamps[].id")
    taken = {**dict.fromkeys(kinds, "something fitted"), **dict.fromkeys(lamps, "a lamp of the vehicle")}
    for tag in scalars(tree, "install[].tags[]"):
        if tag in taken:
            check.say(
                tag, f"{str(tag)!r} is a tag here and the id of {taken[tag]}; one name may not be both", "another tag"
            )
    tags = names(vehicle, "vehicle.factory_lamps[].tags[]")
    for name in scalars(tree, "install[].id"):
        if name in lamps:
            check.say(name, f"the vehicle already has a lamp {str(name)!r}", "another id")
        elif name in tags:
            check.say(name, f"{str(name)!r} is a tag of the vehicle's lamps; one name may not be both", "another id")


def _states(check: Check, tree: Any, vehicle: Any, kinds: Mapping[str, Part]) -> None:
    check.known(scalars(tree, "duty[].state", "scene[].state"), "saved state", names(tree, "states[].id"))
    check.known(scalars(tree, "duty[].draws{key}"), "installed device", kinds)
    for draws in find(tree, "duty[].draws"):
        for device, shares in draws.items() if isinstance(draws, Mapping_) else ():
            part = kinds.get(device)
            if part is not None and part.states and isinstance(shares, Mapping_):
                found = [Scalar.of(key, shares.marks.keys[key], True) for key in shares]
                check.known(found, f"draw of {device}", part.states)
    if vehicle is not None:
        known = {**variables(vehicle, "vehicle."), **variables(tree, "switching.")}
        check_set(check, tree, "states[].set", known)
        check_set(check, tree, "duty[].set", known)


def _clauses(check: Check, tree: Any, kinds: Mapping[str, Part], feeds: Mapping[str, Scalar], around: Around) -> None:
    if around.parts is None or around.vehicle is None:
        return
    known = {
        **dict.fromkeys(kinds), **dict.fromkeys(feeds), **dict.fromkeys(around.parts),
        **names(tree, "install[].tags[]", "switching.functions[].name", "switching.require[].name", "links[].id",
                "switching.modes[].id", "switching.switches[].id", "states[].id", "batteries[].id"),
        **names(around.vehicle, "vehicle.factory_lamps[].id", "vehicle.factory_lamps[].tags[]"),
    }  # fmt: skip
    check.known(scalars(tree, "clauses[].met_by[]"), "part, tag, function or requirement", known)
