"""A small vehicle and shop in memory, which the tests of the rig and of the choices vary."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from rigbook.documents.loader import Loaded, load_build
from rigbook.power.choose import choose
from rigbook.rig.decide import decide
from rigbook.rig.model import Choices, Rig
from rigbook.rig.open import open_rig
from rigbook.rig.open_model import OpenRig
from rigbook.rig.report import Problems

SHOP = """\
rigbook: 1
shop:
  title: Test works
  labour_rate: 95 USD
  drop_from: 13.6 V
  service_loop: 0.1 m
  wires:
    - {part: wire-10, gauge: 10 AWG, insulation: 125 C, colours: [red]}
    - {part: wire-18, gauge: 18 AWG, insulation: 125 C, colours: [red, black]}
    - {part: wire-14, gauge: 14 AWG, insulation: 125 C, colours: [red]}
    - {part: wire-6, gauge: 6 AWG, insulation: 125 C, colours: [red]}
    - {part: wire-2, gauge: 2 AWG, insulation: 125 C, colours: [red]}
    - {part: wire-2-0, gauge: 2/0 AWG, insulation: 125 C, colours: [red]}
  fuses:
    - {form: blade, ratings: [3 A, 5 A, 7.5 A, 10 A, 15 A, 20 A, 25 A, 30 A]}
    - {form: strip, ratings: [40 A, 60 A, 80 A, 100 A, 150 A, 200 A]}
  patterns:
    single: [400, 400]
"""

VEHICLE = """\
rigbook: 1
vehicle:
  id: car
  title: Test car
  size: {length: 4.6 m, width: 1.86 m, height: 1.7 m, wheelbase: 2.7 m, front_overhang: 0.92 m}
  track: {front: 1.59 m, rear: 1.6 m}
  ratings: {gvwr: 4900 lb, gawr_front: 2550 lb, gawr_rear: 2650 lb}
  curb: {front: 2080 lb, rear: 1420 lb, cg_height: 0.64 m}
  tyres: {size: 225/65R17, load_index: 102}
  seats:
    - {id: driver, at: [1.2 m, -0.37 m, 0.8 m]}
  fuel: {capacity: 50 L, at: [2.3 m, 0 m, 0.45 m], density: 750 kg/m3, curb_at: 60 %}
  charging: {kind: alternator, cold: [[1800, 62 A], [6000, 150 A]], hot: [[1800, 48 A], [6000, 125 A]], idle_rpm: 750}
  base_load: {engine: 12 A, headlamps: 9 A, climate: 22 A, key_off: 20 mA}
  batteries:
    - {id: starter, part: battery-70, at: [0 m, 0 m, 0.8 m], node: front}
  grounds:
    - {id: stud-front, at: [0 m, -0.2 m, 0.8 m], node: front, resistance: 1 mohm}
    - {id: stud-rear, at: [3 m, -0.2 m, 0.5 m], node: rear, resistance: 2 mohm}
  signals:
    - {id: gear, values: [park, drive], source: data-bus}
    - {id: hatch, source: wire, active: ground}
  factory_lamps:
    - {id: tail, at: [3.6 m, 0 m, 1 m], facing: 180 deg, colour: red, current: 0.6 A, commanded_when: gear == drive}
  areas:
    - {id: bay, ambient: 105 C}
    - {id: cabin, ambient: 60 C}
  routes:
    nodes:
      front: [0 m, 0 m, 0.8 m]
      middle: [1.5 m, 0 m, 0.6 m]
      rear: [3 m, 0 m, 0.6 m]
      island: [3 m, 3 m, 0.6 m]
    runs:
      - {between: [front, middle], area: bay, length: 1.8 m}
      - {between: [middle, rear], area: cabin, length: 1.6 m}
      - {between: [front, rear], area: cabin, length: 4 m}
  places:
    - {id: nose, at: [-0.3 m, -0.4 m, 0.7 m], facing: 0 deg, node: front, level: lower}
    - {id: corner, at: [-0.3 m, 0.4 m, 0.7 m], facing: 45 deg, node: front}
    - {id: roof, at: [2.5 m, 0 m, 1.7 m], facing: all-round, node: rear, level: upper}
    - {id: side, at: [2.5 m, 0.9 m, 1.2 m], facing: 90 deg, node: rear, zones: [right, rear], through: {glass: 70 %}}
    - {id: dash, at: [0.7 m, 0.1 m, 0.9 m], facing: 180 deg, node: middle, inside: yes}
    - id: hatch-edge
      at: [3.5 m, 0 m, 1 m]
      facing: 180 deg
      tilt: -90 deg
      node: rear
      open: {when: hatch, at: [4 m, 0 m, 1.9 m], facing: 180 deg, tilt: 0 deg}
