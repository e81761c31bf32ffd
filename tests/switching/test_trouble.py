from rigbook.documents.schema.base import Placed, Where
from rigbook.switching.language import LanguageError
from rigbook.switching.trouble import Trouble


def test_a_slip_is_entered_at_its_place_and_once():
    trouble = Trouble()

    def slip() -> int:
        raise LanguageError(4, "wrong", found="x", nearest="y")

    placed = Placed("a == x", Where("f", 7, 10))
    assert trouble.guarded(placed, slip) is None
    assert trouble.guarded(placed, slip) is None
    assert trouble.guarded(placed, lambda: 3) == 3
    (problem,) = trouble.problems
    assert (problem.file, problem.line, problem.column, problem.nearest) == ("f", 7, 14, "y")


def test_notes_are_no_problems():
    trouble = Trouble()
    trouble.note(Where("f", 2, 1), "worth saying", "F")
    assert not trouble.problems and trouble.notes[0].subject == "F"
