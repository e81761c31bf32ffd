from rigbook.quantities.units import DIMENSIONS


def test_first_unit_is_the_base_and_offered_units_exist():
    looked_at = 0
    for name, dimension in DIMENSIONS.items():
        first = next(iter(dimension.units.values()))
        assert name == "share" or (first.factor, first.offset) == (1.0, 0.0)
        for offered in dimension.offered:
            assert offered.split(" (")[0] in dimension.units
            looked_at += 1
    assert looked_at > 50


def test_no_spelling_means_two_things():
    seen = {}
    for name, dimension in DIMENSIONS.items():
        for unit in dimension.units:
            assert seen.setdefault(unit, name) == name, unit
