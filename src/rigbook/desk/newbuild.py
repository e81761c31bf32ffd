"""A new build: from a vehicle, or from another build of the shop."""

from __future__ import annotations

import re
from collections.abc import Sequence

from rigbook.desk.shopfolder import ShopFolder
from rigbook.documents.editing import EditError, remove_key, set_value, value_at
from rigbook.documents.writing import block_lines

SECTIONS = """
# What the customer asked for, and what answers it.
clauses: []

# Batteries added to the vehicle's, and the fused lines from a battery outward.
batteries: []
links: []
feeds: []

# What is fitted, and where.
install: []

# Switches, signals, functions, and what must never happen.
switching:
  ranks: {ranks}
  switches: []
  signals: []
  conditions: {{}}
  functions: []
  modes: []
  require: []

# Named states for tables, screens and papers.
states: []
"""
RANKS = "[cruise, warning, direction, scene, cut-off]"


_NAME = re.compile(r"[a-z][a-z0-9_-]{0,59}", re.ASCII)


class CannotBegin(Exception):
    """A new build cannot be made from what was asked; the message says why."""


def new_text(*, build_id: str, title: str, customer: str | None, vehicle: str) -> str:
    """The text of a build that holds nothing yet: every section there, empty, with what it is for."""
    build = {"id": build_id, "title": title} | ({"customer": customer} if customer else {}) | {"vehicle": vehicle}
    head = "\n".join(["rigbook: 1", *block_lines({"build": build})])
    return head + "\n" + SECTIONS.format(ranks=RANKS)


def sister_text(text: str, *, build_id: str, title: str, customer: str | None) -> str:
    """The text of another build under a new name. What belongs to the one vehicle alone (settled values) is left out.

    Raises:
        CannotBegin: the other text cannot be edited.
    """
    try:
        text = set_value(text, ("build", "id"), build_id)
        text = set_value(text, ("build", "title"), title)
        present = value_at(text, ("build",))
        if customer:
            text = set_value(text, ("build", "customer"), customer)
        elif "customer" in present:
            text = remove_key(text, ("build", "customer"))
        if "settled" in value_at(text, ()):
            text = remove_key(text, ("settled",))
    except EditError as why:
        raise CannotBegin(f"the other build cannot be copied: {why}") from why
    return text


def free_name(wanted: str, taken: Sequence[str]) -> str:
    """The name itself where it is free, else with a number behind it.

    >>> free_name("van", ["van", "van-2"])
    'van-3'
    """
    if wanted not in taken:
        return wanted
    number = 2
    while f"{wanted}-{number}" in taken:
        number += 1
    return f"{wanted}-{number}"


def begin(
    shop: ShopFolder,
    *,
    build_id: str,
    title: str,
    customer: str | None,
    vehicle: str | None,
    sister: str | None,
) -> str:
    """Write a new build file; gives its path in the folder.

    Args:
        shop: the shop folder.
        build_id: its id, and the name of its file.
        title: as printed.
        customer: who it is for.
        vehicle: the vehicle's id, where it begins from a vehicle.
        sister: path of the other build's file, where it begins from a build.

    Raises:
        CannotBegin: neither or both are given, or the id is taken or no name.
        rigbook.desk.shopfolder.NotAShop, rigbook.desk.files.CannotWrite: as for any edit.
        rigbook.desk.shopfolder.ChangedMeanwhile: somebody else wrote that file this instant.
    """
    if not _NAME.fullmatch(build_id):
        raise CannotBegin(f"{build_id!r} is no name: lower-case letters, digits, - and _, a letter first")
    name = f"builds/{build_id}.yaml"
    if name in shop.builds():
        raise CannotBegin(f"{name} is there already; take another name")
    if (vehicle is None) == (sister is None):
        raise CannotBegin("a build begins from a vehicle or from another build: name one of them")
    if sister is not None:
        content, _ = shop.read(sister)
        text = sister_text(content.decode("utf-8-sig"), build_id=build_id, title=title, customer=customer)
    else:
        assert vehicle is not None
        text = new_text(build_id=build_id, title=title, customer=customer, vehicle=vehicle)
    shop.edit(name, None, text.encode(), "new build")
    return name
