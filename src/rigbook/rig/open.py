"""From documents to an open rig: everything that needs no choice, resolved and checked in one go."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from rigbook.documents.errors import DocumentError
from rigbook.documents.loader import Loaded
from rigbook.documents.schema.base import Placed
from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.shop import Shop
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.rig.body_checks import check_body
from rigbook.rig.devices import Fitting, factory_device
from rigbook.rig.facts import make_device_facts, make_feed_facts, provisional_outputs
from rigbook.rig.hands import Hands, saved_points, settings_indexes
from rigbook.rig.masses import point_masses
from rigbook.rig.model import Device, Module, RigNote, SavedPoint, Stud
from rigbook.rig.modules import resolve_modules
from rigbook.rig.open_model import OpenFeed, OpenRig, Terminal
from rigbook.rig.placing import Placing
from rigbook.rig.references import (
    check_build,
    check_clauses,
    check_duty,
    check_ties,
    check_vehicle,
    grounds_set,
)
from rigbook.rig.report import Problems, Report
from rigbook.rig.routes import route_graph
from rigbook.rig.supply import Supply
from rigbook.rig.supply_ties import check_supply_ties
from rigbook.rig.terminals import Terminals
from rigbook.switching.compile import compile_program
from rigbook.switching.program import Compiled, CompileProblem, DeviceFacts, FeedFacts


def open_rig(loaded: Loaded) -> OpenRig | Problems:
    """Resolve a loaded build against its vehicle, parts and shop.

    Every error of the documents is reported in one go; where there is one, nothing is worked out.
    """
    if loaded.errors:
        return Problems(loaded.errors)
    if loaded.build is None or loaded.shop is None or loaded.vehicle is None:
        return Problems((DocumentError("", 1, 1, "a build, its shop and its vehicle are needed"),))
    return _Opening(loaded, loaded.build, loaded.shop, loaded.vehicle).run()


def compile_switching(
    *, build: BuildDocument, vehicle: Vehicle, shop: Shop, devices: tuple[DeviceFacts, ...],
    feeds: tuple[FeedFacts, ...],
) -> Compiled:  # fmt: skip
    """The build's switching, compiled with what the rig knows."""
    roles: dict[str, Placed] = {}
    for name in ("parked_when", "running_when", "key_on_when", "shore_when"):
        condition = getattr(vehicle.roles, name)
        if condition is not None:
            roles[name] = condition
    return compile_program(
        build.switching,
        vehicle_signals=vehicle.signals,
        vehicle_impossible=vehicle.impossible,
        vehicle_roles=roles,
        shop_patterns=shop.patterns,
        devices=devices,
        feeds=feeds,
    )


