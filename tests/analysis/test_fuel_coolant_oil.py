"""Fuel lines, coolant, oil drain and driveline of the demonstration vessels, by hand."""

from pathlib import Path

import pytest

from installgen.analysis.fuel_paths import priming_steps, supply_paths
from tests.analysis.fluid_cases import Fluids, fluids

SHEET, VESSEL = "engines/tolvane-six", "vessels/brannock"
STANDARD = "standards/quenby-slip"


@pytest.fixture(scope="module")
def brannock(tmp_path_factory: pytest.TempPathFactory) -> Fluids:
    return fluids(tmp_path_factory.mktemp("brannock"))


def test_nobody_knows_how_thick_fuel_is_but_the_standard(tmp_path: Path) -> None:
    found = fluids(tmp_path / "given")
    assert found.book["engine.fuel.rated.suction"].assumed
    line = "  cold_fuel: {at: 0 °C, viscosity: 17 mm²/s}"
    without = fluids(tmp_path / "without", edits={STANDARD: [(line, "  #")]})
    for what in ("suction", "return-pressure"):
        assert without.missing(f"engine.fuel.rated.{what}") == ["assume.cold_fuel"]
    warm = (line, line.replace("0 °C", "5 °C"))
    colder = fluids(tmp_path / "colder", edits={STANDARD: [warm]})  # her sea gets down to 3 °C
    assert colder.missing("engine.fuel.rated.suction") == ["assume.cold_fuel.at"]
    assert "3 °C" in colder.book["engine.fuel.rated.suction"].not_assessed


def test_suction_by_hand(brannock: Fluids, tmp_path: Path) -> None:
    # Connection: 55 + 120·cos 4° + 560·sin 4° = 213.8 mm; tank drawn to −330 mm: 0.5438 m of fuel
    # of 832.5 kg/m³: 4439 Pa.
    # Lines: 195.6 l/h in 12 mm, 0.4804 m/s, laminar (Re 339) at the standard's 17 mm²/s:
    # 32 · 0.014153 Pa·s · 4.3 m · 0.4804 / 0.012² = 6497 Pa.
    # Separator, dirty: 7 kPa · 195.6/200 = 6846 Pa; valve: 300 · 0.978² = 287 Pa.
    total = 4439 + 6497 + 6846 + 287
    assert brannock.si("engine.fuel.rated.suction") == pytest.approx(total, rel=2e-3)
    assert brannock.si("engine.fuel.rated.suction-margin") == pytest.approx(20e3 - total, rel=0.01)
    half = fluids(tmp_path, edits={VESSEL: [("bore: 12 mm", "bore: 6 mm")]})
    # Half the bore: laminar friction times 16, and Re 678 is still laminar.
    assert half.si("engine.fuel.rated.suction") == pytest.approx(total + 15 * 6497, rel=2e-3)
    assert half.si("engine.fuel.rated.suction-margin") < 0.0


def test_return_by_hand(brannock: Fluids) -> None:
    # 138 l/h in 10 mm: 0.4881 m/s; 32 · 0.014153 · 3.4 m · 0.4881 / 0.010² = 7515 Pa. End
    # at the engine stands above the tank: no column.
    assert brannock.si("engine.fuel.rated.return-pressure") == pytest.approx(7515.0, rel=2e-3)
    # 1.4 kW / (138 l/h · 832.5 kg/m³ · 1.9 kJ/(kg·K)) = 23.1 K
    assert brannock.si("engine.fuel.rated.return-rise") == pytest.approx(23.1, rel=0.01)
    assert brannock.book["engine.fuel.rated.return-rise"].notes == (
        "The fuel cooler takes this heat.",
    )


def test_without_the_cooler_the_tank_takes_the_heat(tmp_path: Path) -> None:
    found = fluids(tmp_path, "corrie")
    notes = found.book["engine.fuel.rated.return-rise"].notes
    assert notes == ("No fuel cooler is fitted: the tank takes this heat.",)


def test_without_its_place_nothing_is_said_of_the_lift(tmp_path: Path) -> None:
    place = "    crankshaft: {x: 1.95 m, y: 0 m, z: 55 mm}\n"
    found = fluids(tmp_path, edits={VESSEL: [(place, "")]})
    assert found.missing("engine.fuel.rated.suction") == ["engines[1].crankshaft"]
    assert found.missing("engine.fuel.rated.suction-margin") == ["engines[1].crankshaft"]


