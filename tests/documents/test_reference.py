from pathlib import Path

import pytest

from rigbook.documents.describing import meanings
from rigbook.documents.reference import json_schemas, main, pages, records_of
from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.schema.parts import PartsDocument
from rigbook.documents.schema.shop import RulesDocument, ShopDocument
from rigbook.documents.schema.vehicle import VehicleDocument

FOLDER = Path(__file__).parents[2] / "docs" / "reference"
ROOTS = (BuildDocument, PartsDocument, RulesDocument, ShopDocument, VehicleDocument)


def every_record():
    seen, waiting = [], list(ROOTS)
    while waiting:
        record = waiting.pop()
        if record not in seen:
            seen.append(record)
            for field in record.model_fields.values():
                waiting.extend(records_of(field.annotation))
    return seen


@pytest.mark.parametrize("name", sorted(pages()))
def test_page_is_not_stale(name):
    stale = "write it anew: python -m rigbook.documents.reference docs/reference"
    assert (FOLDER / name).read_text(encoding="utf-8") == pages()[name], stale


def test_every_key_is_described_and_printed():
    together, looked_at = "\n".join(pages().values()), 0
    for record in every_record():
        assert f"## {record.__name__}\n" in together
        meaning_of = meanings(record)
        for name, field in record.model_fields.items():
            if name == "marks_":
                continue
            assert meaning_of.get(name), f"{record.__name__}.{name} has no description"
            assert f"| `{field.alias or name}` |" in together
            looked_at += 1
    assert looked_at > 400


def test_writes_the_folder(tmp_path):
    main(str(tmp_path / "pages"))
    assert sorted(p.name for p in (tmp_path / "pages").iterdir()) == sorted(pages())


def test_json_schemas_hold_every_part_kind():
    text = str(json_schemas()["part"])
    for kind in ("lamp", "controller", "gas-spring", "request"):
        assert f"'{kind}'" in text
    assert "marks" not in text
