"""A shop folder on the bench: texts to read and edit, drafts, new builds, and the worker behind them."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from rigbook.desk import drafts
from rigbook.desk.drafts import Draft
from rigbook.desk.newbuild import begin, free_name
from rigbook.desk.shopfolder import ChangedMeanwhile, NotAShop, ShopFolder, text_digest
from rigbook.desk.worker import Worker, file_named
from rigbook.documents.arranging import Operation, apply
from rigbook.documents.errors import DocumentError

if TYPE_CHECKING:
    from rigbook.assess.assessment import Assessment


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

    def text(self, build_id: str) -> BuildText:
        """The text of a build.

        Raises:
            NoBuild, Unreadable: there is none, or it is no text.
        """
        return self._text(self.file_of(build_id))

    def _text(self, file: str) -> BuildText:
        with self._lock:
            content, digest = self.shop.read(file)
            try:
                text = content.decode("utf-8")
            except UnicodeDecodeError as why:
                raise Unreadable(f"{file} is not UTF-8 text (byte {why.start}); mend it with a text editor") from why
            undo, redo = self.shop.steps(file)
            return BuildText(file, text, digest, drafts.kept(self.shop.path_of(file)), undo, redo)

    def errors_in(self, build_id: str, text: str) -> tuple[DocumentError, ...]:
        """What is wrong in an unsaved text of a build, without working it out further than parts in place.

        Raises:
            NoBuild: there is none of that id.
        """
        from rigbook.assess.assessment import begin as begin_assessment
        from rigbook.documents.loader import load_build

        file = self.file_of(build_id)
        overlay = {file: text.encode("utf-8", "surrogatepass")}
        return begin_assessment(load_build(self.shop.root, Path(file), overlay)).errors

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

    # --- changing --------------------------------------------------------------------------------

    def save(self, build_id: str, *, seen: str, text: str) -> BuildText:
        """Write a whole text over the one the person saw; the draft is done with.

        Raises:
            NoBuild, ChangedMeanwhile, rigbook.desk.files.CannotWrite.
        """
        with self._lock:
            file = self.file_of(build_id)
            after = text.encode("utf-8", "surrogatepass")
            if text_digest(after) != seen:
                self.shop.edit(file, seen, after, "text")
            elif self.shop.read(file)[1] != seen:
                raise ChangedMeanwhile(file, self.shop.read(file)[1])
            drafts.drop(self.shop.path_of(file))
            self.worker.now(file)
            return self._text(file)

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

    def step(self, build_id: str, *, backward: bool) -> BuildText | None:
        """Undo or redo the last edit made here; None where there is none.

        Raises:
            NoBuild, ChangedMeanwhile, rigbook.desk.files.CannotWrite.
        """
        with self._lock:
            file = self.file_of(build_id)
            made = self.shop.undo(file) if backward else self.shop.redo(file)
            self.worker.now(file)
            return None if made is None else self._text(file)

    def keep_draft(self, build_id: str, draft: Draft) -> None:
        """Keep unsaved typing beside the build.

        Raises:
            NoBuild, rigbook.desk.files.CannotWrite.
        """
        with self._lock:
            drafts.keep(self.shop.path_of(self.file_of(build_id)), draft)

    def drop_draft(self, build_id: str) -> None:
        """Forget unsaved typing.

        Raises:
            NoBuild: there is none of that id.
        """
        with self._lock:
            drafts.drop(self.shop.path_of(self.file_of(build_id)))

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