RETURN = "    - {id: fuel-line-4, kind: return, from: engine.fuel-return, to: fuel-tank,"


def with_return_valve(interlocked: str) -> list[tuple[str, str]]:
    valve = (
        "    - {id: return-valve, kind: valve, name: Return shut-off, "
        f"loss: {{flow: 200 l/h, drop: 1 kPa}}, interlocked: {interlocked}}}\n  lines:\n"
    )
    text = (Path(__file__).parents[2] / "specs" / f"{VESSEL}.yaml").read_text("utf-8")
    head = next(line for line in text.splitlines() if "id: fuel-line-1," in line)
    return [
        (f"  lines:\n{head}", f"{valve}{head}"),
        (RETURN, RETURN.replace("to: fuel-tank", "to: return-valve")),
        (
            "  reserve: 20 %",
            "    - {id: fuel-line-5, kind: return, from: return-valve, to: fuel-tank, bore: 10 mm, "
            "length: 0.3 m}\n  reserve: 20 %",
        ),
    ]


def test_a_valve_in_the_return(brannock: Fluids, tmp_path: Path) -> None:
    assert brannock.text("engine.fuel.return-shutoff") == "no valve"
    free = fluids(tmp_path / "free", edits={VESSEL: with_return_valve("no")})
    assert free.text("engine.fuel.return-shutoff") == (
        "can be shut, and dead-heads the pump: Return shut-off"
    )
    # 0.3 m more of hose, and 1 kPa · (138/200)².
    more = 7515.0 * 0.3 / 3.4 + 476.0
    assert free.si("engine.fuel.rated.return-pressure") == pytest.approx(7515.0 + more, rel=2e-3)
    locked = fluids(tmp_path / "locked", edits={VESSEL: with_return_valve("yes")})
    assert locked.text("engine.fuel.return-shutoff") == "interlocked"


def test_tank_above_the_engine(brannock: Fluids, tmp_path: Path) -> None:
    assert brannock.text("engine.fuel.tank-above") == "no"
    high = fluids(tmp_path, edits={VESSEL: [("highest: 180 mm", "highest: 700 mm")]})
    assert high.text("engine.fuel.tank-above") == "yes, with a valve at the tank: Fuel tank"


def test_a_high_tank_feeds_the_pump(tmp_path: Path) -> None:
    fed = fluids(tmp_path, edits={VESSEL: [("lowest: -330 mm", "lowest: 2.5 m")]})
    assert fed.si("engine.fuel.idle.suction") == 0.0
    assert (
        "The tank feeds the pump: there is no vacuum." in fed.book["engine.fuel.idle.suction"].notes
    )


def test_priming_takes_the_means_fitted(brannock: Fluids) -> None:
    engine = brannock.vessel.engines[0]
    circuit = brannock.side.circuits["fuel"]
    assert [part.part.title for part in priming_steps(circuit, engine)] == [
        "Water separator",
        "Lift pump",
        "Fine fuel filter",
        "Injection pump",
    ]
    (path,) = supply_paths(circuit, engine)
    assert [part.id for part in path.parts] == ["fuel-shutoff", "separator"]
    assert path.tank.id == "fuel-tank"


def test_coolant_grows(brannock: Fluids, tmp_path: Path) -> None:
    # 50 % by volume are 52.7 % by mass. Ethylene glycol by CoolProp at 20 and 85 °C: 50 % by mass
    # 1064.93 and 1022.75, 60 % 1077.14 and 1032.23 kg/m³: growth 4.124 and 4.351 %, 4.185 % between
    # them for 65 K; for 15 to 84 °C about 69/65 of it, 4.4 %, of 31.88 l.
    assert brannock.si("coolant.expansion") * 1e3 == pytest.approx(0.0444 * 31.88, rel=0.03)
    # 3.5 l, a quarter full: 2.625 l of room.
    assert brannock.si("coolant.expansion-room") * 1e3 == pytest.approx(2.625)
    assert brannock.si("coolant.expansion-margin") > 0.0
    small = fluids(tmp_path, edits={VESSEL: [("volume: 3.5 l", "volume: 1.75 l")]})
    assert small.si("coolant.expansion-room") * 1e3 == pytest.approx(1.3125)
    assert small.si("coolant.expansion-margin") < 0.0


