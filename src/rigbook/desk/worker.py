"""Working builds out behind the pages, in two stages, never with a figure of another text.

The revision of a build is the digest of everything a load of it may read. A figure is kept under the revision it
belongs to; who asks gets figures of the present revision or none.
"""

from __future__ import annotations

import gc
import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from rigbook.desk.shopfolder import NotAShop, ShopFolder
from rigbook.quantities.kept import Kept

if TYPE_CHECKING:
    from rigbook.assess.assessment import Assessment
    from rigbook.documents.loader import Loaded

Stage = Literal["none", "first", "whole"]
KEPT = 12
OUT_S = 0.05
"""How long the work on later figures stands back, so that first figures get out to who waits for them."""
IDLE_S = 20.0
"""How long a thread waits for more to work out before it ends."""
LOOK_S = 0.25
"""How often a waiting reader looks whether the text changed behind our back."""


@dataclass(frozen=True, slots=True)
class Worked:
    """What is worked out of one revision so far. `trouble` says that a later stage failed by a fault of ours."""

    revision: str
    stage: Stage
    assessment: Assessment | None = None
    trouble: str = ""


class Worker:
    """Works out what is asked for, newest first, a thread a stage. Threads may share it."""

    def __init__(self, shop: ShopFolder, load: Callable[[str], Loaded] | None = None) -> None:
        """A worker of one shop folder; `load` reads a build (the folder's own where left out)."""
        self._shop = shop
        self._load = load or shop.load
        self._results = Kept()
        self._kept: OrderedDict[tuple[str, str], Worked] = OrderedDict()
        self._wanted: dict[str, list[str]] = {"first": [], "whole": []}
        self._changed = threading.Condition()
        self._busy: dict[str, str] = {}
        self._beginning = threading.Lock()
        self._threads: dict[str, threading.Thread] = {}
        self._closing = False

    # --- asking ----------------------------------------------------------------------------------

    def revision(self, file: str) -> str:
        """The digest of everything that a load of this build may read now."""
        return self._shop.digest(file)

    def now(self, file: str) -> Worked:
        """What is known of the present text; asks for the rest."""
        revision = self.revision(file)
        with self._changed:
            found = self._kept.get((file, revision), Worked(revision, "none"))
            if found.stage != "whole" and not found.trouble:
                self._ask(file)
            return found

    def after(self, file: str, *, revision: str, stage: str, wait_s: float) -> Worked:
        """What is known once it is more, or of another text, than the reader has; what there is when time is up."""
        deadline = time.monotonic() + wait_s
        found = self.now(file)
        while (found.revision, found.stage) == (revision, stage) or found.stage == "none":
            left = deadline - time.monotonic()
            if left <= 0 or found.trouble or self._closing:
                break
            with self._changed:
                self._changed.wait(min(left, LOOK_S))
            found = self.now(file)
        return found

    def close(self) -> None:
        """Let everybody who waits go with what there is: the server ends."""
        with self._changed:
            self._closing = True
            self._changed.notify_all()

    def whole(self, file: str) -> Assessment:
        """Everything of the present text, worked out in this thread if nobody has yet."""
        revision = self.revision(file)
        with self._changed:
            found = self._kept.get((file, revision))
        if found is None or found.stage != "whole" or found.assessment is None:
            found = self._work(file)
        assert found.assessment is not None
        return found.assessment

    def begun(self, file: str) -> Assessment:
        """The present text with parts in place, worked out in this thread if nobody has yet; later figures may lack."""
        found = self._first(file)
        assert found.assessment is not None
        return found.assessment

    def last_read(self, file: str) -> Assessment | None:
        """The newest assessment kept of this build whose document could be read, of whatever revision."""
        with self._changed:
            for (name, _), worked in reversed(self._kept.items()):
                if name == file and worked.assessment is not None and worked.assessment.loaded.build is not None:
                    return worked.assessment
        return None

    # --- working ---------------------------------------------------------------------------------

    def _ask(self, file: str) -> None:
        for stage, waiting in self._wanted.items():
            if file in waiting or self._busy.get(stage) == file:
                continue
            waiting.append(file)
            thread = self._threads.get(stage)
            if thread is None or not thread.is_alive():
                thread = threading.Thread(target=self._run, args=(stage,), name=f"rigbook-{stage}", daemon=True)
                self._threads[stage] = thread
                thread.start()
            self._changed.notify_all()

    def _run(self, stage: str) -> None:
        """Work on one stage, newest first. First figures have a thread of their own: later ones never hold them up."""
        waiting = self._wanted[stage]
        while True:
            with self._changed:
                if not waiting and not self._changed.wait_for(lambda: bool(waiting), timeout=IDLE_S):
                    del self._threads[stage]
                    idle = not self._threads
                    break
                file = self._busy[stage] = waiting.pop()
            try:
                if stage == "first":
                    self._first(file)
                else:
                    if self._first(file).stage == "first":
                        time.sleep(OUT_S)
                    self._work(file)
            except (NotAShop, FileNotFoundError):
                continue  # the build was taken away while it waited
            finally:
                with self._changed:
                    self._busy.pop(stage, None)
                    self._changed.notify_all()
        if idle:
            gc.collect()  # put off while somebody edits: it takes as long as first figures

    def _first(self, file: str) -> Worked:
        from rigbook.assess.assessment import begin

        with self._beginning:
            while True:
                revision = self.revision(file)
                with self._changed:
                    found = self._kept.get((file, revision))
                if found is not None and found.assessment is not None:
                    return found
                begun = begin(self._load(file), self._results)
                if self.revision(file) == revision:  # else it was edited while it was read: half of each, perhaps
                    return self._keep(file, Worked(revision, "first" if begun.rig is not None else "whole", begun))

    def _work(self, file: str) -> Worked:
        from rigbook.assess.assessment import finish

        found = self._first(file)
        if found.stage == "whole":
            return found
        assert found.assessment is not None
        try:
            done = Worked(found.revision, "whole", finish(found.assessment, self._results))
        except Exception as fault:
            self._keep(file, Worked(found.revision, "first", found.assessment, f"{type(fault).__name__}: {fault}"))
            raise
        return self._keep(file, done)

    def _keep(self, file: str, worked: Worked) -> Worked:
        with self._changed:
            self._kept[(file, worked.revision)] = worked
            self._kept.move_to_end((file, worked.revision))
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
            self._changed.notify_all()
        return worked


def file_named(shop: ShopFolder, build_id: str, ids: dict[tuple[str, str], str]) -> str | None:
    """The file of a build by its id, or by its file's name where its text gives none; None where there is none.

    `ids` keeps what was read, by file and digest.
    """
    from rigbook.desk.shopfolder import text_digest

    fallen: str | None = None
    for file in shop.builds():
        stem = Path(file).stem
        try:
            content = shop.path_of(file).read_bytes()
        except OSError:
            continue  # taken away between listing and reading
        key = (file, text_digest(content))
        if key not in ids:
            ids[key] = id_in(content)
        if ids[key] == build_id:
            return file
        if stem == build_id and not ids[key]:
            fallen = file
    return fallen


def id_in(content: bytes) -> str:
    """The id of a build's text; empty where it gives none that can be read."""
    from rigbook.documents.editing import EditError, value_at

    try:
        return str(value_at(content.decode("utf-8"), ("build", "id")))
    except (EditError, UnicodeDecodeError):
        return ""
