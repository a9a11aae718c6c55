"""Coolant: strength for a lay-up temperature, topping up, volumes, expansion."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installgen.calc.coolant import (
    concentrate_m3,
    drain_and_replace_m3,
    expansion_m3,
    freezing_point_c,
    product_antifreeze,
    pure_antifreeze,
    strength_after_topping_up_percent,
    strength_needed,
    thermostat_open_ratio,
)
from installgen.calc.volumes import VolumePart, hose_volume_m3, system_volume
from installgen.calc.water import Glycol, glycol_mass_ratio, glycol_mixture
from installgen.errors import OutOfRange, OutOfTable

PRODUCT = product_antifreeze("example", [(33, -17), (40, -24), (50, -36), (60, -52)])
percents = st.floats(0, 100)


def test_the_products_own_table_with_a_margin() -> None:
    """-20 C at 5 K margin: -25 C lies a twelfth of the way from 40 to 50 %."""
    need = strength_needed(PRODUCT, -20, 5, 60)
    assert need.strength_percent == pytest.approx(40 + 10 / 12)
    assert need.freezing_c == pytest.approx(-25)
    assert need.within_ceiling
    assert not need.optimistic


def test_a_mild_lay_up_still_gets_the_tables_weakest_mixture() -> None:
    need = strength_needed(PRODUCT, 0, 5, 60)
    assert (need.strength_percent, need.freezing_c) == (33, -17)


def test_beyond_the_products_table_is_refused() -> None:
    with pytest.raises(OutOfTable, match="freezing table of example"):
        strength_needed(PRODUCT, -48, 5, 60)
    with pytest.raises(OutOfTable, match="33 to 60"):
        freezing_point_c(PRODUCT, 25)


def test_over_the_ceiling_is_computed_and_left_to_judge() -> None:
    need = strength_needed(PRODUCT, -40, 5, 50)
    assert need.strength_percent > 50
    assert not need.within_ceiling


def test_pure_glycol_is_marked_optimistic_and_read_by_volume() -> None:
    need = strength_needed(pure_antifreeze(Glycol.ETHYLENE), -25, 5, 60)
    assert need.optimistic
    # -30 C wants 45.4 % by mass (Melinder: 44 % -28.3, 46 % -30.8), which is 42.7 % by volume.
    assert need.strength_percent == pytest.approx(42.7, abs=0.2)


def test_pure_glycol_ends_where_its_table_ends() -> None:
    """60 % by mass is 57.4 % by volume; no strength beyond is invented."""
    with pytest.raises(OutOfTable, match="pure ethylene glycol"):
        freezing_point_c(pure_antifreeze(Glycol.ETHYLENE), 60)


@given(st.floats(0.001, 1), percents, percents, percents)
def test_drained_and_replaced_gives_the_strength_wanted(
    volume: float, present: float, wanted: float, poured: float
) -> None:
    low, high = sorted((present, poured))
    if wanted != present and not low <= wanted <= high:
        with pytest.raises(OutOfRange, match="the strength wanted"):
            drain_and_replace_m3(volume, present, wanted, poured)
        return
    drained = drain_and_replace_m3(volume, present, wanted, poured)
    assert -1e-12 <= drained <= volume * (1 + 1e-9)
    after = strength_after_topping_up_percent(volume, present, min(drained, volume), poured)
    assert after == pytest.approx(wanted, abs=1e-6)


def test_raising_with_concentrate_by_the_short_formula() -> None:
    # V (b - a) / (1 - a): 24 l from 33 to 50 % takes 24 x 0.17 / 0.67 = 6.0896 l.
    assert drain_and_replace_m3(0.024, 33, 50) == pytest.approx(0.0060896, abs=1e-7)


def test_topping_up_with_water_weakens() -> None:
    # By hand: 20 l of 50 %, 2 l lost and replaced by water, leave 45 %.
    assert strength_after_topping_up_percent(0.020, 50, 0.002, 0) == pytest.approx(45)
    with pytest.raises(OutOfRange, match="the coolant lost"):
        strength_after_topping_up_percent(0.020, 50, 0.021, 0)


def test_concentrate_that_is_not_pure() -> None:
    assert concentrate_m3(0.030, 40, 80) == pytest.approx(0.015)
    with pytest.raises(OutOfRange, match="0 to 50 %"):
        concentrate_m3(0.030, 60, 50)


def test_system_volume_counts_hoses() -> None:
    # By hand: 38 mm x 2.5 m hold pi/4 x 0.038^2 x 2.5 = 2.8353 l.
    hose = hose_volume_m3(0.038, 2.5)
    assert hose == pytest.approx(0.0028353, abs=1e-7)
    system = system_volume([VolumePart("engine", 0.020), VolumePart("heater hose", hose)])
    assert system.total_m3 == pytest.approx(0.0228353, abs=1e-7)
    assert [part.name for part in system.parts] == ["engine", "heater hose"]


def test_half_the_bore_holds_a_quarter() -> None:
    assert hose_volume_m3(0.019, 2.5) == pytest.approx(hose_volume_m3(0.038, 2.5) / 4)


def test_refuses_impossible_volumes() -> None:
    with pytest.raises(OutOfRange, match="the length is -1 m"):
        hose_volume_m3(0.038, -1)
    with pytest.raises(OutOfRange, match="the bore is 0 m"):
        hose_volume_m3(0, 1)
    with pytest.raises(OutOfRange, match="the volume of tank"):
        system_volume([VolumePart("tank", -0.001)])


def test_glycol_expands_more_than_water() -> None:
    growths = []
    for volume_ratio in (0.0, 0.2, 0.4, 0.55):
        mass_ratio = glycol_mass_ratio(Glycol.ETHYLENE, volume_ratio)
        cold, hot = (
            glycol_mixture(Glycol.ETHYLENE, mass_ratio, t).density_kg_per_m3 for t in (20, 90)
        )
        growths.append(expansion_m3(1, cold, hot))
    assert growths == sorted(growths)
    assert growths[-1] > 1.2 * growths[0]


def test_cold_must_be_denser() -> None:
    with pytest.raises(OutOfRange, match="the cold density"):
        expansion_m3(1, 960, 998)


def test_thermostat_is_shut_then_opens_then_open() -> None:
    assert [thermostat_open_ratio(t, 71, 83) for t in (20, 71, 77, 83, 95)] == [0, 0, 0.5, 1, 1]
    with pytest.raises(OutOfRange, match="fully open"):
        thermostat_open_ratio(75, 83, 71)
