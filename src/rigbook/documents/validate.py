"""A tree against its schema: every error with its place in the text, what was found, what would do, the nearest name."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from rigbook.documents.errors import DocumentError
from rigbook.documents.schema.base import SPELLINGS, Mapping_, Scalar, Where
from rigbook.documents.schema.parts import KINDS

Document = TypeVar("Document", bound=BaseModel)
_MOST = 200
_KINDS = KINDS  # steps that a union told apart by `kind` puts into a path


def nearest(name: str, names: Sequence[str]) -> str:
    """The name of `names` nearest to `name`, or an empty text where none is near."""
    return next(iter(difflib.get_close_matches(name, names, n=1, cutoff=0.5)), "")


def validate(schema: type[Document], tree: Any, file: str) -> tuple[Document | None, tuple[DocumentError, ...]]:
    """Check a tree against a schema; all errors in one go."""
    if not isinstance(tree, Mapping_):
        what = "nothing" if tree is None or tree == "" else "a list" if isinstance(tree, list) else "a text"
        expected = next((k for k in schema.model_fields if k not in ("marks_", "rigbook")), "")
        says = f"the file holds {what}; a document begins with the lines 'rigbook: 1' and '{expected}:'"
        return None, (DocumentError(file, 1, 1, says, what, f"rigbook: 1, {expected}: …"),)
    try:
        return schema.model_validate(tree), ()
    except ValidationError as error:
        return None, _told(error, schema, tree, file)


_SHAPES = {
    "list_type": "a list", "dict_type": "a mapping", "tuple_type": "a list", "model_type": "a mapping",
    "model_attributes_type": "a mapping",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Told:
    """One complaint: where it stands, the union it is a branch of, and whether it is about the shape alone."""

    error: DocumentError
    union: tuple[int | str, ...] | None
    at_union: bool
    shape: bool


def _told(error: ValidationError, schema: type[BaseModel], tree: Mapping_, file: str) -> tuple[DocumentError, ...]:
    complaints: list[_Told] = []
    for item in error.errors(include_url=False)[: 4 * _MOST]:
        loc = item["loc"]
        place, where, value, skipped = _resolve(loc, tree, Where(file, 1, 1), str(item["type"]))
        made = _one(item, place, where, value, schema)
        last = next((index for index in reversed(skipped) if loc[index] not in _KINDS), None)
        mismatched = not isinstance(value, Scalar) and item["type"] in ("document", "value_error", "literal_error")
        shape = item["type"] in _SHAPES or (mismatched and last == len(loc) - 1)
        union = loc[:last] if last is not None and item["type"] != "missing" else None
        complaints.append(_Told(made, union, last == len(loc) - 1, shape))
    told: list[DocumentError] = []
    unions: dict[tuple[int | str, ...], list[_Told]] = {}
    for complaint in complaints:
        if complaint.union is None:
            told.append(complaint.error)
        else:
            unions.setdefault(complaint.union, []).append(complaint)
    for branches in unions.values():
        fitting = [c for c in branches if not c.shape] or branches
        at_union = [c.error for c in fitting if c.at_union]
        told.extend(c.error for c in fitting if not c.at_union)
        if at_union:
            told.append(at_union[0] if len(at_union) == 1 else _joined(at_union))
    return tuple(sorted(set(told))[:_MOST])


def _resolve(loc: tuple[int | str, ...], tree: Any, where: Where, kind: str) -> tuple[str, Where, Any, tuple[int, ...]]:
    """Follow an error's path through the tree; gives the indexes of steps that are names of union members."""
    node, key = tree, ""
    skipped: list[int] = []
    for index, step in enumerate(loc):
        last = index == len(loc) - 1
        if step == "[key]":
            break
        if isinstance(node, Mapping_):
            name = _present(node, str(step))
            if name is not None:
                key = name
                where = node.marks.keys[name] if last and kind == "extra_forbidden" else node.marks.values[name]
                if loc[index + 1 :] == ("[key]",):
                    where = node.marks.keys[name]
                node = node[name]
                continue
            if last and kind == "missing":
                return str(step), node.marks.start if node.marks.start.line else where, node, tuple(skipped)
        elif isinstance(node, list) and isinstance(step, int):
            if step < len(node):
                node = node[step]
                where = _start(node, where)
                continue
            if last and kind == "missing":
                return f"{key}[{step}]", where, node, tuple(skipped)
        skipped.append(index)
    return key, where, node, tuple(skipped)


def _start(node: Any, otherwise: Where) -> Where:
    if isinstance(node, Scalar):
        return node.where
    return node.marks.start if isinstance(node, Mapping_) else otherwise


def _present(node: Mapping_, step: str) -> str | None:
    if step in node:
        return step
    return next((old for old, new in SPELLINGS.items() if new == step and old in node), None)


def _shape(value: Any) -> str:
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, dict):
        return "a mapping"
    text = str(value)
    return repr(text if len(text) <= 60 else text[:59] + "…") if text else "nothing"


def _one(item: Any, key: str, where: Where, value: Any, schema: type[BaseModel]) -> DocumentError:
    kind, context, found = item["type"], item.get("ctx", {}), _shape(value)
    if kind == "document":
        return DocumentError.at(where, context["says"], context["found"], context["expected"], context["nearest"])
    if kind == "missing" and isinstance(value, list):
        says = f"{len(value)} values stand here, and one more is needed"
        return DocumentError.at(where, says, f"{len(value)} values", f"more than {len(value)} values")
    if kind == "missing":
        return DocumentError.at(where, f"the key {key!r} is missing", "nothing", f"{key}: …")
    if kind == "extra_forbidden":
        return _unknown_key(item, key, where, schema)
    if kind in ("literal_error", "union_tag_invalid"):
        allowed = context.get("expected") or context.get("expected_tags") or ""
        names = [name.strip().strip("'") for name in str(allowed).replace(" or ", ", ").split(", ")]
        if kind == "union_tag_invalid":
            tag = str(context.get("tag", ""))
            found = repr(tag[:60])
            if isinstance(value, Mapping_) and "kind" in value:
                where = value.marks.values["kind"]
        near = nearest(found.strip("'"), names)
        hint = f"; did you mean {near}?" if near else ""
        return DocumentError.at(where, f"{found} is not one of {', '.join(names)}{hint}", found, ", ".join(names), near)
    if kind == "union_tag_not_found":
        return DocumentError.at(where, "the key 'kind' is missing", "nothing", "kind: …")
    wanted = _SHAPES.get(kind)
    if wanted:
        return DocumentError.at(where, f"{found} stands where {wanted} is needed", found, wanted)
    if kind == "too_long":
        return DocumentError.at(
            where,
            f"{key!r} must be empty in this edition"
            if context.get("max_length") == 0
            else f"{key!r} has too many entries; {context.get('max_length')} are needed",
            found,
        )
    if kind == "value_error":
        return DocumentError.at(where, str(context.get("error", item["msg"])), found)
    return DocumentError.at(where, f"{key!r}: {item['msg']}" if key else str(item["msg"]), found)


def _unknown_key(item: Any, key: str, where: Where, schema: type[BaseModel]) -> DocumentError:
    names = [name for name in _keys_at(schema, item["loc"][:-1]) if name != key]
    near = nearest(key, names)
    hint = f"; did you mean {near}?" if near else ""
    return DocumentError.at(where, f"there is no key {key!r} here{hint}", key, ", ".join(names), near)


def _keys_at(schema: Any, loc: tuple[int | str, ...]) -> list[str]:
    """Keys that a record at a path may have."""
    records = [schema]
    for step in loc:
        following: list[Any] = []
        for record in records:
            for name, field in record.model_fields.items():
                if step in (name, field.alias):
                    following.extend(_records_in(field.annotation))
        if following:
            records = following
        else:
            named = [r for r in records if r.__name__ == step or _kind_of(r) == step]
            records = named or records
    names = {field.alias or name for record in records for name, field in record.model_fields.items()}
    return sorted(name for name in names if not name.startswith("\x00"))


def _kind_of(record: Any) -> str:
    field = record.model_fields.get("kind")
    return next(iter(get_args(field.annotation)), "") if field is not None else ""


def _records_in(annotation: Any) -> list[Any]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [record for part in get_args(annotation) for record in _records_in(part)]


def _joined(errors: list[DocumentError]) -> DocumentError:
    """Errors of one place, of several ways a value may be written, as one."""
    first = errors[0]
    expected = list(dict.fromkeys(e.expected for e in errors if e.expected))
    if len({e.says for e in errors}) == 1:
        return first
    near = next((e.nearest for e in errors if e.nearest), "")
    hint = f"; did you mean {near}?" if near else ""
    found = next((e.found for e in errors if e.found), "")
    shown = found if found[:1] in ("'", '"') or found.startswith("a ") else repr(found)
    says = f"{shown} does not do here; write {', or '.join(expected)}{hint}" if expected else first.says
    return DocumentError(first.file, first.line, first.column, says, found, " or ".join(expected), near)
