"""Outputs within all limits, and nearest studs."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from rigbook.power.choose_outputs import choose_grounds, choose_outputs, nearest_stud
from rigbook.rig.facts import split_output
from rigbook.rig.model import Chosen
from rigbook.rig.nameplate import nameplate_a
from rigbook.rig.open_model import OpenRig
from rigbook.rig.places import distance_m
from rigbook.rig.report import Report
from tests.rig.small import PARTS, build_text, errors, opened, worked

MODULE = "  - {id: module, part: more, at: [2.9 m, 0.2 m, 0.6 m], feed: box-feed, controller: control}\n"


def loads(rig: OpenRig, chosen: dict[tuple[str, str], Chosen]) -> dict[str, list[tuple[str, str]]]:
    """What stands on each output."""
    taken: dict[str, list[tuple[str, str]]] = {}
    for terminal in rig.terminals.values():
        if terminal.need in chosen:
            taken.setdefault(chosen[terminal.need].value, []).extend(terminal.draws)
    return taken


@settings(max_examples=30, deadline=None)
@given(st.lists(st.sampled_from(["single", "dual", "flood"]), max_size=5), st.booleans())
def test_every_lamp_finds_an_output_within_all_limits_or_is_named(parts: list[str], reserve: bool) -> None:
    """No function names these lamps, so limits are met by name-plate."""
    rows = MODULE
    if reserve:
        rows += "  - {id: first, part: single, place: nose, outputs: {amber: control.2}}\n"
    rows += "".join(f"  - {{id: lamp-{n}, part: {part}, place: nose}}\n" for n, part in enumerate(parts))
    rig = opened(build_text(install=rows))
    report = Report()
    chosen, found = choose_outputs(rig, report)
    waiting = [t.need for t in rig.terminals.values() if t.need is not None]
    if report.errors:
        assert found is None
        assert len(report.errors) == sum(need not in chosen for need in waiting)
    else:
        assert set(waiting) == set(chosen)
        assert found is None or found.proven
    taken = loads(rig, chosen)
    for output, needs in taken.items():
        assert nameplate_a(rig.devices, needs) <= rig.modules[split_output(output)[0]].limit_a
    for module in rig.modules.values():
        for bank in module.banks:
            together = [need for n in bank.outputs for need in taken.get(f"{module.id}.{n}", [])]
            assert bank.limit_a is None or nameplate_a(rig.devices, together) <= bank.limit_a + 1e-9


ALIKE = """\
switching:
  ranks: [warning]
  switches:
    - {id: beam, kind: latching}
    - {id: other, kind: latching}
  functions:
    - name: Beam
      rank: warning
      when: beam
      show:
        - {lamps: pair, colour: amber}
    - name: Other
      rank: warning
      when: other and not beam
      show:
        - {lamps: lone, colour: amber}
"""


def lamps(count: int, tag: str, name: str) -> str:
    return "".join(f"  - {{id: {name}-{n}, part: single, place: nose, tags: [{tag}]}}\n" for n in range(count))


def test_what_is_always_on_together_shares_where_outputs_run_out() -> None:
    """Six outputs of 5 A for nine lamps of 0.8 A, of which six act alike."""
    rig = opened(build_text(install=lamps(6, "pair", "pair") + lamps(3, "lone", "lone"), more=ALIKE))
    report = Report()
    chosen, found = choose_outputs(rig, report)
    assert report.errors == []
    assert found is not None
    assert (found.channels, found.modules, found.proven) == (9, 1, True)
    assert found.outputs <= 6
    for needs in loads(rig, chosen).values():
        assert len({device.partition("-")[0] for device, _ in needs}) == 1 or len(needs) == 1
    assert any("shared by" in choice.why for choice in chosen.values())


def test_limits_of_banks_are_met_by_what_is_on_at_once() -> None:
    """Bank a takes 6 A: seven lamps of 0.8 A and three that are never on with them would be 8 A by name-plate, and no
    more than 5.6 A ever flow."""
    rows = "".join(f"  - {{id: pair-{n}, part: half, place: nose, tags: [pair]}}\n" for n in range(2))
    rows += "".join(f"  - {{id: lone-{n}, part: half, place: nose, tags: [lone]}}\n" for n in range(4))
    half = "  - {id: half, kind: lamp, title: Lamp, size: [28 mm, 132 mm, 36 mm], mass: 0.15 kg, colours: {amber: {current: 2.9 A}}}\n"
    rig = opened(build_text(install=rows, more=ALIKE), parts=PARTS + half)
    report = Report()
    chosen, found = choose_outputs(rig, report)
    assert report.errors == []
    assert found is not None
    assert found.proven
    on_a = [
        need
        for output, needs in loads(rig, chosen).items()
        if output in {f"control.{n}" for n in range(1, 5)}
        for need in needs
    ]
    assert nameplate_a(rig.devices, on_a) > 6.0
    for tag in ("pair", "lone"):
        assert 2.9 * sum(device.startswith(tag) for device, _ in on_a) <= 6.0


def test_a_module_that_is_not_needed_stays_empty() -> None:
    rig = opened(
        build_text(install=MODULE + lamps(4, "pair", "pair"), more=ALIKE.replace("lamps: lone", "lamps: pair"))
    )
    chosen, found = choose_outputs(rig, Report())
    assert found is not None
    assert (found.modules, found.modules_fitted) == (1, 2)
    assert {split_output(str(choice.value))[0] for choice in chosen.values()} in ({"control"}, {"module"})


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
