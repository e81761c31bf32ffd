"""Values as YAML text that the loader reads back as the same value."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

_PLAIN_START = re.compile(r"[^\s\-?:,\[\]{}#&*!|>'\"%@`]|[-?:][^\s,\[\]{}]")
_QUOTE_NEEDED = re.compile(r":(?=\s|$)|\s#|^\s|\s$|[\x00-\x1f\x7f-\xa0\u2028\u2029\ufeff]|^---|^\.\.\.|^<<$|^=$")
_FLOW_INDICATORS = re.compile(r"[,\[\]{}()]|:$|[:?]")
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def _double_quoted(value: str) -> str:
    def escape(match: re.Match[str]) -> str:
        character = match.group()
        code = ord(character)
        return _ESCAPES.get(character) or (f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}")

    return '"' + re.sub(r'[\\"\x00-\x1f\x7f-\xa0\ud800-\udfff\u2028\u2029\ufeff]', escape, value) + '"'


def plain_key(key: str) -> str:
    """A key, in quotes where it needs them."""
    return scalar_text(key, flow=True)


def scalar_text(value: str, *, flow: bool, style: str | None = None, indent: int = 0) -> str:
    """A text as a scalar: plain where that is safe, else in quotes; the quotes or the block of `style` are kept.

    Args:
        value: the text.
        flow: inside braces or brackets, where commas and brackets need quotes.
        style: how it was written before: None or "" plain, ' or " quoted, | or > block.
        indent: column of the mapping that holds it, for block texts.
    """
    if not flow and "\n" in value.rstrip("\n") and (style in ("|", ">") or not style) and _blockable(value):
        head = "|" if value.endswith("\n") else "|-"
        inner = " " * (indent + 2)
        return "\n".join([head, *(inner + line if line else "" for line in value.rstrip("\n").split("\n"))])
    if style in ("|", ">") and not flow and value.endswith("\n") and _blockable(value):
        return f"|\n{' ' * (indent + 2)}{value[:-1]}"
    if style == "'" and re.fullmatch(r"[^\x00-\x1f\x7f-\xa0\u2028\u2029\ufeff]*", value):
        return "'" + value.replace("'", "''") + "'"
    if style == '"' or not _PLAIN_START.match(value) or _QUOTE_NEEDED.search(value):
        return _double_quoted(value)
    if flow and _FLOW_INDICATORS.search(value):
        return _double_quoted(value)
    return value


def _blockable(value: str) -> bool:
    """Whether a text can stand as a literal block: no blank first, no trailing empty lines, nothing unprintable."""
    lines = value[:-1].split("\n") if value.endswith("\n") else value.split("\n")
    return (
        bool(lines[0]) and bool(lines[-1]) and not any(line.startswith((" ", "\t")) or line != line.rstrip() for line in lines)
        and not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\xa0\ud800-\udfff\u2028\u2029\ufeff]", value)
    )  # fmt: skip


def flow_text(value: Any) -> str:
    """A value on one line."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{plain_key(str(key))}: {flow_text(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(flow_text(item) for item in value) + "]"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return scalar_text(str(value), flow=True)


def block_lines(value: Any) -> list[str]:
    """A value over lines of its own, small mappings and lists inside it on one line each."""
    if isinstance(value, Mapping) and value:
        lines: list[str] = []
        for key, item in value.items():
            name = plain_key(str(key))
            if (isinstance(item, list | tuple) and any(isinstance(member, Mapping) for member in item)) or (
                isinstance(item, Mapping) and any(isinstance(member, Mapping | list) for member in item.values())
            ):
                lines.append(f"{name}:")
                lines.extend("  " + line for line in block_lines(item))
            elif isinstance(item, Mapping | list | tuple | bool):
                lines.append(f"{name}: {flow_text(item)}")
            else:
                lines.extend(f"{name}: {scalar_text(str(item), flow=False)}".split("\n"))
        return lines
    if isinstance(value, list | tuple) and value:
        return [f"- {flow_text(item)}" for item in value]
    return [flow_text(value)]
