"""The small car with lamps, a stick, a radio, a siren and states: what the tests of the power engine work on."""

from __future__ import annotations

from functools import cache

from rigbook.rig.model import Rig
from tests.rig.small import VEHICLE, build_text, worked

ROWS = """\
  - {id: nose, part: dual, place: nose, tags: [warning], outputs: {blue: control.1, white: control.2}}
  - {id: corner, part: dual, place: corner, tags: [warning], outputs: {blue: control.3, white: control.4}}
  - id: stick
    part: single
    along: {from: [3 m, -0.4 m, 1.5 m], to: [3 m, 0.4 m, 1.5 m], count: 4}
    facing: 180 deg
    outputs: {together: control.5}
  - {id: beacon, part: flasher, place: roof, feed: beacon-feed}
  - {id: radio, part: radio, place: dash, feed: radio-feed}
"""

FEEDS = """\
feeds:
  - {id: main, from: battery.starter, to: block-1, fuse: auto}
  - {id: box-feed, from: block-1.1, fuse: auto}
  - {id: radio-feed, from: block-1.2, fuse: auto, drop: critical}
  - {id: beacon-feed, from: block-1.3, fuse: auto, live_when: gear == drive}
"""

SWITCHING = """\
switching:
  ranks: [warning, scene]
  switches:
    - id: response
      kind: slide
      positions: [off, low, high]
    - id: tails
      kind: latching
  functions:
    - name: Warning
      rank: warning
      when: response in (low, high)
      show:
        - lamps: warning
          colour: blue
          pattern: single
          phase: {left-half: 0, right-half: 1/2}
    - name: Stick
      rank: warning
      when: response == high
      show:
        - lamps: stick
          colour: amber
          intensity: 40 %
    - name: Beacon
      rank: warning
      when: response == high
      show:
        - lamps: beacon
          colour: amber
          pattern: quick
    - name: Tail flashes
      rank: scene
      when: tails
      show:
        - lamps: tail
          colour: red
          pattern: single
  patterns:
    quick: [100, 300]
states:
  - {id: rest, title: At rest, set: {}}
  - {id: low, title: Low, set: {response: low}}
  - {id: high, title: High, set: {response: high, gear: drive}, rpm: 1800}
  - {id: parked-high, title: High in park, set: {response: high, tails: yes}}
"""

RUNNING = VEHICLE.replace("  base_load:", "  roles: {running_when: gear == drive}\n  base_load:")


@cache
def car() -> Rig:
    """The decided rig of the whole build."""
    return worked(build_text(install=ROWS, feeds=FEEDS, more=SWITCHING), vehicle=RUNNING)
