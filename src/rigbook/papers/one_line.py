"""The one-line diagram: from each battery post through fuses, breakers and blocks to every circuit.

A tree drawn from left to right: every conductor leaves its source to the right, none crosses another, and what is written
stands above its own line. Links between banks stand by themselves, a fuse at each end.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from rigbook.papers.canvas import INK, LEADING, QUIET, SHEET_MM, Canvas, Plate, wrapped
from rigbook.quantities.show import format_number
from rigbook.rig.model import Circuit, FeedLine, Rig

SIZE, GAP, ROOM_MM = 2.15, 1.6, 222.0
"""Height of letters, room between rows, height of a plate at most."""
COLUMNS = (0.0, 34.0, 58.0, 94.0, 122.0, SHEET_MM)
"""Where head feed, block, feed, device and output begin, and where the sheet ends."""
LINE_MM = 0.3
ABOVE_MM = 1.7
"""From a conductor up to the base of what is written over it: clear of a fuse's box."""


@dataclass(frozen=True, slots=True)
class Item:
    """A box or an end with what hangs on it. wire: lines over the conductor that leads here; mark: what stands in it."""

    key: str
    text: str
    column: int
    wire: tuple[str, ...] = ()
    mark: str = ""  # fuse, breaker, contact, or none
    children: tuple[Item, ...] = ()
    boxed: bool = True


@dataclass(frozen=True, slots=True)
class Wire:
    """One straight stretch of a drawn conductor. net: stretches of one name meet, others must not."""

    net: str
    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(slots=True)
class _Drawing:
    canvas: Canvas = field(default_factory=Canvas)
    wires: list[Wire] = field(default_factory=list)

    def wire(self, net: str, x1: float, y1: float, x2: float, y2: float) -> None:
        self.canvas.line(x1, y1, x2, y2, width=LINE_MM)
        self.wires.append(Wire(net, x1, y1, x2, y2))


# --- what is drawn ------------------------------------------------------------------------------------------


def _amps(value: float | None) -> str:
    return "" if value is None else f"{format_number(round(value, 2))} A"


def _rating(feed: FeedLine) -> str:
    return f"{'breaker' if feed.breaker else 'fuse'} {_amps(feed.fuse_a)}"


def _gauge(rig: Rig, name: str | None) -> str:
    return "" if name is None else str(rig.segments[name].conductor.gauge)


def _first_wire(rig: Rig, circuit: Circuit | None) -> str | None:
    names = [name for member in circuit.members for name in member.feed_path] if circuit is not None else []
    return next((name for name in names if rig.segments[name].role != "lead"), None)


def feed_item(rig: Rig, feed: FeedLine) -> Item:
    """A feed with all that hangs on it."""
    circuit = rig.circuits.get(feed.id)
    head = feed.parent is None
    wire = feed.segment or _first_wire(rig, circuit)
    facts = [" ".join(word for word in (_rating(feed), _gauge(rig, wire)) if word)]
    if feed.through:
        facts.append(f"through {feed.through}")
    if feed.to is not None:
        below = tuple(feed_item(rig, rig.feeds[name]) for name in feed.feeds)
        children = below + tuple(_devices(rig, circuit, 3))
        return Item(feed.id, feed.to, 1 if head else 3, (feed.id, *facts), _mark(feed), children)
    column = 1 if head else 3
    devices = list(_devices(rig, circuit, column))
    if len(devices) == 1:
        one = devices[0]
        return Item(feed.id, one.text, column, (feed.id, *facts), _mark(feed), one.children)
    text = ", ".join(each.text for each in devices if not each.children) or "nothing"
    children = tuple(child for each in devices for child in each.children)
    return Item(feed.id, text, column, (feed.id, *facts), _mark(feed), children, boxed=bool(devices))


def _mark(feed: FeedLine) -> str:
    return "breaker" if feed.breaker else "fuse"


def _devices(rig: Rig, circuit: Circuit | None, column: int) -> Iterator[Item]:
    """What hangs on a feed's own circuit: devices, modules with their outputs."""
    if circuit is None:
        return
    seen: dict[str, list[Item]] = {}
    for member in circuit.members:
        device = rig.devices[member.device_id]
        outputs = seen.setdefault(device.row, [])
        outputs.extend(_output(rig, rig.circuits[name]) for name in member.carries if name in rig.circuits)
    for row, outputs in seen.items():
        yield Item(f"{circuit.id}:{row}", row, column, children=tuple(outputs))


