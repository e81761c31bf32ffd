"""Choosing outputs, the best there are, and ground studs by nearness.

Where no best is found because not all find an output, the first fit in file order says for whom there is none.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rigbook.power.optimum_outputs import Optimum
from rigbook.rig.choices import OutputsFound
from rigbook.rig.facts import split_output
from rigbook.rig.model import Chosen, OutputBank
from rigbook.rig.nameplate import nameplate_a
from rigbook.rig.open_model import Need, OpenRig, Terminal
from rigbook.rig.places import distance_m
from rigbook.rig.report import Report

_SLACK_A = 1e-9


@dataclass(slots=True)
class _Outputs:
    """What stands on each output while they are given out."""

    open: OpenRig
    report: Report
    chosen: dict[Need, Chosen] = field(default_factory=dict)
    draws: dict[str, list[Need]] = field(default_factory=dict)

    def take(self, terminal: Terminal, output: str, choice: Chosen) -> None:
        assert terminal.need is not None
        self.chosen[terminal.need] = choice
        self.draws.setdefault(output, []).extend(terminal.draws)

    def bank_of(self, output: str) -> OutputBank:
        module, number = split_output(output)
        return next(bank for bank in self.open.modules[module].banks if number in bank.outputs)

    def bank_load_a(self, module: str, bank: OutputBank, more: tuple[Need, ...]) -> float:
        carried = [need for number in bank.outputs for need in self.draws.get(f"{module}.{number}", ())]
        return nameplate_a(self.open.devices, [*carried, *more])

    def refusal(self, terminal: Terminal, output: str) -> str:
        """Why an output cannot take a terminal; empty where it can."""
        module_id, _ = split_output(output)
        module = self.open.modules[module_id]
        bank = self.bank_of(output)
        load_a = nameplate_a(self.open.devices, terminal.draws)
        if output in self.draws:
            return "taken"
        if bank.feed_id is None:
            return "without feed"
        if load_a > module.limit_a + _SLACK_A:
            return f"limited to {module.limit_a:g} A"
        if bank.limit_a is not None and self.bank_load_a(module_id, bank, terminal.draws) > bank.limit_a + _SLACK_A:
            return f"in bank {bank.id}, which is limited to {bank.limit_a:g} A"
        return ""

    def first_fit(self, terminal: Terminal) -> None:
        load_a = nameplate_a(self.open.devices, terminal.draws)
        refused: dict[str, int] = {}
        for module_id in self.open.modules:
            if module_id not in terminal.modules:
                continue
            for number in range(1, self.open.modules[module_id].outputs + 1):
                output = f"{module_id}.{number}"
                refusal = self.refusal(terminal, output)
                if not refusal:
                    self.take(terminal, output, Chosen(output, "auto", f"first free output that takes {load_a:g} A"))
                    return
                refused[f"{module_id}: {refusal}"] = refused.get(f"{module_id}: {refusal}", 0) + 1
        what = f"{terminal.device_id} {terminal.name}"
        if not terminal.modules:
            says = f"no controller or module is there to drive {what}: install one, or give it a feed"
        else:
            told = "; ".join(f"{reason} ({count})" for reason, count in refused.items())
            says = f"no output is left for {what}, which draws {load_a:g} A: {told}"
        self.report.error(terminal.where, says, found=terminal.device_id, expected="a free output within its limits")


def choose_outputs(open_rig: OpenRig, report: Report) -> tuple[dict[Need, Chosen], OutputsFound | None]:
    """An output for each need: those set, then those settled, then the best for the rest; and how good they are."""
    outputs = _Outputs(open_rig, report)
    waiting: list[Terminal] = []
    for terminal in open_rig.terminals.values():
        if terminal.need is None:
            continue
        if terminal.output is not None:
            outputs.take(terminal, terminal.output, Chosen(terminal.output, "set", "set in the build"))
        else:
            waiting.append(terminal)
    open_: list[Terminal] = []
    for terminal in waiting:
        if not _settled(terminal, outputs, report):
            open_.append(terminal)
    best = Optimum(open_rig, open_, outputs.draws, outputs_of(outputs.chosen)).solve() if open_ else None
    if best is None:
        for terminal in open_:
            outputs.first_fit(terminal)
        return outputs.chosen, None
    on: dict[str, int] = {}
    for output in best[0].values():
        on[output] = on.get(output, 0) + 1
    for terminal in open_:
        assert terminal.need is not None
        output = best[0][terminal.need]
        shared = f", shared by {on[output]} that are always on together" if on[output] > 1 else ""
        how = "the best" if best[1].proven else "the best found"
        why = (
            f"{how} for {nameplate_a(open_rig.devices, terminal.draws):g} A: fewest modules, then least copper{shared}"
        )
        outputs.take(terminal, output, Chosen(output, "auto", why))
    return outputs.chosen, best[1]


def _settled(terminal: Terminal, outputs: _Outputs, report: Report) -> bool:
    path = f"install.{terminal.device_id}.outputs.{terminal.name}"
    value = outputs.open.settled.get(path)
    if value is None:
        return False
    module, dot, number = value.rpartition(".")
    known = module in outputs.open.modules and number.isdigit()
    if not dot or not known or not 1 <= int(number) <= outputs.open.modules[module].outputs:
        refusal = "not there"
    elif module not in terminal.modules:
        refusal = "not among those the row may use"
    else:
        refusal = outputs.refusal(terminal, value)
    if refusal:
        says = f"the settled output {value} of {terminal.device_id} {terminal.name} is {refusal}: another is chosen"
        where = outputs.open.settled_at[path]
        report.note("settled-misfit", path, says, where, "caution")
        return False
    outputs.take(terminal, value, Chosen(value, "settled", "settled earlier"))
    return True


def choose_grounds(open_rig: OpenRig, report: Report) -> dict[str, Chosen]:
    """The ground stud of everything that returns current: as set, as settled, else the nearest."""
    chosen: dict[str, Chosen] = {}
    for terminal in open_rig.terminals.values():
        if terminal.return_point is None:
            continue
        holder = terminal.return_point.rpartition(":")[0]
        if holder in chosen:
            continue
        if holder in open_rig.grounds_set:
            chosen[holder] = Chosen(open_rig.grounds_set[holder], "set", "set in the build")
            continue
        path = f"install.{holder}.ground"
        settled = open_rig.settled.get(path)
        if settled in open_rig.studs:
            chosen[holder] = Chosen(settled, "settled", "settled earlier")
            continue
        if settled is not None:
            says = f"the settled ground stud {settled} of {holder} is not there: another is chosen"
            report.note("settled-misfit", path, says, open_rig.settled_at[path], "caution")
        near = nearest_stud(open_rig, holder)
        if near is None:
            says = f"{holder} needs a ground stud, and the vehicle names none: add one to `grounds`"
            report.error(terminal.where, says, found=holder)
            continue
        chosen[holder] = Chosen(near[0], "auto", f"nearest ground stud, {near[1]:.2f} m away")
    return chosen


def nearest_stud(open_rig: OpenRig, device_id: str) -> tuple[str, float] | None:
    """Stud nearest to a device with doors closed; the first named wins a tie."""
    at = open_rig.devices[device_id].placement.at
    best: tuple[str, float] | None = None
    for stud in open_rig.studs.values():
        away = distance_m(at, stud.at)
        if best is None or away < best[1] - 1e-12:
            best = (stud.id, away)
    return best


def outputs_of(chosen: Mapping[Need, Chosen]) -> dict[Need, str]:
    """Need -> output."""
    return {need: str(choice.value) for need, choice in chosen.items()}
