"""The drop limit along whole paths, battery to device and back to the stud."""

from __future__ import annotations

from dataclasses import dataclass, field

from rigbook.power.choose_sizes import DROP_SHARE, Sizes, drop_v
from rigbook.rig.nameplate import nameplate_a
from rigbook.rig.open_model import Need, OpenFeed, OpenRig
from rigbook.rig.plan import Plan, PlannedCircuit

_SLACK_V = 1e-9


@dataclass(frozen=True, slots=True)
class Path:
    """Everything between a bank and one terminal and back: conductors in order, the stud, the limit."""

    device_id: str
    terminal: str
    circuit_id: str
    segments: tuple[str, ...]
    stud_v: float
    limit_v: float


def feed_chain(open_rig: OpenRig, feed_id: str) -> list[OpenFeed]:
    """A feed and those above it, the bank's first."""
    chain: list[OpenFeed] = []
    current: str | None = feed_id
    while current is not None:
        chain.append(open_rig.feeds[current])
        current = open_rig.feeds[current].parent
    return chain[::-1]


def upstream(open_rig: OpenRig, plan: Plan, circuit: PlannedCircuit) -> tuple[str, ...]:
    """Conductors from the bank to a circuit's start: feeds to blocks, then the module's own supply."""
    if circuit.feed_id is None:
        return ()
    found = [plan.feed_segments[feed.id] for feed in feed_chain(open_rig, circuit.feed_id) if feed.id in
             plan.feed_segments]  # fmt: skip
    if circuit.kind == "output":
        supply = plan.circuits.get(circuit.feed_id)
        for member in supply.members if supply is not None else ():
            if circuit.id in member.carries:
                found.extend(member.feed_path)
                break
    return tuple(found)


def paths_of(open_rig: OpenRig, plan: Plan) -> list[Path]:
    """A path for every terminal that carries load."""
    made = []
    studs_v = stud_volts(open_rig, plan)
    for circuit in plan.circuits.values():
        before = upstream(open_rig, plan, circuit)
        feed = open_rig.feeds.get(circuit.feed_id or "")
        share = DROP_SHARE[feed.drop if feed is not None else "ordinary"]
        for member in circuit.members:
            if member.signal or member.nameplate_a <= 0:
                continue
            made.append(
                Path(
                    member.device_id, member.terminal, circuit.id,
                    (*before, *member.feed_path, *member.return_path),
                    studs_v.get(member.ground or "", 0.0), share * open_rig.shop.drop_from,
                )
            )  # fmt: skip
    return made


def stud_volts(open_rig: OpenRig, plan: Plan) -> dict[str, float]:
    """Volts from each stud to the battery negative, with all that comes back through it by name-plate."""
    wanted: dict[str, list[Need]] = {}
    for circuit in plan.circuits.values():
        for member in circuit.members:
            if not member.signal and member.ground is not None:
                wanted.setdefault(member.ground, []).extend(member.draws)
    return {
        name: nameplate_a(open_rig.devices, wanted.get(name, ())) * stud.resistance_ohm
        for name, stud in open_rig.studs.items()
    }


