"""The files the browser may ask for: a closed table, read once, so that no request can name another file."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import resources
from importlib.resources.abc import Traversable

TYPES = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".txt": "text/plain; charset=utf-8",
    ".ttf": "font/ttf",
    ".svg": "image/svg+xml",
}


@dataclass(frozen=True, slots=True)
class Asset:
    """One file: its bytes, its content type and its digest (the entity tag)."""

    content: bytes
    content_type: str
    digest: str


def _walk(folder: Traversable, prefix: str) -> Iterator[tuple[str, bytes]]:
    for entry in sorted(folder.iterdir(), key=lambda e: e.name):
        if entry.is_dir():
            yield from _walk(entry, f"{prefix}{entry.name}/")
        elif entry.name[entry.name.rfind(".") :] in TYPES:
            yield prefix + entry.name, entry.read_bytes()


def asset_table() -> dict[str, Asset]:
    """Every file under `browser/`, and the program evaluator that lies beside its Python twin."""
    files = dict(_walk(resources.files("rigbook.browser"), ""))
    files["program.js"] = resources.files("rigbook.switching").joinpath("program.js").read_bytes()
    return {
        name: Asset(content, TYPES[name[name.rfind(".") :]], hashlib.sha256(content).hexdigest())
        for name, content in files.items()
    }


def import_map() -> str:
    """The import map of the vendored modules, as it stands in every page."""
    manifest = json.loads(
        resources.files("rigbook.browser").joinpath("vendor/MANIFEST.json").read_text(encoding="utf-8")
    )
    imports = {m["name"]: f"/assets/{m['file']}" for m in manifest["modules"]}
    return json.dumps({"imports": imports | {"program": "/assets/program.js"}}, sort_keys=True)


def import_map_hash() -> str:
    """Its hash as a content security policy names it."""
    return base64.b64encode(hashlib.sha256(import_map().encode()).digest()).decode()
