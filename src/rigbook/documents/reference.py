"""The reference of each kind of document, written from the schemas: `python -m rigbook.documents.reference FOLDER`."""

from __future__ import annotations

import sys
import types
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from rigbook.documents.describing import meanings
from rigbook.documents.schema import scalars
from rigbook.documents.schema.base import Placed
from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.parts import PartBase, PartsDocument
from rigbook.documents.schema.shop import RulesDocument, ShopDocument
from rigbook.documents.schema.switching import Switching
from rigbook.documents.schema.vehicle import VehicleDocument
from rigbook.quantities.units import DIMENSIONS

HEAD = "<!-- Written from the schemas by `python -m rigbook.documents.reference docs/reference`; do not edit. -->\n"

_PAGES: tuple[tuple[str, str, str, type[BaseModel], frozenset[type[BaseModel]]], ...] = (
    ("shop.md", "The shop document", "`shop.yaml`: who we are, prices, stock, patterns, labels.", ShopDocument, frozenset()),
    ("vehicle.md", "Vehicle documents", "`vehicles/*.yaml`: one base vehicle a file.", VehicleDocument, frozenset()),
    ("part.md", "Part documents", "`parts/*.yaml`: the catalogue, several parts to a file.", PartsDocument, frozenset()),
    ("build.md", "Build documents", "`builds/*.yaml`: one vehicle as it is to be built.", BuildDocument,
     frozenset({Switching})),
    ("switching-section.md", "The switching section", "The key `switching` of a build.", Switching, frozenset()),
    ("rules.md", "Rule packs", "`rules/*.yaml`, and the packs that ship.", RulesDocument, frozenset()),
)  # fmt: skip
_MEANING: Mapping[str, str] = types.MappingProxyType(
    {
        "Name": "name", "Ref": "reference, as `control.3`", "Text": "text",
        "YesNo": "yes or no", "Count": "whole number", "Number": "number", "Ratio": "number above 0",
        "Share": "share in per cent (`70 %`)", "Fraction": "fraction (`1/2`, `0.25`)", "FormatNumber": "`1`",
        "Money": "amount with currency (`45 USD`)", "GaugeText": "wire size (`14 AWG`, `2.5 mm2`)",
        "Rpm": "speed of rotation (`700 rpm`, `700`)", "Minutes": "time (`12 min`)", "Extent": "length, not negative",
        "Azimuth": "azimuth in deg", "Tilt": "angle in deg, -90 to 90", "Weight": "mass above 0",
    }
)  # fmt: skip


def _dimension_words(name: str) -> str | None:
    dimension = {"Flux": "flux", "Intensity": "intensity", "SoundLevel": "sound-level"}.get(name, name.lower())
    for key, units in DIMENSIONS.items():
        if key == dimension:
            return f"{units.noun.split(' ', 1)[1]} ({', '.join(units.offered)})"
    return None


def _scalar_names() -> dict[Any, str]:
    named: dict[Any, str] = {}
    for name, value in vars(scalars).items():
        if get_origin(value) is Annotated:
            named[value.__metadata__] = _MEANING.get(name) or _dimension_words(name) or name
    return named


def describe(annotation: Any, metadata: tuple[Any, ...] = ()) -> str:
    """A type as a reader needs it."""
    scalar = _scalar_names().get(metadata)
    if scalar is not None:
        return scalar
    if get_origin(annotation) is Annotated:
        return describe(get_args(annotation)[0], annotation.__metadata__)
    if annotation is Placed:
        return "text: expression, selector or name"
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin in (Union, types.UnionType):
        parts = [describe(a) for a in arguments if a is not type(None)]
        return ", or ".join(dict.fromkeys(parts))
    if origin is Literal:
        return " · ".join(f"`{a}`" for a in arguments)
    if origin is list:
        return f"list of {describe(arguments[0])}"
    if origin is tuple:
        return "[" + ", ".join(describe(a) for a in arguments) + "]"
    if origin is dict:
        return f"map from {describe(arguments[0])} to {describe(arguments[1])}"
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return f"[{annotation.__name__}](#{annotation.__name__.lower()})"
    return (
        "text" if annotation is str else "anything" if annotation is Any else getattr(annotation, "__name__", "value")
    )


def default_words(field: FieldInfo) -> str:
    """The default of a key, with its unit."""
    if field.is_required():
        return "**needed**"
    value = field.default
    if field.default_factory is not None or value is None or value in ([], {}):
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g} {_base_units().get(tuple(field.metadata), '')}".strip()
    return str(value)


