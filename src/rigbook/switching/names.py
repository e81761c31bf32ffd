"""The one set of names of a program, and the resolving of expressions against it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from rigbook.documents.schema.base import Placed, Where
from rigbook.switching.language import (
    LITERALS,
    RESERVED,
    Call,
    Comparison,
    Joined,
    LanguageError,
    Literal_,
    NameNode,
    Node,
    NotNode,
    PredicateNode,
    nearest,
    parse_expression,
)
from rigbook.switching.program import (
    All,
    Any_,
    ConditionRef,
    Constant,
    Expression,
    Is,
    Not,
    RequirementExpression,
    Rises,
    Tap,
    Variable,
)
from rigbook.switching.trouble import Trouble

NO_YES = ("no", "yes")
TAP_VALUES = ("no", "pressed", "held")
Allowed = Literal["all", "signals"]


@dataclass
class Names:
    """Names of variables and conditions with their indexes."""

    variables: list[Variable] = field(default_factory=list)
    index: dict[str, int] = field(default_factory=dict)
    conditions: dict[str, int] = field(default_factory=dict)
    places: dict[str, Where] = field(default_factory=dict)

    def claim(self, name: str, where: Where, trouble: Trouble) -> bool:
        """Take a name; enters an error and gives False where it is reserved or taken."""
        if name in RESERVED:
            trouble.at(where, f"{name} is a word of the language and cannot be a name", found=name)
            return False
        if name in self.places:
            first = self.places[name]
            trouble.at(where, f"{name} is named twice; it stands already in {first.file} line {first.line}", found=name)
            return False
        self.places[name] = where
        return True

    def all_names(self) -> list[str]:
        """Every name, for the nearest one."""
        return [*self.index, *self.conditions]


def momentary_with_tap(variable: Variable) -> bool:
    """Whether a momentary switch is split into tap and hold."""
    return variable.switch_kind == "momentary" and variable.tap_under_ms is not None


@dataclass
class Resolver:
    """Turns syntax trees into expressions. `predicate` resolves `lit` and its kin, in requirements only."""

    names: Names
    predicate: Callable[[PredicateNode], RequirementExpression] | None = None
    events: bool = False
    allowed: Allowed = "all"

    def resolve(self, node: Node) -> RequirementExpression:
        """The expression of a tree. Raises LanguageError at the slip."""
        match node:
            case Literal_(value, _):
                return Constant(value)
            case NameNode(name, position):
                return self._bare(name, position)
            case Comparison():
                return self._comparison(node)
            case NotNode(of, _):
                return Not(self.resolve(of))  # type: ignore[arg-type]
            case Joined(how, parts, _):
                resolved = tuple(self.resolve(part) for part in parts)
                return All(resolved) if how == "and" else Any_(resolved)  # type: ignore[arg-type]
            case Call():
                return self._call(node)
            case PredicateNode():
                if self.predicate is None:
                    raise LanguageError(node.position, f"{node.what}(…) stands in `require` only", found=node.what)
                return self.predicate(node)

    def _variable(self, name: str, position: int) -> int:
        found = self.names.index.get(name)
        if found is None:
            known = self.names.all_names()
            says = f"nothing is called {name}"
            if name.endswith("-"):
                says += "; a name may not run into a minus: leave a blank before it"
            raise LanguageError(position, says, found=name, expected="a name", nearest=nearest(name, known))
        if self.allowed == "signals" and self.names.variables[found].kind != "signal":
            raise LanguageError(
                position, f"{name} is not a signal; only signals may stand here", found=name, expected="a signal"
            )
        return found

    def _bare(self, name: str, position: int) -> Expression:
        if name in self.names.conditions:
            return ConditionRef(self.names.conditions[name])
        at = self._variable(name, position)
        variable = self.names.variables[at]
        if variable.values == NO_YES:
            return Is(at, frozenset({1}))
        if momentary_with_tap(variable):
            return Is(at, frozenset({1, 2}))
        raise LanguageError(
            position,
            f"{name} is not yes or no: compare it with one of {', '.join(variable.values)}",
            found=name,
            expected=f"{name} == {variable.values[-1]}",
        )

    def _comparison(self, node: Comparison) -> Expression:
        if node.name in self.names.conditions:
            raise LanguageError(
                node.position,
                f"{node.name} is a condition: write it bare, or with `not`",
                found=node.name,
                expected=node.name,
            )
        at = self._variable(node.name, node.position)
        variable = self.names.variables[at]
        if variable.kind == "timer" or (variable.kind == "memory" and not variable.stepping):
            raise LanguageError(
                node.position, f"{node.name} is a {variable.kind}: write it bare, or with `not`", found=node.name
            )
        chosen = [self._value(variable, token.text, token.position) for token in node.values]
        if node.operator in ("<", "<=", ">", ">=") and not variable.ordered:
            raise LanguageError(
                node.position, f"the values of {node.name} have no order", found=node.operator, expected="== or !="
            )
        every = range(len(variable.values))
        first = chosen[0]
        values = {
            "==": frozenset({first}),
            "in": frozenset(chosen),
            "!=": frozenset(every) - {first},
            "<": frozenset(v for v in every if v < first),
            "<=": frozenset(v for v in every if v <= first),
            ">": frozenset(v for v in every if v > first),
            ">=": frozenset(v for v in every if v >= first),
        }[node.operator]
        return Is(at, values)

    def _value(self, variable: Variable, text: str, position: int) -> int:
        if text in variable.values:
            return variable.values.index(text)
        if variable.values == NO_YES and text in LITERALS:
            return int(LITERALS[text])
        says = f"{text} is no value of {variable.name}; it has {', '.join(variable.values)}"
        if text in self.names.places:
            says += "; a name is never compared with a name"
        raise LanguageError(
            position, says, found=text, expected=", ".join(variable.values), nearest=nearest(text, variable.values)
        )

    def _call(self, node: Call) -> Expression:
        if node.what in ("tap", "rises") and not self.events:
            raise LanguageError(
                node.position,
                f"{node.what}(…) is an event: it stands only in set_when, clear_when, next_on and pulse",
                found=node.what,
            )
        if node.of is not None:
            if any(isinstance(part, Call) and part.what in ("tap", "rises") for part in nodes_of(node.of)):
                raise LanguageError(node.position, "rises(…) takes a condition, not an event", found=node.what)
            return Rises(self.resolve(node.of))  # type: ignore[arg-type]
        assert node.name is not None
        at = self._variable(node.name.text, node.name.position)
        variable = self.names.variables[at]
        if not momentary_with_tap(variable):
            raise LanguageError(
                node.name.position,
                f"{variable.name} has no tap_under: tap and held are for momentary switches that have one",
                found=variable.name,
            )
        return Tap(at) if node.what == "tap" else Is(at, frozenset({2}))


def nodes_of(node: Node) -> Iterator[Node]:
    """A tree's nodes."""
    yield node
    match node:
        case NotNode(of, _):
            yield from nodes_of(of)
        case Joined(_, parts, _):
            for part in parts:
                yield from nodes_of(part)
        case Call(_, _, _, of) if of is not None:
            yield from nodes_of(of)


