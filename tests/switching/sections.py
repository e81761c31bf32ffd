"""Sections and facts for the tests of switching, made through the real text reader and schema."""

from __future__ import annotations

import textwrap
from typing import Any

from rigbook.documents.schema.base import Placed, Where
from rigbook.documents.schema.switching import Switching
from rigbook.documents.text import read_tree
from rigbook.documents.validate import validate
from rigbook.switching.compile import compile_program
from rigbook.switching.program import Compiled, DeviceFacts, FeedFacts, PoseFacts, Program

FILE = "builds/unit.yaml"

EXCERPT = """
ranks: [cruise, warning, direction, scene, cut-off]
switches:
  - id: response
    label: WARN
    kind: slide
    positions: [off, rear-only, on-scene, responding]
    panel: console-face
  - id: scene_left
    label: LEFT SCENE
    kind: latching
    releases_when: gear == drive
  - id: horn_ring
    kind: momentary
    tap_under: 400 ms
  - id: rear_off
    label: REAR OFF
    kind: latching
    panel: rear-panel
  - id: night
    label: NIGHT
    kind: latching
  - id: arrow
    label: ARROW
    kind: rotary
    positions: [off, left, right]
  - id: siren
    label: SIREN
    kind: rotary
    positions: [standby, wail, yelp]
signals:
  - id: auxiliary_low
    measures: voltage.auxiliary
    below: 11.8 V
    for: 120 s
    clears_above: 12.8 V
conditions:
  parked: gear == park
  warning: response in (on-scene, responding)
memory:
  - id: siren_armed
    set_when: siren == standby
    clear_when: parked
  - id: tone
    steps: [wail, yelp]
    next_on: tap(horn_ring)
    first_when: siren == standby
timers:
  - id: step_light
    off_delay: rear_door
    for: 30 s
    at_most: 20 min
functions:
  - name: Warning on every side
    rank: warning
    when: warning
    show:
      - lamps: warning
        colour: blue
        pattern: double
        phase: {left-half: 0, right-half: 1/2}
  - name: White added ahead in motion
    rank: warning
    when: response == responding and not parked
    show:
      - lamps: front & warning & dual
        colours:
          blue: {pattern: single, phase: 0}
          white: {pattern: single, phase: 1/2}
  - name: Night
    rank: warning
    when: night
    dim:
      - lamps: warning
        to: 40 %
  - name: Direction to the left
    rank: direction
    when: arrow == left
    show:
      - lamps: stick
        colour: amber
        sequence: {kind: fill, order: right-to-left, step: 90 ms, hold: 300 ms, gap: 300 ms}
  - name: Left scene
    rank: scene
    when: scene_left
    show:
      - lamps: left & scene
        colour: white
  - name: Wail
    rank: warning
    when: siren_armed and siren == wail and warning and not parked
    if_unknown: off
    drive:
      - device: siren-amp
        state: wail
  - name: Rear dark while crews work
    rank: cut-off
    when: rear_off and parked
    cut: [rear & warning]
modes:
  - id: blocking
    title: Blocking the right of way
    when: warning and parked
    purpose: blocking
warning_when: warning
require:
  - name: No white ahead when parked
    never: parked and lit(front & warning, white)
  - name: Siren silent in park
    never: parked and driven(siren-amp, wail)
"""

VEHICLE = """
signals:
  - {id: gear, values: [park, reverse, neutral, drive], source: data-bus}
  - {id: ignition, values: [off, accessory, run, crank], source: data-bus}
  - {id: headlamps, values: [off, parking, low, high], source: data-bus, from: family-a.HeadLamps}
  - {id: rear_door, source: wire, active: ground, settles: 150 ms, broken_reads: no}
"""
IMPOSSIBLE = (Placed("ignition == off and gear == drive", Where("vehicles/van.yaml", 30, 7)),)


def section_of(text: str, file: str = FILE) -> Switching:
    """A switching section from YAML text, as the loader would read it."""
    tree = read_tree(textwrap.dedent(text).encode(), file)
    assert not tree.errors, tree.errors
    section, errors = validate(Switching, tree.tree, file)
    assert section is not None, errors
    return section