def _output(rig: Rig, circuit: Circuit) -> Item:
    number = circuit.id.rpartition(".")[2]
    loads: dict[str, list[str]] = {}
    for member in circuit.members:
        channels = loads.setdefault(member.device_id, [])
        channels.extend(c for _, c in member.draws if c not in channels)
    what = ", ".join(f"{row} {'+'.join(channels)}".strip() for row, channels in loads.items())
    gauge = _gauge(rig, _first_wire(rig, circuit))
    text = (
        f"{number}: {what}"
        + (f", {gauge}" if gauge else "")
        + (f", {_amps(circuit.nameplate_a)}" if circuit.nameplate_a else "")
    )
    return Item(circuit.id, text, 4, boxed=False)


# --- where it stands -----------------------------------------------------------------------------------------


def _wire_lines(item: Item, left: float) -> list[str]:
    room = COLUMNS[item.column] - left - 3.0
    return [line for text in item.wire for line in wrapped(text, width=room, size=SIZE)]


def _text_lines(item: Item) -> list[str]:
    right = COLUMNS[item.column + 1] - 5.0 if item.children else COLUMNS[-1]
    return wrapped(item.text, width=right - COLUMNS[item.column] - 2.4, size=SIZE)


def _own_height(item: Item, left: float) -> float:
    above = len(_wire_lines(item, left)) * LEADING * SIZE + ABOVE_MM if item.wire else 0.0
    half = (len(_text_lines(item)) * LEADING * SIZE + 1.6) / 2
    return max(above, half) + half + GAP


def _height(item: Item, left: float) -> float:
    below = sum(_height(child, _right(item)) for child in item.children)
    return max(_own_height(item, left), below)


def _right(item: Item) -> float:
    """Where an item's own conductors leave it."""
    return COLUMNS[item.column + 1] - 3.5


def _draw(drawing: _Drawing, item: Item, left: float, top: float) -> float:
    """Draws an item in its room from `top`; gives the height of its line."""
    own, whole = _own_height(item, left), _height(item, left)
    texts = _text_lines(item)
    half = (len(texts) * LEADING * SIZE + 1.6) / 2
    y = top + (own - GAP - half)
    ends: list[float] = []
    at = top
    for child in item.children:
        ends.append(_draw(drawing, child, _right(item), at))
        at += _height(child, _right(item))
    if ends:
        y = max(y, min((ends[0] + ends[-1]) / 2, top + whole - GAP - half))
    x = COLUMNS[item.column]
    _box(drawing, item, texts, x, y, half)
    if ends:
        _fan(drawing, item, y, ends)
    lines = _wire_lines(item, left)
    base = y - ABOVE_MM - (len(lines) - 1) * LEADING * SIZE
    for number, line in enumerate(lines):
        drawing.canvas.text(
            line, left + 2.0, base + number * LEADING * SIZE, size=SIZE, key=f"{item.key}:wire:{number}"
        )
    drawing.wire(item.key, left, y, x, y)
    _symbol(drawing.canvas, item.mark, x - 6.5, y)
    return y


def _box(drawing: _Drawing, item: Item, texts: Sequence[str], x: float, y: float, half: float) -> None:
    right = COLUMNS[item.column + 1] - 5.0 if item.children else COLUMNS[-1]
    widest = max((drawing.canvas.text(text, x + 1.2, y - half + 0.8 + (number + 0.8) * LEADING * SIZE, size=SIZE,
                  key=f"{item.key}:{number}").right for number, text in enumerate(texts)), default=x)  # fmt: skip
    if item.boxed:
        drawing.canvas.rect(x, y - half, (right if item.children else widest + 1.2) - x, 2 * half, stroke_width=0.25)


def _fan(drawing: _Drawing, item: Item, y: float, ends: Sequence[float]) -> None:
    """From a box to what hangs on it: one upright, every conductor leaves it to the right."""
    x, start = _right(item), COLUMNS[item.column + 1] - 5.0
    drawing.wire(item.key + ":out", start, y, x, y)
    if max(ends) - min(ends) > 1e-6 or abs(ends[0] - y) > 1e-6:
        drawing.wire(item.key + ":out", x, min(*ends, y), x, max(*ends, y))


