"""Raw water of the demonstration vessels, by hand and by the laws of flow."""

import math
from pathlib import Path

import pytest

from installgen.analysis.raw_water_curves import pump_against_route
from installgen.analysis.speeds import SPEEDS
from tests.analysis.fluid_cases import Fluids, fluids

SHEET, VESSEL = "engines/tolvane-six", "vessels/brannock"
BY_TABLE = 0.002  # the sea at 3 °C between two rows of its table


@pytest.fixture(scope="module")
def brannock(tmp_path_factory: pytest.TempPathFactory) -> Fluids:
    return fluids(tmp_path_factory.mktemp("brannock"))


@pytest.fixture(scope="module")
def sallow(tmp_path_factory: pytest.TempPathFactory) -> Fluids:
    return fluids(tmp_path_factory.mktemp("sallow"), "sallow")


def area_m2(bore_m: float) -> float:
    return math.pi / 4 * bore_m**2


def test_pump_by_hand(brannock: Fluids) -> None:
    # 0.112 l · 46 turns/s = 5.152 l/s swept; 5 % slips free: 4.8944 l/s.
    # Leakage: 5.152 l/s · (24 − 5) % / 140 kPa = 6.992e-9 m³/(s·Pa).
    # Total rise = static rise + velocity heads (57 and 45 mm bore) + 49 mm of height (interpolated:
    # 40 mm at the inlet, 484 mm behind nine pieces).
    flow = brannock.si("engine.raw-water.rated.flow")
    rise = brannock.si("engine.raw-water.rated.pump-outlet") - brannock.si(
        "engine.raw-water.rated.pump-inlet"
    )
    rho = 1027.9  # sea at 3 °C (TEOS-10: 1027.68 at 5 °C, 1026.95 at 10 °C)
    rise += rho / 2 * ((flow / area_m2(0.045)) ** 2 - (flow / area_m2(0.057)) ** 2)
    rise += rho * 9.80665 * (0.484 - 0.040) / 9
    assert flow == pytest.approx(4.8944e-3 - 6.992e-9 * rise, rel=5e-4)


def test_good_practice(brannock: Fluids) -> None:
    flow_l_per_min = brannock.si("engine.raw-water.rated.flow") * 6e4
    assert 1.0 <= flow_l_per_min / 224.0 <= 1.3
    for step in brannock.side.routes["engine"].steps:
        if step.kind == "hose":
            limit = 2.0 if step.key in ("hose-1", "hose-2") else 3.0
            assert brannock.si(f"{step.id}.rated.velocity") < limit
    assert brannock.si("engine.raw-water.rated.pump-inlet-worst") > -20e3
    assert brannock.si("engine.raw-water.rated.pump-outlet") < 140e3


@pytest.mark.parametrize("speed", SPEEDS)
def test_velocity_and_stated_loss(brannock: Fluids, speed: str) -> None:
    flow = brannock.si(f"engine.raw-water.{speed}.flow")
    assert brannock.si(f"engine.raw-water.hose-1.{speed}.velocity") == pytest.approx(
        flow / area_m2(2.5 * 0.0254)
    )
    # Strainer: 2 kPa at 300 l/min, with the square of the flow.
    assert brannock.si(f"engine.raw-water.strainer.{speed}.loss") == pytest.approx(
        2000.0 * (flow / 5e-3) ** 2, rel=1e-3
    )


def test_steps_of_bore(brannock: Fluids, tmp_path: Path) -> None:
    # Where the aftercooler's loss is measured between its hoses, its two steps fall away:
    # into 45 mm from 50.8 mm K = 0.5·(1 − 0.7847), out of it K = (1 − 0.7847)², together 0.1540.
    loss = "loss: {flow: 300 l/min, drop: 14 kPa}"
    with_hoses = fluids(tmp_path, edits={SHEET: [(loss, loss[:-1] + ", measured_between: hoses}")]})
    outlet = "engine.raw-water.rated.pump-outlet"
    velocity = brannock.si("engine.raw-water.rated.flow") / area_m2(0.045)
    expected = 0.1540 * 1027.9 / 2 * velocity**2
    # The flow grows by 0.1 %, and every other loss with it.
    assert brannock.si(outlet) - with_hoses.si(outlet) == pytest.approx(expected, rel=0.12)


def test_a_vessel_as_built_says_where_no_step_is_counted(brannock: Fluids) -> None:
    notes = " ".join(brannock.book["engine.raw-water.rated.flow"].notes)
    assert "bore is not given: 1, 2, 3." in notes


