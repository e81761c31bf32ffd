"""Every scalar type reads by what its key expects, and refuses the rest with what would do."""

from fractions import Fraction as Exact

import pytest
from pydantic import TypeAdapter, ValidationError

from rigbook.documents.schema import scalars
from rigbook.documents.schema.base import Scalar
from rigbook.quantities.gauge import Gauge

GOOD = {
    "Name": ("grille-left", "grille-left"), "Ref": ("control.3", "control.3"), "Text": ("012", "012"), "YesNo": ("no", False),
    "Count": ("12", 12), "FormatNumber": ("1", 1), "Number": ("0.5", 0.5), "Ratio": ("2.8", 2.8), "Share": ("70 %", 0.7),
    "Fraction": ("1/3", Exact(1, 3)), "Length": ("-1 m", -1.0), "Extent": ("45 in", 1.143), "Azimuth": ("270 deg", 270.0),
    "Tilt": ("-10 deg", -10.0), "Weight": ("1 kg", 1.0), "Mass": ("0 kg", 0.0), "Current": ("25 mA", 0.025),
    "Voltage": ("12 V", 12.0), "Resistance": ("2 mohm", 0.002), "Power": ("50 W", 50.0), "Charge": ("92 Ah", 92.0),
    "Energy": ("1 kWh", 1000.0), "Duration": ("150 ms", 0.15), "Temperature": ("-40 F", -40.0), "Angle": ("20 deg", 20.0),
    "Intensity": ("4200 cd", 4200.0), "Flux": ("900 lm", 900.0), "Illuminance": ("50 lx", 50.0), "Frequency": ("150 MHz", 150e6),
    "SoundLevel": ("85 dB", 85.0), "Speed": ("36 km/h", 10.0), "Force": ("400 N", 400.0), "Torque": ("9 N m", 9.0),
    "Volume": ("80 L", 0.08), "Density": ("745 kg/m3", 745.0), "Pressure": ("1 bar", 1e5), "Rpm": ("700 rpm", 700.0),
    "Minutes": ("0.2 h", 12.0), "Money": ("45 USD", 4500), "GaugeText": ("14 AWG", Gauge("AWG", 14)),
}  # fmt: skip
BAD = {
    "Name": "Grille Left", "Ref": "control..3", "Text": "", "YesNo": "NO", "Count": "-1", "FormatNumber": "2", "Number": "1 A",
    "Ratio": "0", "Share": "0.7", "Fraction": "1/0", "Extent": "-1 m", "Azimuth": "400 deg", "Tilt": "91 deg",
    "Weight": "0 kg", "Mass": "-1 kg", "Rpm": "-5", "Minutes": "12", "Money": "45", "GaugeText": "14",
}  # fmt: skip


def test_every_type_is_tried():
    annotated = {name for name, value in vars(scalars).items() if hasattr(value, "__metadata__")}
    assert annotated == set(GOOD)


@pytest.mark.parametrize("name", sorted(GOOD))
def test_reads(name):
    text, value = GOOD[name]
    read = TypeAdapter(getattr(scalars, name)).validate_python(Scalar.of(text))
    assert read == (pytest.approx(value) if isinstance(value, float) else value)
    assert TypeAdapter(getattr(scalars, name)).validate_python(read) == read


@pytest.mark.parametrize("name", sorted(GOOD))
def test_refuses_with_what_would_do(name):
    adapter = TypeAdapter(getattr(scalars, name))
    for value in (Scalar.of(BAD.get(name, "12")), [], {}, None, float("nan"), float("inf")):
        with pytest.raises(ValidationError) as caught:
            adapter.validate_python(value)
        (error,) = caught.value.errors()
        assert error["type"] == "document"
        assert error["ctx"]["says"]


@pytest.mark.parametrize("text", ["012", "NO", "8.8", "null", "~", "1:30", "on", "1e3", "0x1F"])
def test_text_is_taken_as_written(text):
    assert TypeAdapter(scalars.Text).validate_python(Scalar.of(text)) == text


def test_a_comment_that_cut_a_title_is_told():
    with pytest.raises(ValidationError, match="began a comment"):
        TypeAdapter(scalars.Text).validate_python(Scalar.of("Unit", cut="#3"))
