"""Whatever a file holds: no traceback, and every error has its file and line."""

import random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.documents.shop_files import EXAMPLE
from tests.documents.small_shop import TEXTS

from rigbook.documents.loader import load_build
from rigbook.documents.text import read_tree

NAMES = sorted(TEXTS)
SMALL = {name: text.encode() for name, text in TEXTS.items()}
EXAMPLES = {
    path.relative_to(EXAMPLE).as_posix(): path.read_text(encoding="utf-8") for path in sorted(EXAMPLE.rglob("*.yaml"))
}
STRANGE = [
    "", "~", "null", "[]", "{}", "[[]]", "{a: b}", "- x", "-1", "0", "1e400", "nan kg", "inf A", "-5 lb", "9" * 60, "1/0",
    "'", '"', "|", ">", "&a", "*a", "!!python/object:os.system x", "<<", "? x", "%", "@", "`", "#", ": ", "\t", "\x00",
    "\ufeff", "\u2028", "é", "\U0001f600", "auto", "yes", "control.999999999", "battery.", ".", "..", "a.b.c", "{" * 60,
    "x" * 5000, "1-8", "8-1", "100 %", "101 %", "0 V", "5 %", "12 V", "14 AWG", "0 AWG", "10 mm", "{from: 1}", "[1, 2, 3]",
]  # fmt: skip
everyday = settings(
    max_examples=150, deadline=None, derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)  # fmt: skip


def load(tmp_folder, **texts):
    (tmp_folder / "nothing").mkdir(exist_ok=True)
    overlay = {**SMALL, **texts}
    loaded = load_build(tmp_folder / "nothing", "builds/test.yaml", overlay)
    for error in loaded.errors:
        assert error.file
        assert error.line >= 1
        assert error.column >= 1
        assert error.says
        assert str(error).startswith(f"{error.file}:{error.line}:{error.column}: ")
    assert loaded.errors or loaded.build is not None
    return loaded


@everyday
@given(st.sampled_from(NAMES), st.binary(max_size=300))
def test_bytes(tmp_path, name, data):
    load(tmp_path, **{name: data})


@everyday
@given(st.sampled_from(NAMES), st.text(max_size=200))
def test_text(tmp_path, name, text):
    load(tmp_path, **{name: text.encode("utf-8", "surrogatepass")})


@everyday
@given(st.sampled_from(NAMES), st.integers(0, 5000), st.integers(0, 40), st.sampled_from(STRANGE))
def test_a_piece_of_a_sound_text_replaced(tmp_path, name, at, length, piece):
    text = TEXTS[name]
    at %= len(text)
    load(tmp_path, **{name: (text[:at] + piece + text[at + length :]).encode("utf-8", "surrogatepass")})


@everyday
@given(st.sampled_from(NAMES), st.integers(0, 5000), st.integers(0, 255))
def test_one_byte_of_a_sound_file_changed(tmp_path, name, at, byte):
    data = SMALL[name]
    at %= len(data)
    load(tmp_path, **{name: data[:at] + bytes([byte]) + data[at + 1 :]})


def positions(text):
    """Start and end of every scalar value, by the marks of the walk."""
    starts = [0]
    for line in text.split("\n"):
        starts.append(starts[-1] + len(line) + 1)

    def walk(node):
        if isinstance(node, dict):
            for value in node.values():
                yield from walk(value)
        elif isinstance(node, list):
            for value in node:
                yield from walk(value)
        elif not node.quoted and "\n" not in node:
            at = starts[node.where.line - 1] + node.where.column - 1
            yield at, at + len(node)

    yield from walk(read_tree(text.encode(), "x").tree)


def test_structure_aware_mutations_of_the_examples(tmp_path):
    """Values swapped for strange ones, lines dropped, doubled, moved and indented, over every example document."""
    chance = random.Random(11)
    shop = {name: text.encode() for name, text in EXAMPLES.items()}
    builds = [name for name in EXAMPLES if name.startswith("builds/")]
    done = dict.fromkeys(("value", "swap", "drop", "double", "move", "indent"), 0)
    refused = 0
    for round_ in range(3):
        for name, text in EXAMPLES.items():
            for how in chance.sample(sorted(done), 2):
                lines = text.split("\n")
                at = chance.randrange(len(lines) - 1)
                if how in ("value", "swap"):
                    spots = list(positions(text))
                    start, end = chance.choice(spots)
                    other = chance.choice(spots)
                    piece = chance.choice(STRANGE) if how == "value" else text[other[0] : other[1]]
                    mutated = text[:start] + piece + text[end:]
                else:
                    if how == "drop":
                        del lines[at]
                    elif how == "double":
                        lines.insert(at, lines[at])
                    elif how == "move":
                        lines.insert(chance.randrange(len(lines)), lines.pop(at))
                    else:
                        lines[at] = "  " + lines[at]
                    mutated = "\n".join(lines)
                done[how] += 1
                build = name if name in builds else builds[round_ % len(builds)]
                overlay = {**shop, name: mutated.encode("utf-8", "surrogatepass")}
                loaded = load_build(tmp_path, build, overlay)
                assert all(e.file and e.line >= 1 and e.column >= 1 and e.says for e in loaded.errors)
                refused += bool(loaded.errors)
    assert min(done.values()) >= 3, done
    assert refused >= sum(done.values()) // 4, "most mutations should be refused"
