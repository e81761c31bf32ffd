"""What is written reads back as the same value, in a block and in braces."""

from hypothesis import given
from hypothesis import strategies as st

from rigbook.documents.text import read_tree
from rigbook.documents.writing import block_lines, flow_text, scalar_text

TEXT = st.text(
    st.characters(exclude_categories=["Cs", "Cn"], exclude_characters="\r\x85\u2028\u2029\ufeff"), max_size=40
).filter(lambda t: all(c in "\n\t" or ord(c) >= 32 for c in t) and "\x7f" not in t)
NAME = st.from_regex(r"[a-z][a-z0-9-]{0,8}", fullmatch=True)


def read(text):
    tree = read_tree(text.encode(), "x")
    assert not tree.errors, (text, tree.errors)
    return tree.tree


@given(TEXT, st.sampled_from([None, "", "'", '"', "|", ">"]))
def test_scalar_in_a_block(value, style):
    assert read(f"a:\n  b: {scalar_text(value, flow=False, style=style, indent=2)}\nc: d\n")["a"]["b"] == value


@given(TEXT, TEXT, st.sampled_from([None, "'", '"']))
def test_scalar_in_braces(value, other, style):
    text = f"a: {{b: {scalar_text(value, flow=True, style=style)}, c: [{scalar_text(other, flow=True)}]}}\n"
    tree = read(text)
    assert (tree["a"]["b"], tree["a"]["c"]) == (value, [other])


VALUES = st.recursive(
    TEXT.map(lambda t: t.replace("\n", " ")),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(NAME, inner, max_size=3),
    max_leaves=8,
)


@given(VALUES)
def test_structures_on_one_line(value):
    assert read(f"a: {flow_text(value)}\n")["a"] == value


@given(st.dictionaries(NAME, VALUES, min_size=1, max_size=4))
def test_structures_over_lines(value):
    spelled_twice = {"color", "colour", "colors", "colours", "tires", "tyres"}
    if not spelled_twice & set(value):
        assert read("\n".join(block_lines(value)) + "\n") == value


def test_plain_where_plain_is_safe():
    for text in ("14 AWG", "battery.starter", "a b", "x#y", "-5 m", "1/2", "gear == park", "a:b"):
        assert scalar_text(text, flow=False) == text
    for text in ("", " a", "a: b", "a #b", "- a", "[a", "*a", "&a", "!a", "%a", "@a", "a:", "'a'"):
        assert scalar_text(text, flow=False).startswith('"')
