"""The program as plain JSON: the only thing that `program.js` reads. Equal programs give equal JSON."""

from __future__ import annotations

from typing import Any

from rigbook.switching.program import (
    All,
    Any_,
    ConditionRef,
    Constant,
    Content,
    Device,
    DrivenPredicate,
    Is,
    LitPredicate,
    Not,
    Program,
    RequirementExpression,
    Rises,
    SeenPredicate,
    Tap,
    Timeline,
    Variable,
)


def expression_to_json(expression: RequirementExpression | None) -> Any:
    """An expression as nested lists that begin with a word; None stays None."""
    match expression:
        case None:
            return None
        case Constant(value):
            return ["constant", value]
        case Is(variable, values):
            return ["is", variable, sorted(values)]
        case Not(of):
            return ["not", expression_to_json(of)]
        case All(of):
            return ["all", [expression_to_json(part) for part in of]]
        case Any_(of):
            return ["any", [expression_to_json(part) for part in of]]
        case ConditionRef(condition):
            return ["condition", condition]
        case Tap(variable):
            return ["tap", variable]
        case Rises(of):
            return ["rises", expression_to_json(of)]
        case LitPredicate(what, devices, colour):
            return [what, list(devices), colour]
        case SeenPredicate(zone, colour):
            return ["seen", zone, colour]
        case DrivenPredicate(device, state):
            return ["driven", device, state]


def timeline_to_json(timeline: Timeline) -> list[Any]:
    """[period_ms, [[start_ms, end_ms, intensity_from, intensity_to], …]]."""
    return [timeline.period_ms, [[s.start_ms, s.end_ms, s.intensity_from, s.intensity_to] for s in timeline.spans]]


def _variable(v: Variable) -> dict[str, Any]:
    found: dict[str, Any] = {
        "name": v.name,
        "kind": v.kind,
        "values": list(v.values),
        "rest": v.rest,
        "file": v.file,
        "line": v.line,
    }
    optional: dict[str, Any] = {
        "label": v.label if v.label != v.name else "",
        "switch_kind": v.switch_kind,
        "panel": v.panel,
        "springs_back": [list(pair) for pair in v.springs_back],
        "tap_under_ms": v.tap_under_ms,
        "releases_when": expression_to_json(v.releases_when),
        "losable": v.losable,
        "settles_ms": v.settles_ms,
        "set_when": expression_to_json(v.set_when),
        "clear_when": expression_to_json(v.clear_when),
        "next_on": expression_to_json(v.next_on),
        "first_when": expression_to_json(v.first_when),
        "stepping": v.stepping,
        "timer_kind": v.timer_kind,
        "condition": expression_to_json(v.condition),
        "for_ms": v.for_ms,
        "at_most_ms": v.at_most_ms,
        "again_after_ms": v.again_after_ms,
    }
    found.update({key: value for key, value in optional.items() if value not in (None, "", False, 0, [])})
    if v.at_most_ms is not None:
        found["at_most_ms"] = v.at_most_ms
    if v.threshold is not None:
        t = v.threshold
        found["threshold"] = {"side": t.side, "at": t.at, "clears": t.clears, "for_ms": t.for_ms}
    return found


def _content(content: Content) -> dict[str, Any]:
    found: dict[str, Any] = {}
    if content.channels:
        found["channels"] = [[colour, timeline_to_json(timeline)] for colour, timeline in content.channels]
    if content.state is not None:
        found["state"] = content.state
    if content.undimmed:
        found["undimmed"] = True
    if content.commanded:
        found["commanded"] = True
    return found


def _device(device: Device) -> dict[str, Any]:
    return {
        "id": device.id,
        "kind": device.kind,
        "tags": sorted(device.tags),
        "colours": list(device.colours),
        "states": list(device.states),
        "clock": device.clock,
        "rest": device.rest,
        "entries": [[e.function, e.kind, e.content] for e in device.entries],
        "dims": [[d.function, d.to] for d in device.dims],
        "poses": [[expression_to_json(p.when), sorted(p.zones)] for p in device.poses],
        "feeds": [[channel, feed] for channel, feed in device.feeds],
        "commanded_when": expression_to_json(device.commanded_when),
    }


def program_to_json(program: Program) -> dict[str, Any]:
    """Plain dicts, lists, texts and numbers; `json.dumps` of it is what a page carries."""
    return {
        "program": 1,
        "variables": [_variable(v) for v in program.variables],
        "conditions": [[name, expression_to_json(e)] for name, e in program.conditions],
        "functions": [
            {
                "name": f.name,
                "rank": f.rank,
                "when": expression_to_json(f.when),
                "if_unknown": f.if_unknown,
                "line": f.line,
            }
            for f in program.functions
        ],
        "devices": [_device(d) for d in program.devices],
        "contents": [_content(c) for c in program.contents],
        "feeds": [
            {
                "id": f.id,
                "above": f.above,
                "live_when": expression_to_json(f.live_when),
                "through": f.through,
                "sheds": f.sheds,
            }
            for f in program.feeds
        ],
        "exclusive": [list(group) for group in program.exclusive],
        "impossible": [[expression_to_json(e), file, line] for e, file, line in program.impossible],
        "settle_order": list(program.settle_order),
        "requirements": [{"name": r.name, "never": expression_to_json(r.never)} for r in program.requirements],
        "modes": [
            {"id": m.id, "title": m.title, "when": expression_to_json(m.when), "purpose": m.purpose}
            for m in program.modes
        ],
        "warning_when": expression_to_json(program.warning_when),
        "shedding": [[step, expression_to_json(when)] for step, when in program.shedding],
        "ranks": list(program.ranks),
        "rest": list(program.rest),
    }
