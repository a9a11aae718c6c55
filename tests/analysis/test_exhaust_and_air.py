"""Exhaust and air of the engine space of the reference build, by hand."""

from pathlib import Path

import pytest

from installgen.analysis.speeds import SPEEDS
from tests.analysis.fluid_cases import Fluids, fluids

SHEET, VESSEL, STANDARD = "engines/tolvane-six", "vessels/brannock", "standards/quenby-slip"


@pytest.fixture(scope="module")
def brannock(tmp_path_factory: pytest.TempPathFactory) -> Fluids:
    return fluids(tmp_path_factory.mktemp("brannock"))


def test_gas_by_hand(brannock: Fluids) -> None:
    # 0.355 kg/s + 57.6 l/h · 832.5 kg/m³ / 3600 = 0.355 + 0.01332
    assert brannock.si("engine.exhaust.rated.gas-flow") == pytest.approx(0.36832, rel=1e-4)


def test_mixture_by_hand(brannock: Fluids) -> None:
    mixture = brannock.si("engine.exhaust.rated.mixture-temperature")
    joint = brannock.side.routes["engine"].joints[-1].id
    water = brannock.si(f"{joint}.rated.temperature-hottest")
    # At 41.4 °C steam has 7.94 kPa and takes 2403 kJ/kg (steam tables); the gas holds
    # 0.622 · 7.94 / (101.3 − 7.94) = 0.0529 kg/kg: 19.5 g/s, 46.8 kW.
    # The gas gives 0.36832 · 1.034 kJ/(kg·K) at 245 °C · (448 − 41.4) K = 154.9 kW, so that the
    # water takes up 108.1 kW: 4.476 l/s · 4.09 MJ/(m³·K) · 5.9 K.
    assert mixture == pytest.approx(41.4, abs=0.2)
    warmed = brannock.si("engine.raw-water.rated.injection-flow") * 4.09e6 * (mixture - water)
    assert warmed == pytest.approx(108.1e3, rel=0.03)


def test_back_pressure_by_hand(brannock: Fluids) -> None:
    # Dry: 0.4894 kg/m³ at 448 °C, 59.4 m/s, 864 Pa a head; f 0.0163 · 0.35/0.127 = 0.045, one bend
    # of r/d 2: 12 · 0.0162 = 0.194: 0.239 heads.
    assert brannock.si("engine.exhaust.rated.dry-run") == pytest.approx(0.239 * 864.0, rel=0.03)
    # Column: 690 − (−60) mm of sea at 3 °C: 1027.9 · 9.80665 · 0.75 = 7560 Pa; 30 % of it at rated.
    assert brannock.si("engine.exhaust.idle.static-column") == pytest.approx(7560.0, rel=1e-3)
    assert brannock.si("engine.exhaust.rated.static-column") == pytest.approx(2268.0, rel=1e-3)
    parts = ("dry-run", "wet-run", "static-column")
    total = sum(brannock.si(f"engine.exhaust.rated.{part}") for part in parts)
    assert brannock.si("engine.exhaust.rated.back-pressure") == pytest.approx(total)
    assert brannock.si("engine.exhaust.rated.back-pressure-margin") == pytest.approx(10e3 - total)


def test_wet_run_by_hand(brannock: Fluids) -> None:
    # Gas with 0.0529 kg/kg of vapour at 41.4 °C: 1.1225 · 1.0529 / 1.0850 = 1.089 kg/m³;
    # 0.3878 kg/s of it are 0.356 m³/s; water left 4.572 − 0.0195 = 4.55 kg/s, 4.46 l/s.
    # One spray in the riser: 4.94 kg/s / 0.3605 m³/s = 13.70 kg/m³ at 28.5 m/s: 5550 Pa a head;
    # 0.8 m of 127 mm, 0.05 mm rough, f 0.0165: 0.104, one bend 0.194: 1654 Pa.
    # Apart in the falling hoses: water takes 4.46 / (4.46 + 356/3) = 3.6 % of the bore, the gas
    # runs 29.2 m/s: 464 Pa a head; f 0.0185 · (0.8 + 0.9) / 0.1247 = 0.252, two bends 0.388,
    # the outlet 1: 1.64 heads, 761 Pa. Muffler 1800 Pa as stated.
    assert brannock.si("engine.exhaust.rated.wet-run") == pytest.approx(1654 + 761 + 1800, rel=0.03)


