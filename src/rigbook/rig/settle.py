"""Settling: worked-out values written into the build, so that the harness that was cut is the harness on paper.

Paths of `settled:`
    feeds.FEED.fuse            feeds.FEED.wire            feeds.FEED.route
    links.LINK.fuse.start|end  links.LINK.wire.N          links.LINK.route.N
    install.DEVICE.outputs.COLOUR-OR-STATE                install.DEVICE.ground    install.DEVICE.node
    install.DEVICE.on                   (position on its face, across and up)
    install.DEVICE.wire.TERMINAL (or return)              install.DEVICE.route.TERMINAL (or return)
A route is its nodes with a blank between them; a fuse and a wire are quantities as in the build.
"""

from __future__ import annotations

from rigbook.rig.model import Chosen, Rig
from rigbook.rig.open_model import OpenRig

WIRES = ".wire"
ROUTES = ".route"


def worked_out(rig: Rig) -> dict[str, str]:
    """Every value the build leaves open, by its path, in a settled order: also those settled before."""
    return {path: text for path, (text, how) in decided(rig).items() if how != "set"}


def settled_edits(rig: Rig) -> dict[str, str]:
    """The section `settled:` as it should stand: path -> value."""
    return worked_out(rig)


def decided(rig: Rig) -> dict[str, tuple[str, str]]:
    """Every decided value by its path, as text, with who decided it."""
    found: dict[str, tuple[str, str]] = {}
    for key, choice in rig.choices.fuses.items():
        head, colon, end = key.partition(":")
        path = f"links.{head}.fuse.{end}" if colon else f"feeds.{head}.fuse"
        found[path] = (f"{float(choice.value):g} A", choice.how)
    for (device, key), choice in rig.choices.outputs.items():
        found[f"install.{device}.outputs.{key}"] = (str(choice.value), choice.how)
    for what, chosen in (("ground", rig.choices.grounds), ("node", rig.choices.nodes)):
        for device, choice in chosen.items():
            found[f"install.{device}.{what}"] = (str(choice.value), choice.how)
    for row in rig.build.install:
        on_it = rig.devices.get(row.id)
        if row.on is None or isinstance(row.on.at, tuple) or on_it is None or on_it.placement.on_face_m is None:
            continue
        x, y = on_it.placement.on_face_m
        found[f"install.{row.id}.on"] = (f"{1e3 * x:.6g} mm {1e3 * y:.6g} mm", "auto")
    for name, path in rig.choices.paths.items():
        conductor = rig.choices.wires[name]
        if conductor.how == "lead":
            continue
        found[path] = (str(conductor.gauge), conductor.how)
        route: Chosen = rig.choices.routes[name]
        if len(route.value) > 0:
            found[path.replace(WIRES, ROUTES, 1)] = (" ".join(route.value), route.how)
    return dict(sorted(found.items()))


def settled_paths_known(open_rig: OpenRig, path: str) -> bool:
    """Whether a settled path belongs to something that is still in the build."""
    kind, _, rest = path.partition(".")
    if kind == "feeds":
        name, _, leaf = rest.rpartition(".")
        return name in open_rig.feeds and leaf in ("fuse", "wire", "route")
    if kind == "links":
        name, _, leaf = rest.partition(".")
        return name in open_rig.links and leaf in (
            "fuse.start", "fuse.end", "wire.1", "wire.2", "route.1", "route.2",
        )  # fmt: skip
    if kind != "install":
        return False
    if rest.endswith(".on"):
        on_it = open_rig.devices.get(rest.removesuffix(".on"))
        return on_it is not None and on_it.placement.panel is not None
    for leaf in (".ground", ".node"):
        if rest.endswith(leaf):
            return rest.removesuffix(leaf) in open_rig.devices
    for middle in (".outputs.", ".wire.", ".route."):
        device, found, terminal = rest.rpartition(middle)
        if not found:
            continue
        if terminal == "return":
            return any(t.return_point == f"{device}:return" for t in open_rig.terminals.values())
        return f"{device}:{terminal}" in open_rig.terminals
    return False