def _symbol(canvas: Canvas, mark: str, x: float, y: float) -> None:
    if mark == "fuse":
        canvas.rect(x - 1.7, y - 0.75, 3.4, 1.5, fill="#ffffff", stroke_width=0.25)
        canvas.line(x - 1.7, y, x + 1.7, y, width=0.2)
    elif mark == "breaker":
        canvas.rect(x - 1.7, y - 0.75, 3.4, 1.5, fill="#ffffff", stroke_width=0.25)
        canvas.path(f"M{x - 1.2:.2f} {y:.2f} Q{x:.2f} {y - 1.2:.2f} {x + 1.2:.2f} {y:.2f}", stroke_width=0.25)


# --- plates --------------------------------------------------------------------------------------------------


def one_line(rig: Rig) -> list[Plate]:
    """The plates: sources with links and head feeds, then what hangs on each head feed. Never empty."""
    return [plate for plate, _ in drawn(rig)]


def drawn(rig: Rig) -> list[tuple[Plate, tuple[Wire, ...]]]:
    """Plates with the conductors drawn on each."""
    made = [_sources(rig)]
    heads = [feed for feed in rig.feeds.values() if feed.parent is None]
    plain: list[tuple[str, Item]] = []
    for feed in heads:
        item = feed_item(rig, feed)
        if feed.to is not None:
            made += _blocks(f"From {feed.bank_id} by {feed.id}", item)
        else:
            plain.append((feed.bank_id or "", item))
    for bank in dict.fromkeys(bank for bank, _ in plain):
        made += _plates(f"From {bank} straight", [item for name, item in plain if name == bank])
    return made


def _blocks(title: str, item: Item) -> list[tuple[Plate, tuple[Wire, ...]]]:
    """A block on as many plates as its feeds ask for, its own feed drawn on each."""
    parts: list[list[Item]] = [[]]
    room = 0.0
    for child in item.children:
        high = _height(child, _right(item))
        if parts[-1] and room + high > ROOM_MM - 14.0:
            parts.append([])
            room = 0.0
        parts[-1].append(child)
        room += high
    items = [Item(item.key, item.text, item.column, item.wire, item.mark, tuple(part)) for part in parts]
    return [
        _plate(title if len(items) == 1 else f"{title} ({number} of {len(items)})", f"{item.key}-{number}", [each])
        for number, each in enumerate(items, start=1)
    ]


def _plates(title: str, items: Sequence[Item]) -> list[tuple[Plate, tuple[Wire, ...]]]:
    parts: list[list[Item]] = [[]]
    room = 0.0
    for item in items:
        high = _height(item, 0.0)
        if parts[-1] and room + high > ROOM_MM - 14.0:
            parts.append([])
            room = 0.0
        parts[-1].append(item)
        room += high
    return [
        _plate(title, f"{title.replace(' ', '-').lower()}-{n}", part) for n, part in enumerate(parts, start=1) if part
    ]


def _plate(title: str, key: str, items: Sequence[Item]) -> tuple[Plate, tuple[Wire, ...]]:
    drawing = _Drawing()
    drawing.canvas.text(title, 0.0, 4.0, size=3.2, key="title", bold=True)
    top = 9.0
    for item in items:
        _draw(drawing, item, 0.0, top)
        top += _height(item, 0.0)
    return drawing.canvas.plate(f"one-line-{key}", f"One-line diagram: {title}", height=top + 2.0), tuple(drawing.wires)


