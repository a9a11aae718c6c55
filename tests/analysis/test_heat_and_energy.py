"""Duties, temperatures, thermostats and the energy balance of the demonstration vessels."""

from pathlib import Path

import pytest

from installgen.analysis.raw_water_heat import SEAS
from installgen.analysis.speeds import SPEEDS
from tests.analysis.fluid_cases import Fluids, fluids

SHEET, VESSEL = "engines/tolvane-six", "vessels/brannock"
RHO_CP = {"coldest": 1027.9 * 3987.0, "hottest": 1022.4 * 4000.0}
"""Seawater at 3 and 26 °C: gsw 3.6.23 at 5 °C gives 1027.68 · 3987.6, at 25 °C 1023.34 · 3999."""


@pytest.fixture(scope="module")
def brannock(tmp_path_factory: pytest.TempPathFactory) -> Fluids:
    return fluids(tmp_path_factory.mktemp("brannock"))


@pytest.fixture(scope="module")
def sallow(tmp_path_factory: pytest.TempPathFactory) -> Fluids:
    return fluids(tmp_path_factory.mktemp("sallow"), "sallow")


def last_joint(found: Fluids, engine: str) -> str:
    return found.side.routes[engine].joints[-1].id


@pytest.mark.parametrize("sea", SEAS)
@pytest.mark.parametrize("speed", SPEEDS)
def test_all_heat_leaves_with_the_water(brannock: Fluids, speed: str, sea: str) -> None:
    flow = brannock.si(f"engine.raw-water.{speed}.flow")
    start = {"coldest": 3.0, "hottest": 26.0}[sea]
    end = brannock.si(f"{last_joint(brannock, 'engine')}.{speed}.temperature-{sea}")
    assert flow * RHO_CP[sea] * (end - start) == pytest.approx(
        brannock.si(f"engine.raw-water.{speed}.heat"), rel=0.005
    )


@pytest.mark.parametrize("speed", SPEEDS)
def test_all_heat_leaves_by_both_ends(sallow: Fluids, speed: str) -> None:
    # Sea 25 °C. The seal feed leaves behind the oil and gear-oil coolers, before the exchanger.
    heat = 0.0
    for end, flow in (
        (last_joint(sallow, "port"), f"port.raw-water.{speed}.injection-flow"),
        (
            sallow.side.routes["port"].branches[0].joints[-1].id,
            f"port.raw-water.port-seal-feed.{speed}.flow",
        ),
    ):
        rise = sallow.si(f"{end}.{speed}.temperature-hottest") - 25.0
        heat += sallow.si(flow) * RHO_CP["hottest"] * rise
    assert heat == pytest.approx(sallow.si(f"port.raw-water.{speed}.heat"), rel=0.005)


def test_charge_air_by_hand(brannock: Fluids) -> None:
    # 0.355 kg/s · 1.013 kJ/(kg·K) at 122 °C · (174 − 71) K = 37.0 kW
    assert brannock.si("engine.raw-water.rated.charge-air.duty") == pytest.approx(37.0e3, rel=3e-3)


def test_halved_duty_halves_the_step(brannock: Fluids, tmp_path: Path) -> None:
    half = fluids(tmp_path, edits={SHEET: [("jacket_heat: 128 kW", "jacket_heat: 64 kW")]})

    def step(found: Fluids) -> float:
        joints = found.side.routes["engine"].joints
        into = next(j for j in joints if j.downstream.key == "heat-exchanger")
        out = next(j for j in joints if j.upstream.key == "heat-exchanger")
        ending = "rated.temperature-hottest"
        return found.si(f"{out.id}.{ending}") - found.si(f"{into.id}.{ending}")

    assert step(half) == pytest.approx(step(brannock) / 2, rel=1e-3)
    assert half.si("engine.raw-water.idle.heat") == brannock.si("engine.raw-water.idle.heat")


