"""The compiler: a `switching:` section and what it works on, made into one program.

Names become indexes, selectors devices, patterns timelines. Nothing raises for what the user wrote: every slip is a
`CompileProblem` with file, line and column, and all of them come at once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from rigbook.documents.schema.base import Placed, Where
from rigbook.documents.schema.switching import Signal, Switching
from rigbook.switching.declare import (
    NEVER,
    declare_variables,
    resolve_conditions,
    resolve_variables,
    settle_order,
)
from rigbook.switching.functions import Contents, ListBuilder, read_patterns, states_of
from rigbook.switching.language import LAMP_PREDICATES, ZONES, LanguageError, PredicateNode, nearest, parse_expression
from rigbook.switching.names import Names, Resolver, level, order_of_dependency, variables_read
from rigbook.switching.program import (
    Compiled,
    Content,
    Device,
    DeviceFacts,
    DrivenPredicate,
    Expression,
    Feed,
    FeedFacts,
    Function,
    LitPredicate,
    Mode,
    Not,
    Pose,
    Program,
    Requirement,
    RequirementExpression,
    SeenPredicate,
)
from rigbook.switching.selectors import Selectors, selectors_of
from rigbook.switching.states import rest_state
from rigbook.switching.timeline import steady
from rigbook.switching.trouble import Trouble


def compile_program(
    section: Switching,
    *,
    vehicle_signals: Sequence[Signal] = (),
    vehicle_impossible: Sequence[Placed] = (),
    vehicle_roles: Mapping[str, Placed] | None = None,
    shop_patterns: Mapping[str, Sequence[int]] | None = None,
    devices: Sequence[DeviceFacts] = (),
    feeds: Sequence[FeedFacts] = (),
) -> Compiled:
    """Compile a build's switching.

    `vehicle_roles` maps role names (`parked_when` …) to conditions over the vehicle's signals; `shop_patterns` maps
    names to on and off times in ms; `devices` and `feeds` are what the rig knows. `program` is None where
    there are problems."""
    compiler = _Compiler(section, tuple(devices), tuple(feeds))
    program = compiler.run(vehicle_signals, vehicle_impossible, vehicle_roles or {}, shop_patterns or {})
    problems = sorted(compiler.trouble.problems, key=lambda p: (p.file, p.line, p.column))
    return Compiled(program if not problems else None, tuple(problems), tuple(compiler.trouble.notes))


@dataclass
class _Compiler:
    section: Switching
    facts: tuple[DeviceFacts, ...]
    feed_facts: tuple[FeedFacts, ...]
    trouble: Trouble = field(default_factory=Trouble)
    names: Names = field(default_factory=Names)
    conditions: tuple[tuple[str, Expression], ...] = ()
    contents: Contents = field(default_factory=Contents)
    selectors: Selectors = field(default_factory=lambda: Selectors((), {}))

    def run(
        self,
        vehicle_signals: Sequence[Signal],
        vehicle_impossible: Sequence[Placed],
        vehicle_roles: Mapping[str, Placed],
        shop_patterns: Mapping[str, Sequence[int]],
    ) -> Program | None:
        section, trouble = self.section, self.trouble
        self.names = declare_variables(section, vehicle_signals, trouble)
        resolve_variables(section, self.names, trouble)
        self.conditions = resolve_conditions(section, self.names, trouble)
        order = settle_order(self.names, self.conditions, section, trouble)
        self.selectors = selectors_of(self.facts, trouble)
        patterns = read_patterns(shop_patterns, section.patterns, section.where_of("patterns"), trouble)
        functions = self._functions()
        rest = tuple(self._rest_content(d) for d in self.facts)
        lists = ListBuilder(self.selectors, patterns, rest, self.contents, trouble)
        for number, function in enumerate(section.functions):
            lists.add(number, function)
        impossible = self._impossible([*vehicle_impossible, *section.impossible])
        feeds = self._feeds()
        devices = tuple(self._device(i, lists, functions, rest[i]) for i in range(len(self.facts)))
        self._relay_circles(devices, feeds)
        program = Program(
            variables=tuple(self.names.variables),
            conditions=self.conditions,
            functions=functions,
            devices=devices,
            contents=tuple(self.contents.items),
            feeds=feeds,
            exclusive=self._exclusive(),
            impossible=impossible,
            settle_order=order,
            requirements=self._requirements(),
            modes=self._modes(),
            warning_when=self._optional(section.warning_when),
            shedding=self._shedding(),
            ranks=tuple(section.ranks),
            rest=(),
            roles=tuple((name, self._level(placed)) for name, placed in vehicle_roles.items()),
        )
        return None if trouble.problems else replace(program, rest=rest_state(program))

    # -- expressions

    def _level(self, placed: Placed) -> Expression:
        return level(placed, self.names, self.trouble) or NEVER

    def _optional(self, placed: Placed | None) -> Expression | None:
        return None if placed is None else self._level(placed)

    def _signals_only(self, placed: Placed, what: str) -> Expression:
        """An expression over signals, by way of conditions too."""
        expression = self._level(placed)
        if self.trouble.problems:
            return expression
        for index in sorted(variables_read(expression, self.conditions)):
            variable = self.names.variables[index]
            if variable.kind != "signal":
                says = f"{what} may name signals only; {variable.name} is a {variable.kind}"
                self.trouble.at(placed.where, says, found=variable.name, expected="a signal")
        return expression

    def _wiring(self, text: str | None, where: Where, what: str) -> Expression | None:
        if text is None:
            return None
        return self._signals_only(Placed(text, where), what)

    def _impossible(self, placed: Sequence[Placed]) -> tuple[tuple[Expression, str, int], ...]:
        return tuple((self._signals_only(p, "impossible"), p.where.file, p.where.line) for p in placed)

    def _exclusive(self) -> tuple[tuple[int, ...], ...]:
        groups = []
        for group in self.section.exclusive:
            members: list[int] = []
            for placed in group:
                at = self.names.index.get(placed.text)
                if at is None or self.names.variables[at].switch_kind != "latching":
                    latching = [v.name for v in self.names.variables if v.switch_kind == "latching"]
                    says = f"{placed.text} is no latching switch; an exclusive group holds latching switches only"
                    self.trouble.at(placed.where, says, found=placed.text, nearest=nearest(placed.text, latching))
                elif at in members:
                    self.trouble.at(placed.where, f"{placed.text} stands twice in one group", found=placed.text)
                else:
                    members.append(at)
            if len(group) < 2:
                where = group[0].where if group else self.section.where_of("exclusive")
                self.trouble.at(where, "an exclusive group needs two switches or more", found=str(len(group)))
            groups.append(tuple(members))
        return tuple(groups)

    # -- functions and devices

    def _functions(self) -> tuple[Function, ...]:
        ranks = self.section.ranks
        for at, rank in enumerate(ranks):
            if rank in ranks[:at]:
                self.trouble.at(self.section.where_of("ranks"), f"the rank {rank} is listed twice", found=rank)
        named: dict[str, int] = {}
        found = []
        for function in self.section.functions:
            rank = function.rank.text
            if rank not in ranks:
                says = f"no rank is called {rank}"
                self.trouble.at(
                    function.rank.where, says, found=rank, expected=", ".join(ranks), nearest=nearest(rank, ranks)
                )
            if function.name in named:
                says = f"two functions are called {function.name}; the other stands in line {named[function.name]}"
                self.trouble.at(function.where_of("name"), says, found=function.name)
            named.setdefault(function.name, function.where.line)
            found.append(
                Function(
                    name=function.name,
                    rank=ranks.index(rank) if rank in ranks else 0,
                    when=self._level(function.when),
                    if_unknown=function.if_unknown == "on",
                    file=function.where.file,
                    line=function.where.line,
                    purpose=function.purpose or "",
                )
            )
        return tuple(found)

    def _rest_content(self, device: DeviceFacts) -> int:
        if device.kind == "factory-lamp":
            channels = tuple((colour, steady()) for colour in device.colours)
            return self.contents.number(Content(channels=channels, commanded=True))
        if device.rest is None:
            return 0
        where = Where(device.file, device.line, 1 if device.line else 0)
        states = states_of(device.kind, device.states)
        if device.rest not in states:
            says = f"the rest state {device.rest} of {device.id} is none of its states"
            self.trouble.at(
                where, says, found=device.rest, expected=", ".join(states), nearest=nearest(device.rest, states)
            )
        return self.contents.number(Content(state=device.rest))

    def _device(self, index: int, lists: ListBuilder, functions: Sequence[Function], rest: int) -> Device:
        facts = self.facts[index]
        where = Where(facts.file, facts.line, 1 if facts.line else 0)
        feed_index = {f.id: i for i, f in enumerate(self.feed_facts)}
        for _, feed in facts.feeds:
            if feed not in feed_index:
                self.trouble.at(where, f"no feed is called {feed}", found=feed, nearest=nearest(feed, feed_index))
        poses = [Pose(self._wiring(p.when, where, f"the open pose of {facts.id}"), p.zones) for p in facts.poses]
        poses.append(Pose(None, facts.zones if facts.seen_zones is None else facts.seen_zones))

        def importance(function: int) -> tuple[int, int]:
            return (-functions[function].rank, -function)

        return Device(
            id=facts.id,
            kind=facts.kind,
            tags=facts.tags,
            zones=facts.zones,
            colours=facts.colours,
            states=states_of(facts.kind, facts.states),
            one_colour_at_a_time=facts.one_colour_at_a_time,
            clock=facts.clock or facts.id,
            rest=rest,
            entries=tuple(sorted(lists.entries[index], key=lambda e: importance(e.function))),
            dims=tuple(sorted(lists.dims[index], key=lambda d: (d.to, *importance(d.function)))),
            poses=tuple(poses),
            feeds=tuple((channel, feed_index[feed]) for channel, feed in facts.feeds if feed in feed_index),
            commanded_when=self._wiring(facts.commanded_when, where, f"commanded_when of {facts.id}"),
            file=facts.file,
            line=facts.line,
        )

    # -- feeds

    def _feeds(self) -> tuple[Feed, ...]:
        index = {f.id: i for i, f in enumerate(self.feed_facts)}
        relays = {d.id: i for i, d in enumerate(self.facts) if d.kind == "relay"}
        found = []
        for feed in self.feed_facts:
            where = Where(feed.file, feed.line, feed.column)
            above = index.get(feed.above) if feed.above else None
            through = relays.get(feed.through) if feed.through else None
            if feed.above and above is None:
                self.trouble.at(
                    where, f"no feed is called {feed.above}", found=feed.above, nearest=nearest(feed.above, index)
                )
            if feed.through and through is None:
                says = f"no relay is called {feed.through}"
                self.trouble.at(where, says, found=feed.through, nearest=nearest(feed.through, relays))
            live = self._wiring(feed.live_when, where, f"live_when of {feed.id}")
            found.append(Feed(feed.id, above, live, through, feed.sheds))
        return tuple(found)

    def _relay_circles(self, devices: Sequence[Device], feeds: Sequence[Feed]) -> None:
        """A feed may not hang on itself, by the feed above it or by the feed of a relay it passes."""
        reads: dict[int, set[int]] = {}
        for index, feed in enumerate(feeds):
            reads[index] = set() if feed.above is None else {feed.above}
            if feed.through is not None:
                reads[index] |= {f for _, f in devices[feed.through].feeds}
        _, circle = order_of_dependency(reads)
        if circle:
            facts = self.feed_facts[circle[0]]
            shown = " → ".join(feeds[i].id for i in [*circle, circle[0]])
            where = Where(facts.file, facts.line, facts.column)
            self.trouble.at(where, f"feeds and relays hang on each other in a circle: {shown}", found=facts.id)

    # -- modes, shedding, requirements

    def _modes(self) -> tuple[Mode, ...]:
        found: list[Mode] = []
        for mode in self.section.modes:
            if any(m.id == mode.id for m in found):
                self.trouble.at(mode.where_of("id"), f"the mode {mode.id} is named twice", found=mode.id)
            found.append(Mode(mode.id, mode.title, self._level(mode.when), mode.purpose))
        return tuple(found)

    def _shedding(self) -> tuple[tuple[int, Expression], ...]:
        found = []
        for shed in self.section.shedding:
            if not 1 <= shed.step <= 9:
                self.trouble.at(
                    shed.where_of("step"), "shedding steps are 1 to 9", found=str(shed.step), expected="1 to 9"
                )
            found.append((shed.step, self._level(shed.when)))
        return tuple(found)

    def _requirements(self) -> tuple[Requirement, ...]:
        resolver = Resolver(self.names, predicate=self._predicate)
        found = []
        for record in self.section.require:
            if (record.never is None) == (record.always is None):
                self.trouble.at(
                    record.where, "a requirement has one of never and always", expected="never: … or always: …"
                )
                continue
            placed = record.never or record.always
            assert placed is not None
            text = placed.text
            resolved: RequirementExpression | None = self.trouble.guarded(
                placed,
                lambda text=text: resolver.resolve(parse_expression(text, predicates=True)),  # type: ignore[misc]
            )
            if resolved is not None:
                never = resolved if record.never is not None else Not(resolved)  # type: ignore[arg-type]
                found.append(Requirement(record.name, never, record.where.file, record.where.line))
        return tuple(found)

    def _predicate(self, node: PredicateNode) -> RequirementExpression:
        if node.what == "seen":
            if len(node.selector) != 1 or node.selector[0].name not in ZONES:
                found = node.selector[0].name
                raise LanguageError(
                    node.selector[0].position,
                    "seen(…) takes a zone",
                    found=found,
                    expected=", ".join(ZONES),
                    nearest=nearest(found, ZONES),
                )
            return SeenPredicate(node.selector[0].name, self._colour(node, range(len(self.facts))))
        selected = sorted(self.selectors.select(node.selector))
        if node.what == "driven":
            return self._driven(node, selected)
        lamps = [i for i in selected if self.facts[i].colours]
        if not lamps:
            raise LanguageError(
                node.selector[0].position, f"{node.what}(…) selects no lamp", found=node.selector[0].name
            )
        what = next(name for name in LAMP_PREDICATES if name == node.what)
        return LitPredicate(what, tuple(lamps), self._colour(node, lamps))  # type: ignore[arg-type]

    def _colour(self, node: PredicateNode, devices: Sequence[int]) -> str | None:
        colour = node.second.text
        if colour == "any":
            return None
        known = sorted({c for i in devices for c in self.facts[i].colours})
        if colour not in known:
            raise LanguageError(
                node.second.position,
                f"no lamp selected has {colour}",
                found=colour,
                expected=", ".join([*known, "any"]),
                nearest=nearest(colour, known),
            )
        return colour

    def _driven(self, node: PredicateNode, selected: Sequence[int]) -> RequirementExpression:
        device = self.facts[selected[0]]
        states = states_of(device.kind, device.states)
        if len(selected) != 1 or not states:
            raise LanguageError(
                node.selector[0].position, "driven(…) takes one device that is driven", found=node.selector[0].name
            )
        if node.second.text not in states:
            raise LanguageError(
                node.second.position,
                f"{device.id} has no state {node.second.text}; it has {', '.join(states)}",
                found=node.second.text,
                expected=", ".join(states),
                nearest=nearest(node.second.text, states),
            )
        return DrivenPredicate(selected[0], node.second.text)
