"""The keys of the block are those the results promise."""

from __future__ import annotations

from dataclasses import fields

from rigbook.power import result

PROMISED = {
    result.PowerResult: "whole circuits feeds modules supply",
    result.Whole: "nameplate_a worst_average_a worst_peak_a witness",
    result.CircuitFigures: "id feed devices conductor fuse_a worst_average_a worst_rms_a worst_peak_a ampacity_a drop_v "
    "drop_fraction witness",
    result.DeviceDrop: "id colour length_m drop_v device_v",
    result.FeedFigures: "id conductor fuse_a worst_rms_a worst_peak_a ampacity_a drop_v",
    result.ModuleFigures: "id outputs_used outputs worst_average_a limit_a",
    result.Supply: "idle_output_a states",
    result.StateSupply: "id average_a margin_a",
}


def test_every_promised_key_stands() -> None:
    looked = 0
    for record, keys in PROMISED.items():
        assert set(keys.split()) <= {f.name for f in fields(record)}, record
        looked += 1
    assert looked == 8