"""

PARTS = """\
rigbook: 1
parts:
  - {id: battery-70, kind: battery, title: Battery, size: [0.2 m, 0.3 m, 0.2 m], mass: 20 kg, chemistry: agm, capacity: 70 Ah}
  - {id: wire-18, kind: wire, title: W, size: [1 m, 2 mm, 2 mm], mass: 0.012 kg, gauge: 18 AWG, insulation: 125 C, outside_diameter: 2.5 mm}
  - {id: wire-14, kind: wire, title: W, size: [1 m, 2 mm, 2 mm], mass: 0.026 kg, gauge: 14 AWG, insulation: 125 C, outside_diameter: 3.2 mm}
  - {id: wire-10, kind: wire, title: W, size: [1 m, 2 mm, 2 mm], mass: 0.06 kg, gauge: 10 AWG, insulation: 125 C, outside_diameter: 4.7 mm}
  - {id: wire-6, kind: wire, title: W, size: [1 m, 2 mm, 2 mm], mass: 0.15 kg, gauge: 6 AWG, insulation: 125 C, outside_diameter: 7 mm}
  - {id: wire-2, kind: wire, title: W, size: [1 m, 2 mm, 2 mm], mass: 0.36 kg, gauge: 2 AWG, insulation: 125 C, outside_diameter: 11 mm}
  - {id: wire-2-0, kind: wire, title: W, size: [1 m, 2 mm, 2 mm], mass: 0.71 kg, gauge: 2/0 AWG, insulation: 125 C, outside_diameter: 15 mm}
  - id: dual
    kind: lamp
    title: Lamp
    size: [28 mm, 132 mm, 36 mm]
    mass: 0.16 kg
    one_colour_at_a_time: yes
    colours:
      blue: {current: 0.9 A}
      white: {current: 1.1 A}
    leads:
      - {name: blue, colour: blue, gauge: 20 AWG, length: 0.3 m, for: blue}
      - {name: white, colour: white, gauge: 20 AWG, length: 0.3 m, for: white}
      - {name: return, colour: black, gauge: 20 AWG, length: 0.3 m, for: return}
  - {id: single, kind: lamp, title: Lamp, size: [28 mm, 132 mm, 36 mm], mass: 0.15 kg, colours: {amber: {current: 0.8 A}}}
  - {id: flood, kind: lamp, title: Lamp, size: [28 mm, 132 mm, 36 mm], mass: 0.9 kg, colours: {white: {current: 6 A}}}
  - {id: flasher, kind: lamp, title: Lamp, size: [28 mm, 132 mm, 36 mm], mass: 0.2 kg, driven: self-flashing, colours: {amber: {current: 0.5 A}}}
  - {id: linked, kind: lamp, title: Lamp, size: [28 mm, 132 mm, 36 mm], mass: 0.2 kg, driven: data-link, colours: {blue: {current: 0.5 A}}}
  - id: bar
    kind: lightbar
    title: Bar
    size: [0.3 m, 1.2 m, 0.1 m]
    mass: 12 kg
    driven: data-link
    draws: {standby: 0.1 A}
    modules:
      - {id: front-left, at: [-0.1 m, -0.5 m, 0.02 m], facing: 0 deg, part: linked, tags: [ahead]}
      - {id: end-right, at: [0 m, 0.6 m, 0 m], facing: 90 deg, part: linked}
  - id: box
    kind: controller
    title: Controller
    size: [45 mm, 210 mm, 140 mm]
    mass: 1 kg
    outputs: {count: 6, limit: 5 A, side: high, dims: yes, reads_current: yes}
    banks: [{id: a, outputs: 1-4, limit: 6 A}, {id: b, outputs: 5-6, limit: 10 A}]
    inputs: {count: 4}
    ports: 2
    draws: {awake: 0.25 A, asleep: 4 mA}
  - {id: more, kind: output-module, title: Module, size: [45 mm, 90 mm, 90 mm], mass: 0.5 kg, outputs: {count: 4, limit: 10 A}, draws: {awake: 0.1 A}}
  - {id: keys, kind: switch-panel, title: Panel, size: [40 mm, 180 mm, 60 mm], mass: 0.3 kg, keys: 1, driven: data-link, draws: {awake: 0.1 A}}
  - {id: block, kind: fuse-block, title: Block, size: [45 mm, 125 mm, 85 mm], mass: 0.3 kg, positions: 6, limit: 100 A, position_limit: 30 A}
  - {id: bus, kind: bus-bar, title: Bus bar, size: [45 mm, 125 mm, 85 mm], mass: 0.3 kg, limit: 200 A, studs: 4}
  - {id: isolator-120, kind: isolator, title: Isolator, size: [55 mm, 110 mm, 70 mm], mass: 0.45 kg, limit: 120 A, draws: {closed: 0.4 A}}
  - {id: amp, kind: siren-amplifier, title: Siren, size: [60 mm, 165 mm, 150 mm], mass: 1.3 kg, driven: wire-per-state, rest: standby, states: [{id: standby, draw: 0.1 A}, {id: wail, draw: 9 A}]}
  - {id: horn, kind: siren-speaker, title: Speaker, size: [85 mm, 165 mm, 165 mm], mass: 2.9 kg}
  - {id: radio, kind: radio, title: Radio, size: [190 mm, 175 mm, 55 mm], mass: 1.75 kg, draws: {standby: 0.6 A, transmit: 13 A}, at: 13.6 V, antenna: {power: 50 W, band: [150 MHz, 174 MHz]}}
  - {id: whip, kind: antenna, title: Whip, size: [30 mm, 30 mm, 60 mm], mass: 0.16 kg, band: [144 MHz, 174 MHz]}
  - {id: relay-40, kind: relay, title: Relay, size: [30 mm, 30 mm, 30 mm], mass: 0.05 kg, limit: 40 A, draws: {coil: 0.15 A}}
  - {id: charger-20, kind: charger, title: Charger, size: [60 mm, 200 mm, 200 mm], mass: 2 kg, output: 20 A, banks: 2}
  - {id: plate, kind: console, title: Console, size: [0.3 m, 0.3 m, 0.2 m], mass: 4 kg}
