"""Meanings of keys are the docstrings beneath the attributes, bases included, and cost nothing at import."""

from typing import Annotated

from pydantic import Field

from rigbook.documents.describing import meanings
from rigbook.documents.schema.base import Record
from rigbook.documents.schema.parts import Lamp, PartBase


class Under(Record):
    first: str
    """What the first
    is about.
    """
    second: Annotated[str, Field(alias="2nd")] = ""
    third: str = ""
    "Third."


class Above(Under):
    third: str = "x"
    """Third, said anew."""
    fourth: str = ""
    """Fourth."""


def test_reads_the_text_beneath_each_attribute() -> None:
    assert meanings(Under) == {"first": "What the first\nis about.", "third": "Third."}


def test_bases_first_and_the_nearest_wins() -> None:
    assert meanings(Above) == {"first": "What the first\nis about.", "third": "Third, said anew.", "fourth": "Fourth."}


def test_a_part_has_the_meanings_of_every_part() -> None:
    common = meanings(PartBase)
    assert len(common) > 10
    assert common.items() <= {**common, **meanings(Lamp)}.items()
    assert set(common) <= set(meanings(Lamp))


def test_schemas_do_not_read_their_sources_at_import() -> None:
    assert not Record.model_config.get("use_attribute_docstrings")
    assert all(field.description is None for field in Lamp.model_fields.values())