def _sources(rig: Rig) -> tuple[Plate, tuple[Wire, ...]]:
    """Every bank with its head feeds, then the links between banks."""
    drawing = _Drawing()
    drawing.canvas.text("Sources", 0.0, 4.0, size=3.2, key="title", bold=True)
    top = 9.0
    for bank in rig.banks.values():
        heads = [feed for feed in rig.feeds.values() if feed.parent is None and feed.bank_id == bank.id]
        count = f"{bank.count} x " if bank.count > 1 else ""
        item = Item(f"bank:{bank.id}", f"{bank.id}: {count}{rig.parts[bank.part_id].title}", 0,
                    children=tuple(_head(rig, feed) for feed in heads))  # fmt: skip
        _draw_bank(drawing, item, top)
        top += _bank_height(item) + GAP
    for link in rig.links.values():
        top = _link(drawing, rig, link.id, top)
    if rig.vehicle.charging.kind == "alternator" and rig.banks:
        own = next((bank.id for bank in rig.banks.values() if bank.own), next(iter(rig.banks)))
        drawing.canvas.text(f"The alternator charges {own}.", 0.0, top + 3.0, size=SIZE, key="alternator", fill=QUIET)
        top += 5.0
    return drawing.canvas.plate("one-line-sources", "One-line diagram: sources", height=top + 2.0), tuple(drawing.wires)


def _head(rig: Rig, feed: FeedLine) -> Item:
    made = feed_item(rig, feed)
    return Item(made.key, made.text, 2, made.wire, made.mark)


def _bank_height(item: Item) -> float:
    lines = wrapped(item.text, width=COLUMNS[1] - 10.0, size=SIZE)
    below = sum(_height(child, COLUMNS[1] - 3.5) for child in item.children)
    return max(len(lines) * LEADING * SIZE + 1.6 + GAP, below)


def _draw_bank(drawing: _Drawing, item: Item, top: float) -> None:
    lines = wrapped(item.text, width=COLUMNS[1] - 10.0, size=SIZE)
    half = (len(lines) * LEADING * SIZE + 1.6) / 2
    ends, at = [], top
    for child in item.children:
        ends.append(_draw(drawing, child, COLUMNS[1] - 3.5, at))
        at += _height(child, COLUMNS[1] - 3.5)
    y = max(top + half, (ends[0] + ends[-1]) / 2) if ends else top + half
    for number, line in enumerate(lines):
        drawing.canvas.text(line, 1.2, y - half + 0.8 + (number + 0.8) * LEADING * SIZE, size=SIZE,
                            key=f"{item.key}:{number}", bold=number == 0)  # fmt: skip
    drawing.canvas.rect(0.2, y - half, COLUMNS[1] - 5.2, 2 * half, stroke_width=0.4)
    if ends:
        _fan(drawing, item, y, ends)


def _link(drawing: _Drawing, rig: Rig, name: str, top: float) -> float:
    """Bank, fuse, what is between, fuse, bank on one line."""
    link = rig.links[name]
    canvas, y = drawing.canvas, top + 6.5
    boxes = [(0.2, 30.0, link.from_bank), (72.0, 104.0, link.through or ""), (146.0, SHEET_MM - 0.5, link.to_bank)]
    for left, right, text in boxes:
        if text:
            lines = wrapped(text, width=right - left - 2.4, size=SIZE)
            half = (len(lines) * LEADING * SIZE + 1.6) / 2
            for number, line in enumerate(lines):
                canvas.text(line, left + 1.2, y - half + 0.8 + (number + 0.8) * LEADING * SIZE, size=SIZE,
                            key=f"link:{name}:{left}:{number}")  # fmt: skip
            canvas.rect(left, y - half, right - left, 2 * half, stroke_width=0.25)
    sides = [(30.0, 72.0, link.start_fuse_a, link.segments[0]), (104.0, 146.0, link.end_fuse_a, link.segments[-1])]
    if not link.through:
        sides = [(30.0, 88.0, link.start_fuse_a, link.segments[0]), (88.0, 146.0, link.end_fuse_a, link.segments[-1])]
    for number, (left, right, fuse_a, segment) in enumerate(sides):
        drawing.wire(f"link:{name}", left, y, right, y)
        _symbol(canvas, "fuse", (left + right) / 2, y)
        words = [name] if number == 0 else []
        words.append(f"fuse {_amps(fuse_a)} {_gauge(rig, segment)}".strip())
        lines = [line for word in words for line in wrapped(word, width=right - left - 3.0, size=SIZE)]
        for row, line in enumerate(lines):
            base = y - ABOVE_MM - (len(lines) - 1 - row) * LEADING * SIZE
            canvas.text(line, left + 1.5, base, size=SIZE, key=f"link:{name}:{number}:text:{row}", fill=INK)
    return y + 6.0
