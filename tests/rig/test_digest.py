"""Canonical JSON against the examples of RFC 8785, and what the digest does and does not see."""

from __future__ import annotations

import json
import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.rig.digest import canonical, digest, number
from tests.rig.small import PARTS, SHOP, VEHICLE, build_text, worked

TEXT = build_text(install="  - {id: lamp, part: dual, place: nose}\n")

# RFC 8785, appendix B, table of number serialisation samples: IEEE 754 bits and JSON text
RFC_NUMBERS = {
    "0000000000000000": "0", "8000000000000000": "0", "0000000000000001": "5e-324", "8000000000000001": "-5e-324",
    "7fefffffffffffff": "1.7976931348623157e+308", "ffefffffffffffff": "-1.7976931348623157e+308",
    "4340000000000000": "9007199254740992", "c340000000000000": "-9007199254740992",
    "4430000000000000": "295147905179352830000", "44b52d02c7e14af5": "9.999999999999997e+22",
    "44b52d02c7e14af6": "1e+23", "44b52d02c7e14af7": "1.0000000000000001e+23", "444b1ae4d6e2ef4e": "999999999999999700000",
    "444b1ae4d6e2ef4f": "999999999999999900000", "444b1ae4d6e2ef50": "1e+21", "3eb0c6f7a0b5ed8c": "9.999999999999997e-7",
    "3eb0c6f7a0b5ed8d": "0.000001", "41b3de4355555553": "333333333.3333332", "41b3de4355555554": "333333333.33333325",
    "41b3de4355555555": "333333333.3333333", "41b3de4355555556": "333333333.3333334", "becbf647612f3696": "-0.0000033333333333333333",
}  # fmt: skip


@pytest.mark.outside
@pytest.mark.parametrize(("bits", "text"), RFC_NUMBERS.items())
def test_numbers_are_those_of_rfc_8785_appendix_b(bits: str, text: str) -> None:
    (value,) = struct.unpack(">d", bytes.fromhex(bits))
    assert number(value) == text


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_reads_back_as_itself(value: float) -> None:
    assert float(json.loads(number(value))) == value


@given(st.recursive(st.none() | st.booleans() | st.text(max_size=5) | st.integers(-9999, 9999),
                    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=3)))  # fmt: skip
def test_canonical_json_reads_back(value: object) -> None:
    text = canonical(value)
    assert json.loads(text) == value and canonical(json.loads(text)) == text


@pytest.mark.outside
def test_keys_stand_in_utf_16_order() -> None:
    # RFC 8785, section 3.2.3: the sorting example
    names = {"€": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh", "1": "One",
             "😀": "Emoji: Grinning Face", "\x80": "Control", "ö": "Latin Small Letter O With Diaeresis"}  # fmt: skip
    order = ["Carriage Return", "One", "Control", "Latin Small Letter O With Diaeresis", "Euro Sign",
             "Emoji: Grinning Face", "Hebrew Letter Dalet With Dagesh"]  # fmt: skip
    assert list(json.loads(canonical(names)).values()) == order


def test_what_json_cannot_hold_is_refused() -> None:
    with pytest.raises(ValueError, match="NaN"):
        canonical({"a": float("nan")})
    with pytest.raises(TypeError):
        canonical(object())


def test_the_digest_is_sha256() -> None:
    # NIST FIPS 180-4 example style: sha256 of the two bytes {}
    assert digest({}) == "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"


def test_comments_and_layout_do_not_count_and_everything_else_does() -> None:
    plain = worked(TEXT).digest
    assert worked(TEXT.replace("install:\n", "# a comment\ninstall:   # another\n")).digest == plain
    assert worked(TEXT.replace("title: Unit", "title: Other")).digest != plain
    assert worked(TEXT, vehicle=VEHICLE.replace("gvwr: 4900 lb", "gvwr: 4901 lb")).digest != plain
    assert worked(TEXT, parts=PARTS.replace("blue: {current: 0.9 A}", "blue: {current: 0.91 A}")).digest != plain
    assert worked(TEXT, shop=SHOP.replace("single: [400, 400]", "single: [400, 401]")).digest != plain
    assert worked(TEXT, parts=PARTS.replace("title: Whip", "title: Rod")).digest == plain, "a part it does not reach"
