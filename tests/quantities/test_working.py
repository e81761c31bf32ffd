import json

from rigbook.quantities.working import Input, Working, least_sure, show_value, working_lines, working_to_json

INNER = Working(
    figure_id="power.circuits[control.3].resistance_ohm", title="Resistance of the run", formula="R = 2 l r",
    inputs=(
        Input(symbol="l", meaning="length", value=4.0, unit="m"),
        Input(symbol="r", meaning="resistance of 18 AWG", value=0.021, unit="ohm/m", source="x", sourced="memory"),
    ),
    result=0.168, unit="ohm", source="ohm", edition="1827", clause="1", sourced="published",
)  # fmt: skip
OUTER = Working(
    figure_id="power.circuits[control.3].drop_v", title="Voltage drop", formula="U = I R", steps=(INNER, "at 20 C"),
    inputs=(Input(symbol="I", meaning="current", value=2.0, unit="A", source="builds/a.yaml:3"),), result=0.336, unit="V",
)  # fmt: skip


def test_least_sure_reaches_the_last_step():
    assert OUTER.least_sure == "memory"
    assert INNER.inputs[0].sourced == "computed"
    assert least_sure() == "computed"
    assert least_sure("published", "common practice") == "common practice"


def test_lines_show_formula_values_units_sources_and_result():
    text = "\n".join(working_lines(OUTER))
    for part in ("Voltage drop", "U = I R", "I = 2 A", "builds/a.yaml:3", "= 0.336 V", "r = 0.021 ohm/m", "memory",
                 "[ohm, 1827, 1, published]", "at 20 C"):  # fmt: skip
        assert part in text


def test_json_is_plain():
    data = json.loads(json.dumps(working_to_json(OUTER), allow_nan=False))
    assert data["least_sure"] == "memory"
    assert data["steps"][0]["inputs"][1]["value"] == 0.021


def test_values():
    assert show_value(None, "A") == "not worked out"
    assert show_value(0.25, "fraction") == "0.25"
    assert show_value("18 AWG", "") == "18 AWG"