class _Opening:
    """One opening: what was resolved, and what was wrong."""

    def __init__(self, loaded: Loaded, build: BuildDocument, shop: Shop, vehicle: Vehicle) -> None:
        self.loaded = loaded
        self.build = build
        self.shop = shop
        self.vehicle = vehicle
        self.parts: Mapping[str, Any] = loaded.parts
        self.report = Report()
        rows = {row.id: row for row in build.install}
        self.placing = Placing(
            vehicle=vehicle,
            rows=rows,
            parts=loaded.parts,
            report=self.report,
            settled=build.settled,
            build=build,
        )

    def run(self) -> OpenRig | Problems:
        check_vehicle(self.vehicle, self.report)
        check_build(self.build, self.vehicle, self.parts, self.report)
        check_clauses(self.build, self.parts, self.report)
        self._stock()
        if self.report.errors:
            return self._wrong()
        devices = self._devices()
        supply, studs = self._supply(devices)
        modules = resolve_modules(
            build=self.build, parts=self.parts, devices=devices, feeds=supply.feeds, report=self.report
        )  # fmt: skip
        check_ties(self.build, self.parts, devices, self.report)
        check_duty(self.build, devices, self.report)
        check_supply_ties(self.build, self.vehicle, devices, self.report)
        grounds = grounds_set(self.build, devices, studs, self.report)
        terminals = self._terminals(devices, supply.feeds, modules)
        hands = self._hands(devices, modules)
        masses = point_masses(
            build=self.build, vehicle=self.vehicle, parts=self.parts, devices=devices, banks=supply.banks,
            report=self.report,
        )  # fmt: skip
        modules = {name: replace(m, inputs_used=hands.module_inputs(name)) for name, m in modules.items()}
        device_facts = make_device_facts(
            build=self.build, parts=self.parts, devices=devices, terminals=terminals, modules=modules,
            outputs=provisional_outputs(terminals, modules),
        )  # fmt: skip
        feed_facts = make_feed_facts(supply.feeds, devices)
        compiled, states = self._compile(device_facts, feed_facts)
        check_body(self.build, self.vehicle, self.parts, self.report)
        rule = self._ampacity_rule()
        if self.report.errors:
            return self._wrong()
        return OpenRig(
            shop=self.shop,
            vehicle=self.vehicle,
            build=self.build,
            parts=self.parts,
            devices=devices,
            terminals=terminals,
            feeds=supply.feeds,
            modules=modules,
            banks=supply.banks,
            links=supply.links,
            studs=studs,
            graph=route_graph(routes=self.vehicle.routes),
            ambient_c=self.placing.ambient_c,
            grounds_set=grounds,
            node_why=self.placing.node_why,
            switches=tuple(hands.switches),
            inputs=tuple(hands.inputs),
            masses=masses,
            compiled=compiled,
            device_facts=device_facts,
            feed_facts=feed_facts,
            states=states,
            settled={str(path): str(value) for path, value in self.build.settled.items()},
            settled_at={path: self.build.where_of("settled") for path in self.build.settled},
            notes=tuple(self.report.notes) + _compiler_notes(compiled),
            build_file=self.build.where.file,
            vehicle_file=self.vehicle.where.file,
            bank_at=supply.bank_at,
            ampacity_rule=rule,
            digest_of=self._reached(),
        )

    def _supply(self, devices: Mapping[str, Device]) -> tuple[Supply, dict[str, Stud]]:
        supply = Supply(
            vehicle=self.vehicle, build=self.build, parts=self.parts, devices=devices, placing=self.placing,
            report=self.report,
        )  # fmt: skip
        supply.resolve_banks()
        studs = supply.studs()
        supply.resolve_links()
        supply.resolve_feeds()
        return supply, studs

    def _hands(self, devices: Mapping[str, Device], modules: Mapping[str, Module]) -> Hands:
        hands = Hands(
            build=self.build, vehicle=self.vehicle, parts=self.parts, devices=devices, modules=modules,
            placing=self.placing, report=self.report,
        )  # fmt: skip
        hands.resolve()
        return hands

    def _wrong(self) -> Problems:
        return Problems(tuple(sorted(set(self.report.errors))))

    def _stock(self) -> None:
        for wire in self.shop.wires:
            part = self.parts.get(wire.part)
            if part is None or part.kind != "wire":
                wires = [name for name, each in self.parts.items() if each.kind == "wire"]
                self.report.unknown(wire.where_of("part"), "wire part", wire.part, wires)
            elif part.gauge != wire.gauge:
                says = f"stock wire {wire.part} is {part.gauge} in the catalogue, {wire.gauge} in the shop file"
                self.report.error(wire.where_of("gauge"), says, found=str(wire.gauge), expected=str(part.gauge))

    def _devices(self) -> dict[str, Device]:
        fitting = Fitting(parts=self.parts, placing=self.placing, report=self.report)
        for row in self.build.install:
            fitting.install(row)
        for lamp in self.vehicle.factory_lamps:
            fitting.devices[lamp.id] = factory_device(lamp, self.vehicle, self.placing.factory(lamp))
        return fitting.devices

    def _terminals(
        self, devices: dict[str, Device], feeds: Mapping[str, OpenFeed], modules: Mapping[str, Module]
    ) -> dict[str, Terminal]:
        terminals = Terminals(
            build=self.build, parts=self.parts, devices=devices, feeds=feeds, modules=modules, report=self.report
        )  # fmt: skip
        for row in self.build.install:
            terminals.row(row)
        return terminals.made

    def _compile(
        self, device_facts: tuple[DeviceFacts, ...], feed_facts: tuple[FeedFacts, ...]
    ) -> tuple[Compiled, tuple[SavedPoint, ...]]:
        """The compiled program and the saved states; what is wrong with either goes to the report."""
        compiled = compile_switching(
            build=self.build, vehicle=self.vehicle, shop=self.shop, devices=device_facts, feeds=feed_facts
        )  # fmt: skip
        for problem in compiled.problems:
            self.report.errors.append(_as_error(problem))
        if compiled.program is None:
            return compiled, ()
        states = saved_points(self.build, compiled.program, self.report)
        for stretch in self.build.duty:
            if stretch.set is not None:
                subject = f"duty stretch {stretch.name}"
                settings_indexes(stretch.set, compiled.program, stretch.where_of("set"), subject, self.report)
        return compiled, states

    def _ampacity_rule(self) -> str:
        """What wires are judged by: the rule that a pack of the build names, else the corrected table."""
        own = bool(self.build.build.rules)
        names = self.build.build.rules or self.shop.rules
        named: dict[str, str] = {}
        for name in dict.fromkeys(names):
            pack = self.loaded.packs.get(name)
            if pack is not None and pack.pack.ampacity is not None:
                named.setdefault(pack.pack.ampacity, str(name))
        if len(named) > 1:
            where = self.build.build.where_of("rules") if own else self.shop.where_of("rules")
            told = ", ".join(f"{pack} goes by {rule}" for rule, pack in named.items())
            says = f"the packs of rules judge wires by different ampacities, which must not be mixed: {told}"
            self.report.error(where, says, expected="packs that name one `ampacity:` between them")
        return next(iter(named), "corrected")

    def _reached(self) -> dict[str, Any]:
        """What the digest covers beside the build: rule packs it names and photometric bytes its parts use."""
        names = self.build.build.rules or self.shop.rules
        packs = {
            name: pack.model_dump(mode="json")
            for name, pack in self.loaded.packs.items()
            if name in names or pack.pack.corrects in names
        }
        used = {
            colour.light
            for device in self.build.install
            for colour in getattr(self.parts.get(device.part), "colours", {}).values()
            if colour.light is not None
        }
        light = {
            name: hashlib.sha256(data).hexdigest() for name, data in self.loaded.light.items() if name in used
        }  # fmt: skip
        return {"packs": packs, "light": light}


def _compiler_notes(compiled: Compiled) -> tuple[RigNote, ...]:
    return tuple(
        RigNote(note.rule, note.subject or f"line-{note.line}", "note", note.says, note.file, note.line)
        for note in compiled.notes
    )


def _as_error(problem: CompileProblem) -> DocumentError:
    """What the compiler found, in the words of the documents: the nearest name stands in the sentence."""
    near = problem.nearest
    says = f"{problem.says}; did you mean {near}?" if near and "did you mean" not in problem.says else problem.says
    return DocumentError(problem.file, problem.line, problem.column, says, problem.found, problem.expected, near)
