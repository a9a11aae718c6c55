"""The muffler that fills while the engine cranks."""

import pytest

from installgen.calc.muffler import cranking_flood_s, free_muffler_volume_m3
from installgen.calc.volumes import hose_volume_m3
from installgen.errors import OutOfRange


def test_cranking_floods_the_muffler() -> None:
    # 12 l below the inlet, 1.5 m of 75 mm riser ran back (6.63 l): 5.37 l; a pump of 0.2 l/rev at
    # 220 rpm brings 0.7333 l/s: 7.33 s.
    riser = hose_volume_m3(0.075, 1.5)
    free = free_muffler_volume_m3(12e-3, riser)
    assert cranking_flood_s(free, 0.2e-3, 220.0) == pytest.approx(7.33, abs=0.01)
    assert cranking_flood_s(free / 2, 0.2e-3, 220.0) == pytest.approx(7.33 / 2, abs=0.01)


def test_a_muffler_that_is_full_already_allows_no_cranking() -> None:
    assert free_muffler_volume_m3(5e-3, 6e-3) < 0.0
    assert cranking_flood_s(-1e-3, 0.2e-3, 220.0) == 0.0


@pytest.mark.parametrize(("displacement", "speed"), [(0.0, 220.0), (2e-4, 0.0)])
def test_cranking_refuses(displacement: float, speed: float) -> None:
    with pytest.raises(OutOfRange):
        cranking_flood_s(5e-3, displacement, speed)
