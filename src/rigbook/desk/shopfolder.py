"""A shop folder opened for work: its builds, cached loads, guarded edits, undo.

With the loader and the store this is the only place that touches the shop's files. Nothing here follows a path out
of the folder: a link that leads elsewhere is refused before it is read.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from rigbook.desk import history
from rigbook.desk.files import kind_at, short, write_whole
from rigbook.desk.history import Change

if TYPE_CHECKING:
    from rigbook.documents.loader import Loaded

SHOP_FILE = "shop.yaml"
WATCHED = ("vehicles", "parts", "rules", "light")
KEEPS = 32
"""Loads kept in memory, and edits kept for undo, of one folder."""


class NotAShop(Exception):
    """The path does not lead to a build of a shop folder; the message says why and how to mend it."""


class ChangedMeanwhile(Exception):
    """The file is no longer what the person saw, so the edit was not made."""

    def __init__(self, path: str, digest: str) -> None:
        super().__init__(f"{path} has changed since it was read: look at it again, then edit")
        self.path = path
        self.digest = digest


@dataclass(frozen=True, slots=True)
class Edit:
    """One change of one file: what it was and what it became (None: not there)."""

    path: str
    before: bytes | None
    after: bytes | None
    why: str
    change: Change | None = None
    """How the text before leads to the text after; None where the file came or went."""


def edit_of(path: str, before: bytes | None, after: bytes | None, why: str) -> Edit:
    """An edit with its change."""
    change = None if before is None or after is None else history.change_between(before, after, why)
    return Edit(path, before, after, why, change)


@dataclass(slots=True)
class _History:
    done: list[Edit] = field(default_factory=list)
    undone: list[Edit] = field(default_factory=list)


def text_digest(content: bytes) -> str:
    """Digest of a file as a person sees it: SHA-256 of its bytes."""
    return hashlib.sha256(content).hexdigest()


def find_shop(path: Path) -> Path:
    """Walk up from a file or folder to the folder that holds `shop.yaml`.

    Raises:
        NotAShop: there is none above.
    """
    start = path if _kind(path) == "folder" else path.parent
    for folder in (start.resolve(), *start.resolve().parents):
        if (folder / SHOP_FILE).is_file():
            return folder
    raise NotAShop(f"{path} is in no shop folder: no {SHOP_FILE} beside it or above it; `rigbook new FOLDER` makes one")


def find_build(path: Path) -> tuple[Path, str]:
    """The shop folder of a build file, and the build's path inside it (with slashes).

    Raises:
        NotAShop: the file is missing, is a folder, is not under `builds/`, or leads out of the shop folder.
    """
    there = _kind(path)
    if there == "folder":
        raise NotAShop(f"{path} is a folder; name a build file{_such_as(path)}")
    if there == "nothing":
        raise NotAShop(f"{path} is not there{_nearest(path)}")
    if there == "other":
        raise NotAShop(f"{path} is a device or a pipe; name a build file")
    root = find_shop(path)
    inside = path.parent.resolve() / path.name
    if not path.resolve().is_relative_to(root):
        raise NotAShop(f"{path} leads out of the shop folder {root}")
    name = inside.relative_to(root).as_posix()
    if name.split("/", 1)[0] != "builds":
        raise NotAShop(f"{path} is not a build: builds stand in {root / 'builds'}")
    return root, name


def _kind(path: Path) -> str:
    try:
        return kind_at(path)
    except OSError as why:
        raise NotAShop(f"{short(path)} cannot be read: {why.strerror}") from why


def _such_as(folder: Path) -> str:
    builds = sorted(folder.glob("builds/*.yaml")) or sorted(folder.glob("*.yaml"))
    return f", such as {builds[0]}" if builds else ""


def _nearest(path: Path) -> str:
    import difflib

    if path.is_symlink():
        return ": it is a link to something that is not there"
    if not path.parent.is_dir():
        return f" (there is no folder {path.parent})"
    near = difflib.get_close_matches(path.name, [p.name for p in path.parent.iterdir()], n=1)
    return f"; the nearest there is {path.parent / near[0]}" if near else ""


class ShopFolder:
    """One shop folder. Loads are kept by the digest of everything they read."""

    def __init__(self, root: Path) -> None:
        """Open the folder that holds `shop.yaml`.

        Raises:
            NotAShop: it does not hold one.
        """
        if not (root / SHOP_FILE).is_file():
            raise NotAShop(f"{root} is not a shop folder: it has no {SHOP_FILE}; `rigbook new FOLDER` makes one")
        self.root = root.resolve()
        self._loads: OrderedDict[tuple[str, str], Loaded] = OrderedDict()
        self._histories: dict[str, _History] = {}

    # --- reading ---------------------------------------------------------------------------------

    def builds(self) -> tuple[str, ...]:
        """Paths of the build files inside the folder, sorted."""
        return tuple(sorted(p.relative_to(self.root).as_posix() for p in (self.root / "builds").glob("*.yaml")))

    def path_of(self, name: str) -> Path:
        """The file of a path inside the folder.

        Raises:
            NotAShop: the path leads out of the folder.
        """
        path = (self.root / name).resolve()
        if not path.is_relative_to(self.root) or path == self.root:
            raise NotAShop(f"{name} leads out of the shop folder")
        return path

    def read(self, name: str) -> tuple[bytes, str]:
        """A file's bytes and digest.

        Raises:
            NotAShop: it is not there or cannot be read.
        """
        try:
            content = self.path_of(name).read_bytes()
        except OSError as why:
            raise NotAShop(f"{name} cannot be read: {why.strerror}") from why
        return content, text_digest(content)

    def digest(self, name: str) -> str:
        """Digest of everything a load of this build may read: the shop, its vehicles, parts, rules, and the build."""
        whole = hashlib.sha256()
        paths = [self.root / SHOP_FILE, self.path_of(name)]
        for folder in WATCHED:
            within = self.root / folder
            paths.extend(sorted(p for p in within.rglob("*") if p.is_file() and history.FOLDER not in p.parts))
        for path in paths:
            whole.update(str(path.relative_to(self.root)).encode() + b"\0")
            try:
                whole.update(hashlib.sha256(path.read_bytes()).digest())
            except OSError:
                whole.update(b"cannot be read")
        return whole.hexdigest()

    def parts_digest(self) -> str:
        """A cheap mark of the catalogue's state: names, sizes and times of the files of parts and of the shop."""
        whole = hashlib.sha256()
        for path in (self.root / SHOP_FILE, *sorted((self.root / "parts").glob("*.yaml"))):
            try:
                facts = path.stat()
            except OSError:
                continue  # taken away between listing and looking
            whole.update(f"{path.name}\0{facts.st_size}\0{facts.st_mtime_ns}\0{facts.st_ino}\n".encode())
        return whole.hexdigest()

    def load(self, name: str) -> Loaded:
        """Load a build, or give the load kept from before when nothing it reads has changed."""
        from rigbook.documents.loader import load_build

        key = (name, self.digest(name))
        if key in self._loads:
            self._loads.move_to_end(key)
            return self._loads[key]
        loaded = load_build(self.root, Path(name))
        self._loads[key] = loaded
        while len(self._loads) > KEEPS:
            self._loads.popitem(last=False)
        return loaded

    # --- editing ---------------------------------------------------------------------------------

    def edit(self, name: str, seen: str | None, after: bytes, why: str) -> str:
        """Write a file, guarded by the digest of what the person saw (None: they saw that it was not there).

        Returns the new digest. The change can be undone, and forgets what was undone before it.

        Raises:
            ChangedMeanwhile: the file is not what the person saw.
            CannotWrite: the file cannot be written.
            NotAShop: the path leads out of the folder.
        """
        path = self.path_of(name)
        before = path.read_bytes() if path.is_file() else None
        self._guard(name, before, seen)
        write_whole(path, after)
        steps = self._history(name, before)
        steps.done.append(edit_of(name, before, after, why))
        del steps.done[:-KEEPS]
        steps.undone.clear()
        self._keep(name, after)
        return text_digest(after)

    def undo(self, name: str) -> Edit | None:
        """Take the last edit of this file back; None where there is none. Guarded like an edit."""
        steps = self._history(name)
        return self._step(name, steps.done, steps.undone, backward=True)

    def redo(self, name: str) -> Edit | None:
        """Make the edit last taken back again; None where there is none. Guarded like an edit."""
        steps = self._history(name)
        return self._step(name, steps.undone, steps.done, backward=False)

    def steps(self, name: str) -> tuple[str | None, str | None]:
        """Why the edit was made that `undo` would take back, and the one `redo` would make again; None: there is none.

        That a file came is no step here: taking it back would take the file away.
        """
        steps = self._history(name)
        done = steps.done[-1].why if steps.done and steps.done[-1].before is not None else None
        return done, steps.undone[-1].why if steps.undone else None

    def _history(self, name: str, present: bytes | None = None) -> _History:
        """What was edited of a file: of this run, or kept from one before."""
        if name not in self._histories:
            path = self.path_of(name)
            if present is None:
                present = path.read_bytes() if path.is_file() else b""
            self._histories[name] = _followed(name, present, *history.kept(path, present))
        return self._histories[name]

    def _keep(self, name: str, present: bytes | None) -> None:
        steps = self._histories[name]
        if present is not None:
            done = [e.change for e in _last_changes(steps.done)]
            undone = [e.change for e in _last_changes(steps.undone)]
            history.keep(self.path_of(name), present, [c for c in done if c], [c for c in undone if c])

    def _step(self, name: str, from_: list[Edit], to: list[Edit], *, backward: bool) -> Edit | None:
        if not from_:
            return None
        edit = from_[-1]
        is_now, becomes = (edit.after, edit.before) if backward else (edit.before, edit.after)
        path = self.path_of(name)
        present = path.read_bytes() if path.is_file() else None
        self._guard(name, present, None if is_now is None else text_digest(is_now))
        if becomes is None:
            path.unlink()
        else:
            write_whole(path, becomes)
        to.append(from_.pop())
        self._keep(name, becomes)
        return edit

    def _guard(self, name: str, present: bytes | None, seen: str | None) -> None:
        digest = None if present is None else text_digest(present)
        if digest != seen:
            raise ChangedMeanwhile(name, digest or "")


def _last_changes(edits: list[Edit]) -> list[Edit]:
    """The newest edits of a file that was there before and after each: what went before cannot be kept as changes."""
    gone = next((i for i in range(len(edits) - 1, -1, -1) if edits[i].change is None), -1)
    return edits[gone + 1 :]


def _followed(name: str, present: bytes, done: list[Change], undone: list[Change]) -> _History:
    """Edits with their whole texts, from the text on disk and the changes around it."""
    steps = _History()
    after = present
    for change in reversed(done):
        before = history.undone(after, change)
        if before is None:
            break
        steps.done.insert(0, Edit(name, before, after, change.why, change))
        after = before
    before = present
    for change in reversed(undone):
        becomes = history.redone(before, change)
        if becomes is None:
            break
        steps.undone.insert(0, Edit(name, before, becomes, change.why, change))
        before = becomes
    return steps
