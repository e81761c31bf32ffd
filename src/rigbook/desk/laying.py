"""The best layout of a face, written into the section `settled` of its build."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from rigbook.desk.settling import SettlingChanges, settled_text
from rigbook.desk.shopfolder import ShopFolder, find_build

if TYPE_CHECKING:
    from rigbook.assess.assessment import Assessment
    from rigbook.body.layouts import Layout


class NoSuchFace(Exception):
    """The build has no face of that name; the message names the nearest."""


@dataclass(frozen=True, slots=True)
class Laid:
    """What laying out gave. `layout` is None where the documents have errors, which the assessment carries."""

    assessment: Assessment
    layout: Layout | None
    changed: int


def lay(path: Path, face: str, *, again: bool = False, write: bool = False) -> Laid:
    """Lay out what is left open on a face, and with `write` settle it there.

    Raises:
        NoSuchFace: the build has no such face.
        NotAShop, CannotWrite, ChangedMeanwhile: as for any edit.
        SettlingChanges: the new text cannot be read back.
    """
    import difflib

    from rigbook.assess.assessment import begin, decide_rig
    from rigbook.body.layouts import lay_out
    from rigbook.documents.loader import load_build

    root, name = find_build(path)
    folder = ShopFolder(root)
    content, seen = folder.read(name)
    assessment = begin(folder.load(name))
    if assessment.rig is None:
        return Laid(assessment, None, 0)
    faces = [panel.id for panel in assessment.rig.build.panels]
    if face not in faces:
        near = difflib.get_close_matches(face, faces, n=1, cutoff=0.0)
        hint = f"; the nearest is {near[0]}" if near else ": it has none under `panels`"
        raise NoSuchFace(f"the build has no face {face}{hint}")
    layout = lay_out(assessment.rig, face, again=again)
    present = dict(assessment.rig.build.settled)
    wanted = dict(present)
    if layout.fits:
        wanted |= {f"install.{one}.on": f"{x} mm {y} mm" for one, (x, y) in layout.at_mm.items()}
    changed = sum(present.get(key) != value for key, value in wanted.items())
    if write and changed:
        after = settled_text(content.decode("utf-8-sig"), present, wanted).encode()
        rig, errors = decide_rig(load_build(root, Path(name), {name: after}))
        if rig is None:
            raise SettlingChanges(f"the settled text cannot be read back: {errors[0] if errors else 'no reason'}")
        folder.edit(name, seen, after, f"lay out {face}")
    return Laid(assessment, layout, changed)