def test_water_lost(brannock: Fluids, tmp_path: Path) -> None:
    assert brannock.si("engine.exhaust.rated.water-lost-margin") == pytest.approx(100.0 - 448.0)
    assert brannock.si("engine.exhaust.alarm-under-hose") == pytest.approx(100.0 - 75.0)
    mixture = brannock.si("engine.exhaust.rated.mixture-temperature")
    assert brannock.si("engine.exhaust.alarm-over-mixture") == pytest.approx(75.0 - mixture)
    deaf = fluids(tmp_path, edits={VESSEL: [("alarm: fitted", "alarm: none")]})
    notes = deaf.book["engine.exhaust.rated.water-lost-margin"].notes
    assert "No exhaust-temperature alarm is fitted." in notes


def test_halved_bore_and_lift(brannock: Fluids, tmp_path: Path) -> None:
    low = fluids(
        tmp_path / "low",
        edits={VESSEL: [("dip: {x: 1.0 m, y: 0.2 m, z: -60 mm}", "dip: {z: 315 mm}")]},
    )
    column = "engine.exhaust.idle.static-column"
    assert low.si(column) == pytest.approx(brannock.si(column) / 2)
    narrow = fluids(
        tmp_path / "narrow",
        edits={VESSEL: [("id: riser, bore: 5 in", "id: riser, bore: 4 in")]},
    )
    wet = "engine.exhaust.rated.wet-run"
    # (5/4)^4 = 2.44 on the riser's share, its bend and friction a little more.
    assert narrow.si(wet) - brannock.si(wet) == pytest.approx(1654 * 1.6, rel=0.1)


def test_what_the_exhaust_lacks_is_named(tmp_path: Path) -> None:
    found = fluids(tmp_path, edits={VESSEL: [(", dip: {x: 1.0 m, y: 0.2 m, z: -60 mm}", "")]})
    assert found.missing("engine.exhaust.idle.static-column") == ["exhaust[1].pieces[2].dip"]
    assert found.missing("engine.exhaust.idle.back-pressure-margin") == ["exhaust[1].pieces[2].dip"]


def test_falls(brannock: Fluids) -> None:
    # From the injection at 520 mm to 90 mm in 0.8 m; from the riser at 690 to 200 mm in 0.9 m.
    assert brannock.si("engine.exhaust.exhaust-hose-1.fall") == pytest.approx(0.43 / 0.8)
    assert brannock.si("engine.exhaust.exhaust-hose-2.fall") == pytest.approx(0.49 / 0.9)


def test_air_by_hand(brannock: Fluids) -> None:
    rated = "air.engine-space.rated"
    # Outside 32 °C: 101325 / (287.05 · 305.15) = 1.1568 kg/m³, 1.0065 kJ/(kg·K).
    # Breathed: 0.355 / 1.1568 = 0.3069 m³/s.
    assert brannock.si(f"{rated}.combustion") == pytest.approx(0.3069, rel=1e-3)
    # Heat: 8 kW + 110 A · 14.2 V · 0.8 · 0.48/0.52 = 1153 W.
    assert brannock.si(f"{rated}.heat") == pytest.approx(9153.0, rel=1e-3)
    # Carrying it away at 15 K: 9153 / (1.1568 · 1006.5 · 15) = 0.5241 m³/s.
    assert brannock.si(f"{rated}.cooling") == pytest.approx(0.5241, rel=1e-3)
    # 0.3069 + 0.5241 − 0.4 · 0.3069
    assert brannock.si(f"{rated}.needed") == pytest.approx(0.7082, rel=1e-3)
    # 27 m³/min are drawn out besides what is breathed: 0.7569 m³/s through 0.15 m².
    assert brannock.si(f"{rated}.inflow") == pytest.approx(0.7569, rel=1e-3)
    assert brannock.si(f"{rated}.inlet-velocity") == pytest.approx(5.046, rel=1e-3)
    # ρ/2 · (0.7569 / (0.6 · 0.15))² = 40.9 Pa, of 50 allowed.
    assert brannock.si(f"{rated}.depression") == pytest.approx(40.9, rel=2e-3)
    assert brannock.si(f"{rated}.depression-margin") == pytest.approx(9.1, abs=0.1)
    # 9153 / (1.1568 · 1006.5 · (0.45 + 0.4 · 0.3069)) = 13.73 K, of 15 allowed.
    assert brannock.si(f"{rated}.rise") == pytest.approx(13.73, rel=2e-3)
    # 0.7082 / (0.6 · √(2 · 50 / 1.1568)) = 0.1270 m²
    assert brannock.si("air.engine-space.inlet-area-needed") == pytest.approx(0.1270, rel=2e-3)


