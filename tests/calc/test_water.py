"""The shape of the property functions; their figures are checked in `tests/published`."""

import subprocess
import sys

import pytest

from installgen.calc.water import (
    Glycol,
    air,
    fresh_water,
    glycol_freezing_c,
    glycol_mass_ratio,
    glycol_mixture,
    glycol_volume_ratio,
    latent_heat_j_per_kg,
    seawater,
)
from installgen.errors import OutOfRange, OutOfTable


@pytest.mark.parametrize("temperature_c", [-1.9, 100.1, float("nan")])
def test_seawater_refuses_what_the_table_does_not_cover(temperature_c: float) -> None:
    with pytest.raises(OutOfTable, match="temperature_c"):
        seawater(temperature_c)


def test_seawater_refuses_other_salinities() -> None:
    with pytest.raises(OutOfTable, match=r"salinity_ratio = 0\.05"):
        seawater(15.0, 0.05)


def test_other_fluids_refuse_too() -> None:
    for ask in (
        lambda: fresh_water(0.0),
        lambda: latent_heat_j_per_kg(100.0),
        lambda: air(1001.0),
        lambda: glycol_freezing_c(Glycol.ETHYLENE, 0.61),
        lambda: glycol_mixture(Glycol.ETHYLENE, 0.3, -20.0),  # frozen
        lambda: glycol_mixture(Glycol.PROPYLENE, 0.7, 20.0),
    ):
        with pytest.raises(OutOfTable):
            ask()


@pytest.mark.parametrize("share", [-0.1, 1.1])
def test_a_share_is_a_share(share: float) -> None:
    with pytest.raises(OutOfRange, match="by volume"):
        glycol_mass_ratio(Glycol.ETHYLENE, share)
    with pytest.raises(OutOfRange, match="by mass"):
        glycol_volume_ratio(Glycol.ETHYLENE, share)


def test_air_density_follows_pressure() -> None:
    assert air(60.0, 250e3).density_kg_per_m3 == pytest.approx(
        2.5 * air(60.0, 100e3).density_kg_per_m3
    )


def test_salt_makes_water_heavier_thicker_and_slower_to_boil() -> None:
    fresh, salt = fresh_water(20.0), seawater(20.0)
    assert salt.density_kg_per_m3 > fresh.density_kg_per_m3
    assert salt.viscosity_pa_s > fresh.viscosity_pa_s
    assert salt.specific_heat_j_per_kg_k < fresh.specific_heat_j_per_kg_k
    assert salt.vapour_pressure_pa is not None
    assert fresh.vapour_pressure_pa is not None
    assert 0.97 < salt.vapour_pressure_pa / fresh.vapour_pressure_pa < 0.99


def test_the_slow_library_is_not_needed() -> None:
    code = (
        "import sys; from installgen.calc.water import seawater; seawater(15.0);"
        "print('CoolProp' in sys.modules, 'scipy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "False"]
