"""Every document that ships, and a hand-styled one: what the round-trip tests work on."""

from importlib import resources
from pathlib import Path

EXAMPLE = Path(str(resources.files("rigbook.data").joinpath("example_shop")))
PACKS = Path(str(resources.files("rigbook.data").joinpath("packs")))

HAND_STYLED = """\
# A title block of comments,
#   with   its own layout
rigbook:   1
build:
    id:      hand-styled      # four blanks of indentation
    title:   'Unit 3: the "old" one'
    vehicle: "compact-utility"
    rules:   [ wiring ,
               altered-vehicle ]

install:
# a comment at the margin
- {id: one,   part: lamp-a, place: here, tags: [ warning,  dual ]}   # behind
-   id: two
    part: lamp-b
    at: [1 m, 0 m, 1 m]

    outputs: {blue: control.1 , white: control.2}
-
    id: three
    part: lamp-c
    place: there
states: []
settled: {}
notes: |
    Free text,
      with its own indentation.

    And a # that is no comment.
"""


def files() -> dict[str, str]:
    """All of them by name, as text."""
    found = {"hand-styled": HAND_STYLED}
    for folder in (EXAMPLE, PACKS):
        for path in sorted(folder.rglob("*.yaml")):
            found[f"{folder.name}/{path.relative_to(folder).as_posix()}"] = path.read_text(encoding="utf-8")
    return found
