"""Everything the warning lamps may be doing together in a mode: columns of light, and which are on in each joint.

A **column** is one colour of one lamp on one timeline in one pose, with what it sends along the grid. The joints of a
mode are all combinations that its reachable states take, found by the prover (`rigbook.proofs.joint`); a table of joints
by columns then makes every least and greatest of the mode a matter of plain arithmetic.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from rigbook.light.flashes import Flashing, flashing_of
from rigbook.light.grid import Flags, Seen
from rigbook.light.sources import Source
from rigbook.proofs.evidence import State
from rigbook.proofs.gates import FALSE
from rigbook.proofs.joint import NONE, Joint, joints, least_joints, smallest_state
from rigbook.proofs.worst import Prover
from rigbook.rig.model import Rig
from rigbook.switching.program import Expression, Timeline

MOST_JOINTS = 4000
"""More combinations than any vehicle seen has by far; beyond it those with the least light alone are looked at."""
MOST_LEAST_JOINTS = 1000
Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Column:
    """One colour of one lamp on one timeline in one pose. group, option: of the joint; turned: places of the pose
    conditions and what they must be."""

    source: int
    device: int
    clock: str
    timeline: Timeline
    flashing: Flashing
    group: int
    option: int
    turned: tuple[tuple[int, bool], ...]


@dataclass
class Behaviours:
    """The columns of a rig's warning lamps, and the joints of modes, worked out once each."""

    rig: Rig
    prover: Prover
    sources: Sequence[Source]
    groups: list[list[int]] = field(default_factory=list)
    columns: list[Column] = field(default_factory=list)

    @classmethod
    def of(cls, rig: Rig, prover: Prover, sources: Sequence[Source]) -> Behaviours:
        """Gather the columns of the sources' lamps: what no reachable state brings about is left out."""
        made = cls(rig, prover, sources)
        program, encoding = rig.program, prover.solver.encoding
        indexes = {device.id: index for index, device in enumerate(program.devices)}
        own: dict[tuple[int, str], list[int]] = {}
        for number, source in enumerate(sources):
            own.setdefault((indexes[source.device_id], source.colour), []).append(number)
        prover.strike(dict.fromkeys(device for device, _ in own))
        keys: dict[Any, int] = {}
        poses: dict[Expression, int] = {}
        for device in dict.fromkeys(device for device, _ in own):
            d = program.devices[device]
            for way in prover.reached(device):
                timeline = way.act.timeline
                if timeline is None or (device, way.act.channel) not in own:
                    continue
                group = keys.setdefault(way.group, len(made.groups))
                if group == len(made.groups):
                    made.groups.append([])
                if way.literal not in made.groups[group]:
                    made.groups[group].append(way.literal)
                option = made.groups[group].index(way.literal)
                for number in own[device, way.act.channel]:
                    turned: list[tuple[Expression, bool]] = []
                    for pose in d.poses:
                        if pose.when is None:
                            break
                        here = program.devices[device].poses.index(pose) + 1 == sources[number].pose
                        turned.append((pose.when, here))
                        if here:
                            break
                    made.columns.append(
                        Column(
                            number, device, d.clock, timeline, flashing_of(timeline), group, option,
                            tuple((poses.setdefault(when, len(poses)), is_) for when, is_ in turned),
                        )
                    )  # fmt: skip
        base = len(made.groups)
        made.groups += [[encoding.truth(when)] for when in poses]
        made.columns = [
            Column(c.source, c.device, c.clock, c.timeline, c.flashing, c.group, c.option,
                   tuple((base + place, is_) for place, is_ in c.turned))
            for c in made.columns
        ]  # fmt: skip
        return made

    def base(self, when: Expression, *, nothing_lost: bool = False) -> tuple[int, ...]:
        """Literals that states of a condition hold, by true values."""
        encoding = self.prover.solver.encoding
        lost = tuple(-literal for literal in encoding.lost if literal != FALSE) if nothing_lost else ()
        return (encoding.truth(when), *lost)

    def joints(self, when: Expression, *, nothing_lost: bool = False) -> list[Joint] | None:
        """All joints of the states in which the condition holds; None where there are too many."""
        base = self.base(when, nothing_lost=nothing_lost)
        return joints(self.prover.solver, self.groups, base=base, most=MOST_JOINTS)

    def least_joints(self, when: Expression, seen: Seen, *, nothing_lost: bool = False) -> list[Joint] | None:
        """The joints of the condition below which no other lies in light: enough for every least sum, least point and gap
        where all joints are too many. None where these are too many as well."""
        base = self.base(when, nothing_lost=nothing_lost)
        return least_joints(self.prover.solver, self.groups, self._below(seen), base=base, most=MOST_LEAST_JOINTS)

    def _below(self, seen: Seen) -> list[list[frozenset[int]]]:
        """Which options of a group send no more light to any point of any level than which others, in any pose. Poses
        of doors are told apart: neither is below the other."""
        shapes: dict[int, dict[int, dict[Any, Array]]] = {}
        for column, power in zip(self.columns, self.power(seen), strict=True):
            field = seen.field[column.source] & (column.flashing.flashes_per_min > 0)
            key = (column.source, column.turned)
            own = shapes.setdefault(column.group, {}).setdefault(column.option, {})
            own[key] = own.get(key, 0.0) + np.concatenate((power.ravel(), field.astype(np.float64)))
        found: list[list[frozenset[int]]] = []
        for number, group in enumerate(self.groups):
            options = shapes.get(number)
            if options is None:  # a pose
                found.append([frozenset((n,)) for n in (*range(len(group)), NONE)])
                continue
            kept = {n: options.get(n, {}) for n in (*range(len(group)), NONE)}
            found.append([frozenset(m for m in kept if _no_more(kept[m], kept[n])) for n in (*range(len(group)), NONE)])
        return found

    def smallest(self, wanted: Sequence[Joint], when: Expression) -> State:
        """The smallest state of the condition that takes one of the joints."""
        return smallest_state(self.prover.solver, self.groups, wanted, base=self.base(when))

    def active(self, found: Sequence[Joint]) -> Flags:
        """Which columns are on in which joint: joint, column."""
        table = np.array(found, dtype=np.int64).reshape(len(found), len(self.groups))
        on = np.zeros((len(found), len(self.columns)), bool)
        for place, column in enumerate(self.columns):
            here = table[:, column.group] == column.option
            for pose, is_ in column.turned:
                here &= (table[:, pose] == 0) == is_
            on[:, place] = here
        return on

    def power(self, seen: Seen) -> Array:
        """Optical power of each column along the grid, cd s/min: column, elevation, bearing. Steady light counts 0."""
        rates = np.array([column.flashing.cd_s_per_min(1.0) for column in self.columns])
        found: Array = seen.candela[[column.source for column in self.columns]] * rates[:, None, None]
        return found


def _no_more(one: dict[Any, Array], other: dict[Any, Array]) -> bool:
    """Whether every lamp sends no more in one option than in the other."""
    return all((values <= other.get(key, 0.0)).all() for key, values in one.items())
