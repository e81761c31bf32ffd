"""What the pages read: the shop folder through the desk, worked out through assess, kept by digest."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from rigbook.papers.lampmap import LampMap
from rigbook.rig.model import Rig

KEPT = 16
TEXT_FOLDERS = ("builds", "vehicles", "parts", "rules")


@dataclass(frozen=True, slots=True)
class Problem:
    """One error of a document, for a page."""

    where: str
    says: str


@dataclass(frozen=True, slots=True)
class Problems:
    """A build that cannot be worked out, and why."""

    file: str
    problems: tuple[Problem, ...]
    errors: list[dict[str, Any]]


@dataclass(frozen=True)
class Worked:
    """A build worked out: the rig, and what `check --json` prints."""

    rig: Rig
    report: dict[str, Any]

    @cached_property
    def drawn(self) -> LampMap:
        """The five views as screens show them; drawn when first asked for, since labels take their time."""
        from rigbook.papers.screen_views import screen_map

        return screen_map(self.rig)

    def program_page(self) -> dict[str, Any]:
        """Compiled program and layout for the browser."""
        from rigbook.switching.serialise import program_to_json
        from rigbook.web.layout import page_layout

        return {"program": program_to_json(self.rig.program), "layout": page_layout(self.rig, self.report)}


class Reading:
    """A shop folder as the pages see it. Threads may share it."""

    def __init__(self, folder: Path) -> None:
        """Open a shop folder.

        Raises:
            rigbook.desk.shopfolder.NotAShop: it is none.
        """
        from rigbook.desk.bench import Bench

        self.bench = Bench(folder)
        self._shop = self.bench.shop
        self._kept: OrderedDict[tuple[str, str], Worked | Problems] = OrderedDict()
        self._lock = threading.Lock()

    def shop_title(self) -> str:
        """Title of the shop as its builds were last loaded; the folder's name until one was."""
        with self._lock:
            titles = [w.rig.shop.title for w in self._kept.values() if isinstance(w, Worked)]
        return titles[-1] if titles else self._shop.root.name

    def rows(self) -> list[dict[str, Any]]:
        """One row a build file, in the order of their paths."""
        return [self._row(file) for file in self._shop.builds()]

    def _row(self, file: str) -> dict[str, Any]:
        found = self._work_file(file)
        if isinstance(found, Problems):
            count = len(found.problems)
            says = f"{count} error{'s' if count != 1 else ''}; the first: {found.problems[0].says}"
            return {
                "id": _stem(file),
                "title": _stem(file),
                "customer": None,
                "vehicle": "",
                "file": file,
                "verdict": "error",
                "says": says,
                "stands": None,
                "answered": False,
            }
        build = found.rig.build.build
        return {
            "id": build.id,
            "title": build.title,
            "customer": build.customer,
            "vehicle": found.rig.vehicle.title,
            "file": file,
            "verdict": found.report["verdict"],
            "says": _counted(found.report["findings"]),
            "stands": build.stands,
            "answered": self.bench.answered(build.id, found.report["build"]["digest"]),
        }

    def work(self, build_id: str) -> Worked | Problems | None:
        """The build of that id (or, where its text cannot be read, of that file name); None where there is none."""
        fallen: Problems | None = None
        for file in self._shop.builds():
            found = self._work_file(file)
            if isinstance(found, Worked) and found.rig.build.build.id == build_id:
                return found
            if isinstance(found, Problems) and _stem(file) == build_id:
                fallen = found
        return fallen

    def _work_file(self, file: str) -> Worked | Problems:
        from rigbook.assess.results_json import errors_json, to_json

        # One lock around the work: two people who open the same build wait for one working-out, not two.
        with self._lock:
            key = (file, self._shop.digest(file))
            if key not in self._kept:
                assessment = self.bench.worker.whole(file)
                if assessment.rig is None:
                    problems = tuple(Problem(f"{e.file}:{e.line}:{e.column}", e.says) for e in assessment.errors)
                    self._kept[key] = Problems(file, problems, errors_json(assessment.errors)["errors"])
                else:
                    self._kept[key] = Worked(assessment.rig, to_json(assessment))
                while len(self._kept) > KEPT:
                    self._kept.popitem(last=False)
            return self._kept[key]

    def head(self, build_id: str) -> dict[str, Any] | None:
        """What stands at the head of a build's pages, whether or not it can be worked out; None where there is none."""
        from rigbook.desk.bench import NoBuild, NotAShop, Unreadable
        from rigbook.documents.references import scalars
        from rigbook.documents.text import read_tree

        try:
            found = self.bench.text(build_id)
        except (NoBuild, NotAShop, Unreadable):
            return None
        tree = read_tree(found.text.encode("utf-8", "surrogatepass"), "").tree
        title = str(next(scalars(tree, "build.title"), "")) or build_id
        return {"build": {"id": build_id, "title": title}, "build_file": found.file, "text_digest": found.digest}

    def lines(self, file: str) -> list[str] | None:
        """The lines of one document of the shop; None where it is no document of it."""
        from rigbook.desk.shopfolder import NotAShop

        parts = file.split("/")
        document = file == "shop.yaml" or (len(parts) == 2 and parts[0] in TEXT_FOLDERS and parts[1].endswith(".yaml"))
        if not document or ".." in parts or "\\" in file or "\0" in file:
            return None
        try:
            content, _ = self._shop.read(file)
        except NotAShop:
            return None
        return content.decode("utf-8", errors="replace").splitlines()


def _stem(file: str) -> str:
    return file.rsplit("/", 1)[-1].removesuffix(".yaml")


def _counted(findings: list[dict[str, Any]]) -> str:
    counts = {s: sum(f["severity"] == s for f in findings) for s in ("fail", "caution", "note")}
    words = [f"{n} {s}{'s' if n != 1 and s != 'fail' else ''}" for s, n in counts.items() if n]
    return ", ".join(words) if words else "no findings"
