"""A shop folder on the bench: texts to read and edit, drafts, new builds, and the worker behind them."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from rigbook.desk import drafts
from rigbook.desk.approvals import recorded
from rigbook.desk.drafts import Draft
from rigbook.desk.newbuild import begin, free_name
from rigbook.desk.nudging import Step, nudge
from rigbook.desk.shopfolder import SHOP_FILE, ChangedMeanwhile, NotAShop, ShopFolder, text_digest
from rigbook.desk.worker import Worker, file_named
from rigbook.documents.arranging import Operation, apply
from rigbook.documents.editing import EditError, value_at
from rigbook.documents.errors import DocumentError

if TYPE_CHECKING:
    from rigbook.assess.assessment import Assessment


DOCUMENT_FOLDERS = ("vehicles", "parts", "rules")
"""Folders whose documents are edited as text; builds have pages of their own."""


class NoBuild(Exception):
    """No build of the shop has that id."""


class Unreadable(Exception):
    """A file of the shop is no text that an editor can show; the message says why."""


@dataclass(frozen=True, slots=True)
class BuildText:
    """The text of a build as it stands on disk, its digest, its draft, and how far back and forth it can be taken."""

    file: str
    text: str
    digest: str
    draft: Draft | None
    undo: str | None
    redo: str | None


class Bench:
    """Everything a page does to a shop folder. Threads may share it: changes happen one after another."""

    def __init__(self, folder: Path) -> None:
        """Open a shop folder.

        Raises:
            NotAShop: it is none.
        """
        self.shop = ShopFolder(folder)
        self.worker = Worker(self.shop)
        self._ids: dict[tuple[str, str], str] = {}
        self._lock = threading.RLock()

    # --- reading ---------------------------------------------------------------------------------

    def file_of(self, build_id: str) -> str:
        """The file of a build.

        Raises:
            NoBuild: there is none of that id.
        """
        with self._lock:
            file = file_named(self.shop, build_id, self._ids)
        if file is None:
            raise NoBuild(f"no build of this shop has the id {build_id}")
        return file

    def documents(self) -> tuple[str, ...]:
        """The shop's documents beside its builds: the shop file, vehicles, parts, rules."""
        found = [SHOP_FILE]
        for folder in DOCUMENT_FOLDERS:
            within = sorted((self.shop.root / folder).glob("*.yaml"))
            found += [f"{folder}/{path.name}" for path in within if path.is_file() and self._inside(path)]
        return tuple(found)

    def _inside(self, path: Path) -> bool:
        return path.resolve().is_relative_to(self.shop.root)

    def document_of(self, build_id: str, file: str | None) -> str:
        """The file an editor of this build means: the build's own, or another document of the shop.

        Raises:
            NoBuild: there is no build of that id, or no such document.
        """
        own = self.file_of(build_id)
        if file is None or file == own:
            return own
        if file not in self.documents():
            raise NoBuild("this shop has no such document")
        return file

    def text(self, build_id: str, file: str | None = None) -> BuildText:
        """The text of a build, or of another document of its shop.

        Raises:
            NoBuild, Unreadable: there is none, or it is no text.
        """
        return self._text(self.document_of(build_id, file))

    def _text(self, file: str) -> BuildText:
        with self._lock:
            content, digest = self.shop.read(file)
            try:
                text = content.decode("utf-8")
            except UnicodeDecodeError as why:
                raise Unreadable(f"{file} is not UTF-8 text (byte {why.start}); mend it with a text editor") from why
            undo, redo = self.shop.steps(file)
            return BuildText(file, text, digest, drafts.kept(self.shop.path_of(file)), undo, redo)

    def errors_in(self, build_id: str, text: str, file: str | None = None) -> tuple[DocumentError, ...]:
        """What is wrong in an unsaved text, without working the build out further than parts in place.

        Of a document that the build does not reach its own errors alone.

        Raises:
            NoBuild: there is none of that id, or no such document.
        """
        from rigbook.assess.assessment import begin as begin_assessment
        from rigbook.documents.loader import load_build, load_shop

        build, document = self.file_of(build_id), self.document_of(build_id, file)
        overlay = {document: text.encode("utf-8", "surrogatepass")}
        errors = begin_assessment(load_build(self.shop.root, Path(build), overlay)).errors
        if document.startswith("vehicles/") and not any(e.file == document for e in errors):
            errors += tuple(e for e in load_shop(self.shop.root, overlay).errors if e.file == document)
        return errors

    def last_good(self, file: str) -> Assessment | None:
        """The newest assessment of any text of this build whose document could be read."""
        return self.worker.last_read(file)

    def vehicles(self) -> list[dict[str, str]]:
        """Id and title of every vehicle of the shop that can be read, in the order of their files."""
        from rigbook.documents.references import scalars
        from rigbook.documents.text import read_tree

        rows: list[dict[str, str]] = []
        for path in sorted((self.shop.root / "vehicles").glob("*.yaml")):
            tree = read_tree(self.shop.read(f"vehicles/{path.name}")[0], "").tree
            found = {key: str(next(scalars(tree, f"vehicle.{key}"), "")) for key in ("id", "title")}
            if found["id"]:
                rows.append(found)
        return rows

    def answered(self, build_id: str, digest: str) -> bool:
        """Whether the customer's answer to this very revision is recorded."""
        return recorded(self.shop.root, build_id, digest)

    # --- changing --------------------------------------------------------------------------------

    def save(self, build_id: str, *, seen: str, text: str, file: str | None = None) -> BuildText:
        """Write a whole text over the one the person saw; the draft is done with.

        Raises:
            NoBuild, ChangedMeanwhile, rigbook.desk.files.CannotWrite.
        """
        with self._lock:
            document = self.document_of(build_id, file)
            after = text.encode("utf-8", "surrogatepass")
            if text_digest(after) != seen:
                self.shop.edit(document, seen, after, "text")
            elif self.shop.read(document)[1] != seen:
                raise ChangedMeanwhile(document, self.shop.read(document)[1])
            drafts.drop(self.shop.path_of(document))
            self.worker.now(self.file_of(build_id) if file else document)
            return self._text(document)

    def edit(self, build_id: str, *, seen: str, operations: Sequence[Operation], why: str) -> BuildText:
        """Splice edits into the text the person saw, all of them or none.

        Raises:
            NoBuild, ChangedMeanwhile, rigbook.desk.files.CannotWrite.
            rigbook.documents.editing.EditError: one of them cannot be made.
        """
        with self._lock:
            file = self.file_of(build_id)
            before = self._text(file)
            if before.digest != seen:
                raise ChangedMeanwhile(file, before.digest)
            text = before.text
            for operation in operations:
                text = apply(text, operation)
            if text != before.text:
                self.shop.edit(file, seen, text.encode("utf-8", "surrogatepass"), why)
                self.worker.now(file)
            return self._text(file)

    def nudge(self, build_id: str, *, seen: str, row: str, by: Step) -> BuildText:
        """Move what is fitted by a small step.

        Raises:
            NoBuild, ChangedMeanwhile, rigbook.desk.files.CannotWrite.
            rigbook.documents.editing.EditError: there is no such row, or it cannot be moved this way.
        """
        with self._lock:
            file = self.file_of(build_id)
            written = value_at(self._text(file).text, ("install", row))
            if not isinstance(written, dict):
                raise EditError(f"there is no row {row} to move")
            assessment = self.worker.begun(file)
            devices = () if assessment.rig is None else assessment.rig.devices.values()
            placed = next((d.placement for d in devices if d.row == row), None)
            operations = nudge(row, written, by, placed)
            return self.edit(build_id, seen=seen, operations=operations, why=f"move {row}")

    def step(self, build_id: str, *, backward: bool, file: str | None = None) -> BuildText | None:
        """Undo or redo the last edit made here; None where there is none. That a build came is not taken back.

        Raises:
            NoBuild, ChangedMeanwhile, rigbook.desk.files.CannotWrite.
        """
        with self._lock:
            document = self.document_of(build_id, file)
            if self.shop.steps(document)[0 if backward else 1] is None:
                return None
            made = self.shop.undo(document) if backward else self.shop.redo(document)
            self.worker.now(self.file_of(build_id) if file else document)
            return None if made is None else self._text(document)

    def keep_draft(self, build_id: str, draft: Draft, file: str | None = None) -> None:
        """Keep unsaved typing beside the build.

        Raises:
            NoBuild, rigbook.desk.files.CannotWrite.
        """
        with self._lock:
            drafts.keep(self.shop.path_of(self.document_of(build_id, file)), draft)

    def drop_draft(self, build_id: str, file: str | None = None) -> None:
        """Forget unsaved typing.

        Raises:
            NoBuild: there is none of that id.
        """
        with self._lock:
            drafts.drop(self.shop.path_of(self.document_of(build_id, file)))

    def new_build(
        self, *, build_id: str, title: str, customer: str | None, vehicle: str | None, sister: str | None
    ) -> str:
        """Write a new build file; gives its id.

        Raises:
            rigbook.desk.newbuild.CannotBegin: it cannot be made from what was asked.
            NoBuild: the other build is not there.
            ChangedMeanwhile, NotAShop, rigbook.desk.files.CannotWrite.
        """
        with self._lock:
            other = None if sister is None else self.file_of(sister)
            begin(self.shop, build_id=build_id, title=title, customer=customer, vehicle=vehicle, sister=other)
            return build_id

    def free_id(self, wanted: str) -> str:
        """A free name for a build."""
        return free_name(wanted, [Path(f).stem for f in self.shop.builds()])


__all__ = ["Bench", "BuildText", "NoBuild", "NotAShop", "Unreadable"]