def test_outlet_and_its_margin(brannock: Fluids, tmp_path: Path) -> None:
    # 173 kW / (4.476 l/s · 4.09 MJ/(m³·K)) = 9.45 K over 26 °C
    outlet = brannock.si("engine.raw-water.rated.outlet-temperature-hottest")
    assert outlet == pytest.approx(26.0 + 9.45, abs=0.1)
    assert brannock.si("engine.raw-water.rated.outlet-margin") == pytest.approx(55.0 - outlet)
    worst = brannock.si("engine.raw-water.rated.outlet-temperature-hottest-worst")
    assert worst > outlet + 0.5
    # 173 kW / (4.09 MJ/(m³·K) · 29 K) = 1.459 l/s = 87.5 l/min
    assert brannock.si("engine.raw-water.rated.flow-needed") * 6e4 == pytest.approx(87.5, rel=0.01)
    rule = "  - {check: raw-water-outlet"
    without = fluids(tmp_path, edits={"standards/quenby-slip": [(rule, "  - {check: other")]})
    margin = without.book["engine.raw-water.rated.outlet-margin"]
    assert "`raw-water-outlet`" in margin.not_assessed


def test_thermostats_hold(brannock: Fluids, tmp_path: Path) -> None:
    assert brannock.text("engine.coolant.rated.thermostat") == "held"
    assert brannock.si("engine.coolant.rated.temperature-hottest") == 84.0
    double = fluids(tmp_path, edits={SHEET: [("jacket_heat: 128 kW", "jacket_heat: 200 kW")]})
    assert double.text("engine.coolant.rated.thermostat") == "full open, not held"
    assert double.si("engine.coolant.rated.temperature-hottest") > 84.0
    assert double.si("engine.coolant.rated.thermostat-margin") < 0.0


def test_stated_duty_gives_itself_back(tmp_path: Path) -> None:
    # Clean, at the flows of the stated duty: coolant at 76 °C for raw water at 32 °C. Here the raw
    # water enters at 28.6 °C with 268.5 instead of 270 l/min, so the coolant is at about 72.6 °C.
    clean = fluids(
        tmp_path,
        edits={"standards/quenby-slip": [("exchanger_fouling: 15 %", "exchanger_fouling: 0 %")]},
    )
    wide_open = 84.0 - clean.si("engine.coolant.rated.thermostat-margin")
    enters = next(
        joint
        for joint in clean.side.routes["engine"].joints
        if joint.downstream.key == "heat-exchanger"
    )
    raw = clean.si(f"{enters.id}.rated.temperature-hottest")
    assert wide_open - raw == pytest.approx(76.0 - 32.0, rel=0.01)


def test_no_prediction_without_a_stated_duty(tmp_path: Path) -> None:
    stated = "design: {duty: 29.5 kW"
    sheet = (Path(__file__).parents[2] / "specs/engines/tolvane-four.yaml").read_text("utf-8")
    line = next(one for one in sheet.splitlines() if stated in one)
    found = fluids(tmp_path, "sallow", {"engines/tolvane-four": [(f"{line}\n", "")]})
    assert found.missing("port.coolant.rated.temperature-hottest") == [
        "raw_water.coolers[2].design"
    ]


def test_energy_balance_by_hand(brannock: Fluids) -> None:
    # Fuel: 57.6 l/h · 832.5 kg/m³ = 13.32 g/s · 42.8 MJ/kg = 570.1 kW.
    assert brannock.si("engine.rating.rated.energy-in") == pytest.approx(570.1e3, rel=1e-3)
    # Exhaust: (0.355 + 0.01332) kg/s · 1.034 kJ/(kg·K) at 241 °C · (448 − 35) K = 157.3 kW.
    assert brannock.si("engine.rating.rated.energy-exhaust") == pytest.approx(157.3e3, rel=3e-3)
    # 224 + 128 + 37.0 + 1.4 + 8.0 + 157.3 = 555.7 kW: 14.4 kW are left, 2.5 %.
    assert brannock.si("engine.rating.rated.energy-unaccounted") == pytest.approx(0.0253, abs=1e-3)


@pytest.mark.parametrize("vessel", ["brannock", "corrie", "sallow"])
def test_energy_balance_closes(tmp_path: Path, vessel: str) -> None:
    found = fluids(tmp_path, vessel)
    for engine in found.vessel.engines:
        for speed in ("cruise", "rated"):
            left = found.si(f"{engine.name}.rating.{speed}.energy-unaccounted")
            assert -0.02 < left < 0.2
