"""Where everything of a text stands, from first to last character: what splice edits need."""

from __future__ import annotations

from dataclasses import dataclass, field

import yaml


@dataclass(slots=True, eq=False)
class Part:
    """A value of the text. `start` and `end` are the characters of the value itself, `last` is behind its last one."""

    start: int
    end: int
    last: int
    column: int
    """Column of its first key or dash, counted from 0."""
    block: bool
    """Block style: a collection over lines of its own, or a literal text."""
    in_flow: bool
    """Inside braces or brackets."""
    indent: int = 0
    """Column of the mapping or list it stands in."""
    scalar: str | None = None
    style: str | None = None
    items: list[Part] | None = None
    keys: dict[str, int] | None = None
    members: dict[str, Part] = field(default_factory=dict)

    def index_of(self, step: str | int) -> int | None:
        """The index of an item by number, or by its id or name."""
        items = self.items or []
        if isinstance(step, int):
            return step if 0 <= step < len(items) else None
        for key in ("id", "name"):
            for index, item in enumerate(items):
                if key in item.members and item.members[key].scalar == step:
                    return index
        return None


Outline = Part


def outline_of(text: str) -> Outline:
    """The outline of a text that `text.read_tree` reads without errors."""
    node = yaml.compose(text, Loader=yaml.CBaseLoader)
    if node is None:
        return Part(0, 0, 0, 0, True, False, keys={})
    # The parser swallows a byte order mark without counting it.
    return _part(text, node, False, 0, 1 if text.startswith("\ufeff") else 0)


def _part(text: str, node: yaml.Node, in_flow: bool, indent: int, shift: int) -> Part:
    start, end, column = node.start_mark.index + shift, node.end_mark.index + shift, node.start_mark.column
    if isinstance(node, yaml.ScalarNode):
        block = node.style in ("|", ">")
        if block:
            end = start + len(text[start:end].rstrip("\r\n \t"))
        return Part(start, end, end, column, block, in_flow, indent, scalar=node.value, style=node.style)
    assert isinstance(node, yaml.CollectionNode)
    flow = bool(node.flow_style)
    part = Part(start, end, end, column, not flow, in_flow, indent)
    inside = in_flow or flow
    if isinstance(node, yaml.MappingNode):
        part.keys = {}
        for key, value in node.value:
            part.keys[key.value] = key.start_mark.index + shift
            part.members[key.value] = member = _part(text, value, inside, column, shift)
            if not member.start and not member.end:
                member.start = member.end = member.last = key.end_mark.index + shift
    else:
        part.items = [_part(text, item, inside, column, shift) for item in node.value]
    if not flow:
        inner = [*part.members.values(), *(part.items or ())]
        keys = list((part.keys or {}).values())
        part.last = max([member.last for member in inner] + keys, default=end)
    return part
