from __future__ import annotations

from rigbook.assess.results_json import dumps
from rigbook.assess.sweep_text import sweep_json, sweep_lines
from rigbook.power.sweep import Output, Spread

SPREAD = Spread(
    Output("margin_a[on-scene]", "Charging margin in on-scene", "A", True), 11.4, 11.1, 6.0,
    {1: -3.0, 5: 1.0, 25: 7.0, 50: 11.0, 75: 15.0, 95: 21.0, 99: 25.0}, {"base_load": 0.7, "device_current": 0.001},
    {"base_load": 0.72, "device_current": 0.001},
)  # fmt: skip


def test_text_names_the_bad_end_and_what_drives_it() -> None:
    last = list(sweep_lines(build="small", seed=1, samples=8, spreads=[SPREAD]))[-1]
    assert "1 A" in last and "-3 A" in last and "what the vehicle itself draws 72 %" in last and "current" not in last


def test_json_is_plain_and_equal() -> None:
    made = sweep_json(build="small", digest="d", seed=1, samples=8, spreads=[SPREAD])
    assert made["figures"][0]["percentiles"]["5"] == 1.0
    assert made["figures"][0]["total_share"]["base_load"] == 0.72
    assert dumps(made) == dumps(sweep_json(build="small", digest="d", seed=1, samples=8, spreads=[SPREAD]))
