from rigbook.documents.references import Part, find, measures, names, part_facts, scalars, variables
from rigbook.documents.text import read_tree


def tree(text):
    return read_tree(text.encode(), "x.yaml").tree


def test_patterns_find_values_items_and_keys():
    root = tree("a: [{b: {x: 1, y: [2, 3]}}, {b: z}, plain]\n")
    assert [str(s) for s in scalars(root, "a[].b")] == ["z"]
    assert [str(s) for s in scalars(root, "a[].b{key}")] == ["x", "y"]
    assert [str(s) for s in scalars(root, "a[].b{}")] == ["1"]
    assert [str(s) for s in scalars(root, "a[]")] == ["plain"]
    assert len(list(find(root, "a[]"))) == 3
    assert list(find(root, "nothing[].b")) == []
    assert next(scalars(root, "a[].b{key}")).where.column == 10
    assert list(names(root, "a[].b", "a[]")) == ["z", "plain"]


def test_facts_of_a_part():
    facts = part_facts(tree("{id: x, kind: controller, outputs: {count: 8}, inputs: {count: many}, draws: {on: 1 A}}"))
    assert facts == Part("controller", (), ("on",), "", 8, None, None)
    assert part_facts(tree("{colors: {blue: 1}}")).colours == ("blue",)


def test_variables_and_their_values():
    root = tree(
        "switches: [{id: s, positions: [off, on]}, {id: h, tap_under: 1 s}, {id: l}]\n"
        "signals: [{id: g, values: [a, b]}]\nmemory: [{id: m, steps: [x, y]}]\ntimers: [{id: t}]\n"
    )
    assert variables(root, "") == {
        "s": ("off", "on"), "h": ("no", "yes", "pressed", "held"), "l": ("no", "yes"), "g": ("a", "b"), "m": ("x", "y"),
        "t": ("no", "yes"),
    }  # fmt: skip


def test_measures_point_to_banks_and_areas():
    text = "s: [{m: voltage.aux}, {m: temperature.cabin}, {m: speed}, {m: voltage.axu}]\n"
    root = tree(text)
    (error,) = measures(root, "s[].m", ["aux"], ["cabin"])
    assert (error.nearest, error.column) == ("aux", text.index("axu") + 1)