@pytest.mark.parametrize("speed", SPEEDS)
@pytest.mark.parametrize("engine", ["port", "starboard"])
def test_mass_balance_with_branches(sallow: Fluids, engine: str, speed: str) -> None:
    prefix = f"{engine}.raw-water"
    pump = sallow.si(f"{prefix}.{speed}.flow")
    seal = sallow.si(f"{prefix}.{engine}-seal-feed.{speed}.flow")
    injected = sallow.si(f"{prefix}.{speed}.injection-flow")
    assert pump == pytest.approx(seal + injected, rel=1e-6)
    margin = sallow.si(f"{prefix}.{engine}-seal-feed.{speed}.flow-margin")
    assert margin == pytest.approx(seal - 2.5 / 6e4)
    assert 0.0 < seal < 0.25 * pump


BYPASS = """
      - branch: {id: bypass, outlet: {kind: hose-spigot, size: 3/4 in, bore: 16 mm}, rejoins: hose-3, route: [{hose: {id: by-hose, bore: 3/4 in, length: 2.5 m, bends: 2, kind: hard-wall}}]}
      - engine
"""  # noqa: E501 (a spec's entry stands on one line)


def test_bypass_comes_back(tmp_path: Path) -> None:
    found = fluids(tmp_path, edits={VESSEL: [("\n      - engine\n", BYPASS)]})
    # It leaves before the pump and comes back behind the engine: water runs back to the suction.
    around = found.si("engine.raw-water.bypass.rated.flow")
    assert around < 0.0
    pump = found.si("engine.raw-water.rated.flow")
    assert found.si("engine.raw-water.rated.injection-flow") == pytest.approx(pump + around)
    outlet = found.book["engine.raw-water.rated.outlet-temperature-hottest"]
    assert "runs back through a branch" in outlet.not_assessed


def test_halves(brannock: Fluids, tmp_path: Path) -> None:
    displacement = fluids(
        tmp_path / "displacement", edits={SHEET: [("displacement: 0.112 l", "displacement: 56 ml")]}
    )
    ratio = displacement.si("engine.raw-water.rated.flow") / brannock.si(
        "engine.raw-water.rated.flow"
    )
    assert 0.5 < ratio < 0.56  # less flow, less pressure, less slip
    hose = "id: hose-3, bore: 2 in"
    bore = fluids(tmp_path / "bore", edits={VESSEL: [(hose, "id: hose-3, bore: 1 in")]})
    outlet = "engine.raw-water.rated.pump-outlet"
    assert bore.si(outlet) > brannock.si(outlet) + 20e3
    velocity = "engine.raw-water.hose-3.rated.velocity"
    flow = "engine.raw-water.rated.flow"
    assert bore.si(velocity) / bore.si(flow) == pytest.approx(
        4 * brannock.si(velocity) / brannock.si(flow)
    )
    height = fluids(
        tmp_path / "height",
        edits={
            VESSEL: [("at: {x: 4.1 m, y: 0.5 m, z: -420 mm}", "at: {x: 4.1 m, y: 0.5 m, z: 0 m}")]
        },
    )
    # Immersion ends at the same level: a shallower intake changes nothing at the pump.
    assert height.si(flow) == pytest.approx(brannock.si(flow), rel=1e-9)


def test_fouled_and_worn(brannock: Fluids) -> None:
    flow = "engine.raw-water.rated.flow"
    fouled = brannock.si(f"{flow}-fouled-strainer")
    # 4 times 2 kPa at 300 l/min, against once; the pump gives a little less.
    extra = 8000.0 * (fouled / 5e-3) ** 2 - 2000.0 * (brannock.si(flow) / 5e-3) ** 2
    inlet = "engine.raw-water.rated.pump-inlet"
    assert brannock.si(inlet) - brannock.si(f"{inlet}-fouled-strainer") == pytest.approx(
        extra, rel=0.03
    )
    assert brannock.si(f"{flow}-worst") < brannock.si(f"{flow}-worn-impeller") < fouled
    # Slip 1.5 times: 7.5 % free, and leakage 1.5 · 6.992e-9 against about 53 kPa.
    assert brannock.si(f"{flow}-worn-impeller") == pytest.approx(
        5.152e-3 * 0.925 - 1.5 * 6.992e-9 * 53e3, rel=0.01
    )


def test_piece_that_limits(brannock: Fluids, tmp_path: Path) -> None:
    assert brannock.text("engine.raw-water.rated.limiting-piece") == "Aftercooler"
    small = fluids(tmp_path, edits={VESSEL: [("id: hose-3, bore: 2 in", "id: hose-3, bore: 1 in")]})
    assert small.text("engine.raw-water.rated.limiting-piece") == "Hose"
    flow = "engine.raw-water.rated.flow"
    larger = small.si(f"{flow}-one-size-larger") / small.si(flow)
    assert larger > 1.02
    inputs = {one.name: one.value for one in small.book[f"{flow}-one-size-larger"].inputs}
    assert inputs["next hose size"] == "1-1/8 in"


