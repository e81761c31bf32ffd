from dataclasses import FrozenInstanceError

import pytest

from tests.switching.sections import EXCERPT, program_of


def test_a_program_is_frozen_and_hashable():
    program = program_of(EXCERPT)
    assert hash(program) == hash(program_of(EXCERPT))
    with pytest.raises(FrozenInstanceError):
        program.rest = ()  # type: ignore[misc]


def test_content_0_is_dark():
    content = program_of(EXCERPT).contents[0]
    assert content.channels == () and content.state is None and not content.commanded
