"""A large build generated on the example shop: lamps on modules, fed from two blocks, switched by a staged warning."""

from __future__ import annotations

import shutil
from pathlib import Path

EXAMPLES = Path(__file__).resolve().parents[1] / "src/rigbook/data/example_shop"
NODES = {
    "rear-left": (3.75, -0.88, 1.0), "rear-right": (4.2, 0.55, 1.2), "header-front": (1.4, -0.6, 2.38),
    "header-rear": (4.55, -0.6, 2.35), "console": (1.05, 0.1, 0.7), "sill-left": (2.8, -0.65, 0.85),
}  # fmt: skip
PARTS = ("surface-six-blue", "surface-six-blue-white", "surface-six-blue-amber", "compartment-lamp")
AN_OUTPUT = 16


def write_shop(folder: Path, devices: int) -> Path:
    """The example shop with a build of about so many devices; the path of the build."""
    shop = folder / "shop"
    shutil.copytree(EXAMPLES, shop)
    path = shop / "builds" / "generated.yaml"
    path.write_text(build_text(devices), encoding="utf-8")
    return path


def build_text(devices: int) -> str:
    """The build as text."""
    modules = -(-(2 * devices) // AN_OUTPUT)
    blocks = -(-modules // 12)
    lines = [
        "rigbook: 1", "build: {id: generated, title: Generated, vehicle: high-roof-van, rules: [wiring]}",
        "batteries:", "  - {id: auxiliary, part: agm-group-31, count: 4, place: battery-box, node: rear-left}",
        "links:",
        "  - {id: bank-link, from: battery.starter, to: battery.auxiliary, through: isolator-1,"
        " fuse: {start: 125 A, end: 125 A}, wire: 2/0 AWG}",
        "feeds:",
    ]  # fmt: skip
    lines += [
        f"  - {{id: main-{b}, from: battery.auxiliary, to: block-{b}, fuse: 100 A, wire: 2/0 AWG}}"
        for b in range(blocks)
    ]
    lines += [f"  - {{id: feed-{m}, from: block-{m // 12}.{m % 12 + 1}, fuse: auto}}" for m in range(modules)]
    lines += ["install:", "  - {id: isolator-1, part: isolator-200, at: [1.25 m, -0.75 m, 0.75 m], node: battery}"]
    lines += [
        f"  - {{id: block-{b}, part: fuse-block-twelve, at: [3.6 m, -0.9 m, {0.7 + 0.1 * b:.1f} m], node: rear-left}}"
        for b in range(blocks)
    ]
    names = list(NODES)
    for m in range(modules):
        node = names[m % len(names)]
        x, y, z = NODES[node]
        lines.append(
            f"  - {{id: unit-{m}, part: controller-sixteen, at: [{x} m, {y} m, {z} m], node: {node}, feed: feed-{m}}}"
        )
    for d in range(devices):
        m = d // (AN_OUTPUT // 2)
        node = names[m % len(names)]
        x, y, z = NODES[node]
        tag = f"group-{d % 12}"
        lines.append(
            f"  - {{id: lamp-{d}, part: {PARTS[d % len(PARTS)]}, at: [{x + 0.02 * (d % 8):.2f} m, {y} m, {z} m],"
            f" node: {node}, facing: {(d * 30) % 360} deg, tags: [warning, {tag}], outputs: {{from: [unit-{m}]}}}}"
        )
    lines += [
        "switching:", "  ranks: [cruise, warning, scene]", "  switches:",
        "    - {id: response, label: WARN, kind: slide, positions: [off, low, high]}",
    ]  # fmt: skip
    lines += [f"    - {{id: key-{k}, label: KEY {k}, kind: latching}}" for k in range(12)]
    lines += ["  functions:"]
    for k in range(12):
        lines += [
            f"    - name: Group {k}", "      rank: warning", f"      when: response == high and key-{k}",
            "      show:", f"        - lamps: group-{k} & warning", f"          colour: {'white' if k % 4 == 3 else 'blue'}",
            "          pattern: double", f"          phase: {k % 4}/4",
        ]  # fmt: skip
    keys = ", ".join(f"key-{k}: yes" for k in range(12))
    lines += [
        "states:",
        f"  - {{id: all-on, title: All on, set: {{response: high, {keys}, gear: park, ignition: run, engine_running: yes}}}}",
        "duty:", "  - {name: on scene, for: 3 h, state: all-on, rpm: 1200}", "  - {name: parked, for: 21 h, set: {}}",
    ]  # fmt: skip
    return "\n".join(lines) + "\n"
