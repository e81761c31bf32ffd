"""Two assessments side by side: what differs in the documents, in the figures and in the findings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

from rigbook.assess.assessment import Assessment
from rigbook.assess.explain import figures
from rigbook.assess.results_json import number
from rigbook.documents.schema.base import Placed, Record
from rigbook.quantities.gauge import Gauge
from rigbook.quantities.show import format_number
from rigbook.rules.findings import Finding
from rigbook.rules.proved import witness_words
from rigbook.switching.program import Program

if TYPE_CHECKING:
    from rigbook.proofs.equivalence import ProgramDifference

NAMES = ("id", "name")


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that differs. None: it is not there."""

    path: str
    before: str | float | None
    after: str | float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """What differs between two builds, each list in the order of the first, then of the second."""

    before: str
    after: str
    documents: tuple[Difference, ...]
    figures: tuple[Difference, ...]
    gone: tuple[Finding, ...]
    new: tuple[Finding, ...]
    changed: tuple[tuple[Finding, Finding], ...]
    switching: ProgramDifference | None = None
    """States in which the two act differently; None where no solver is installed."""

    @property
    def same(self) -> bool:
        """Whether nothing differs."""
        acts_alike = self.switching is None or self.switching.same
        return acts_alike and not (self.documents or self.figures or self.gone or self.new or self.changed)


def compare(before: Assessment, after: Assessment) -> Comparison:
    """Compare two assessments, both without errors."""
    first, second = before.worked, after.worked
    old, new = {f.id: f for f in before.findings}, {f.id: f for f in after.findings}
    return Comparison(
        before=first.build.build.id,
        after=second.build.build.id,
        documents=_differences(document_leaves(first.build), document_leaves(second.build)),
        figures=_differences(dict(figures(before)), dict(figures(after))),
        gone=tuple(f for i, f in old.items() if i not in new),
        new=tuple(f for i, f in new.items() if i not in old),
        changed=tuple((f, new[i]) for i, f in old.items() if i in new and _weighs(f) != _weighs(new[i])),
        switching=_switching(first.program, second.program),
    )


def _switching(before: Program, after: Program) -> ProgramDifference | None:
    if find_spec("pysat") is None:
        return None
    from rigbook.proofs.equivalence import compare_programs

    return compare_programs(before, after)


def _weighs(finding: Finding) -> tuple[object, ...]:
    return finding.severity, number(finding.value), number(finding.limit), finding.says


def _differences(before: Mapping[str, Any], after: Mapping[str, Any]) -> tuple[Difference, ...]:
    paths = dict.fromkeys((*before, *after))
    return tuple(Difference(p, before.get(p), after.get(p)) for p in paths if before.get(p) != after.get(p))


def document_leaves(record: Record) -> dict[str, str]:
    """Every value of a document by its path, with ids for indices, as text. Comments and layout do not count."""
    found: dict[str, str] = {}
    _walk("", record, found)
    return found


def _walk(path: str, node: object, found: dict[str, str]) -> None:
    if isinstance(node, Record):
        for name, field in type(node).model_fields.items():
            if name != "marks_":
                key = field.alias or name
                _walk(f"{path}.{key}" if path else key, getattr(node, name), found)
    elif isinstance(node, Mapping):
        for key, value in node.items():
            _walk(f"{path}.{key}", value, found)
    elif isinstance(node, list):
        names = [named for item in node if (named := _name_of(item)) is not None]
        if node and len(names) == len(node):
            for label, item in zip(names, node, strict=True):
                _walk(f"{path}[{label}]", item, found)
        elif node:
            found[path] = "[" + ", ".join(_text(item) for item in node) + "]"
    elif node is not None:
        found[path] = _text(node)


def _name_of(item: object) -> str | None:
    for name in NAMES:
        value = getattr(item, name, None)
        if isinstance(value, str):
            return str(value)
    return None


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return format_number(value, 10)
    if isinstance(value, Placed | Gauge):
        return str(value)
    if isinstance(value, Record):
        inner: dict[str, str] = {}
        _walk("", value, inner)
        return "{" + ", ".join(f"{k}: {v}" for k, v in inner.items()) + "}"
    if isinstance(value, tuple | list):
        return "[" + ", ".join(_text(item) for item in value) + "]"
    return str(value)


def comparison_json(comparison: Comparison) -> dict[str, Any]:
    """A comparison as plain data."""
    from rigbook.assess.results_json import finding_json, plain

    def rows(differences: tuple[Difference, ...]) -> list[dict[str, Any]]:
        return [{"path": d.path, "before": d.before, "after": d.after} for d in differences]

    return {
        "rigbook": 1,
        "before": comparison.before,
        "after": comparison.after,
        "documents": rows(comparison.documents),
        "figures": rows(comparison.figures),
        "findings": {
            "gone": [finding_json(f) for f in comparison.gone],
            "new": [finding_json(f) for f in comparison.new],
            "changed": [{"before": finding_json(a), "after": finding_json(b)} for a, b in comparison.changed],
        },
        "switching": plain(comparison.switching),
    }


def comparison_lines(comparison: Comparison) -> list[str]:
    """A comparison as text."""
    if comparison.same:
        return [f"{comparison.before} and {comparison.after}: nothing differs"]
    lines = [f"{comparison.before} -> {comparison.after}"]
    for title, rows in (("documents", comparison.documents), ("figures", comparison.figures)):
        if rows:
            lines += ["", f"{title} that differ: {len(rows)}"]
            lines += [f"  {d.path}: {_shown(d.before)} -> {_shown(d.after)}" for d in rows]
    for title, findings in (("findings gone", comparison.gone), ("findings new", comparison.new)):
        if findings:
            lines += ["", f"{title}: {len(findings)}"]
            lines += [f"  {f.severity:<8} {f.id}" for f in findings]
    lines += _switching_lines(comparison)
    if comparison.changed:
        lines += ["", f"findings changed: {len(comparison.changed)}"]
        for old, new in comparison.changed:
            lines += [f"  {new.id}", f"    was: {old.severity}: {old.says}", f"    is:  {new.severity}: {new.says}"]
    return lines


def _switching_lines(comparison: Comparison) -> Iterator[str]:
    """States in which the two act differently."""
    found = comparison.switching
    if found is None or found.same:
        return
    yield from ("", f"states in which they act differently: {len(found.states)}")
    for state in found.states:
        others = f" and {len(state.devices) - 1} more" if len(state.devices) > 1 else ""
        yield f"  {witness_words(state.witness)}: {state.devices[0]}{others}: {state.before} -> {state.after}"
    for name, witness in ((comparison.before, found.only_before), (comparison.after, found.only_after)):
        if witness is not None:
            yield f"  only {name} can be {witness_words(witness)}"
    if found.apart:
        yield f"  taken at rest, as only one has them or with other values: {', '.join(found.apart)}"


def _shown(value: str | float | None) -> str:
    if value is None:
        return "not there"
    return format_number(float(value), 6) if isinstance(value, int | float) else value
