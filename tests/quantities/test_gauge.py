import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigbook.quantities.gauge import Gauge, parse_gauge
from rigbook.quantities.parse import QuantityError


def test_reads_both_systems():
    assert parse_gauge("14 AWG") == Gauge("AWG", 14)
    assert parse_gauge("2/0 AWG") == Gauge("AWG", -1)
    assert parse_gauge("4/0AWG") == Gauge("AWG", -3)
    assert parse_gauge("2.5 mm2") == Gauge("mm2", 2.5)
    assert parse_gauge("0 AWG") == parse_gauge("1/0 AWG")
    assert str(parse_gauge("2/0 AWG")) == "2/0 AWG"
    assert str(parse_gauge("0 AWG")) == "1/0 AWG"


@pytest.mark.parametrize(
    "text", ["14", "14 awg", "5/0 AWG", "0/0 AWG", "41 AWG", "0 mm2", "-1 mm2", "nan mm2", "1001 mm2", "", "2,5 mm2"]
)
def test_wrong_size(text):
    with pytest.raises(QuantityError) as caught:
        parse_gauge(text)
    assert "AWG" in caught.value.expected


def test_thicker_wire_has_the_greater_area():
    names = ["22 AWG", "0.35 mm2", "20 AWG", "0.75 mm2", "18 AWG", "1 mm2", "16 AWG", "1.5 mm2", "14 AWG", "2.5 mm2",
             "12 AWG", "4 mm2", "10 AWG", "6 mm2", "8 AWG", "10 mm2", "1/0 AWG", "2/0 AWG", "4/0 AWG"]  # fmt: skip
    gauges = [parse_gauge(name) for name in names]
    shuffled = gauges[::2] + gauges[1::2]
    assert sorted(shuffled) == gauges


@pytest.mark.outside
@pytest.mark.parametrize(
    ("name", "mm2"),
    # nominal areas of AWG sizes, ASTM B258 as printed with the AWG definition (0.005 in = 36, 0.460 in = 4/0)
    [("36 AWG", 0.012668), ("4/0 AWG", 107.219), ("10 AWG", 5.2612), ("18 AWG", 0.82307)],
)
def test_areas_as_printed(name, mm2):
    assert parse_gauge(name).area_mm2 == pytest.approx(mm2, rel=2e-4)


@given(st.integers(-3, 40))
def test_there_and_back(number):
    gauge = Gauge("AWG", number)
    assert parse_gauge(str(gauge)) == gauge
    assert hash(parse_gauge(str(gauge))) == hash(gauge)


@given(st.decimals(min_value="0.05", max_value=500, places=2))
def test_there_and_back_in_mm2(area):
    assert parse_gauge(str(Gauge("mm2", float(area)))) == Gauge("mm2", float(area))
