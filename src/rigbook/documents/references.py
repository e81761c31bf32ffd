"""Names that point somewhere: every reference between documents, checked on the trees as read.

Working on trees and not on validated records, a name that points nowhere is told in the same go as a misspelt key.
What stands in a file that could not be read is unknown (None), and nothing is said against names of unknown sets.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import dataclass, field
from typing import Any

from rigbook.documents.errors import DocumentError
from rigbook.documents.schema.base import Mapping_, Scalar
from rigbook.documents.validate import nearest

YES_NO = ("no", "yes")
_DRIVERS = ("controller", "output-module")
_PASSES = ("isolator", "contactor", "charger", "dc-dc", "relay", "breaker", "disconnect")
_MEMBER = re.compile(r"(?:in)?[1-9][0-9]{0,3}", re.ASCII)


def find(tree: Any, pattern: str) -> Iterator[Any]:
    """Everything at a pattern of keys: `install[].tags[]`, `set{}` (values of a mapping), `set{key}` (its keys)."""
    nodes = [tree]
    for step in pattern.split("."):
        name, *into = re.findall(r"[^\[{]+|\[\]|\{key\}|\{\}", step)
        nodes = [node[name] for node in nodes if isinstance(node, Mapping_) and name in node]
        for how in into:
            if how == "[]":
                nodes = [item for node in nodes if isinstance(node, list) for item in node]
            elif how == "{}":
                nodes = [item for node in nodes if isinstance(node, Mapping_) for item in node.values()]
            else:
                nodes = [
                    Scalar.of(key, node.marks.keys[key], True)
                    for node in nodes if isinstance(node, Mapping_) for key in node
                ]  # fmt: skip
    yield from nodes


def scalars(tree: Any, *patterns: str) -> Iterator[Scalar]:
    """The scalars at patterns."""
    for pattern in patterns:
        for node in find(tree, pattern):
            if isinstance(node, Scalar):
                yield node


def names(tree: Any, *patterns: str) -> dict[str, Scalar]:
    """The scalars at patterns by their text; the first of equal ones."""
    found: dict[str, Scalar] = {}
    for scalar in scalars(tree, *patterns):
        found.setdefault(str(scalar), scalar)
    return found


@dataclass(frozen=True, slots=True)
class Part:
    """What a reference must know of a part, as far as its text could be read."""

    kind: str
    colours: tuple[str, ...]
    states: tuple[str, ...]
    driven: str
    outputs: int | None
    inputs: int | None
    positions: int | None


def part_facts(node: Mapping_) -> Part:
    """The facts of one part from its tree."""

    def number(pattern: str) -> int | None:
        text = next(scalars(node, pattern), None)
        return int(text) if text is not None and re.fullmatch(r"\d{1,6}", text, re.ASCII) else None

    def text(key: str) -> str:
        return str(next(scalars(node, key), ""))

    return Part(
        kind=text("kind"),
        colours=tuple(names(node, "colours{key}", "colors{key}")),
        states=tuple(names(node, "states[].id", "draws{key}")),
        driven=text("driven"),
        outputs=number("outputs.count"),
        inputs=number("inputs.count"),
        positions=number("positions") or number("studs"),
    )


@dataclass(slots=True)
class Check:
    """One run over one document: what is known, and what points nowhere."""

    errors: list[DocumentError] = field(default_factory=list)

    def nowhere(self, found: Scalar, what: str, known: Iterable[str], extra: str = "") -> None:
        """Tell a name that points nowhere."""
        near = nearest(str(found), sorted(known))
        hint = f"; did you mean {near}?" if near else ""
        says = f"there is no {what} {str(found)[:60]!r}{extra}{hint}"
        self.errors.append(DocumentError.at(found.where, says, str(found)[:60], f"the name of a {what}", near))

    def say(self, found: Scalar, says: str, expected: str = "", near: str = "") -> None:
        """Tell anything else about a name."""
        self.errors.append(DocumentError.at(found.where, says, str(found)[:60], expected, near))

    def known(self, found: Iterable[Scalar], what: str, known: Iterable[str] | None, *besides: str) -> None:
        """Each name must be known (or one of `besides`)."""
        if known is None:
            return
        known = known if isinstance(known, Set | Mapping) else set(known)
        for scalar in found:
            if scalar not in known and scalar not in besides and scalar != "":
                self.nowhere(scalar, what, known)

    def kind(
        self, found: Iterable[Scalar], kinds: Mapping[str, Part] | None, wanted: tuple[str, ...], what: str
    ) -> None:
        """Each name must be known and of one of the wanted kinds."""
        if kinds is None:
            return
        for scalar in found:
            part = kinds.get(scalar)
            if part is None:
                self.nowhere(scalar, what, [name for name, p in kinds.items() if p.kind in wanted] or kinds)
            elif part.kind and part.kind not in wanted:
                near = [name for name, p in kinds.items() if p.kind in wanted]
                says = f"{scalar} is of the kind {part.kind}; {' or '.join(wanted)} is needed here"
                self.say(scalar, says, ", ".join(wanted), nearest(scalar, near))


def check_parts(tree: Any, parts: Mapping[str, Part] | None) -> list[DocumentError]:
    """References inside the catalogue."""
    check = Check()
    check.known(scalars(tree, "parts[].substitutes[]"), "part", parts)
    check.kind(scalars(tree, "parts[].connectors[].part"), parts, ("connector",), "connector")
    check.kind(scalars(tree, "parts[].terminal"), parts, ("terminal",), "terminal")
    check.kind(scalars(tree, "parts[].modules[].part"), parts, ("lamp",), "lamp")
    return check.errors


def check_shop(tree: Any, parts: Mapping[str, Part] | None, packs: Iterable[str] | None) -> list[DocumentError]:
    """References of the shop document."""
    check = Check()
    check.kind(scalars(tree, "shop.wires[].part"), parts, ("wire",), "wire")
    check.known(scalars(tree, "shop.rules[]"), "rule pack", packs)
    return check.errors


def check_vehicle(tree: Any, parts: Mapping[str, Part] | None) -> list[DocumentError]:
    """References of a vehicle document."""
    check = Check()
    vehicle = next(find(tree, "vehicle"), None)
    nodes = names(vehicle, "routes.nodes{key}")
    areas = names(vehicle, "areas[].id")
    check.kind(scalars(vehicle, "batteries[].part"), parts, ("battery",), "battery")
    check.known(
        scalars(vehicle, "routes.runs[].between[]", "places[].node", "grounds[].node", "batteries[].node"),
        "node",
        nodes,
    )
    check.known(scalars(vehicle, "routes.runs[].area", "places[].area"), "area", areas)
    check.known(scalars(vehicle, "batteries[].place"), "place", names(vehicle, "places[].id"))
    check.errors.extend(measures(vehicle, "signals[].measures", names(vehicle, "batteries[].id"), areas))
    return check.errors


def measures(tree: Any, pattern: str, banks: Iterable[str], areas: Iterable[str]) -> list[DocumentError]:
    """What measured signals measure: voltage.BANK, temperature.AREA or speed."""
    check = Check()
    for scalar in scalars(tree, pattern):
        what, dot, name = scalar.partition(".")
        member = Scalar.of(name, scalar.where._replace(column=scalar.where.column + len(what) + 1))
        if what == "voltage" and dot:
            check.known([member], "battery", banks)
        elif what == "temperature" and dot:
            check.known([member], "area", areas)
    return check.errors


def variables(tree: Any, prefix: str) -> dict[str, tuple[str, ...]]:
    """Signals, switches, memories and timers below a prefix, with the values each may have."""
    found: dict[str, tuple[str, ...]] = {}
    for key, values_key in (("switches", "positions"), ("signals", "values"), ("memory", "steps"), ("timers", "")):
        for node in find(tree, f"{prefix}{key}[]"):
            name = next(scalars(node, "id"), None)
            if name is None:
                continue
            values = tuple(str(v) for v in scalars(node, f"{values_key}[]")) if values_key else ()
            if not values:
                tapped = next(scalars(node, "tap_under"), None) is not None
                values = (*YES_NO, "pressed", "held") if tapped else YES_NO
            found.setdefault(str(name), values)
    return found


def check_set(check: Check, tree: Any, pattern: str, known: Mapping[str, tuple[str, ...]]) -> None:
    """Settings of states: names of variables, and values they have."""
    for node in find(tree, pattern):
        if not isinstance(node, Mapping_):
            continue
        for key, value in node.items():
            if key not in known:
                check.nowhere(Scalar.of(key, node.marks.keys[key], True), "switch, signal, memory or timer", known)
                continue
            values = known[key]
            allowed = {*values, "true", "false"} if "yes" in values else set(values)
            if isinstance(value, Scalar) and value not in allowed:
                near = nearest(value, values)
                hint = f"; did you mean {near}?" if near else ""
                check.say(
                    value,
                    f"{key} has no value {str(value)[:40]!r}, but {', '.join(values)}{hint}",
                    ", ".join(values),
                    near,
                )


def member_of(check: Check, found: Scalar, kinds: Mapping[str, Part], what: str) -> tuple[Part | None, str]:
    """Split `control.3` into the part and its member; tells a name that points nowhere."""
    head, _, member = found.partition(".")
    part = kinds.get(head)
    if part is None:
        check.nowhere(Scalar.of(head, found.where), what, kinds)
    return part, member


def check_output(check: Check, found: Scalar, kinds: Mapping[str, Part]) -> None:
    """One output of a controller or module, as control.3."""
    part, member = member_of(check, found, kinds, "controller or module")
    if part is None or not part.kind:
        return
    head = found.partition(".")[0]
    if part.kind not in _DRIVERS:
        near = nearest(head, [name for name, p in kinds.items() if p.kind in _DRIVERS])
        check.say(found, f"{head} is of the kind {part.kind} and has no outputs", "CONTROLLER.NUMBER", near)
    elif not _MEMBER.fullmatch(member) or member.startswith("in"):
        check.say(found, f"{str(found)!r} does not name an output", f"{head}.1 to {head}.{part.outputs or 'N'}")
    elif part.outputs is not None and int(member) > part.outputs:
        says = f"{head} has {part.outputs} outputs, and no output {member}"
        check.say(found, says, f"{head}.1 to {head}.{part.outputs}")


def check_input(check: Check, found: Scalar, kinds: Mapping[str, Part]) -> None:
    """One input of a controller or module, as control.in3."""
    part, member = member_of(check, found, kinds, "controller or module")
    if part is None or not part.kind:
        return
    head = found.partition(".")[0]
    if not member.startswith("in") or not _MEMBER.fullmatch(member):
        check.say(found, f"{str(found)!r} does not name an input", f"{head}.in1 to {head}.in{part.inputs or 'N'}")
    elif int(member[2:]) > (part.inputs or 0):
        says = f"{head} has {part.inputs or 0} inputs, and no input {member[2:]}"
        check.say(found, says, f"{head}.in1 to {head}.in{part.inputs}" if part.inputs else "a controller with inputs")
