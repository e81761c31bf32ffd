"""What a wire may carry by each rule, against what the rules print; and the rule that a pack names."""

from __future__ import annotations

import pytest

from rigbook.power.ampacity import RULES, allowed, allowed_a
from rigbook.power.conductors import corrected_ampacity_a
from rigbook.power.explain import explain
from rigbook.quantities.gauge import parse_gauge
from rigbook.rig.model import Rig
from rigbook.rig.open import open_rig
from rigbook.rig.report import Problems
from tests.rig.small import FEEDS, VEHICLE, build_text, load, worked


def amps(rule: str, size: str, insulation_c: float, ambient_c: float, bundled: int = 1) -> float | None:
    return allowed_a(
        rule=rule, gauge=parse_gauge(f"{size} AWG"), insulation_c=insulation_c, ambient_c=ambient_c, bundled=bundled
    )


@pytest.mark.outside
@pytest.mark.parametrize(
    ("rule", "size", "insulation_c", "ambient_c", "bundled", "printed"),
    [
        ("33-cfr-183", "10", 105, 40, 1, 60.0),
        ("33-cfr-183", "10", 105, 80, 1, 51.0),
        ("33-cfr-183", "10", 105, 80, 24, 51.0),
        ("33-cfr-183", "4/0", 105, 80, 1, 378.25),
        ("e-11", "10", 105, 40, 3, 42.0),
        ("e-11", "10", 105, 40, 6, 36.0),
        ("e-11", "10", 105, 80, 7, 25.5),
        ("e-11", "14", 60, 80, 1, None),
        ("ac-43-13", "10", 105, 70, 33, 17.0),
        ("ac-43-13", "10", 150, 25, 1, 26.0),
        ("ac-43-13", "4/0", 200, 70, 9, 395.0),
        ("ac-43-13", "24", 105, 70, 1, 2.5),
        ("ac-43-13", "10", 80, 70, 1, None),
    ],
)  # fmt: skip
def test_rows_as_the_rules_print_them(
    rule: str, size: str, insulation_c: float, ambient_c: float, bundled: int, printed: float | None
) -> None:
    """33 CFR 183.425 Table 5 and note 1, E-11 as transcribed, AC 43.13-1B Table 11-9."""
    assert amps(rule, size, insulation_c, ambient_c, bundled) == (None if printed is None else pytest.approx(printed))


@pytest.mark.parametrize("rule", RULES)
def test_no_rule_lets_more_through_where_it_is_warmer_or_fuller(rule: str) -> None:
    for size in ("18", "10", "2"):
        by_ambient = [amps(rule, size, 125, float(c)) or 0.0 for c in range(20, 126, 5)]
        by_bundle = [amps(rule, size, 125, 60.0, n) or 0.0 for n in (1, 2, 3, 6, 7, 24, 25)]
        assert by_ambient == sorted(by_ambient, reverse=True) and by_ambient[-1] == 0.0
        assert by_bundle == sorted(by_bundle, reverse=True)


def test_the_corrected_rule_is_the_product_of_its_factors() -> None:
    gauge = parse_gauge("14 AWG")
    found = allowed(rule="corrected", gauge=gauge, insulation_c=125, ambient_c=85, bundled=4)
    assert found is not None
    assert found.amps == pytest.approx(
        corrected_ampacity_a(gauge=gauge, insulation_c=125, ambient_c=85, conductors=4) or 0.0
    )
    with pytest.raises(ValueError, match="an ampacity rule is one of"):
        allowed(rule="mine", gauge=gauge, insulation_c=125, ambient_c=85, bundled=4)


# --- a pack names its rule ---------------------------------------------------------------------------------

PACK = "rigbook: 1\npack: {{id: {name}, title: T, ampacity: {rule}}}\nrules: []\n"
RADIO = FEEDS + "  - {id: radio-feed, from: block-1.2}\n"
MILD = VEHICLE.replace("ambient: 105 C", "ambient: 70 C")
ROW = "  - {id: radio, part: radio, place: dash, feed: radio-feed}\n"


def by_rules(monkeypatch: pytest.MonkeyPatch, **packs: str) -> str:
    import tests.rig.small as small

    real = small.load_build

    def with_packs(folder, path, overlay):  # type: ignore[no-untyped-def]
        more = {f"rules/{name}.yaml": PACK.format(name=name, rule=rule).encode() for name, rule in packs.items()}
        return real(folder, path, {**overlay, **more})

    monkeypatch.setattr(small, "load_build", with_packs)
    names = ", ".join(packs)
    return build_text(feeds=RADIO, install=ROW).replace("  vehicle: car\n", f"  vehicle: car\n  rules: [{names}]\n")


@pytest.mark.parametrize("rule", RULES)
def test_a_build_is_sized_and_explained_by_the_rule_of_its_pack(monkeypatch: pytest.MonkeyPatch, rule: str) -> None:
    rig: Rig = worked(by_rules(monkeypatch, mine=rule), vehicle=MILD)
    wire = rig.segments["feed:radio-feed>radio:power"]
    assert wire.ampacity_rule == rule
    working = explain(rig, "power.circuits[radio-feed].ampacity_a")
    assert f"by the rule {rule}" in working.steps
    product = float(str(working.inputs[0].value))
    for each in working.inputs[3:]:
        product *= float(str(each.value))
    assert working.result == pytest.approx(product)


def test_packs_that_go_by_different_rules_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    found = open_rig(load(by_rules(monkeypatch, mine="e-11", yours="ac-43-13")))
    assert isinstance(found, Problems)
    assert any("must not be mixed" in error.says and error.line > 0 for error in found.errors)