def test_vented_loop_breaks_the_column(sallow: Fluids, tmp_path: Path) -> None:
    route = sallow.side.routes["port"]
    after = next(joint for joint in route.joints if joint.upstream.key == "port-loop")
    # The waterlogged riser holds the column up: 8.84 kPa − 0.62 m · 10.08 kPa/m + 0.26 kPa lost.
    assert sallow.si(f"{after.id}.idle.pressure") == pytest.approx(2850.0, abs=60.0)
    # A riser of 360 mm over its dip tube does not, and the vent opens.
    riser = "at: {x: 1.9 m, y: 0.75 m, z: 560 mm}"
    low = fluids(
        tmp_path, "sallow", {"vessels/sallow": [(riser, riser.replace("560 mm", "60 mm"))]}
    )
    assert low.si(f"{after.id}.idle.pressure") == 0.0
    assert low.book[f"{after.id}.idle.velocity"].value is None
    assert "lets air in" in low.book[f"{after.id}.idle.velocity"].not_assessed


def test_open_bleed(tmp_path: Path) -> None:
    loop = "id: port-loop, name: Port vented loop, code: VL1, bore: 32 mm, vent: valve"
    opened = loop.replace("vent: valve", "vent: open-line, bleed: 2 l/min")
    found = fluids(tmp_path, "sallow", {"vessels/sallow": [(loop, opened)]})
    assert found.si("port.raw-water.port-loop.rated.bleed") == pytest.approx(2 / 6e4)
    assert found.si("port.raw-water.rated.flow") == pytest.approx(
        found.si("port.raw-water.rated.injection-flow")
        + found.si("port.raw-water.port-seal-feed.rated.flow")
        + 2 / 6e4
    )


def test_closed_seacock_has_no_operating_point(tmp_path: Path) -> None:
    valve = (
        "      - strainer: {id: strainer,",
        "      - valve: {bore: 2-1/2 in, state: closed}\n      - strainer: {id: strainer,",
    )
    found = fluids(tmp_path, edits={VESSEL: [valve]})
    assert "no operating point: closed" in found.book["engine.raw-water.rated.flow"].not_assessed
    assert found.book["engine.exhaust.rated.mixture-temperature"].value is None


def test_what_is_missing_is_named(tmp_path: Path) -> None:
    found = fluids(
        tmp_path, edits={VESSEL: [("bore: 2 in, length: 0.9 m", "bore: 2 in, length: unknown")]}
    )
    path = "raw_water[1].route[6].hose.length"
    assert found.missing("engine.raw-water.rated.flow") == [path]
    assert found.missing("engine.raw-water.rated.pump-inlet") == [path]
    assert found.missing("engine.raw-water.rated.flow-worst") == [path]


def test_curves_meet_at_the_operating_points(brannock: Fluids) -> None:
    route = brannock.side.routes["engine"]
    curves = pump_against_route(brannock.book, brannock.vessel, route)
    assert curves is not None
    for speed in SPEEDS:
        point = curves.points[speed]
        assert point.flow_m3_per_s == brannock.si(f"engine.raw-water.{speed}.flow")
        below = max(
            (p for p in curves.routes[speed] if p.flow_m3_per_s <= point.flow_m3_per_s),
            key=lambda p: p.flow_m3_per_s,
        )
        above = min(
            (p for p in curves.routes[speed] if p.flow_m3_per_s >= point.flow_m3_per_s),
            key=lambda p: p.flow_m3_per_s,
        )
        assert below.rise_pa - 1.0 <= point.rise_pa <= above.rise_pa + 1.0
        rises = [p.rise_pa for p in curves.routes[speed]]
        assert rises == sorted(rises)
        flows = [p.flow_m3_per_s for p in curves.pumps[speed]]
        assert min(flows) <= point.flow_m3_per_s <= max(flows)


def test_range_agrees_with_the_named_speeds(brannock: Fluids) -> None:
    assert brannock.si("engine.raw-water.2300-rpm.flow") == pytest.approx(
        brannock.si("engine.raw-water.rated.flow"), rel=1e-5
    )
    flows = [brannock.si(f"engine.raw-water.{n}-rpm.flow") for n in (650, 1200, 1800, 2300)]
    assert flows == sorted(flows)