@dataclass(slots=True)
class Drops:
    """Raises sizes until every path keeps its limit, most volts saved for the copper first; then takes back
    what was not needed."""

    sizes: Sizes
    paths: list[Path]
    passing: dict[str, list[Path]] = field(default_factory=dict)

    def run(self) -> None:
        """Meet every limit with the thinnest wires, one conductor at a time."""
        for path in self.paths:
            for name in path.segments:
                self.passing.setdefault(name, []).append(path)
        for path in self.paths:
            self._meet(path)
        self._take_back()
        self._tell()

    def total_v(self, path: Path) -> float:
        """Volts lost along a path."""
        return sum(drop_v(sizes=self.sizes, name=name) for name in path.segments) + path.stud_v

    def meets(self, path: Path) -> bool:
        """Whether a path keeps its limit."""
        return self.total_v(path) <= path.limit_v + _SLACK_V

    def _meet(self, path: Path) -> None:
        while not self.meets(path):
            best: tuple[float, str] | None = None
            for name in dict.fromkeys(path.segments):
                index = self.sizes.index.get(name)
                if index is None or index + 1 >= len(self.sizes.stock):
                    continue
                before = drop_v(sizes=self.sizes, name=name)
                self.sizes.index[name] = index + 1
                gain = before - drop_v(sizes=self.sizes, name=name)
                self.sizes.index[name] = index
                worth = gain / self._more_copper(name, index)
                if best is None or worth > best[0]:
                    best = (worth, name)
            if best is None:
                self._fails(path)
                return
            self._raise(best[1])

    def _more_copper(self, name: str, index: int) -> float:
        """mm2 x m of copper that the next size adds."""
        stock = self.sizes.stock
        more = stock[index + 1].gauge.area_mm2 - stock[index].gauge.area_mm2
        return max(more, 1e-9) * max(self.sizes.routed[name].length_m, 1e-9)

    def _raise(self, name: str) -> None:
        self.sizes.index[name] += 1
        for segment in self.sizes.plan.segments.values():
            if name in segment.equal_to and segment.id in self.sizes.index:
                self.sizes.lift_to_equal(segment)

    def _fails(self, path: Path) -> None:
        segment = self.sizes.plan.segments[path.segments[-1]]
        for_person = [name for name in path.segments if name in self.sizes.fixed]
        why = (
            "its wires are set or its own leads; leave them to `auto`, or bring it nearer to its feed"
            if for_person
            else "the thickest stock wire is not enough; bring it nearer to its feed, or split its load"
        )
        says = (
            f"{path.device_id} loses {self.total_v(path):.3g} V to and fro, the limit is {path.limit_v:.3g} V, "
            f"and no stock wire mends it: {why}"
        )
        set_by_hand = any(self.sizes.fixed[name][1] in ("set", "settled") for name in for_person)
        if set_by_hand:
            self.sizes.report.note("drop-limit", path.circuit_id, says, segment.where, "caution")
        else:
            self.sizes.report.error(segment.where, says, found=path.device_id, expected="a drop within the limit")

    def _tell(self) -> None:
        """Say of each size what keeps it from being one thinner."""
        for name, index in self.sizes.index.items():
            segment = self.sizes.plan.segments[name]
            if index == 0 or self.sizes.misfit(segment, self.sizes.stock[index - 1]):
                self.sizes.why[name] = self.sizes.told(segment, index)
                continue
            area = self.sizes.stock[index - 1].gauge.area_mm2
            thicker = [other for other in segment.equal_to if self.sizes.gauge_of(other).gauge.area_mm2 > area]
            if thicker:
                self.sizes.why[name] = f"a return is as large as its feed, {thicker[0]}"
                continue
            path = max(self.passing[name], key=lambda each: self.total_v(each) / each.limit_v)
            self.sizes.why[name] = (
                f"{self.sizes.stock[index - 1].gauge} would break the drop limit of {path.limit_v:.3g} V "
                f"to {path.device_id} and back; so it is {self.total_v(path):.3g} V"
            )

    def _take_back(self) -> None:
        """Thin each wire again as far as everything allows: what the search raised too much comes down."""
        changed = True
        while changed:
            changed = False
            for name in self.sizes.index:
                while self._thinner(name):
                    changed = True

    def _thinner(self, name: str) -> bool:
        index = self.sizes.index[name]
        segment = self.sizes.plan.segments[name]
        if index == 0 or self.sizes.misfit(segment, self.sizes.stock[index - 1]):
            return False
        area = self.sizes.stock[index - 1].gauge.area_mm2
        if any(self.sizes.gauge_of(other).gauge.area_mm2 > area * (1 + 1e-9) for other in segment.equal_to):
            return False
        held = [path for path in self.passing.get(name, ()) if self.meets(path)]
        self.sizes.index[name] = index - 1
        if all(self.meets(path) for path in held):
            return True
        self.sizes.index[name] = index
        return False
