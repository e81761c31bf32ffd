"""A shop folder read from the disk: every document it holds, and everything that is wrong with them, in one go."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from importlib import resources
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar, cast

from pydantic import BaseModel

from rigbook.documents.build_references import Around, check_build
from rigbook.documents.errors import DocumentError
from rigbook.documents.references import Part, check_parts, check_shop, check_vehicle, find, part_facts, scalars
from rigbook.documents.schema.base import Mapping_, Where
from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.parts import PartAny, PartsDocument
from rigbook.documents.schema.shop import RulesDocument, Shop, ShopDocument
from rigbook.documents.schema.vehicle import Vehicle, VehicleDocument
from rigbook.documents.sizes import too_much, too_much_of_vehicle
from rigbook.documents.text import LARGEST_BYTES, read_tree
from rigbook.documents.validate import nearest, validate

PACKS = "packs:"
"""Names of files that ship with the tool begin so."""
Document = TypeVar("Document", bound=BaseModel)
_NONE: Mapping[str, bytes] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Loaded:
    """A shop folder, and one build of it where one was asked for. Files are named relative to the folder."""

    build: BuildDocument | None
    shop: Shop | None
    vehicle: Vehicle | None
    parts: Mapping[str, PartAny]
    packs: Mapping[str, RulesDocument]
    files: Mapping[str, bytes]
    light: Mapping[str, bytes]
    errors: tuple[DocumentError, ...]
    vehicles: Mapping[str, Vehicle] = field(default_factory=dict)
    builds: Mapping[str, BuildDocument] = field(default_factory=dict)


def check_currency(shop: Shop, parts: Mapping[str, PartAny]) -> list[DocumentError]:
    """Prices in another currency than the shop's."""
    prices = [(shop, "labour_rate"), *((part, key) for part in parts.values() for key in ("cost", "list_price"))]
    errors: list[DocumentError] = []
    for record, key in prices:
        currency = getattr(getattr(record, key), "currency", shop.currency)
        if currency != shop.currency:
            says = f"the price is in {currency}, and the shop counts in {shop.currency}"
            errors.append(DocumentError.at(record.where_of(key), says, currency, shop.currency))
    return errors


def load_build(folder: Path, build_path: Path | str, overlay: Mapping[str, bytes] = _NONE) -> Loaded:
    """Load a build and all it reaches.

    Args:
        folder: the shop folder.
        build_path: the build file, absolute or relative to the folder.
        overlay: unsaved texts by relative name, read instead of the files of those names.
    """
    return _Loading(folder, overlay).run(Path(build_path))


def load_shop(folder: Path, overlay: Mapping[str, bytes] = _NONE) -> Loaded:
    """Load a shop folder with all its vehicles, parts, packs and builds."""
    return _Loading(folder, overlay).run(None)


def load_shop_alone(folder: Path) -> tuple[Shop | None, Mapping[str, PartAny]]:
    """The shop document and its catalogue, without vehicles, rules and builds; parts that cannot be read are left out."""
    loading = _Loading(folder, _NONE)
    document = loading.document("shop.yaml", ShopDocument)
    return (document.shop if document else None), loading.parts()