"""

FEEDS = """\
feeds:
  - {id: main, from: battery.starter, to: block-1, fuse: auto}
  - {id: box-feed, from: block-1.1, fuse: auto}
"""

SUPPLY = """\
  - {id: block-1, part: block, at: [2.8 m, -0.3 m, 0.6 m], node: rear}
  - {id: control, part: box, at: [2.9 m, 0 m, 0.6 m], feed: box-feed}
"""


def build_text(*, install: str = "", feeds: str = FEEDS, more: str = "", supply: str = SUPPLY) -> str:
    """A build of the small car; `install` holds rows, `more` whole sections."""
    head = "rigbook: 1\nbuild:\n  id: unit\n  title: Unit\n  vehicle: car\n"
    rows = f"install:\n{supply}{install}" if supply or install else ""
    return head + feeds + rows + more


def load(build: str, *, vehicle: str = VEHICLE, parts: str = PARTS, shop: str = SHOP) -> Loaded:
    """Load texts as a shop folder; the folder itself is not there."""
    overlay = {
        "shop.yaml": shop, "vehicles/car.yaml": vehicle, "parts/all.yaml": parts, "builds/unit.yaml": build,
    }  # fmt: skip
    folder = Path("no-such-folder")
    return load_build(folder, folder.resolve() / "builds/unit.yaml", {k: v.encode() for k, v in overlay.items()})


def opened(build: str, **texts: str) -> OpenRig:
    """The open rig of a build that has no errors."""
    rig = open_rig(load(build, **texts))
    assert not isinstance(rig, Problems), [str(error) for error in rig.errors]
    return rig


def chosen(build: str, **texts: str) -> tuple[OpenRig, Choices]:
    """Open rig and choices of a build for which everything fits."""
    rig = opened(build, **texts)
    choices = choose(rig)
    assert not isinstance(choices, Problems), [str(error) for error in choices.errors]
    return rig, choices


def worked(build: str, **texts: str) -> Rig:
    """The decided rig."""
    rig, choices = chosen(build, **texts)
    return decide(rig, choices)


def errors(build: str, **texts: str) -> list[str]:
    """What is wrong with a build, when opened or when chosen for; what the loader already says is left aside."""
    rig = open_rig(replace(load(build, **texts), errors=()))
    if isinstance(rig, Problems):
        return [str(error) for error in rig.errors]
    choices = choose(rig)
    assert isinstance(choices, Problems), "the build has no errors"
    return [str(error) for error in choices.errors]
