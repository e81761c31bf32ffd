"""`when` of a rule row: the condition grammar over the declared facts of a measure's subjects."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from rigbook.switching.language import (
    Comparison,
    Joined,
    LanguageError,
    Literal_,
    NameNode,
    Node,
    NotNode,
    nearest,
    parse_expression,
)

Declared = Mapping[str, tuple[str, ...] | None]
Facts = Mapping[str, str | bool]


def read_when(text: str, declared: Declared) -> Node:
    """Read a condition and check every name and value against the declared facts.

    Raises:
        LanguageError: a slip of the grammar, an unknown fact, a value that the fact does not have, an event, or an
            order asked of facts, which have none.
    """
    node = _parsed(text)
    _check(node, declared)
    return node


_parsed = lru_cache(maxsize=256)(parse_expression)  # the rows of the packs are judged again at every check


def _check(node: Node, declared: Declared) -> None:
    if isinstance(node, Joined):
        for part in node.of:
            _check(part, declared)
    elif isinstance(node, NotNode):
        _check(node.of, declared)
    elif isinstance(node, NameNode):
        _known(node.name, node.position, declared)
        if declared[node.name] is not None:
            raise LanguageError(node.position, f"{node.name} is no yes/no: compare it with a value", found=node.name)
    elif isinstance(node, Comparison):
        _comparison(node, declared)
    elif not isinstance(node, Literal_):
        raise LanguageError(node.position, "facts of a rule know no events and no predicates")


def _comparison(node: Comparison, declared: Declared) -> None:
    _known(node.name, node.position, declared)
    values = declared[node.name]
    if values is None:
        values = ("yes", "no")
    if node.operator not in ("==", "!=", "in"):
        raise LanguageError(node.position, f"the values of {node.name} have no order: use ==, != or in")
    for value in node.values:
        if values and value.text not in values:
            raise LanguageError(
                value.position,
                f"{node.name} is never {value.text}; it is one of {', '.join(values)}",
                found=value.text,
                expected=", ".join(values),
                nearest=nearest(value.text, values),
            )


def _known(name: str, position: int, declared: Declared) -> None:
    if name not in declared:
        facts = ", ".join(declared) or "none"
        raise LanguageError(
            position,
            f"this measure has no fact {name}; its facts are: {facts}",
            found=name,
            expected=facts,
            nearest=nearest(name, declared),
        )


def holds(node: Node, facts: Facts) -> bool:
    """Whether a condition holds of a subject's facts. A fact that the subject lacks equals no value and is not yes."""
    if isinstance(node, Joined):
        parts = (holds(part, facts) for part in node.of)
        return all(parts) if node.how == "and" else any(parts)
    if isinstance(node, NotNode):
        return not holds(node.of, facts)
    if isinstance(node, Literal_):
        return node.value
    if isinstance(node, NameNode):
        return facts.get(node.name) is True
    if isinstance(node, Comparison):
        fact = facts.get(node.name, "")
        if isinstance(fact, bool):
            fact = "yes" if fact else "no"
        among = fact in {value.text for value in node.values}
        return not among if node.operator == "!=" else among
    raise TypeError(f"{type(node).__name__} was let through by read_when")
