"""The fuse map with its table: position, rating, label, circuit, normal and worst current, spares."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rigbook.papers.chapter import Desk, amperes, rating
from rigbook.papers.drawings import drawing_pieces
from rigbook.papers.pieces import DASH, Piece, caution, column, group, heading, paragraph, small, table


@dataclass(frozen=True, slots=True)
class FuseRow:
    """One position of a block, or a fuse at a battery."""

    block: str
    position: str
    rating_a: float | None
    label: str
    feeds: str
    normal_a: float | None
    worst_rms_a: float | None
    worst_peak_a: float | None
    fuse_id: str = ""


def fuse_rows(desk: Desk) -> list[FuseRow]:
    """Fuses at the batteries and both ends of links, then every position of every block, spares too."""
    rig = desk.rig
    found = []
    for feed in rig.feeds.values():
        if feed.block_id is None:
            found.append(_feed(desk, feed.id, f"at battery {feed.bank_id}", DASH))
    for link in rig.links.values():
        for bank, amps, end in ((link.from_bank, link.start_fuse_a, "start"), (link.to_bank, link.end_fuse_a, "end")):
            found.append(
                FuseRow(
                    f"at battery {bank}",
                    f"{end} of {link.id}",
                    amps,
                    link.id,
                    f"link {link.from_bank} to {link.to_bank}",
                    None,
                    None,
                    None,
                    f"{link.id}:{end}",
                )
            )
    for device in rig.devices.values():
        if device.part_kind != "fuse-block":
            continue
        at = {f.block_position: f.id for f in rig.feeds.values() if f.block_id == device.id}
        for position in range(1, rig.parts[device.part_id or ""].positions + 1):
            if position in at:
                found.append(_feed(desk, at[position], device.id, str(position)))
            else:
                found.append(FuseRow(device.id, str(position), None, "spare", "spare", None, None, None))
    return found


def _feed(desk: Desk, feed_id: str, block: str, position: str) -> FuseRow:
    feed = desk.rig.feeds[feed_id]
    power = desk.assessment.power
    figures = next((f for f in power.feeds if f.id == feed_id), None) if power else None
    own = desk.rig.circuits.get(feed_id)
    what = feed.to or (", ".join(dict.fromkeys(m.device_id for m in own.members)) if own else "")
    return FuseRow(
        block, position, feed.fuse_a, feed_id, what or DASH, desk.normal("feed", feed_id),
        figures.worst_rms_a if figures else None, figures.worst_peak_a if figures else None, feed_id,
    )  # fmt: skip


def pieces(desk: Desk) -> list[Piece]:
    """The chapter: blocks as they look, then the table."""
    found = fuse_rows(desk)
    if not found:
        return [heading("Fuse map"), paragraph("There is no fuse.")]
    rows: list[Sequence[str] | dict[str, str]] = []
    last = None
    for f in found:
        if f.block != last:
            last = f.block
            rows.append(group(f.block[0].upper() + f.block[1:] if f.block.startswith("at ") else f"Block {f.block}"))
        rows.append(
            [
                f.position,
                rating(f.rating_a) + desk.fuse_mark(f.fuse_id),
                f.label,
                f.feeds,
                amperes(f.normal_a),
                amperes(f.worst_rms_a),
                amperes(f.worst_peak_a),
            ]
        )
    columns = [
        column("Position"), column("Fuse A", number=True), column("Label"), column("Feeds", share=1), column("Normal A", number=True),
        column("Worst RMS A", number=True), column("Worst peak A", number=True),
    ]  # fmt: skip
    note = "Normal A is the highest average over the saved states, worst the most over every reachable state; a dash stands for what was not worked out."
    return [
        heading("Fuse map"),
        caution(
            "Replace a fuse only by one of the same rating and kind. A link between two batteries is live from both ends: take out both fuses."
        ),
        *drawing_pieces("fuse-map", desk.rig, desk.report),
        table(caption="Fuses and spares", columns=columns, rows=rows, size=8),
        small(note),
    ]
