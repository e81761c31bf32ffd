from rigbook.documents.outline import outline_of

TEXT = "a: 1   # one\nb:\n  - {id: x, c: 'q'}\n  - id: y\n    d: [1, 2]  # two\ne: |\n  text\n  more\n\nf:\n"


def test_values_stand_where_they_stand():
    root = outline_of(TEXT)
    assert list(root.members) == ["a", "b", "e", "f"]
    one = root.members["a"]
    assert TEXT[one.start : one.end] == "1"
    quoted = root.members["b"].items[0].members["c"]
    assert TEXT[quoted.start : quoted.end] == "'q'"
    assert quoted.in_flow
    numbers = root.members["b"].items[1].members["d"]
    assert TEXT[numbers.start : numbers.end] == "[1, 2]"
    assert root.members["b"].last == numbers.end
    block = root.members["e"]
    assert TEXT[block.start : block.end] == "|\n  text\n  more"
    empty = root.members["f"]
    assert empty.start == empty.end


def test_items_by_number_id_and_name():
    part = outline_of("- {id: x}\n- {name: some words}\n")
    assert (part.index_of(1), part.index_of("x"), part.index_of("some words")) == (1, 0, 1)
    assert (part.index_of(2), part.index_of("z")) == (None, None)


def test_an_empty_text_is_an_empty_mapping():
    assert outline_of("# nothing\n").keys == {}