def test_ceiling_is_the_products_own(tmp_path: Path) -> None:
    cold = ("coldest: -20 °C", "coldest: -40 °C")
    found = fluids(tmp_path, edits={VESSEL: [cold, ("highest_share: 60 %", "highest_share: 55 %")]})
    # −45 °C lies between −36 °C at 50 % and −50 °C at 60 %: 56.4 %.
    assert found.si("coolant.share-needed") == pytest.approx(0.564, abs=1e-3)
    assert "over the ceiling of 55 %" in found.book["coolant.share-needed"].notes[0]


def test_oil_drain(brannock: Fluids, tmp_path: Path) -> None:
    # Fall 240 mm, level distance √(60² + 40²) = 72.1 mm: 73.3°.
    line = "oil.line.engine.turbo-drain"
    assert brannock.si(f"{line}.slope") == pytest.approx(73.3, abs=0.05)
    worst = brannock.si(f"{line}.slope-worst")
    # Heel 12° and 7° of pitch can turn it by no more than their sum.
    assert 73.3 - 19.0 < worst < 73.3
    half = fluids(tmp_path, edits={SHEET: [("z: 620 mm}", "z: 500 mm}")]})
    assert half.si(f"{line}.slope") == pytest.approx(59.0, abs=0.1)


def test_twins_turn_outward(tmp_path: Path) -> None:
    found = fluids(tmp_path, "sallow")
    from installgen.analysis.driveline import analyse_driveline

    analyse_driveline(found.book, found.vessel)
    assert found.text("driveline.twins") == "outward over the top"


def test_sea_trial_by_hand(brannock: Fluids) -> None:
    from installgen.analysis.sea_trial import analyse_sea_trial

    analyse_sea_trial(brannock.book, brannock.vessel)
    assert brannock.si("engine.driveline.propeller-match") == pytest.approx(2330 / 2300)
    # 21 in · 2330 / 2.04 / 60 = 10.154 m/s; 12.9 kn = 6.636 m/s.
    assert brannock.si("engine.driveline.trial-3.slip") == pytest.approx(
        1 - 6.636 / 10.154, abs=1e-3
    )


def test_engines_that_no_line_joins_have_coolant_of_their_own(tmp_path: Path) -> None:
    # Each engine holds 9.5 l by its sheet and 30 % of a bottle of 0.8 l: 9.74 l.
    twin = fluids(tmp_path / "twin", "sallow")
    for engine in ("port", "starboard"):
        assert twin.si(f"coolant.{engine}.volume") * 1e3 == pytest.approx(9.74)
        # From 50 to 55 %: V · (0.55 − 0.5) / (1 − 0.5), a tenth.
        assert twin.si(f"coolant.{engine}.drain-for-five-percent") * 1e3 == pytest.approx(0.974)
        assert twin.si(f"coolant.{engine}.concentrate") * 1e3 == pytest.approx(4.87)
        assert twin.si(f"coolant.{engine}.expansion-room") * 1e3 == pytest.approx(0.56)
    assert "coolant.volume" not in twin.book
    hose = "from: starboard.coolant-overflow, to: starboard-expansion"
    to_port = "from: starboard.coolant-overflow, to: port-expansion"
    shared = fluids(tmp_path / "shared", "sallow", edits={"vessels/sallow": [(hose, to_port)]})
    assert shared.si("coolant.volume") * 1e3 == pytest.approx(2 * 9.74)
    assert "coolant.port.volume" not in shared.book


def test_a_tank_that_could_be_either_engines_leaves_both_not_assessed(tmp_path: Path) -> None:
    text = (Path(__file__).parents[2] / "specs/vessels/sallow.yaml").read_text("utf-8")
    hose = next(one for one in text.splitlines(keepends=True) if "id: port-overflow-hose" in one)
    found = fluids(tmp_path, "sallow", edits={"vessels/sallow": [(hose, "")]})
    for engine in ("port", "starboard"):
        result = found.book[f"coolant.{engine}.volume"]
        assert result.value is None
        assert "Port expansion bottle" in result.not_assessed
