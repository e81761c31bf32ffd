"""The best outputs for what a build leaves to `auto`: fewest modules, then least copper, limits by exact worst cases.

A bank's limit is met in every reachable state. Which states matter is not known before: the best outputs are looked for
without, then the greatest peak of each bank that its name-plate sum fills is worked out, and the state and instant that
ask too much become one more thing to keep. What is best under a few of the rules and keeps all of them is best.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from importlib.util import find_spec
from itertools import pairwise

from rigbook.power.conductors import practice_max_fuse_a
from rigbook.power.exact_peaks import Peaks
from rigbook.power.output_problem import Answer, Bank, Channel, Load, Problem, solve
from rigbook.quantities.gauge import Gauge
from rigbook.rig.choices import OutputsFound
from rigbook.rig.facts import make_device_facts, split_output
from rigbook.rig.model import OutputBank
from rigbook.rig.nameplate import nameplate_a
from rigbook.rig.open import compile_switching
from rigbook.rig.open_model import Need, OpenRig, Terminal
from rigbook.rig.places import distance_m
from rigbook.switching.program import Program

LEAST = Gauge("AWG", 18)
ROUNDS = 60
"""Rules of worst states that are added at most; beyond, the outputs are said to be unproven."""
COPPER_KG = 1e-8 * 8960.0
"""Mass of 1 mm2 x 1 cm of copper, at 8960 kg/m3 [from memory: handbooks]."""
_SLACK = 1e-9


@dataclass(slots=True)
class Optimum:
    """One vehicle's channels that wait for an output, and the outputs that are free."""

    open: OpenRig
    waiting: Sequence[Terminal]
    taken: Mapping[str, Sequence[Need]]  # output -> what stands on it already
    given: Mapping[Need, str]  # outputs that are set or settled
    banks: list[tuple[str, OutputBank]] = field(default_factory=list)
    free: list[list[int]] = field(default_factory=list)
    lengths_m: dict[tuple[str, str], float | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for module in self.open.modules.values():
            for bank in module.banks:
                self.banks.append((module.id, bank))
                open_here = [n for n in sorted(bank.outputs) if f"{module.id}.{n}" not in self.taken]
                self.free.append(open_here if bank.feed_id is not None else [])

    # --- the problem --------------------------------------------------------------------------------

    def problem(self) -> Problem:
        """Channels and banks in numbers, nothing shared and no limit of a bank looked at yet."""
        order = {name: number for number, name in enumerate(self.open.modules)}
        needed = {order[split_output(output)[0]] for output in self.given.values()}
        channels = tuple(
            Channel(round(1000 * nameplate_a(self.open.devices, terminal.draws)), self._copper(terminal))
            for terminal in self.waiting
        )
        banks = tuple(
            Bank(order[name], len(free), round(1000 * self.open.modules[name].limit_a),
                 None if bank.limit_a is None else round(1000 * bank.limit_a))
            for (name, bank), free in zip(self.banks, self.free, strict=True)
        )  # fmt: skip
        return Problem(channels, banks, frozenset(needed))

    def _copper(self, terminal: Terminal) -> tuple[tuple[int, int], ...]:
        found = []
        for number, (module_id, _) in enumerate(self.banks):
            if module_id not in terminal.modules or not self.free[number]:
                continue
            length_m = self.length_m(module_id, terminal.device_id)
            if length_m is not None:
                found.append((number, round(self.area_mm2(module_id) * 100.0 * length_m)))
        return tuple(found)

    def area_mm2(self, module_id: str) -> float:
        """Copper of the thinnest stock wire that practice lets behind a module's outputs."""
        limit_a = self.open.modules[module_id].limit_a
        sizes = sorted((wire.gauge for wire in self.open.shop.wires), key=lambda gauge: gauge.area_mm2)
        able = [
            gauge for gauge in sizes
            if (practice_max_fuse_a(gauge=gauge) or 0.0) >= limit_a - _SLACK and gauge.area_mm2 >= LEAST.area_mm2 * (1 - _SLACK)
        ]  # fmt: skip
        chosen = able[0] if able else sizes[-1] if sizes else LEAST
        return chosen.area_mm2

    def length_m(self, module_id: str, device_id: str) -> float | None:
        """Way from a module to a device, with drops and service loops; None where there is none."""
        key = (module_id, device_id)
        if key not in self.lengths_m:
            self.lengths_m[key] = self._length_m(module_id, device_id)
        return self.lengths_m[key]

    def _length_m(self, module_id: str, device_id: str) -> float | None:
        a, b = self.open.devices[module_id].placement, self.open.devices[device_id].placement
        loops_m = 2.0 * self.open.shop.service_loop
        if a.node is None or b.node is None:
            return distance_m(a.at, b.at) + loops_m
        way = self.open.graph.shortest(start=a.node, end=b.node)
        return None if way is None else way.length_m + a.node_distance_m + b.node_distance_m + loops_m

    # --- what may share ------------------------------------------------------------------------------

    def sharing(self, problem: Problem, *, chains_only: bool) -> Problem:
        """The problem with kinds: channels of lamps that are on together in every reachable state."""
        program = self.open.compiled.program
        if program is None or find_spec("pysat") is None:
            return problem
        from rigbook.proofs.acts import acts_of
        from rigbook.proofs.equivalence import Unit, alike

        index = {device.id: number for number, device in enumerate(program.devices)}
        looks: dict[Unit, int] = {}
        timelines: dict[Unit, frozenset[object]] = {}
        for number, terminal in enumerate(self.waiting):
            need = terminal.need
            if need is None or terminal.signal or need[0] not in index or not self.open.devices[need[0]].colours:
                continue
            if chains_only and terminal.chain is None:
                continue
            unit = (index[need[0]], need[1])
            looks[unit] = number
            acts = acts_of(program, unit[0])
            timelines[unit] = frozenset(a.timeline for a in acts if a.channel == unit[1] and a.timeline is not None)
        asked = _may_be_alike(timelines)
        if not asked:
            return problem
        kinds = {looks[unit]: kind for kind, group in enumerate(alike(program, asked)) for unit in group}
        return self._with_kinds(problem, kinds)

    def _with_kinds(self, problem: Problem, kinds: Mapping[int, int]) -> Problem:
        chains: dict[str, int] = {}
        channels = []
        for number, channel in enumerate(problem.channels):
            kind = kinds.get(number, -1)
            name = self.waiting[number].chain
            if kind < 0 or name is None:
                channels.append(replace(channel, kind=kind))
                continue
            chain = chains.setdefault(name, len(chains))
            channels.append(replace(channel, kind=kind, chain=chain, hop=self._hop(name)))
        return replace(problem, channels=tuple(channels))

    def _hop(self, chain: str) -> int:
        """Copper from a lamp of a row to the next."""
        at = [self.open.devices[t.device_id].placement.at for t in self.open.terminals.values() if t.chain == chain]
        steps = [distance_m(a, b) for a, b in pairwise(at)]
        length_m = min(steps, default=0.0) + 2.0 * self.open.shop.service_loop
        return round(LEAST.area_mm2 * 100.0 * length_m)

    # --- limits of banks ---------------------------------------------------------------------------------

    def solve(self) -> tuple[dict[Need, str], OutputsFound] | None:
        """Outputs of all that waits, and how good they are; None where not all find one."""
        bare = self.problem()
        chains = len({t.chain for t in self.waiting if t.chain}) < sum(t.chain is not None for t in self.waiting)
        problem = self.sharing(bare, chains_only=True) if chains else bare
        found = self._within_limits(problem)
        least = max(1, len(problem.needed))
        if found is None or found[0].modules > least:
            wider = self.sharing(bare, chains_only=False)
            found = (self._within_limits(wider) if wider != problem else None) or found
        if found is None:
            return None
        answer, kept = found
        return self._outputs(answer), self._told(answer, kept)

    def _within_limits(self, problem: Problem) -> tuple[Answer, bool] | None:
        """The best answer that keeps the banks' limits in every reachable state, and whether all of them were looked at."""
        peaks: Peaks | None = None
        for _ in range(ROUNDS):
            answer = solve(problem)
            if answer is None:
                return None
            outputs = {**self.given, **self._outputs(answer)}
            # what was set there by hand alone is not ours to mend: a finding says where that is too much
            ours = [number for number, groups in enumerate(answer.outputs) if groups]
            full = [number for number in ours if self._full_by_nameplate(number, outputs)]
            if not full:
                return answer, True
            if peaks is None or not peaks.same_clocks(self._program(outputs)):
                peaks = Peaks(self._program(outputs), self.open.devices, self._needs())
            loads = [
                load for load in (self._asks_too_much(peaks, number, outputs) for number in full) if load is not None
            ]
            if not loads:
                return answer, True
            problem = replace(problem, loads=(*problem.loads, *loads))
        return None

    def _needs(self) -> tuple[Need, ...]:
        """Everything that flows through outputs, what is set first."""
        before = [need for needs in self.taken.values() for need in needs]
        return tuple(dict.fromkeys([*before, *(need for terminal in self.waiting for need in terminal.draws)]))

    def _carried(self, number: int, outputs: Mapping[Need, str]) -> list[Need]:
        module_id, bank = self.banks[number]
        on = {f"{module_id}.{n}" for n in bank.outputs}
        found = [need for output, needs in self.taken.items() if output in on for need in needs]
        for terminal in self.waiting:
            if terminal.need is not None and outputs.get(terminal.need) in on:
                found.extend(terminal.draws)
        return found

    def _full_by_nameplate(self, number: int, outputs: Mapping[Need, str]) -> bool:
        limit_a = self.banks[number][1].limit_a
        if limit_a is None:
            return False
        return nameplate_a(self.open.devices, self._carried(number, outputs)) > limit_a + _SLACK

    def _asks_too_much(self, peaks: Peaks, number: int, outputs: Mapping[Need, str]) -> Load | None:
        limit_a = self.banks[number][1].limit_a
        at_once = peaks.worst(self._carried(number, outputs))
        if limit_a is None or sum(at_once[need] for need in set(self._carried(number, outputs))) <= limit_a + 1e-6:
            return None
        channels = tuple(round(1000 * sum(at_once[need] for need in t.draws)) for t in self.waiting)
        before = []
        for module_id, bank in self.banks:
            own = [need for n in bank.outputs for need in self.taken.get(f"{module_id}.{n}", ())]
            before.append(round(1000 * sum(at_once[need] for need in own)))
        return Load(channels, tuple(before))

    def _program(self, outputs: Mapping[Need, str]) -> Program:
        facts = make_device_facts(
            build=self.open.build, parts=self.open.parts, devices=self.open.devices, terminals=self.open.terminals,
            modules=self.open.modules, outputs=outputs,
        )  # fmt: skip
        if facts == self.open.device_facts and self.open.compiled.program is not None:
            return self.open.compiled.program
        compiled = compile_switching(
            build=self.open.build, vehicle=self.open.vehicle, shop=self.open.shop, devices=facts,
            feeds=self.open.feed_facts,
        )  # fmt: skip
        assert compiled.program is not None
        return compiled.program

    # --- results ---------------------------------------------------------------------------------------------

    def _outputs(self, answer: Answer) -> dict[Need, str]:
        found: dict[Need, str] = {}
        for (module_id, _), free, groups in zip(self.banks, self.free, answer.outputs, strict=True):
            for number, group in zip(free, sorted(groups), strict=False):
                for channel in group:
                    need = self.waiting[channel].need
                    assert need is not None
                    found[need] = f"{module_id}.{number}"
        return found

    def _told(self, answer: Answer, looked: bool) -> OutputsFound:
        used = set(self.given.values())
        groups = [group for own in answer.outputs for group in own]
        gap = 0.0 if answer.copper == 0 else (answer.copper - answer.at_least_copper) / answer.copper
        return OutputsFound(
            channels=len(self.given) + len(self.waiting),
            outputs=len(used) + len(groups),
            modules=answer.modules,
            modules_at_least=answer.at_least_modules,
            modules_fitted=len(self.open.modules),
            spared=len(self.given) + len(self.waiting) - len(used) - len(groups),
            copper_kg=answer.copper * COPPER_KG,
            copper_at_least_kg=answer.at_least_copper * COPPER_KG,
            gap_fraction=gap,
            proven=answer.proven and looked,
        )


def _may_be_alike(timelines: Mapping[tuple[int, str], frozenset[object]]) -> list[tuple[int, str]]:
    """Channels that have a timeline in common with another: what never shows the same is not alike."""
    shared: dict[object, int] = {}
    for own in timelines.values():
        for timeline in own:
            shared[timeline] = shared.get(timeline, 0) + 1
    return [unit for unit, own in timelines.items() if any(shared[timeline] > 1 for timeline in own)]
