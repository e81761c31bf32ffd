"""Writing worked-out values into the build file, so that the harness that was cut is the harness on paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from rigbook.desk.shopfolder import ShopFolder, find_build

if TYPE_CHECKING:
    from rigbook.assess.assessment import Assessment

SECTION = "settled"
ONE_BY_ONE = 12
"""Up to so many changed values are spliced one by one, so that the layout around them stays; beyond that the section
is written anew."""


class SettlingChanges(Exception):
    """Settling would have changed what the build means: our own fault, and nothing was written."""


@dataclass(frozen=True, slots=True)
class Settled:
    """What settling did: how many values stand in the section, and how many of them are new or changed or gone."""

    assessment: Assessment
    values: int
    changed: int


def settle(path: Path) -> Settled:
    """Write every worked-out value into the section `settled` of a build. The digest stays as it was.

    With errors in the documents nothing is written and the assessment carries them.

    Raises:
        NotAShop, CannotWrite, ChangedMeanwhile: as for any edit.
        SettlingChanges: reading the new text back gives another vehicle.
    """
    from rigbook.assess.assessment import assess
    from rigbook.rig.settle import settled_edits

    root, name = find_build(path)
    folder = ShopFolder(root)
    content, seen = folder.read(name)
    assessment = assess(folder.load(name))
    if assessment.rig is None:
        return Settled(assessment, 0, 0)
    wanted = settled_edits(assessment.rig)
    present = dict(assessment.rig.build.settled)
    changed = sum(present.get(k) != wanted.get(k) for k in {*present, *wanted})
    if changed:
        after = settled_text(content.decode("utf-8-sig"), present, wanted).encode()
        _check(root, name, after, assessment)
        folder.edit(name, seen, after, "settle")
    return Settled(assessment, len(wanted), changed)


def settled_text(text: str, present: Mapping[str, str], wanted: Mapping[str, str]) -> str:
    """The document with the section as wanted; everything else stays as it is to the letter."""
    from rigbook.documents.editing import add_key, remove_key, set_value

    differing = [k for k in {**present, **wanted} if present.get(k) != wanted.get(k)]
    if present and wanted and len(differing) <= ONE_BY_ONE and any(k in wanted for k in present):
        for key in differing:
            if key in wanted:
                text = set_value(text, (SECTION, key), wanted[key])
            else:
                text = remove_key(text, (SECTION, key))
        return text
    if present:
        text = remove_key(text, (SECTION,))
    return add_key(text, (SECTION,), dict(wanted)) if wanted else text


def _check(root: Path, name: str, after: bytes, before: Assessment) -> None:
    """Read the new text back before it is written: it must give the same vehicle."""
    from rigbook.assess.assessment import decide_rig
    from rigbook.documents.loader import load_build

    rig, errors = decide_rig(load_build(root, Path(name), {name: after}))
    if rig is None:
        raise SettlingChanges(f"the settled text cannot be read back: {errors[0] if errors else 'no reason'}")
    if rig.digest != before.worked.digest:
        raise SettlingChanges("the settled text gives another digest")