def level(placed: Placed, names: Names, trouble: Trouble, *, allowed: Allowed = "all") -> Expression | None:
    """A level expression, or None with an error entered."""
    resolver = Resolver(names, allowed=allowed)
    return trouble.guarded(placed, lambda: resolver.resolve(parse_expression(placed.text)))  # type: ignore[return-value]


def event(placed: Placed, names: Names, trouble: Trouble) -> Expression | None:
    """An expression in which events may stand, or None with an error entered."""
    resolver = Resolver(names, events=True)
    return trouble.guarded(placed, lambda: resolver.resolve(parse_expression(placed.text)))  # type: ignore[return-value]


def expressions_within(expression: RequirementExpression) -> Iterator[RequirementExpression]:
    """An expression and all its parts; conditions are not entered."""
    yield expression
    match expression:
        case Not(of) | Rises(of):
            yield from expressions_within(of)
        case All(of) | Any_(of):
            for part in of:
                yield from expressions_within(part)


def names_read(expression: RequirementExpression) -> tuple[set[int], set[int]]:
    """Variables and conditions that an expression names itself."""
    variables: set[int] = set()
    conditions: set[int] = set()
    for part in expressions_within(expression):
        match part:
            case Is(variable, _) | Tap(variable):
                variables.add(variable)
            case ConditionRef(condition):
                conditions.add(condition)
    return variables, conditions


def variables_read(expression: RequirementExpression, conditions: Sequence[tuple[str, Expression]]) -> frozenset[int]:
    """Variables that an expression reads, through conditions too."""
    variables, waiting = names_read(expression)
    seen: set[int] = set()
    while waiting:
        condition = waiting.pop()
        seen.add(condition)
        more, named = names_read(conditions[condition][1])
        variables |= more
        waiting |= named - seen
    return frozenset(variables)


def depth_of(expression: RequirementExpression, depths: Mapping[int, int]) -> int:
    """How deep an expression is nested, conditions entered; `depths` holds those of the conditions it names."""
    match expression:
        case ConditionRef(condition):
            return 1 + depths.get(condition, 0)
        case Not(of) | Rises(of):
            return 1 + depth_of(of, depths)
        case All(of) | Any_(of):
            return 1 + max(depth_of(part, depths) for part in of)
    return 1


def order_of_dependency(reads: Mapping[int, set[int]]) -> tuple[list[int], list[int]]:
    """Keys so that each comes after those it reads, ties by key; and what is left over when there is a circle."""
    waiting = {key: {other for other in others if other in reads} for key, others in reads.items()}
    order: list[int] = []
    while waiting:
        ready = min((key for key, others in waiting.items() if not others), default=None)
        if ready is None:
            break
        order.append(ready)
        del waiting[ready]
        for others in waiting.values():
            others.discard(ready)
    return order, _one_circle(waiting)


def _one_circle(waiting: Mapping[int, set[int]]) -> list[int]:
    if not waiting:
        return []
    path: list[int] = []
    at = min(waiting)
    while at not in path:
        path.append(at)
        at = min(other for other in waiting[at] if other in waiting)
    return path[path.index(at) :]
