"""Which switch sits on which face: the installed panels, faces that are only named, and switches away from both."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rigbook.documents.schema.switching import Switch
from rigbook.rig.model import Rig, SwitchPlace


@dataclass(frozen=True, slots=True)
class Control:
    """A switch on a panel with its number there; a spare key has none."""

    number: int
    switch: Switch | None
    place: SwitchPlace | None
    exclusive: tuple[str, ...] = ()

    @property
    def legend(self) -> str:
        """What stands beside it: its label, else its id."""
        return (self.switch.label or self.switch.id) if self.switch else "spare"

    @property
    def positions(self) -> tuple[str, ...]:
        """Named positions in order, the rest first."""
        return tuple(self.switch.positions or ()) if self.switch else ()


@dataclass(frozen=True, slots=True)
class Face:
    """A panel with its controls. `size_m` is width, height and depth; None for a face no part stands for."""

    id: str
    heading: str
    size_m: tuple[float, float, float] | None
    cut_out_m: tuple[float, float] | None
    about: str
    controls: tuple[Control, ...]


def faces(rig: Rig) -> list[Face]:
    """The installed switch panels in file order, then faces that are only named, then switches that sit on none."""
    switching = rig.build.switching
    places = {p.id: p for p in rig.switches}
    groups_of = [[str(name) for name in group] for group in switching.exclusive]
    exclusive = {name: tuple(dict.fromkeys(o for group in groups_of if name in group for o in group if o != name))
                 for group in groups_of for name in group}  # fmt: skip
    groups: dict[str, list[Switch]] = {}
    for switch in switching.switches:
        place = places.get(switch.id)
        groups.setdefault((place.panel or place.link or "" if place else switch.panel or switch.link or ""), []).append(
            switch
        )
    found = []
    for device in rig.devices.values():
        part = rig.parts.get(device.part_id or "")
        if part is None or part.kind != "switch-panel":
            continue
        controls = _controls(groups.pop(device.id, []), places, exclusive)
        keys = sum(c.switch is not None and c.switch.kind in ("latching", "momentary") for c in controls)
        spares = tuple(Control(len(controls) + i + 1, None, None) for i in range(max(0, part.keys - keys)))
        depth, width, height = part.size
        about = f"{part.title}. {keys} of {part.keys} keys used; at {device.placement.place or device.placement.node or device.id}."
        found.append(
            Face(
                device.id,
                f"Switch panel {device.id}",
                (width, height, depth),
                part.cut_out,
                about,
                (*controls, *spares),
            )
        )
    for name, switches in groups.items():
        heading = f"Face {name}" if name else "Switches away from the panels"
        about = "" if name else "Each sits where its note or its wire says."
        found.append(Face(name or "elsewhere", heading, None, None, about, _controls(switches, places, exclusive)))
    return found


def _controls(
    switches: Sequence[Switch], places: dict[str, SwitchPlace], exclusive: dict[str, tuple[str, ...]]
) -> tuple[Control, ...]:
    return tuple(Control(i, s, places.get(s.id), exclusive.get(s.id, ())) for i, s in enumerate(switches, 1))