def try_section(text: str) -> tuple[Switching | None, tuple[Any, ...]]:
    """A section, or what the schema says against it."""
    return validate(Switching, read_tree(textwrap.dedent(text).encode(), FILE).tree, FILE)


def lamp(name: str, **facts: Any) -> DeviceFacts:
    given: dict[str, Any] = {"row": name, "kind": "lamp", "colours": ("blue",), "file": FILE, "line": 5}
    given.update(facts)
    for key in ("tags", "zones"):
        given[key] = frozenset(given.get(key, ()))
    return DeviceFacts(id=name, **given)


def example_devices() -> tuple[DeviceFacts, ...]:
    """The devices that the excerpt speaks of."""
    dual = {"colours": ("blue", "white"), "one_colour_at_a_time": True, "clock": "control"}
    found = [
        lamp("grille-left", tags=["warning", "dual"], zones=["front"], half="left", at_mm=(-950, -350, 750), **dual),
        lamp("grille-right", tags=["warning", "dual"], zones=["front"], half="right", at_mm=(-950, 350, 750), **dual),
        lamp("side-left", tags=["warning"], zones=["left"], half="left", clock="control"),
        lamp("side-right", tags=["warning"], zones=["right"], half="right", clock="control"),
        lamp(
            "hatch-left",
            tags=["warning"],
            zones=["rear"],
            half="left",
            clock="control",
            poses=(PoseFacts("rear_door", frozenset()),),
        ),
        lamp("hatch-right", tags=["warning"], zones=["rear"], half="right", clock="control"),
        lamp("scene-left", tags=["scene"], zones=["left"], half="left", colours=("white",)),
    ]
    found += [
        lamp(
            f"stick.{n}",
            row="stick",
            colours=("amber",),
            zones=["rear"],
            at_mm=(4900, -500 + 250 * (n - 1), 2400),
            clock="control",
        )
        for n in range(1, 6)
    ]
    found.append(
        lamp(
            "tail-left",
            kind="factory-lamp",
            colours=("red",),
            zones=["rear"],
            commanded_when="headlamps in (parking, low, high)",
        )
    )
    found.append(
        DeviceFacts(
            "siren-amp",
            "siren-amp",
            "device",
            states=("standby", "wail", "yelp"),
            rest="standby",
            feeds=(("*", "siren-feed"),),
            file=FILE,
            line=9,
        )
    )
    found.append(DeviceFacts("cut-relay", "cut-relay", "relay", rest="closed", file=FILE, line=10))
    return tuple(found)


def example_feeds() -> tuple[FeedFacts, ...]:
    return (
        FeedFacts("main", file=FILE, line=2),
        FeedFacts("siren-feed", above="main", live_when="ignition == run", through="cut-relay", file=FILE, line=3),
    )


def vehicle_signals(text: str = VEHICLE) -> list[Any]:
    return list(section_of(text, "vehicles/van.yaml").signals)


def compiled(text: str, **more: Any) -> Compiled:
    """Compile a section text, by default on the example vehicle and devices."""
    given: dict[str, Any] = {
        "vehicle_signals": vehicle_signals(),
        "vehicle_impossible": IMPOSSIBLE,
        "shop_patterns": {"single": [400, 400], "double": [100, 100, 100, 500]},
        "devices": example_devices(),
        "feeds": example_feeds(),
    }
    given.update(more)
    return compile_program(section_of(text), **given)


def program_of(text: str, **more: Any) -> Program:
    done = compiled(text, **more)
    assert done.program is not None, done.problems
    return done.program


def state_of(program: Program, **values: str) -> tuple[int, ...]:
    """A state by names (`_` for nothing else); what is not named stays at rest, without any fixpoint."""
    state = list(program.rest)
    index = {v.name: i for i, v in enumerate(program.variables)}
    for name, text in values.items():
        at = index[name]
        state[at] = program.variables[at].values.index(text)
    return tuple(state)
