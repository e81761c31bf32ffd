"""Forty single faults and more put into the complete build, each with the error or finding that must name it, and where.

A variant replaces one passage that stands exactly once. `at` is a piece of the line that must be named; `says` is a
piece of the error's sentence, `finding` a finding's id. `file` is where the change is made, if not in the build.
"""

from __future__ import annotations

from dataclasses import dataclass

from tests.scenario.shop import COMPLETE


@dataclass(frozen=True, slots=True)
class Variant:
    """One fault: what is replaced by what, and what must be told about which line."""

    name: str
    old: str
    new: str
    at: str
    says: str = ""
    finding: str = ""
    severity: str = "fail"
    file: str = COMPLETE
    told_in: str = COMPLETE


VARIANTS: tuple[Variant, ...] = (
    # ---- the text itself
    Variant("unknown key", "place: dome-rear, tags", "plaice: dome-rear, tags", "plaice: dome-rear", says="plaice"),
    Variant(
        "key twice",
        "place: dome-rear, tags",
        "place: dome-rear, place: dome-rear, tags",
        "place: dome-rear, place",
        says="twice",
    ),
    Variant("tab", "  - {id: dome-rear,", "\t- {id: dome-rear,", "id: dome-rear", says="tab"),
    Variant(
        "comma in a note", 'note: "Closed, the horn', "note: Closed, the horn", "note: Closed, the horn", says="comma"
    ),
    Variant(
        "missing blank after a colon",
        "part: map-lamp-white-red,",
        "part:map-lamp-white-red,",
        "part:map-lamp-white-red",
        says="blank",
    ),
    Variant("anchor", "kind: slide\n", "kind: &slide slide\n", "&slide", says="anchor"),
    Variant(
        "yes or no misspelled",
        "place: window-windscreen, tags",
        "inside: yep, place: window-windscreen, tags",
        "inside: yep",
        says="yes",
    ),
    # ---- quantities
    Variant(
        "bare number", "fuse: {start: 125 A, end: 125 A}", "fuse: {start: 125, end: 125 A}", "start: 125,", says="unit"
    ),
    Variant(
        "wrong dimension",
        "fuse: {start: 125 A, end: 125 A}",
        "fuse: {start: 125 V, end: 125 A}",
        "start: 125 V",
        says="A",
    ),
    Variant("not a number", "mass: 62 kg", "mass: nan kg", "mass: nan kg", says="not a mass"),
    Variant("negative mass", "mass: 62 kg", "mass: -62 kg", "mass: -62 kg", says="below zero"),
    Variant("no such gauge", "wire: 2/0 AWG", "wire: 2/9 AWG", "wire: 2/9 AWG", says="wire size"),
    Variant(
        "shed step out of range",
        "sheds: 4, load_class: intermittent, wire: auto",
        "sheds: 12, load_class: intermittent, wire: auto",
        "sheds: 12",
        says="step",
    ),
    Variant("share above all", "to: 40 %", "to: 140 %", "to: 140 %", says="0 to 100"),
    # ---- names that point nowhere
    Variant(
        "no such part",
        "part: dome-white-red, place: dome-front",
        "part: dome-white-rad, place: dome-front",
        "dome-white-rad",
        says="dome-white-red",
    ),
    Variant("no such place", "place: dome-front", "place: dome-frunt", "dome-frunt", says="dome-front"),
    Variant(
        "no such feed",
        "use: 9}, feed: panel-feed",
        "use: 9}, feed: panel-fed",
        "feed: panel-fed",
        says="panel-feed",
    ),
    Variant(
        "no such bank",
        "from: battery.auxiliary, to: block-rear",
        "from: battery.auxilary, to: block-rear",
        "battery.auxilary",
        says="auxiliary",
    ),
    Variant("no such block position", "from: block-rear.8,", "from: block-rear.18,", "block-rear.18", says="12"),
    Variant(
        "no such node",
        "at: [2.60 m, 0.70 m, 1.15 m], node: sill-right",
        "at: [2.60 m, 0.70 m, 1.15 m], node: sill-rite",
        "sill-rite",
        says="sill-right",
    ),
    Variant(
        "no such stud",
        "place: hitch, feed: trailer-feed",
        "place: hitch, ground: stud-tail, feed: trailer-feed",
        "stud-tail",
        says="stud",
    ),
    Variant(
        "no such output",
        "outputs: {wail: control.12, yelp",
        "outputs: {wail: control.22, yelp",
        "control.22",
        says="16",
    ),
    Variant("no such input", "brake: control.in3", "brake: control.in33", "control.in33", says="8"),
    Variant("no such seat", "seat: operator", "seat: operater", "operater", says="operator"),
    Variant(
        "no such rule pack",
        "rules: [wiring, altered-vehicle, larkmoor-local, ",
        "rules: [wiring, larkmor-local, ",
        "larkmor-local",
        says="larkmoor-local",
    ),
    Variant(
        "clause met by nothing",
        "met_by: [stick, Arrow moves]",
        "met_by: [stick, Arrow flies]",
        "Arrow flies",
        says="Arrow",
    ),
    Variant(
        "no such state in the duty",
        "state: blocking, rpm: 700",
        "state: blokking, rpm: 700",
        "blokking",
        says="blocking",
    ),
    Variant(
        "an id given twice",
        "{id: edge-right,",
        "{id: edge-left,",
        "id: edge-left, part: edge-three-blue, place: hatch-edge-right",
        says="edge-left",
    ),
    # ---- the language
    Variant(
        "no such condition",
        "when: moving_response\n      show:",
        "when: moving_respons\n      show:",
        "moving_respons\n",
        says="moving_response",
    ),
    Variant("no such value", "when: arrow == caution", "when: arrow == causion", "causion", says="caution"),
    Variant(
        "order where there is none",
        "when: headlamps == high\n",
        "when: brake > yes\n",
        "when: brake > yes",
        says="order",
    ),
    Variant(
        "no such rank",
        "rank: flasher\n      when: moving_response and",
        "rank: flashing\n      when: moving_response and",
        "rank: flashing",
        says="flasher",
    ),
    Variant(
        "no such pattern",
        "colour: amber\n          pattern: single",
        "colour: amber\n          pattern: singel",
        "singel",
        says="single",
    ),
    Variant("selector of nothing", "lamps: rear & warning\n", "lamps: rear & warnings\n", "warnings", says="warning"),
    Variant(
        "no lamp has the colour",
        "lamps: corner\n          colour: blue",
        "lamps: corner\n          colour: purple",
        "lamps: corner",
        says="purple",
    ),
    Variant(
        "a module without a feed",
        "inside: yes, feed: stick-module-feed, controller",
        "inside: yes, controller",
        "- id: stick\n",
        says="module-stick: without feed",
    ),
    # ---- findings
    Variant(
        "white ahead in park",
        "when: moving_response\n      show:",
        "when: response == responding\n      show:",
        "name: No white ahead when parked",
        finding="broken-requirement@No white ahead when parked",
    ),
    Variant(
        "siren in park when the gear is lost",
        "when: siren_ready and (siren == yelp or siren == ring and tone == yelp)\n",
        "when: siren_ready and (siren == yelp or siren == ring and tone == yelp)\n      if_unknown: on\n",
        "name: Siren silent in park",
        finding="broken-requirement@Siren silent in park",
    ),
    Variant(
        "two colours at once",
        "amber: {pattern: slow, phase: 1/2}",
        "amber: {pattern: slow, phase: 1/4}",
        "{id: door-left,",
        finding="two-colours-at-once@door-left",
    ),
    Variant(
        "a function that is never on",
        "when: cruise\n",
        "when: cruise and command\n",
        "name: Cruise light\n",
        finding="never-on@Cruise light",
        severity="caution",
    ),
    Variant(
        "a fuse above its wire",
        "{id: sense-feed, from: block-front.9, fuse: 3 A,",
        "{id: sense-feed, from: block-front.9, fuse: 30 A, wire: 18 AWG,",
        "{id: sense-feed,",
        finding="fuse-above-practice@sense-feed",
    ),
    Variant(
        "a fuse too small for its load",
        "{id: radio-ops-feed, from: block-front.6, fuse: auto,",
        "{id: radio-ops-feed, from: block-front.6, fuse: 15 A,",
        "{id: radio-ops-feed,",
        finding="load-above-fuse-share@radio-ops-feed",
    ),
    Variant(
        "an end of the bank link with too large a fuse",
        "fuse: {start: 125 A, end: 125 A}",
        "fuse: {start: 125 A, end: 300 A}",
        "- id: bank-link",
        finding="link-end-unprotected@bank-link.end",
    ),
    Variant(
        "an axle above its rating",
        "{id: inflatable, mass: 70 kg,",
        "{id: inflatable, mass: 1400 kg,",
        "ratings:",
        finding="axle-rating@rear",
        told_in="vehicles/high-roof-van.yaml",
    ),
)