def test_halved_openings_and_no_blower(brannock: Fluids, tmp_path: Path) -> None:
    half = fluids(tmp_path / "half", edits={VESSEL: [("area: 750 cm²", "area: 375 cm²")]})
    depression = "air.engine-space.rated.depression"
    assert half.si(depression) == pytest.approx(4 * brannock.si(depression))
    assert half.si("air.engine-space.rated.depression-margin") < 0.0
    text = (Path(__file__).parents[2] / "specs" / f"{VESSEL}.yaml").read_text("utf-8")
    blower = next(line for line in text.splitlines() if "Extraction blower" in line)
    still = fluids(tmp_path / "still", edits={VESSEL: [(f"    blowers:\n{blower}\n", "")]})
    # Only 0.4 · 0.3069 m³/s carry heat: 9153 / (1.1568 · 1006.5 · 0.1228) = 64 K.
    assert still.si("air.engine-space.rated.rise") == pytest.approx(64.0, rel=0.01)
    assert still.si("air.engine-space.rated.rise-margin") < 0.0


def test_air_without_an_entry_is_named(tmp_path: Path) -> None:
    found = fluids(
        tmp_path, edits={VESSEL: [("  - place: engine-space\n", "  - place: lazarette\n")]}
    )
    reason = found.book["air.engine-space.rated.rise"].not_assessed
    assert "`air`" in reason
    assert found.si("air.engine-space.rated.needed") > 0.0


@pytest.mark.parametrize("speed", [*SPEEDS, "650-rpm", "1200-rpm", "1800-rpm", "2300-rpm"])
def test_raw_water_and_exhaust_agree(brannock: Fluids, speed: str) -> None:
    """What the water meets is what the wet run and the column make of that water."""
    met = brannock.si(f"engine.exhaust.{speed}.pressure-at-injection")
    parts = (brannock.si(f"engine.exhaust.{speed}.{part}") for part in ("wet-run", "static-column"))
    assert met == pytest.approx(sum(parts), abs=2.0)


def test_a_lower_riser_lets_more_water_through(brannock: Fluids, tmp_path: Path) -> None:
    # From the foot of the dip tube at −60 mm: 750 mm of column become 375 mm.
    half = fluids(tmp_path, edits={VESSEL: [("z: 690 mm}", "z: 315 mm}")]})
    whole = brannock.si("engine.exhaust.cruise.static-column")
    assert half.si("engine.exhaust.cruise.static-column") == pytest.approx(whole / 2)
    fell = brannock.si("engine.exhaust.cruise.pressure-at-injection") - half.si(
        "engine.exhaust.cruise.pressure-at-injection"
    )
    assert fell == pytest.approx(whole / 2, rel=0.01)
    before, after = (found.si("engine.raw-water.cruise.flow") for found in (brannock, half))
    assert before < after


def test_where_the_exhaust_is_not_computed_the_standard_stands_in(tmp_path: Path) -> None:
    found = fluids(tmp_path, edits={VESSEL: [("loss: 1.8 kPa, at:", "loss: unknown, at:")]})
    name = "engine.exhaust.rated.pressure-at-injection"
    assert found.missing(name) == ["exhaust[1].pieces[2].loss"]
    flow = found.book["engine.raw-water.rated.flow"]
    taken = next(i for i in flow.inputs if i.name == "exhaust pressure at the injection")
    assert taken.assumed
    assert str(taken.value) == "5 kPa"
    assert any("exhaust pressure is not computed" in note for note in flow.notes)


@pytest.mark.parametrize(("row", "speed"), [("650-rpm", "idle"), ("2300-rpm", "rated")])
@pytest.mark.parametrize("what", ["back-pressure", "mixture-temperature", "water-lost-margin"])
def test_exhaust_over_the_range(brannock: Fluids, row: str, speed: str, what: str) -> None:
    over_range = brannock.book[f"engine.exhaust.{row}.{what}"]
    assert f"{row.removesuffix('-rpm')} rpm" in over_range.name
    assert "-rpm" not in over_range.name
    found, expected = (brannock.si(f"engine.exhaust.{s}.{what}") for s in (row, speed))
    assert found == pytest.approx(expected, rel=2e-3)
