"""Greatest peak current of some channels at once over every reachable state, and what each channel has at that instant."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from rigbook.power.flowing import Flow, going_on
from rigbook.power.instants import parts_of
from rigbook.power.loads import wave_of
from rigbook.power.waveform import exact, steady
from rigbook.proofs.acts import Act, acts_of, live
from rigbook.rig.model import Device
from rigbook.switching.evaluate import Evaluator
from rigbook.switching.program import Program

Need = tuple[str, str]


class Peaks:
    """One program's worst instants. A channel that no function names counts with its name-plate current, always."""

    def __init__(self, program: Program, devices: Mapping[str, Device], needs: Sequence[Need]) -> None:
        from rigbook.proofs.worst import Prover

        self.program = program
        self.prover = Prover(program)
        self.evaluator = Evaluator(program)
        self.flows = [flow for need in dict.fromkeys(needs) for flow in _flows(program, devices, need)]
        waves = {id(flow.wave): flow.wave for flow in self.flows}
        self.scale = math.lcm(*{span.current_a.denominator for wave in waves.values() for span in wave.spans})
        self.parts, self.bound = parts_of(self.flows, scale=self.scale)
        self.needs_of: dict[Act, list[tuple[Need, Flow]]] = {}
        for flow in self.flows:
            self.needs_of.setdefault(flow.act, []).append(((flow.draw.device_id, flow.draw.channel), flow))
        self.every = tuple(dict.fromkeys(needs))

    def same_clocks(self, program: Program) -> bool:
        """Whether another program lets the same channels keep the same time behind the same feeds."""
        return program == self.program

    def worst(self, needs: Sequence[Need]) -> dict[Need, float]:
        """Current in A of every channel at the instant at which those asked for have most together."""
        wanted = set(needs)
        parts = []
        for part in self.parts:
            own = {act: weights for act, weights in part.items() if self._of(act, wanted)}
            if own:
                parts.append(own)
        found: dict[Need, float] = dict.fromkeys(self.every, 0.0)
        state = self.prover.sum(parts) if parts else None
        if state is None:
            return found
        going = going_on(self.evaluator, *state.state)
        for part in self.parts:
            here = {act: weights for act, weights in part.items() if act in going}
            chosen = [weights for act, weights in here.items() if self._of(act, wanted)]
            totals = [sum(column) for column in zip(*chosen, strict=True)] or [0]
            at = totals.index(max(totals))
            for act, weights in here.items():
                self._add(found, act, weights[at] / self.scale)
        return found

    def _of(self, act: Act, wanted: set[Need]) -> bool:
        return any(need in wanted for need, _ in self.needs_of.get(act, ()))

    def _add(self, found: dict[Need, float], act: Act, amps: float) -> None:
        """The act's current, shared out where several channels hang on it (all that is always live)."""
        owners = self.needs_of.get(act, [])
        if len(owners) == 1:
            found[owners[0][0]] += amps
            return
        for need, flow in owners:
            found[need] += float(flow.wave.spans[0].current_a) if flow.wave.spans else 0.0


def _flows(program: Program, devices: Mapping[str, Device], need: Need) -> list[Flow]:
    device = devices[need[0]]
    draw = next((each for each in device.draws if each.channel == need[1]), None)
    if draw is None:
        return []
    index = next((number for number, each in enumerate(program.devices) if each.id == device.id), None)
    decided = None if index is None else program.devices[index]
    if index is None or decided is None or not decided.entries:
        return [Flow(draw, live(None), steady(clock=device.clock, current_a=exact(draw.current_a)))]
    found = []
    for act in acts_of(program, index):
        if act.channel == draw.channel:
            wave = (
                wave_of(draw, decided.clock, act.timeline)
                if act.timeline is not None
                else steady(clock=decided.clock, current_a=exact(draw.current_a))
            )
            if wave.spans:
                found.append(Flow(draw, act, wave))
    return found