def _base_units() -> dict[Any, str]:
    """The unit in which a default of each scalar type is stated."""
    same = {"Extent": "length", "Azimuth": "angle", "Tilt": "angle", "Weight": "mass", "SoundLevel": "sound-level"}
    found: dict[Any, str] = {}
    for name, value in vars(scalars).items():
        dimension = same.get(name, name.lower())
        if get_origin(value) is Annotated:
            unit = next((next(iter(u.units)) for key, u in DIMENSIONS.items() if key == dimension), "")
            found[value.__metadata__] = "min" if name == "Minutes" else "" if name == "Share" else unit
    return found


def records_of(annotation: Any) -> Iterator[type[BaseModel]]:
    """The records that a type holds, in order."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for argument in get_args(annotation):
        yield from records_of(argument)


def _section(record: type[BaseModel], common: frozenset[str]) -> str:
    lines = [f"## {record.__name__}", ""]
    kind, meaning_of = record.model_fields.get("kind"), meanings(record)
    if kind is not None and issubclass(record, PartBase):
        lines += [f"`kind: {get_args(kind.annotation)[0]}`. {meaning_of.get('kind', '')}", ""]
    lines += ["| key | value | default | meaning |", "| --- | --- | --- | --- |"]
    for name, field in record.model_fields.items():
        if name == "marks_" or name in common:
            continue
        value = describe(field.annotation, tuple(field.metadata)).replace("|", "\\|")
        meaning = meaning_of.get(name, "").replace("|", "\\|").replace("\n", " ")
        lines.append(f"| `{field.alias or name}` | {value} | {default_words(field)} | {meaning} |")
    return "\n".join(lines) + "\n"


def _reached(root: type[BaseModel], elsewhere: frozenset[type[BaseModel]] = frozenset()) -> list[type[BaseModel]]:
    """The root and every record that it holds, each once, nearest first; none of `elsewhere`."""
    order: list[type[BaseModel]] = []
    waiting = [root]
    while waiting:
        record = waiting.pop(0)
        if record in order or record in elsewhere:
            continue
        order.append(record)
        for field in record.model_fields.values():
            waiting.extend(records_of(field.annotation))
    return order


def page(title: str, about: str, root: type[BaseModel], elsewhere: frozenset[type[BaseModel]]) -> str:
    """One page of reference."""
    order = _reached(root, elsewhere)
    common = frozenset(PartBase.model_fields)
    sections = [_section(record, common if issubclass(record, PartBase) else frozenset()) for record in order]
    if root is PartsDocument:
        sections.insert(1, _section(PartBase, frozenset()))
        sections[0] += "\nEvery part has the keys of [PartBase](#partbase), and those of its kind.\n"
    text = f"{HEAD}\n# {title}\n\n{about} A name is small letters, digits, `-` and `_`, and begins with a letter.\n\n"
    text += "\n".join(sections)
    for record in elsewhere:
        text = text.replace(f"(#{record.__name__.lower()})", f"({_page_of(record)})")
    return text


def _page_of(record: type[BaseModel]) -> str:
    return next(name for name, _, _, root, _ in _PAGES if root is record)


def pages() -> dict[str, str]:
    """All pages by file name."""
    return {name: page(title, about, root, elsewhere) for name, title, about, root, elsewhere in _PAGES}


def json_schemas() -> dict[str, dict[str, Any]]:
    """JSON Schema of each kind of document, for the completion of editors."""
    roots: dict[str, type[BaseModel]] = {
        "shop": ShopDocument, "vehicle": VehicleDocument, "part": PartsDocument, "build": BuildDocument,
        "rules": RulesDocument,
    }  # fmt: skip
    found: dict[str, dict[str, Any]] = {}
    for name, root in roots.items():
        schema = root.model_json_schema(by_alias=True)
        records = {record.__name__: record for record in _reached(root)}
        for title, shown in {root.__name__: schema, **schema.get("$defs", {})}.items():
            properties = shown.get("properties", {})
            properties.pop("\x00marks", None)
            fields = records[title].model_fields
            for key, meaning in meanings(records[title]).items():
                properties[fields[key].alias or key]["description"] = meaning
        found[name] = schema
    return found


def main(folder: str) -> None:
    """Write the pages into a folder."""
    for name, text in pages().items():
        path = Path(folder) / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "docs/reference")
