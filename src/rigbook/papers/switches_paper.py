"""The function table: what each switch does in park and in motion, and when a signal is lost."""

from __future__ import annotations

from collections.abc import Sequence

from rigbook.papers.chapter import Desk
from rigbook.papers.drawings import drawing_pieces
from rigbook.papers.pieces import DASH, Piece, column, group, heading, paragraph, small, table
from rigbook.shop.switch_table import Effect, PositionRow, switch_table


def pieces(desk: Desk) -> list[Piece]:
    """The chapter: panels, then every position tried out."""
    rows_of = switch_table(desk.bench)
    if not rows_of:
        return [heading("What each switch does"), paragraph("There is no switch.")]
    starts = list(desk.bench.starts)
    rows: list[Sequence[str] | dict[str, str]] = []
    last = None
    for row in rows_of:
        if row.switch != last:
            last = row.switch
            rows.append(group(row.label))
        rows.append([row.position, *(effect_words(e) for _, e in row.effects), lost_words(row)])
    columns = [
        column("Position"),
        *(column(s[0].upper() + s[1:], share=1) for s in starts),
        column("When a signal is lost", share=0.9),
    ]
    standing = "; ".join(f"{name}: {words}" for name, words in desk.bench.start_words.items())
    return [
        heading("What each switch does"),
        paragraph(
            f"Every position was tried on the program of this build from a standing start ({standing}), everything else at rest. Where a switch does nothing by itself, what must stand first is named."
        ),
        *drawing_pieces("panels", desk.rig, desk.report),
        table(caption="What each switch does", columns=columns, rows=rows, size=8),
        small(
            "When a signal is lost: what then changes of that which the switch did. A signal that is not named changes nothing of it."
        ),
    ]


def effect_words(effect: Effect) -> str:
    """One cell: what must stand first, and what happens."""
    does = effect.does.replace("; ", "\n")
    return f"After {effect.after}:\n{does}" if effect.after else does


def lost_words(row: PositionRow) -> str:
    """What lost signals change, by signal and standing start."""
    found: dict[tuple[str, str], list[str]] = {}
    for start, effect in row.effects:
        for signal, words in effect.lost:
            found.setdefault((signal, words), []).append(start)
    return "\n".join(f"{signal}, {' and '.join(starts)}: {words}" for (signal, words), starts in found.items()) or DASH
