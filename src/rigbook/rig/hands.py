"""What a hand touches and what reports: switches, signals, controller inputs; and saved states."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from rigbook.documents.schema.base import Placed, Where
from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.parts import SwitchPanel
from rigbook.documents.schema.switching import Signal, Switch
from rigbook.documents.schema.vehicle import Vehicle
from rigbook.rig.model import Device, InputUse, Module, SavedPoint, SwitchPlace
from rigbook.rig.placing import Placing
from rigbook.rig.report import Report
from rigbook.switching.program import Program
from rigbook.switching.states import StateTrouble, saved_state, value_index

_INPUT = re.compile(r"([a-z][a-z0-9_-]*)\.in([1-9]\d*)")


class Hands:
    """Resolves inputs of one build; thrown away after."""

    def __init__(
        self, *, build: BuildDocument, vehicle: Vehicle, parts: Mapping[str, Any], devices: Mapping[str, Device],
        modules: Mapping[str, Module], placing: Placing, report: Report,
    ) -> None:  # fmt: skip
        self.build = build
        self.vehicle = vehicle
        self.parts = parts
        self.devices = devices
        self.modules = modules
        self.placing = placing
        self.report = report
        self.inputs: list[InputUse] = []
        self.switches: list[SwitchPlace] = []
        self.taken: dict[tuple[str, int], str] = {}
        self.keys_used: dict[str, int] = {}

    def resolve(self) -> None:
        """Inputs and places of every switch and wire signal."""
        for switch in self.build.switching.switches:
            self._switch(switch)
        for signal in self.build.switching.signals:
            self._signal(signal)
        self._vehicle_wires()
        self._check_keys()
        sources: list[Switch | Signal] = [
            *self.build.switching.switches,
            *self.build.switching.signals,
            *self.vehicle.signals,
        ]
        for source in sources:
            if source.node is not None and source.node not in self.placing.nodes:
                self.report.unknown(source.where_of("node"), "route node", source.node, self.placing.nodes)

    def _vehicle_wires(self) -> None:
        """Wire signals of the vehicle that this build brings to a controller input."""
        signals = {signal.id: signal for signal in self.vehicle.signals}
        wired = [signal.id for signal in self.vehicle.signals if signal.source == "wire"]
        for name, placed in self.build.switching.inputs.items():
            where = placed.where if placed.where.line else self.build.switching.where_of("inputs")
            if name not in signals:
                self.report.unknown(where, "signal of the vehicle", name, wired)
            elif name not in wired:
                self.report.error(where, f"{name} does not come by wire and ends on no input", found=name)
            else:
                self._input(placed, name, None, where)

    def _switch(self, switch: Switch) -> None:
        uses: list[InputUse] = []
        if switch.input is not None:
            named = {"": switch.input} if isinstance(switch.input, Placed) else dict(switch.input)
            for position, placed in named.items():
                if position and switch.positions and position not in switch.positions:
                    self.report.unknown(
                        switch.where_of("input"), f"position of {switch.id}", position, switch.positions
                    )  # fmt: skip
                    continue
                use = self._input(placed, switch.id, position or None, switch.where_of("input"))
                if use is not None:
                    uses.append(use)
        if switch.link is not None:
            if switch.input is not None:
                self.report.error(
                    switch.where_of("link"), f"{switch.id} is wired to an input and on a link: choose one"
                )
            self._link(switch)
        at = None
        if switch.panel is not None:
            at = self.placing.panel(switch.panel, switch.where_of("panel"))
        elif switch.link is not None and switch.link in self.devices:
            at = self.devices[switch.link].placement.at
        self.switches.append(
            SwitchPlace(
                switch.id, switch.label or switch.id, switch.panel or switch.link, switch.link, tuple(uses), at,
                switch.where.file, switch.where.line,
            )
        )  # fmt: skip

    def _link(self, switch: Switch) -> None:
        assert switch.link is not None
        device = self.devices.get(switch.link)
        if device is None or device.part_kind != "switch-panel":
            panels = [each.id for each in self.devices.values() if each.part_kind == "switch-panel"]
            self.report.unknown(switch.where_of("link"), "installed switch panel", switch.link, panels)
            return
        self.keys_used[switch.link] = self.keys_used.get(switch.link, 0) + 1

    def _check_keys(self) -> None:
        for panel, used in self.keys_used.items():
            part = self.parts.get(self.devices[panel].part_id or "")
            if isinstance(part, SwitchPanel) and used > part.keys:
                row = next(row for row in self.build.install if row.id == panel)
                says = f"{panel} holds {part.keys} switches and carries {used}: move some or take a larger panel"
                self.report.note("panel-full", panel, says, row.where, "fail")

    def _signal(self, signal: Signal) -> None:
        if signal.input is not None:
            self._input(signal.input, signal.id, None, signal.where_of("input"))
        if signal.measures is not None:
            self._measured(signal)

    def _measured(self, signal: Signal) -> None:
        assert signal.measures is not None
        what, _, of = signal.measures.text.strip().partition(".")
        where = signal.where_of("measures")
        banks = [bank.id for bank in (*self.vehicle.batteries, *self.build.batteries)]
        areas = [area.id for area in self.vehicle.areas]
        if what == "voltage":
            if of not in banks:
                self.report.unknown(where, "bank", of, banks)
        elif what == "temperature":
            if of not in areas:
                self.report.unknown(where, "area", of, areas)
        elif signal.measures.text.strip() != "speed":
            self.report.unknown(
                where, "measured value", signal.measures.text, ["voltage.BANK", "speed", "temperature.AREA"]
            )

    def _input(self, placed: Placed, subject: str, position: str | None, where: Where) -> InputUse | None:
        at = placed.where if placed.where.line else where
        match = re.fullmatch(_INPUT, placed.text.strip())
        if match is None:
            self.report.error(
                at, f"{placed.text} is not an input: write MODULE.inN, as control.in3", found=placed.text,
                expected="an input, as control.in3",
            )  # fmt: skip
            return None
        name, number = match.group(1), int(match.group(2)[:6])
        module = self.modules.get(name)
        if module is None:
            self.report.unknown(at, "controller or module", name, self.modules)
            return None
        if number > module.inputs:
            self.report.error(at, f"{name} has {module.inputs} inputs; there is no in{number}", found=placed.text)
            return None
        other = self.taken.setdefault((name, number), subject)
        if other != subject or any(use.module_id == name and use.input == number for use in self.inputs):
            self.report.error(at, f"input {placed.text} already carries {other}", found=placed.text)
            return None
        use = InputUse(name, number, subject, position, at.file, at.line)
        self.inputs.append(use)
        return use

    def module_inputs(self, module: str) -> tuple[int, ...]:
        """Inputs of a module that carry something, in order."""
        return tuple(sorted(number for name, number in self.taken if name == module))


def saved_points(build: BuildDocument, program: Program, report: Report) -> tuple[SavedPoint, ...]:
    """Saved states with their settings as indexes of the program.

    Wrong names, wrong values and settings against a constraint are errors.
    """
    made = []
    seen: set[str] = set()
    for state in build.states:
        if state.id in seen:
            report.error(state.where_of("id"), f"there are two states named {state.id}", found=state.id)
        seen.add(state.id)
        indexes = settings_indexes(state.set, program, state.where_of("set"), f"state {state.id}", report)
        made.append(
            SavedPoint(
                state.id, state.title, tuple(state.set.items()), indexes, state.rpm, state.where.file, state.where.line
            )
        )
    return tuple(made)


def settings_indexes(
    settings: Mapping[str, str], program: Program, where: Where, subject: str, report: Report
) -> tuple[tuple[int, int], ...]:
    """(variable, value) for names and values as written."""
    found = saved_state(program, settings)
    troubles = [each for each in found if isinstance(each, StateTrouble)]
    for trouble in troubles:
        report.error(where, f"{subject}: {trouble.says}", found=trouble.name, near=trouble.nearest)
    if troubles:
        return ()
    names = {variable.name: index for index, variable in enumerate(program.variables)}
    pairs = []
    for name, text in settings.items():
        value = value_index(program.variables[names[name]], text)
        assert value is not None
        pairs.append((names[name], value))
    return tuple(pairs)
