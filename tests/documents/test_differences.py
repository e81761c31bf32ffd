from tests.documents.shop_files import files

from rigbook.documents.differences import differences
from rigbook.documents.schema.build import BuildDocument
from rigbook.documents.text import read_tree
from rigbook.documents.validate import validate

TEXT = files()["example_shop/builds/duty-officer-utility.yaml"]


def build(text):
    made, errors = validate(BuildDocument, read_tree(text.encode(), "b.yaml").tree, "b.yaml")
    assert not errors, errors
    return made


def test_equal_documents_do_not_differ():
    assert differences(build(TEXT), build("# a comment\n" + TEXT)) == ()


def test_one_value_is_one_difference_with_its_places():
    changed = TEXT.replace(
        "part: surface-six-blue-white, place: grille-left", "part: surface-six-blue, place: grille-left"
    )
    (only,) = differences(build(TEXT), build("\n" + changed))
    assert (only.path, only.before, only.after) == (
        "install[grille-left].part",
        "surface-six-blue-white",
        "surface-six-blue",
    )
    assert only.where_after.line == only.where_before.line + 1


def test_units_do_not_count_and_items_are_matched_by_id():
    changed = TEXT.replace("starts_after: 0.5 s", "starts_after: 500 ms")
    assert changed != TEXT
    assert differences(build(TEXT), build(changed)) == ()


def test_added_removed_and_moved():
    lines = TEXT.split("\n")
    at = next(i for i, line in enumerate(lines) if "id: quarter-left" in line)
    removed = "\n".join(lines[:at] + lines[at + 1 :])
    (gone,) = differences(build(TEXT), build(removed))
    assert (gone.path, gone.after) == ("install[quarter-left]", None)
    assert gone.before["place"] == "quarter-left"
    (back,) = differences(build(removed), build(TEXT))
    assert back.before is None
    moved = "\n".join([*lines[:at], lines[at + 1], lines[at], *lines[at + 2 :]])
    (order,) = differences(build(TEXT), build(moved))
    assert order.path == "install(order)"


def test_expressions_and_functions_by_name():
    changed = TEXT.replace(
        "      when: response == responding and not parked\n", "      when: response == responding\n", 1
    )
    (only,) = differences(build(TEXT), build(changed))
    assert only.path == "switching.functions[White added ahead in motion].when"
