"""The grammar of expressions and selectors: text in, syntax tree with positions out.

Nothing is resolved here: whether a name exists, or a value belongs to it, is the compiler's business.
Positions are offsets into the text, counting from 0; `place_of` turns one into file, line and column.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from rigbook.documents.schema.base import Placed, Where

ZONES = ("front", "right", "rear", "left")
HALVES = ("left-half", "right-half")
LEVELS = ("upper", "lower")
SELECTOR_WORDS = frozenset((*ZONES, *HALVES, *LEVELS, "inside"))
CONNECTIVES = frozenset({"and", "or", "not", "in"})
LITERALS = {"yes": True, "true": True, "no": False, "false": False}
EVENT_WORDS = frozenset({"tap", "rises"})
LAMP_PREDICATES = ("lit", "all_lit", "steady", "flashing")
PREDICATES = frozenset((*LAMP_PREDICATES, "seen", "driven"))
RESERVED = SELECTOR_WORDS | CONNECTIVES | LITERALS.keys() | EVENT_WORDS | PREDICATES | {"any", "held"}
COMPARISONS = frozenset({"==", "!=", "<", "<=", ">", ">="})
DEEPEST = 60
"""Parentheses and `not` may be nested so deep."""

_TOKEN = re.compile(r"[a-z][a-z0-9_-]*(?:\.[0-9]+)?|==|!=|<=|>=|[<>(),&]|-(?=\s|$)")


class LanguageError(Exception):
    """A slip in an expression or selector, at an offset into its text."""

    def __init__(
        self,
        position: int,
        says: str,
        *,
        found: str = "",
        expected: str = "",
        nearest: str = "",
        where: Where | None = None,
    ) -> None:
        super().__init__(says)
        self.position = position
        self.says = says
        self.found = found
        self.expected = expected
        self.nearest = nearest
        self.where = where


@dataclass(frozen=True, slots=True)
class Token:
    """A piece of the text and its offset."""

    text: str
    position: int


@dataclass(frozen=True, slots=True)
class Literal_:
    """`yes`, `no`, `true`, `false` standing alone."""

    value: bool
    position: int


@dataclass(frozen=True, slots=True)
class NameNode:
    """A bare name: it must be yes/no."""

    name: str
    position: int


@dataclass(frozen=True, slots=True)
class Comparison:
    """A name, an operator (`in` among them) and values."""

    name: str
    position: int
    operator: str
    values: tuple[Token, ...]


@dataclass(frozen=True, slots=True)
class NotNode:
    """`not` before an expression."""

    of: Node
    position: int


@dataclass(frozen=True, slots=True)
class Joined:
    """Two or more operands under `and` or `or`."""

    how: Literal["and", "or"]
    of: tuple[Node, ...]
    position: int


@dataclass(frozen=True, slots=True)
class Call:
    """`tap(x)`, `held(x)` with a name, `rises(E)` with an expression."""

    what: str
    position: int
    name: Token | None = None
    of: Node | None = None


@dataclass(frozen=True, slots=True)
class SelectorStep:
    """One name of a selector and how it joins what stands left of it."""

    how: Literal["start", "and", "without"]
    name: str
    position: int


@dataclass(frozen=True, slots=True)
class PredicateNode:
    """`lit(SEL, colour)` and its kin, `seen(ZONE, colour)`, `driven(device, state)`."""

    what: str
    position: int
    selector: tuple[SelectorStep, ...]
    second: Token


Node = Literal_ | NameNode | Comparison | NotNode | Joined | Call | PredicateNode


def nearest(name: str, names: Iterable[str]) -> str:
    """The name most like `name`, or an empty text."""
    found = difflib.get_close_matches(name, sorted(names), n=1, cutoff=0.5)
    return found[0] if found else ""


def place_of(placed: Placed, position: int) -> Where:
    """File, line and column of an offset into a scalar; the opening quotation mark counts."""
    where = placed.where
    if where.line == 0:
        return where
    return Where(where.file, where.line, where.column + position + (1 if placed.quoted else 0))


def tokens_of(text: str) -> list[Token]:
    """Split a text into tokens; LanguageError at the first character that belongs to none."""
    found: list[Token] = []
    at = 0
    while at < len(text):
        if text[at].isspace():
            at += 1
            continue
        match = _TOKEN.match(text, at)
        if match is None:
            raise _stray(text, at)
        token = match.group()
        if token == "-" and (at == 0 or not text[at - 1].isspace()):
            raise LanguageError(at, "`-` between selectors needs a blank on each side", found=token, expected="` - `")
        found.append(Token(token, at))
        at = match.end()
    return found


def _stray(text: str, at: int) -> LanguageError:
    piece = re.match(r"[A-Za-z0-9_.-]+|.", text[at:], re.DOTALL)
    found = piece.group() if piece else text[at]
    if found == "=":
        return LanguageError(at, "`=` is no comparison; write `==`", found=found, expected="==")
    if found.startswith("-"):
        return LanguageError(at, "`-` between selectors needs a blank on each side", found=found, expected="` - `")
    if found.lower() != found:
        return LanguageError(
            at, f"{found} is no name: names are written in small letters", found=found, expected=found.lower()
        )
    return LanguageError(at, f"{found} does not belong in an expression", found=found, expected="a name or an operator")


class _Parser:
    """Recursive descent over the tokens of one text."""

    def __init__(self, text: str, *, predicates: bool) -> None:
        self.text = text
        self.tokens = tokens_of(text)
        self.at = 0
        self.predicates = predicates
        self.depth = 0

    def peek(self) -> str:
        return self.tokens[self.at].text if self.at < len(self.tokens) else ""

    def position(self) -> int:
        return self.tokens[self.at].position if self.at < len(self.tokens) else len(self.text.rstrip())

    def take(self) -> Token:
        token = self.tokens[self.at]
        self.at += 1
        return token

    def expect(self, text: str, after: str) -> None:
        if self.peek() != text:
            hint = ""
            if not self.peek() and text in (")", ","):
                hint = "; inside braces or brackets a comma ends the value, so the expression must be quoted there"
            raise LanguageError(
                self.position(),
                f"`{text}` is missing after {after}{hint}",
                found=self.peek() or "the end",
                expected=text,
            )
        self.at += 1

    def name(self, what: str, *, dotted: bool = False) -> Token:
        found = self.peek()
        if not found or not found[0].isalpha() or (found in CONNECTIVES) or ("." in found and not dotted):
            raise LanguageError(self.position(), f"{what} is missing here", found=found or "the end", expected=what)
        return self.take()

    def deeper(self) -> None:
        self.depth += 1
        if self.depth > DEEPEST:
            raise LanguageError(self.position(), f"nested more than {DEEPEST} deep; name a part of it as a condition")

    # -- expressions

    def whole(self) -> Node:
        if not self.tokens:
            raise LanguageError(0, "an expression is missing here", found="nothing", expected="an expression")
        node = self.either()
        if self.at < len(self.tokens):
            raise self.left_over()
        return node

    def left_over(self) -> LanguageError:
        found = self.peek()
        if found in COMPARISONS or found == "in":
            return LanguageError(
                self.position(),
                "a comparison is one name, an operator and one of its own values; no chains",
                found=found,
            )
        if found == "&":
            return LanguageError(
                self.position(), "`&` joins selectors; in expressions write `and`", found=found, expected="and"
            )
        return LanguageError(
            self.position(), f"`{found}` is not expected here", found=found, expected="and, or, or the end"
        )

    def either(self) -> Node:
        return self.joined("or", self.both)

    def both(self) -> Node:
        return self.joined("and", self.negated)

    def joined(self, how: Literal["and", "or"], operand: object) -> Node:
        position = self.position()
        parse = operand if callable(operand) else self.negated
        of: list[Node] = [parse()]
        while self.peek() == how:
            self.take()
            of.append(parse())
        return of[0] if len(of) == 1 else Joined(how, tuple(of), position)

    def negated(self) -> Node:
        if self.peek() != "not":
            return self.atom()
        token = self.take()
        self.deeper()
        node = NotNode(self.negated(), token.position)
        self.depth -= 1
        return node

    def atom(self) -> Node:
        found = self.peek()
        if found == "(":
            self.take()
            self.deeper()
            node = self.either()
            self.depth -= 1
            self.expect(")", "the expression in parentheses")
            return node
        token = self.name("a name")
        if self.peek() == "(":
            return self.call(token)
        if self.peek() in COMPARISONS:
            operator = self.take().text
            return Comparison(token.text, token.position, operator, (self.name("a value"),))
        if self.peek() == "in":
            self.take()
            return Comparison(token.text, token.position, "in", self.values())
        if self.peek() == "not":
            raise LanguageError(
                self.position(), f"write `not {token.text} in (…)`: `not` stands before the comparison", found="not"
            )
        if token.text in LITERALS:
            return Literal_(LITERALS[token.text], token.position)
        return NameNode(token.text, token.position)

    def values(self) -> tuple[Token, ...]:
        self.expect("(", "`in`")
        found = [self.name("a value")]
        while self.peek() == ",":
            self.take()
            found.append(self.name("a value"))
        self.expect(")", "the values")
        return tuple(found)

    def call(self, token: Token) -> Node:
        what = token.text
        if what in ("tap", "held"):
            self.take()
            name = self.name("the name of a momentary switch")
            self.expect(")", f"{what}(name")
            return Call(what, token.position, name=name)
        if what == "rises":
            self.take()
            self.deeper()
            node = self.either()
            self.depth -= 1
            self.expect(")", "rises(condition")
            return Call(what, token.position, of=node)
        if what in PREDICATES:
            if not self.predicates:
                raise LanguageError(token.position, f"{what}(…) stands in `require` only", found=what)
            return self.predicate(token)
        known = (*PREDICATES, "tap", "held", "rises") if self.predicates else ("tap", "held", "rises")
        raise LanguageError(
            token.position,
            f"{what} is nothing that can be asked with parentheses",
            found=what,
            nearest=nearest(what, known),
        )

    def predicate(self, token: Token) -> Node:
        self.expect("(", token.text)
        selector = self.selector()
        self.expect(",", f"the first part of {token.text}(…)")
        second = self.name("a state" if token.text == "driven" else "a colour, or any,")
        self.expect(")", f"{token.text}(…, {second.text}")
        return PredicateNode(token.text, token.position, selector, second)

    # -- selectors

    def selector(self) -> tuple[SelectorStep, ...]:
        token = self.name("a selector", dotted=True)
        steps = [SelectorStep("start", token.text, token.position)]
        while self.peek() in ("&", "-"):
            how: Literal["and", "without"] = "and" if self.take().text == "&" else "without"
            token = self.name("a selector", dotted=True)
            steps.append(SelectorStep(how, token.text, token.position))
        return tuple(steps)


def parse_expression(text: str, *, predicates: bool = False) -> Node:
    """Read an expression; `predicates` allows `lit` and its kin. Raises LanguageError with the offset."""
    return _Parser(text, predicates=predicates).whole()


def parse_selector(text: str) -> tuple[SelectorStep, ...]:
    """Read a selector: names joined by `&` and ` - `, left to right. Raises LanguageError with the offset."""
    parser = _Parser(text, predicates=False)
    if not parser.tokens:
        raise LanguageError(0, "a selector is missing here", found="nothing", expected="a selector")
    steps = parser.selector()
    if parser.at < len(parser.tokens):
        found = parser.peek()
        if found == ",":
            raise LanguageError(parser.position(), "a union of selectors is a list", found=found, expected="[A, B]")
        raise LanguageError(
            parser.position(), f"`{found}` is not expected in a selector", found=found, expected="&, ` - `"
        )
    return steps
