"""Figures of the protection of conductors, worked through."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from rigbook.power import drops, fuses
from rigbook.power.protection import (
    BREAKER,
    Protection,
    Short,
    above_ohm,
    bank_ohm,
    feed_protection,
    inrush,
    interrupts_a,
    link_protection,
    link_short,
    rest_v,
    shorts,
    worst_short,
)
from rigbook.quantities.working import Input, Sourced, Working
from rigbook.rig.model import Bank, Rig


def protection(rig: Rig, figure_id: str, name: str, key: str) -> Working:
    """One figure of one fuse. KeyError where the block gives none."""
    found = _named(rig, name)
    if found is None or key not in _BY_KEY or getattr(found, key) is None:
        raise KeyError(figure_id)
    return _BY_KEY[key](rig, figure_id, found)


def _named(rig: Rig, name: str) -> Protection | None:
    if name in rig.feeds:
        return feed_protection(rig, name)
    link_id, _, end = name.rpartition(".")
    if link_id in rig.links and end in ("start", "end"):
        return link_protection(rig, rig.links[link_id], end)
    return None


def _gates(found: Protection) -> tuple[str, Sourced]:
    source, mark = fuses.gates_mark(fuse_class=found.fuse_class)
    return source, mark


def _fuse(found: Protection) -> Input:
    return Input(symbol="In", meaning=f"fuse of {found.id}, {found.form}", value=found.fuse_a, unit="A")


def _bank(rig: Rig, found: Protection) -> Bank:
    feed = rig.feeds.get(found.id)
    if feed is not None and feed.bank_id is not None:
        return rig.banks[feed.bank_id]
    link_id, _, end = found.id.rpartition(".")
    link = rig.links[link_id]
    return rig.banks[link.from_bank if end == "start" else link.to_bank]


def _volts(rig: Rig, bank: Bank) -> Input:
    lithium = rig.parts[bank.part_id].chemistry == "lithium-iron-phosphate"
    return Input(symbol="E", meaning=f"bank {bank.id} at rest", value=rest_v(rig, bank), unit="V",
                 source="bpx-lfp" if lithium else "battery-rest", sourced="published")  # fmt: skip


def _short_of(rig: Rig, found: Protection) -> Short:
    if found.id in rig.feeds:
        short = worst_short(shorts(rig, found.id), fuse_class=found.fuse_class, fuse_a=found.fuse_a)
        assert short is not None
        return short
    link_id, _, end = found.id.rpartition(".")
    short = link_short(rig, rig.links[link_id], end)
    assert short is not None
    return short


def _entered(rig: Rig, figure_id: str, found: Protection) -> Working:
    feed = rig.feeds.get(found.id)
    return Working(
        figure_id=figure_id, title=f"Fuse of {found.id}", formula=feed.fuse_why if feed is not None else "as chosen or set",
        result=found.fuse_a, unit="A",
    )  # fmt: skip


def _ambient(rig: Rig, figure_id: str, found: Protection) -> Working:
    return Working(figure_id=figure_id, title=f"Ambient of the fuse of {found.id}",
                   formula="design ambient of the area its block or battery stands in", result=found.ambient_c, unit="C")  # fmt: skip


def _rerated(rig: Rig, figure_id: str, found: Protection) -> Working:
    assert found.ambient_c is not None
    share = fuses.rerating_share(ambient_c=found.ambient_c)
    return Working(
        figure_id=figure_id, title=f"What the fuse of {found.id} carries at its ambient", formula="In x share(Ta)",
        inputs=(_fuse(found), Input(symbol="Ta", meaning="ambient", value=found.ambient_c, unit="C"),
                Input(symbol="share", meaning="straight between printed points of a maxi fuse of 40 A", value=share,
                      source="iso-8820-3", sourced="common practice")),
        result=found.rerated_a, unit="A", source="iso-8820-3", sourced="common practice",
    )  # fmt: skip


def _prospective(rig: Rig, figure_id: str, found: Protection) -> Working:
    bank = _bank(rig, found)
    ohm = above_ohm(rig, found.id) if found.id in rig.feeds else bank_ohm(rig, bank)
    return Working(
        figure_id=figure_id, title=f"Short right behind the fuse of {found.id}", formula="E / R",
        inputs=(_volts(rig, bank), Input(symbol="R", meaning="inside the batteries, and conductors above", value=ohm, unit="ohm")),
        result=found.prospective_a, unit="A", source="network",
        steps=("Batteries of this bank alone; a bank linked to it adds its own.",),
    )  # fmt: skip


def _interrupts(rig: Rig, figure_id: str, found: Protection) -> Working:
    at_battery = found.above is None
    _, where = interrupts_a(
        rig, form=found.form, rating_a=found.fuse_a, at_battery=at_battery, feed_id=found.id
    )  # fmt: skip
    if where:
        what = (
            "What the breaker interrupts"
            if found.form == BREAKER
            else f"What the {found.form} fuses in stock interrupt"
        )
        return Working(figure_id=figure_id, title=what,
                       formula=f"as entered from their datasheet, {where}", result=found.interrupts_a, unit="A",
                       source="entered", sourced="published")  # fmt: skip
    row = fuses.form_row(form=found.form, rating_a=found.fuse_a)
    mark: Sourced = "memory" if row["mark"] == "memory" else "published"
    return Working(figure_id=figure_id, title=f"What a fuse of form {found.form} interrupts", formula="printed",
                   result=found.interrupts_a, unit="A", source=row["source"], sourced=mark)  # fmt: skip


def _fault(rig: Rig, figure_id: str, found: Protection) -> Working:
    short = _short_of(rig, found)
    return Working(
        figure_id=figure_id, title=f"Short at {short.at}, the hardest for the fuse of {found.id}", formula="E / R",
        inputs=(_volts(rig, _bank(rig, found)),
                Input(symbol="R", meaning="batteries, conductors above, its own out and back, warm; stud", value=short.loop_ohm, unit="ohm")),
        result=found.fault_a, unit="A", source="network",
    )  # fmt: skip


def _clears(rig: Rig, figure_id: str, found: Protection) -> Working:
    source, mark = _gates(found)
    assert found.fault_a is not None
    return Working(
        figure_id=figure_id, title=f"Longest time the fuse of {found.id} takes at that short",
        formula="slow gate at 100 x I / In, straight on log-log paper",
        inputs=(Input(symbol="I", meaning="short", value=found.fault_a, unit="A"), _fuse(found)),
        result=found.clears_s, unit="s", source=source, sourced=mark,
    )  # fmt: skip


def _withstands(rig: Rig, figure_id: str, found: Protection) -> Working:
    short = _short_of(rig, found)
    start = drops.segment_drop(short.weakest).conductor_c
    return Working(
        figure_id=figure_id, title=f"Time {short.weakest.conductor.gauge} stands that short", formula="k2 S2 / I2",
        inputs=(Input(symbol="k2 S2", meaning=f"from {start:.4g} C at its load", value=short.heat_a2s, unit="A2s",
                      source="adiabatic", sourced="published"),
                Input(symbol="I", meaning="short", value=short.current_a, unit="A")),
        result=found.withstands_s, unit="s", source="adiabatic", sourced="published",
    )  # fmt: skip


def _cleared_from(rig: Rig, figure_id: str, found: Protection) -> Working:
    short = _short_of(rig, found)
    source, mark = _gates(found)
    return Working(
        figure_id=figure_id, title=f"Least current the fuse of {found.id} surely clears before the wire is damaged",
        formula="slow gate(I) x I2 = k2 S2",
        inputs=(_fuse(found), Input(symbol="k2 S2", meaning=f"{short.weakest.conductor.gauge}", value=short.heat_a2s,
                                    unit="A2s", source="adiabatic", sourced="published")),
        result=found.cleared_from_a, unit="A", source=source, sourced=mark,
    )  # fmt: skip


def _inrush(rig: Rig, figure_id: str, found: Protection) -> Working:
    amps, seconds = inrush(rig, found.id) if found.id in rig.feeds else (0.0, 0.0)
    return Working(
        figure_id=figure_id, title=f"Heat of everything behind {found.id} starting at once", formula="I2 t",
        inputs=(Input(symbol="I", meaning="sum of inrush currents", value=amps, unit="A"),
                Input(symbol="t", meaning="longest inrush", value=seconds, unit="s")),
        result=found.inrush_a2s, unit="A2s",
    )  # fmt: skip


def _allowed(rig: Rig, figure_id: str, found: Protection) -> Working:
    melting = fuses.melting_a2s(fuse_class=found.fuse_class, rating_a=found.fuse_a)
    assert melting is not None
    return Working(
        figure_id=figure_id, title=f"Heat of a pulse that does not eat the fuse of {found.id}", formula="share x melting heat",
        inputs=(Input(symbol="share", meaning=f"{fuses.LIFE_PULSES} pulses", value=fuses.pulse_share(pulses=fuses.LIFE_PULSES),
                      source="fuse-pulses", sourced="published"),
                Input(symbol="melting", meaning="printed" if melting[1] else "nearest printed rating, by the square of the ratings",
                      value=melting[0], unit="A2s", source="iso-8820-3", sourced="published" if melting[1] else "common practice")),
        result=found.inrush_allowed_a2s, unit="A2s", source="fuse-pulses", sourced="published",
    )  # fmt: skip


def _ratio(rig: Rig, figure_id: str, found: Protection) -> Working:
    assert found.above is not None
    return Working(
        figure_id=figure_id, title=f"Fuse of {found.above} over that of {found.id}", formula="In above / In",
        inputs=(Input(symbol="In above", meaning=found.above, value=rig.feeds[found.above].fuse_a, unit="A"), _fuse(found)),
        result=found.rating_ratio,
    )  # fmt: skip


def _selective(rig: Rig, figure_id: str, found: Protection) -> Working:
    assert found.above is not None
    source, mark = _gates(found)
    return Working(
        figure_id=figure_id, title=f"Current up to which {found.id} surely opens before {found.above}",
        formula="largest I with fast gate of the upper above slow gate of the lower, from where the lower must open; beyond "
        "the last gate by heat: what the lower lets through below what melts the upper",
        inputs=(_fuse(found), Input(symbol="In above", meaning=found.above, value=rig.feeds[found.above].fuse_a, unit="A"),
                Input(symbol="I most", meaning="short right behind the lower", value=found.prospective_a, unit="A")),
        result=found.selective_to_a, unit="A", source=source, sourced=mark,
    )  # fmt: skip


_BY_KEY: Mapping[str, Callable[[Rig, str, Protection], Working]] = MappingProxyType(
    {
        "fuse_a": _entered,
        "ambient_c": _ambient,
        "rerated_a": _rerated,
        "prospective_a": _prospective,
        "interrupts_a": _interrupts,
        "fault_a": _fault,
        "clears_s": _clears,
        "withstands_s": _withstands,
        "cleared_from_a": _cleared_from,
        "inrush_a2s": _inrush,
        "inrush_allowed_a2s": _allowed,
        "rating_ratio": _ratio,
        "selective_to_a": _selective,
    }
)
