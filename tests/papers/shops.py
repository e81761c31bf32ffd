"""Builds as people may write them: long names, writing from right to left, characters no font has, nothing, very much."""

from __future__ import annotations

import shutil
from importlib import resources
from pathlib import Path

LONG = "scene-light-with-a-name-" + "as-long-as-a-person-may-write-it-" * 9
LONG = LONG[:300].rstrip("-")
RIGHT_TO_LEFT = "רכב חילוץ לשיטפונות 3, مركبة إنقاذ"
UNKNOWN = "水難救助車 \U0001f6f6"

HEAD = """rigbook: 1
build:
  id: strange
  title: "{title}"
  customer: "{customer}"
  vehicle: high-roof-van
  rules: [wiring]
"""
POWER = """
feeds:
  - {{id: main, from: battery.starter, to: block, fuse: auto}}
  - {{id: {feed}, from: block.1, fuse: auto}}
{more}
install:
  - {{id: block, part: fuse-block-twelve, at: [1.15 m, -0.10 m, 0.65 m], node: console, inside: yes}}
  - {{id: control, part: controller-sixteen, at: [1.05 m, 0.10 m, 0.70 m], node: console, inside: yes, feed: {feed}}}
  - {{id: panel, part: panel-four-rear, at: [1.0 m, 0 m, 0.9 m], node: console, inside: yes}}
"""
SWITCHING = """
switching:
  ranks: [warning]
  switches:
    - id: on
      label: "{label}"
      kind: latching
      link: panel
    - id: other
      label: "{label}"
      kind: latching
      releases_when: mode == far
      link: panel
    - id: mode
      label: "{label}"
      kind: slide
      positions: [off, {position}, far]
      link: panel
    - id: turn
      label: "{label}"
      kind: rotary
      positions: [off, {position}, far]
      springs_back: {{far: off}}
      link: panel
    - id: tip
      label: "{label}"
      kind: rocker
      positions: [off, {position}, far]
      link: panel
    - id: push
      label: "{label}"
      kind: momentary
      input: control.in1
      note: "{label}"
  exclusive:
    - [on, other]
  functions:
    - name: "{label}"
      rank: warning
      when: on or mode == far or turn == far or tip == far or push
      show:
        - lamps: shown
          colour: blue
          pattern: double
          phase: {{left-half: 0, right-half: 1/2}}
"""


def strange_shop(folder: Path, build: str, *, units: str = "us") -> tuple[Path, Path]:
    """The example shop with one build of this text; gives the shop folder and the build's path in it."""
    with resources.as_file(resources.files("rigbook.data").joinpath("example_shop")) as source:
        shutil.copytree(source, folder)
    shop = folder / "shop.yaml"
    shop.write_text(shop.read_text(encoding="utf-8").replace("units: us", f"units: {units}"), encoding="utf-8")
    (folder / "builds" / "strange.yaml").write_text(build, encoding="utf-8")
    return folder, Path("builds/strange.yaml")


def nothing() -> str:
    """A build with nothing fitted, no switch, no function."""
    return HEAD.format(title="Nothing fitted", customer="Nobody")


def long_names() -> str:
    """300 characters wherever a person names something."""
    text = HEAD.format(title=LONG, customer=LONG) + POWER.format(feed=LONG[:290], more="")
    lamps = "".join(
        f"  - {{id: {LONG[:290]}-{n}, part: surface-six-blue, at: [{2 + n} m, {side} m, 1.2 m], facing: 90 deg, tags: [shown], outputs: auto, node: sill-right}}\n"
        for n, side in enumerate((-1.0, 1.0))
    )
    return text + lamps + SWITCHING.format(label=LONG, position=LONG)


def other_writing(label: str) -> str:
    """Labels, titles and names of functions in another writing."""
    text = HEAD.format(title=label, customer=label) + POWER.format(feed="control-feed", more="")
    lamps = "".join(
        f"  - {{id: lamp-{n}, part: surface-six-blue, at: [{2 + n} m, {side} m, 1.2 m], facing: 90 deg, tags: [shown], outputs: auto, node: sill-right}}\n"
        for n, side in enumerate((-1.0, 1.0))
    )
    return text + lamps + SWITCHING.format(label=label, position="near")


def many(count: int) -> str:
    """`count` lamps on their own outputs, sixteen to a module, every module behind its own fuse."""
    modules = -(-count // 16)
    feeds, rows, lamps = [], [], []
    for m in range(modules):
        block, position = f"block-{m // 4}", m % 4 + 1
        if position == 1:
            feeds.append(f"  - {{id: main-{m // 4}, from: battery.starter, to: {block}, fuse: auto}}")
            rows.append(
                f"  - {{id: {block}, part: fuse-block-twelve, at: [{1 + m / 30:.2f} m, -0.1 m, 0.65 m], node: console, inside: yes}}"
            )
        feeds.append(f"  - {{id: feed-{m}, from: {block}.{position}, fuse: auto}}")
        rows.append(
            f"  - {{id: module-{m}, part: output-module-sixteen, at: [{1 + m / 30:.2f} m, 0.3 m, 0.7 m], node: console, inside: yes, feed: feed-{m}, controller: control}}"
        )
        for n in range(m * 16, min(count, m * 16 + 16)):
            x, side = 0.5 + 4.0 * n / count, -1.0 if n % 2 else 1.0
            lamps.append(
                f"  - {{id: lamp-{n}, part: surface-six-blue, at: [{x:.3f} m, {side} m, {0.8 + n % 7 * 0.2:.1f} m], facing: {270 if n % 2 else 90} deg,"
                f" tags: [shown], node: sill-{'left' if n % 2 else 'right'}, outputs: {{blue: module-{m}.{n % 16 + 1}}}}}"
            )
    text = HEAD.format(title="Very many lamps", customer="Somebody")
    power = POWER.format(feed="control-feed", more="\n".join(feeds))
    return text + power + "\n".join((*rows, *lamps)) + "\n" + SWITCHING.format(label="ALL", position="near")
