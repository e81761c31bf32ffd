"""A small shop folder for tests, written to a temporary folder, with one text swapped where a test needs a fault."""

SHOP = """\
rigbook: 1
shop:
  title: Test shop
  labour_rate: 95 USD
  wires:
    - {part: wire-18, gauge: 18 AWG, insulation: 125 C, colours: [red, black]}
"""
PARTS = """\
rigbook: 1
parts:
  - {id: wire-18, kind: wire, title: Wire, size: [1 m, 3 mm, 3 mm], mass: 12 g, gauge: 18 AWG, insulation: 125 C, outside_diameter: 3 mm}
  - id: lamp-blue
    kind: lamp
    title: Lamp
    size: [28 mm, 132 mm, 36 mm]
    mass: 0.16 kg
    labour: 12 min
    colours:
      blue: {current: 0.95 A, at: 12.8 V, candela: 4200 cd, beam: [20 deg, 10 deg]}
  - id: controller-eight
    kind: controller
    title: Controller
    size: [100 mm, 100 mm, 40 mm]
    mass: 0.5 kg
    outputs: {count: 8, limit: 10 A}
    inputs: {count: 2}
    draws: {awake: 0.25 A, asleep: 4 mA}
  - {id: block-four, kind: fuse-block, title: Block, size: [9 cm, 9 cm, 4 cm], mass: 0.3 kg, positions: 4, limit: 100 A}
  - {id: agm, kind: battery, title: Battery, size: [1 ft, 7 in, 7 in], mass: 55 lb, chemistry: agm, capacity: 92 Ah}
"""
VEHICLE = """\
rigbook: 1
vehicle:
  id: van
  title: Van
  size: {length: 5.98 m, width: 2.05 m, height: 2.75 m, wheelbase: 3.67 m, front_overhang: 1.02 m}
  track: {front: 1.73 m, rear: 1.72 m}
  ratings: {gvwr: 9350 lb, gawr_front: 4410 lb, gawr_rear: 5515 lb}
  curb: {front: 2900 lb, rear: 2450 lb, left: 2690 lb, cg_height: 0.82 m}
  tyres: {size: 245/75R16, load_index: 120, count_rear: 2}
  seats:
    - {id: driver, at: [1.1 m, -0.45 m, 0.95 m]}
  charging:
    kind: alternator
    cold: [[1800, 70 A], [6000, 180 A]]
    hot: [[1800, 52 A], [6000, 150 A]]
    idle_rpm: 700
  base_load: {engine: 14 A, headlamps: 11 A, climate: 28 A, key_off: 25 mA}
  batteries:
    - {id: starter, part: agm, node: battery}
  grounds:
    - {id: stud, at: [0.9 m, -0.6 m, 0.9 m], resistance: 2 mohm}
  signals:
    - {id: gear, values: [park, drive], source: data-bus}
    - {id: door, source: wire, active: ground}
  factory_lamps:
    - {id: tail-left, at: [4.9 m, -0.9 m, 1.1 m], facing: 180 deg, colour: red, current: 0.5 A, commanded_when: door, tags: [tail]}
  areas:
    - {id: cabin, ambient: 60 C}
  routes:
    nodes:
      battery: [0.1 m, -0.5 m, 0.9 m]
      rear: [4.7 m, -0.6 m, 2.3 m]
    runs:
      - {between: [battery, rear], area: cabin, length: 5.2 m}
  places:
    - {id: grille, at: [-0.95 m, -0.35 m, 0.75 m], facing: 0 deg, node: battery}
"""
BUILD = """\
rigbook: 1
build:
  id: test
  title: Test build
  vehicle: van
batteries:
  - {id: auxiliary, part: agm, place: grille}
links:
  - {id: link, from: battery.starter, to: battery.auxiliary, fuse: {start: auto, end: 100 A}}
feeds:
  - {id: main, from: battery.auxiliary, to: block, fuse: 60 A}
  - {id: light-feed, from: block.1, sheds: 3}
install:
  - {id: block, part: block-four, at: [1 m, 0 m, 1 m]}
  - {id: control, part: controller-eight, place: grille, feed: light-feed}
  - {id: lamp, part: lamp-blue, place: grille, tags: [warning], outputs: {blue: control.3}, ground: stud}
switching:
  ranks: [warning]
  switches:
    - {id: response, kind: slide, positions: [off, on-scene], input: control.in1}
    - {id: horn, kind: momentary, tap_under: 400 ms}
states:
  - {id: scene, title: On scene, set: {response: on-scene, gear: park, door: yes, horn: held}}
duty:
  - {name: station, for: 19 h, state: scene, draws: {control: {asleep: 90 %}}}
persons:
  - {seat: driver}
"""
TEXTS = {"shop.yaml": SHOP, "parts/parts.yaml": PARTS, "vehicles/van.yaml": VEHICLE, "builds/test.yaml": BUILD}


def write(folder, **changed):
    """Write the shop; keywords shop, parts, van, test replace a file by a text."""
    short = {"shop": "shop.yaml", "parts": "parts/parts.yaml", "van": "vehicles/van.yaml", "test": "builds/test.yaml"}
    texts = {**TEXTS, **{short[key]: text for key, text in changed.items()}}
    for name, text in texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder
