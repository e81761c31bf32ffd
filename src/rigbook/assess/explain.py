"""One figure or finding, explained. Ids of figures are paths of `check --json` with ids for indices."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from rigbook.assess.assessment import Assessment
from rigbook.assess.results_json import to_json
from rigbook.quantities.working import Working
from rigbook.rules.findings import Finding

EXPLAINED = ("power", "light", "body", "money")
"""Rooms of the result that engines explain."""
NAMES = ("id", "name")


class UnknownFigure(Exception):
    """No finding and no figure has that id."""

    def __init__(self, asked: str, nearest: tuple[str, ...]) -> None:
        hint = (
            f"; the nearest are: {', '.join(nearest)}" if nearest else "; `rigbook check BUILD --json` prints the ids"
        )
        super().__init__(f"there is no finding and no figure {asked}{hint}")
        self.asked = asked
        self.nearest = nearest


@dataclass(frozen=True, slots=True)
class Explanation:
    """A finding, the hand calculation of a figure, or both."""

    id: str
    finding: Finding | None
    working: Working | None


def figures(assessment: Assessment) -> Iterator[tuple[str, float | int]]:
    """Ids and values of every number that has a hand calculation, in the order of the JSON."""
    data = to_json(assessment)
    for room in EXPLAINED:
        for path, value in _leaves(room, data[room]):
            if is_figure(path):
                yield path, value


def is_figure(path: str) -> bool:
    """Whether the last key of a path ends in a unit or in a word that the contract says is explained."""
    key = path.rsplit(".", 1)[-1]
    if path.startswith("money."):
        return True
    words = (
        "_a",
        "_v",
        "_m",
        "_kg",
        "_h",
        "_days",
        "_ah",
        "_n",
        "_s",
        "_lx",
        "_m2",
        "_db",
        "_kpa",
        "_deg",
        "_c",
        "_w",
        "_pa",
        "_cd",
        "_lm",
        "_per_min",
        "_k",
    )
    if key.endswith("]"):  # a number of a list: the list's key tells, or the key above where lists go by colour
        return any(is_figure(part) for part in path[: path.rindex("[")].rsplit(".", 2)[-2:])
    return key.endswith(words) or key.endswith(("_fraction", "share", "factor", "reserve"))


def _leaves(path: str, node: Any) -> Iterator[tuple[str, float | int]]:
    if isinstance(node, bool) or node is None or isinstance(node, str):
        return
    if isinstance(node, int | float):
        yield path, node
    elif isinstance(node, dict):
        for key, value in node.items():
            if not key.endswith("witness"):
                yield from _leaves(f"{path}.{key}", value)
    else:
        seen: dict[str, int] = {}
        for number, item in enumerate(node):
            if isinstance(item, str):
                continue
            if isinstance(item, int | float):
                yield f"{path}[{number}]", item
                continue
            name = str(next(item[n] for n in NAMES if n in item))
            if item.get("colour") is not None and "device_v" in item:
                name = f"{name}.{item['colour']}" if seen.get(name) else name
            seen[name] = seen.get(name, 0) + 1
            yield from _leaves(f"{path}[{name}]", item)


def explain(assessment: Assessment, asked: str) -> Explanation:
    """Explain a finding (`rule@subject`) or a figure (a JSON path).

    Raises:
        UnknownFigure: there is neither; the nearest ids are named.
    """
    for finding in assessment.findings:
        if finding.id == asked:
            return Explanation(asked, finding, _working(assessment, finding.figure) if finding.figure else None)
    room = asked.split(".", 1)[0]
    if room in EXPLAINED and is_figure(asked):
        try:
            return Explanation(asked, None, _working(assessment, asked))
        except KeyError:
            pass  # no engine gives that figure: named below, with the nearest that there are
    ids = [f.id for f in assessment.findings] + [path for path, _ in figures(assessment)]
    raise UnknownFigure(asked, tuple(difflib.get_close_matches(asked, ids, n=3, cutoff=0.4)))


def _working(assessment: Assessment, figure_id: str) -> Working:
    rig = assessment.worked
    room = figure_id.split(".", 1)[0].split("[", 1)[0]
    if room == "power":
        from rigbook.power.explain import explain as explain_power

        return explain_power(rig, figure_id, assessment.power)
    if room == "light":
        from rigbook.light.explain import explain as explain_light

        return explain_light(rig, figure_id, assessment.light)
    if room == "body":
        from rigbook.body import explain as explain_body

        return explain_body(rig, figure_id)
    from rigbook.money import explain as explain_money

    return explain_money(rig, figure_id)
