"""First fit and nearest studs."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from rigbook.power.choose_outputs import choose_grounds, choose_outputs, nearest_stud
from rigbook.rig.facts import split_output
from rigbook.rig.nameplate import nameplate_a
from rigbook.rig.open_model import OpenRig
from rigbook.rig.places import distance_m
from rigbook.rig.report import Report
from tests.rig.small import build_text, errors, opened, worked

MODULE = "  - {id: module, part: more, at: [2.9 m, 0.2 m, 0.6 m], feed: box-feed, controller: control}\n"


def fits(
    rig: OpenRig, taken: dict[str, list[tuple[str, str]]], output: str, draws: tuple[tuple[str, str], ...]
) -> bool:
    """Whether an output takes some draws, said again in other words: free, under its limit, under its bank's."""
    name, number = split_output(output)
    module = rig.modules[name]
    bank = next(bank for bank in module.banks if number in bank.outputs)
    together = [need for n in bank.outputs for need in taken.get(f"{name}.{n}", [])] + list(draws)
    return (
        output not in taken
        and nameplate_a(rig.devices, draws) <= module.limit_a
        and (bank.limit_a is None or nameplate_a(rig.devices, together) <= bank.limit_a + 1e-9)
    )


@settings(max_examples=40, deadline=None)
@given(st.lists(st.sampled_from(["single", "dual", "flood"]), max_size=5), st.booleans())
def test_each_lamp_takes_the_first_output_that_fits(parts: list[str], reserve: bool) -> None:
    rows = MODULE
    if reserve:
        rows += "  - {id: first, part: single, place: nose, outputs: {amber: control.2}}\n"
    rows += "".join(f"  - {{id: lamp-{n}, part: {part}, place: nose}}\n" for n, part in enumerate(parts))
    rig = opened(build_text(install=rows))
    report = Report()
    chosen = choose_outputs(rig, report)
    taken: dict[str, list[tuple[str, str]]] = {}
    for terminal in rig.terminals.values():
        if terminal.output is not None:
            taken[terminal.output] = list(terminal.draws)
    every = [f"{m.id}.{n}" for m in rig.modules.values() for n in range(1, m.outputs + 1)]
    refused = 0
    for terminal in rig.terminals.values():
        if terminal.need is None or terminal.output is not None:
            continue
        expected = next((o for o in every if fits(rig, taken, o, terminal.draws)), None)
        if expected is None:
            refused += 1
            assert terminal.need not in chosen
            continue
        assert chosen[terminal.need].value == expected
        taken[expected] = list(terminal.draws)
    assert len(report.errors) == refused


def test_a_bank_counts_the_colours_of_one_head_once() -> None:
    # bank a of the box takes 6 A: two floods of one colour do not fit, five dual heads of 1.1 A do
    rows = "".join(f"  - {{id: d{n}, part: dual, place: nose, outputs: {{from: [control]}}}}\n" for n in range(3))
    rig = worked(build_text(install=rows))
    assert rig.modules["control"].outputs_used == (1, 2, 3, 4, 5, 6)


def test_what_draws_more_than_an_output_gives_is_an_error() -> None:
    (said,) = errors(build_text(install="  - {id: lamp, part: flood, place: nose}\n"))
    assert "no output is left for lamp white, which draws 6 A: control: limited to 5 A (6)" in said


def test_a_full_bank_is_passed_over() -> None:
    rows = MODULE + "".join(
        f"  - {{id: f{n}, part: flood, place: nose, outputs: {{from: [module]}}}}\n" for n in range(2)
    )
    rig = worked(build_text(install=rows))
    assert [rig.choices.outputs[f"f{n}", "white"].value for n in range(2)] == ["module.1", "module.2"]


@given(st.floats(-1, 4), st.floats(-1, 1))
@settings(max_examples=30, deadline=None)
def test_the_nearest_stud_agrees_with_looking_at_all(x_m: float, y_m: float) -> None:
    row = f"  - {{id: lamp, part: single, at: [{x_m:.3f} m, {y_m:.3f} m, 0.7 m], node: middle}}\n"
    rig = opened(build_text(install=row))
    found = nearest_stud(rig, "lamp")
    at = rig.devices["lamp"].placement.at
    assert found is not None and found[1] == min(distance_m(at, stud.at) for stud in rig.studs.values())


def test_a_vehicle_without_studs_is_an_error() -> None:
    from tests.rig.small import VEHICLE

    start, end = VEHICLE.index("  grounds:"), VEHICLE.index("  signals:")
    said = errors(build_text(), vehicle=VEHICLE[:start] + VEHICLE[end:])
    assert any("control needs a ground stud" in each for each in said)


def test_signals_need_no_stud() -> None:
    rig = opened(build_text(install="  - {id: siren, part: amp, place: dash, feed: box-feed}\n"))
    assert set(choose_grounds(rig, Report())) == {"control", "siren"}