class _Loading:
    """One load: what was read, and what was wrong."""

    def __init__(self, folder: Path, overlay: Mapping[str, bytes]) -> None:
        self.folder = folder.resolve()
        self.overlay = overlay
        self.files: dict[str, bytes] = {}
        self.errors: list[DocumentError] = []
        self.trees: dict[str, Any] = {}

    def run(self, build_path: Path | None) -> Loaded:
        document = self.document("shop.yaml", ShopDocument)
        shop = document.shop if document else None
        parts = self.parts()
        packs = self.packs()
        light = self.light(parts)
        vehicles = self.vehicles()
        facts = self.facts()
        pack_ids = self.ids("rules/", PACKS, pattern="pack.id")
        self.point(check_shop(self.trees.get("shop.yaml"), facts, pack_ids))
        for name in self.names("parts"):
            self.point(check_parts(self.trees.get(name), facts))
        if shop is not None:
            self.errors.extend(check_currency(shop, parts))
        build: BuildDocument | None = None
        builds: dict[str, BuildDocument] = {}
        reached: set[str] = set()
        wanted = self.names("builds") if build_path is None else [self.relative(build_path) or ""]
        for name in wanted:
            made = self.document(name, BuildDocument) if name else None
            vehicle_file = self.build_references(name, facts, pack_ids) if name else None
            reached |= {vehicle_file} if vehicle_file else set()
            if name and made is not None:
                self.errors.extend(too_much(made))
                builds[name] = made
                build = made if build_path is not None else None
        for name in self.names("vehicles"):
            if build_path is None or not reached or name in reached:
                self.point(check_vehicle(self.trees.get(name), facts))
            else:  # not reached from this build: its errors wait until it is
                self.errors = [error for error in self.errors if error.file != name]
        vehicle = vehicles.get(build.build.vehicle) if build is not None else None
        return Loaded(
            build, shop, vehicle, parts, packs, self.files, light, tuple(sorted(set(self.errors))), vehicles, builds
        )

    def build_references(self, name: str, parts: Mapping[str, Part] | None, packs: set[str] | None) -> str | None:
        """Check the references of a build; gives the file of its vehicle where that could be read."""
        tree = self.trees.get(name)
        wanted = next(scalars(tree, "build.vehicle"), None)
        vehicles = {
            str(found): file for file in self.names("vehicles") for found in scalars(self.trees.get(file), "vehicle.id")
        }
        file = vehicles.get(wanted) if wanted is not None else None
        unread = any(self.trees.get(file) is None for file in self.names("vehicles"))
        if wanted is not None and file is None and not unread:
            self.points_nowhere(wanted.where, "vehicle", str(wanted), vehicles)
        builds = self.build_ids(name) if next(scalars(tree, "build.match"), None) is not None else None
        around = Around(self.trees.get(file) if file else None, parts, packs, builds)
        self.point(check_build(tree, around))
        return file

    def build_ids(self, besides: str) -> set[str] | None:
        """Ids of the other builds of the shop; None where one of them could not be read."""
        found: set[str] = set()
        for name in self.names("builds"):
            if name == besides:
                continue
            if name not in self.trees:
                data = self.overlay.get(name) or self.bytes_of(name)
                self.trees[name] = None if data is None else read_tree(data, name).tree
            if self.trees[name] is None:
                return None
            found |= {str(scalar) for scalar in scalars(self.trees[name], "build.id")}
        return found

    def ids(self, *under: str, pattern: str) -> set[str] | None:
        """The scalars at a pattern of all files below some folders; None where one could not be read."""
        trees = [tree for name, tree in self.trees.items() if name.startswith(under)]
        if any(tree is None for tree in trees):
            return None
        return {str(scalar) for tree in trees for scalar in scalars(tree, pattern)}

    def facts(self) -> dict[str, Part] | None:
        """What references must know of each part; None where a file of parts could not be read."""
        facts: dict[str, Part] = {}
        for name in self.names("parts"):
            if self.trees.get(name) is None:
                return None
            for node in find(self.trees[name], "parts[]"):
                identity = next(scalars(node, "id"), None)
                if isinstance(node, Mapping_) and identity is not None:
                    facts.setdefault(str(identity), part_facts(node))
        return facts

    def point(self, errors: list[DocumentError]) -> None:
        """Take errors of references, but for those of values that their schema already refused."""
        told = {(error.file, error.line, error.column) for error in self.errors}
        self.errors.extend(error for error in errors if (error.file, error.line, error.column) not in told)

    def points_nowhere(self, where: Where, what: str, name: str, names: Mapping[str, object]) -> None:
        near = nearest(name, sorted(names))
        hint = f"; did you mean {near}?" if near else ""
        self.errors.append(DocumentError.at(where, f"there is no {what} {name!r}{hint}", name, f"a {what}", near))

    def relative(self, path: Path) -> str | None:
        """The name of a file of the shop folder, or None (and an error) where it lies outside."""
        whole = path if path.is_absolute() else self.folder / path
        try:
            return whole.resolve().relative_to(self.folder).as_posix()
        except RuntimeError:  # a loop of links
            says = f"{path} leads round in a circle"
        except (ValueError, OSError):
            says = f"{path} does not lie in the shop folder"
        self.errors.append(DocumentError(str(path), 1, 1, says, str(path), "a file of the shop folder"))
        return None

    def read(self, name: str) -> bytes | None:
        """The bytes of a file of the folder; never of one outside it."""
        if name in self.files:
            return self.files[name]
        if name in self.overlay:
            self.files[name] = self.overlay[name]
            return self.overlay[name]
        data = self.bytes_of(name)
        if data is not None:
            self.files[name] = data
        return data

    def bytes_of(self, name: str) -> bytes | None:
        path = self.folder / name
        try:
            if not path.resolve().is_relative_to(self.folder):
                says = f"{name} leads out of the shop folder"
                self.errors.append(DocumentError(name, 1, 1, says, name, "a file of the shop folder"))
                return None
            if not path.is_file():
                what = "is not a file" if path.exists() else "does not exist"
                self.errors.append(DocumentError(name, 1, 1, f"{name} {what}", "no file", name))
                return None
            if path.stat().st_size > LARGEST_BYTES:
                says = f"the file has {path.stat().st_size:,} bytes; at most {LARGEST_BYTES:,} are read"
                self.errors.append(DocumentError(name, 1, 1, says, "", f"at most {LARGEST_BYTES} bytes"))
                return None
            return path.read_bytes()
        except (OSError, ValueError, RuntimeError) as error:  # unreadable, a NUL in the name, a loop of links
            says = f"{name} cannot be read: {getattr(error, 'strerror', None) or error}"
            self.errors.append(DocumentError(name, 1, 1, says, "no readable file", name))
            return None

    def names(self, under: str) -> list[str]:
        """The documents of one folder, sorted, with those of the overlay."""
        there = self.folder / under
        found = {f"{under}/{p.name}" for p in there.glob("*.yaml")} if there.is_dir() else set()
        found |= {name for name in self.overlay if name.startswith(f"{under}/") and name.endswith(".yaml")}
        return sorted(found)

    def document(self, name: str, schema: type[Document]) -> Document | None:
        data = self.read(name)
        return None if data is None else self.parse(data, name, schema)

    def parse(self, data: bytes, name: str, schema: type[Document]) -> Document | None:
        tree, made, errors = _parsed(data, name, schema)
        self.errors.extend(errors)
        self.trees[name] = tree
        return cast("Document | None", made)

    def twice(self, where: Where, what: str, name: str, first: Where) -> None:
        self.errors.append(DocumentError.at(where, f"the {what} {name!r} stands twice; first at {first}", name))

    def parts(self) -> dict[str, PartAny]:
        parts: dict[str, PartAny] = {}
        for name in self.names("parts"):
            document = self.document(name, PartsDocument)
            for part in document.parts if document else ():
                if part.id in parts:
                    self.twice(part.where_of("id"), "part", part.id, parts[part.id].where_of("id"))
                else:
                    parts[part.id] = part
        return parts

    def packs(self) -> dict[str, RulesDocument]:
        packs: dict[str, RulesDocument] = {}
        shipped = resources.files("rigbook.data").joinpath("packs")
        if shipped.is_dir():
            for entry in sorted(shipped.iterdir(), key=lambda e: e.name):
                if entry.name.endswith(".yaml"):
                    name = PACKS + entry.name
                    self.files[name] = entry.read_bytes()
                    self.pack(packs, self.parse(self.files[name], name, RulesDocument))
        for name in self.names("rules"):
            self.pack(packs, self.document(name, RulesDocument))
        return packs

    def pack(self, packs: dict[str, RulesDocument], document: RulesDocument | None) -> None:
        if document is None:
            return
        if (first := packs.get(document.pack.id)) is not None:
            self.twice(document.pack.where_of("id"), "rule pack", document.pack.id, first.pack.where_of("id"))
        else:
            packs[document.pack.id] = document

    def vehicles(self) -> dict[str, Vehicle]:
        vehicles: dict[str, Vehicle] = {}
        for name in self.names("vehicles"):
            document = self.document(name, VehicleDocument)
            if document is None:
                continue
            vehicle = document.vehicle
            self.errors.extend(too_much_of_vehicle(vehicle))
            if vehicle.id in vehicles:
                self.twice(vehicle.where_of("id"), "vehicle", vehicle.id, vehicles[vehicle.id].where_of("id"))
            else:
                vehicles[vehicle.id] = vehicle
        return vehicles

    def builds(self) -> dict[str, BuildDocument]:
        builds: dict[str, BuildDocument] = {}
        for name in self.names("builds"):
            document = self.document(name, BuildDocument)
            if document is not None:
                builds[name] = document
        return builds

    def light(self, parts: Mapping[str, PartAny]) -> dict[str, bytes]:
        light: dict[str, bytes] = {}
        for part in parts.values():
            for colour in getattr(part, "colours", {}).values():
                if colour.light is None or colour.light in light:
                    continue
                where = colour.where_of("light")
                if "/" in colour.light or "\\" in colour.light or colour.light.startswith("."):
                    says = f"{colour.light!r} is not the name of a file in light/"
                    self.errors.append(DocumentError.at(where, says, colour.light, "a file name, without a folder"))
                    continue
                name = f"light/{colour.light}"
                if name not in self.overlay and not (self.folder / name).is_file():
                    self.points_nowhere(where, "photometric file", colour.light, self.light_names())
                elif (data := self.read(name)) is not None:
                    light[colour.light] = data
        return light

    def light_names(self) -> dict[str, None]:
        there = self.folder / "light"
        return {p.name: None for p in sorted(there.iterdir())} if there.is_dir() else {}


@lru_cache(maxsize=512)
def _parsed(data: bytes, name: str, schema: type[BaseModel]) -> tuple[Any, BaseModel | None, tuple[DocumentError, ...]]:
    """Tree, record and errors of one text. Remembered by its bytes: a shop's other files rarely change."""
    read = read_tree(data, name)
    if read.tree is None and read.errors:
        return None, None, tuple(read.errors)
    made, errors = validate(schema, read.tree, name)
    return read.tree, None if read.errors else made, (*read.errors, *errors)
