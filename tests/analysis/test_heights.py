"""Heights, siphons, hull openings and cranking of the demonstration vessels, by hand."""

from pathlib import Path

import pytest

from installgen.analysis.elevation import exhaust_profile, route_profile
from tests.analysis.fluid_cases import Fluids, fluids

SHEET, VESSEL = "engines/tolvane-six", "vessels/brannock"


@pytest.fixture(scope="module")
def brannock(tmp_path_factory: pytest.TempPathFactory) -> Fluids:
    return fluids(tmp_path_factory.mktemp("brannock"))


@pytest.fixture(scope="module")
def sallow(tmp_path_factory: pytest.TempPathFactory) -> Fluids:
    return fluids(tmp_path_factory.mktemp("sallow"), "sallow")


def test_lowest_heights_by_hand(brannock: Fluids) -> None:
    # cos 12° = 0.97815, sin 12° = 0.20791, cos 3° = 0.99863, sin 3° = 0.05234; x from 5.7 m.
    # Injection: 0.520·0.97815·0.99863 − 3.9·0.05234 = 0.3038
    assert brannock.si("engine.raw-water.injection.lowest-height") == pytest.approx(
        0.3038, abs=5e-4
    )
    assert brannock.si("engine.raw-water.injection.margin") == pytest.approx(0.1038, abs=5e-4)
    # Seacock: (−0.420·0.97815 − 0.5·0.20791)·0.99863 − 1.6·0.05234 = −0.5978
    lowest = brannock.si("opening.engine.intake-seacock.lowest-height")
    assert lowest == pytest.approx(-0.5978, abs=5e-4)
    # Exhaust outlet: (0.200·0.97815 − 0.6·0.20791)·0.99863 − 5.7·0.05234 = −0.2275
    outlet = brannock.si("opening.engine.exhaust-outlet.lowest-height")
    assert outlet == pytest.approx(-0.2275, abs=5e-4)
    # Top of the riser: (0.690·0.97815 − 0.4·0.20791)·0.99863 − 5.1·0.05234 = 0.3240
    assert brannock.si("engine.exhaust.riser.lowest-height") == pytest.approx(0.3240, abs=5e-4)


def test_without_y_nothing_is_said_of_heel(tmp_path: Path) -> None:
    at = "at: {x: 1.8 m, y: 0.0 m, z: 520 mm}"
    found = fluids(tmp_path, edits={VESSEL: [(at, "at: {x: 1.8 m, z: 520 mm}")]})
    assert found.missing("engine.raw-water.injection.lowest-height") == [
        "raw_water[1].route[7].exhaust_injection.at.y"
    ]
    assert found.book["engine.raw-water.vented-loop"].value is None


def test_half_the_height_needs_a_loop(brannock: Fluids, tmp_path: Path) -> None:
    assert brannock.text("engine.raw-water.vented-loop") == "not needed"
    assert brannock.text("engine.raw-water.vented-loop-place") == (
        "between Heat exchanger and Exhaust injection elbow"
    )
    low = fluids(
        tmp_path,
        edits={
            VESSEL: [("at: {x: 1.8 m, y: 0.0 m, z: 520 mm}", "at: {x: 1.8 m, y: 0 m, z: 260 mm}")]
        },
    )
    # 0.260·0.97681 − 0.2041 = 0.0499: under the maker's 200 mm, though above the water.
    assert low.si("engine.raw-water.injection.lowest-height") == pytest.approx(0.0499, abs=5e-4)
    assert low.text("engine.raw-water.vented-loop") == "needed, and missing"


@pytest.mark.parametrize(
    ("before", "verdict"),
    [
        ("      - exhaust_injection:", "needed, and fitted"),
        ("      - strainer:", "in the wrong place: on the suction it lets the pump draw air"),
        ("      - branch:", "needed, and in the wrong place: it belongs after the last cooler"),
    ],
)
def test_place_of_the_loop(tmp_path: Path, before: str, verdict: str) -> None:
    specs = "vessels/sallow"
    text = (Path(__file__).parents[2] / "specs" / f"{specs}.yaml").read_text("utf-8")
    port = text.index("  - engine: port\n    route:")
    loop = next(line for line in text[port:].splitlines() if "id: port-loop," in line)
    place = next(line for line in text[port:].splitlines() if line.startswith(before))
    found = fluids(tmp_path, "sallow", {specs: [(f"{loop}\n", ""), (place, f"{loop}\n{place}")]})
    assert found.text("port.raw-water.vented-loop") == verdict


def test_where_the_sea_can_come_in(brannock: Fluids, sallow: Fluids) -> None:
    assert brannock.text("opening.engine.intake-seacock.siphon") == (
        "cannot: the exhaust injection elbow stays above the waterline"
    )
    assert brannock.text("opening.engine.exhaust-outlet.against-waterline") == (
        "below it when she heels or trims"
    )
    assert brannock.text("opening.engine.exhaust-outlet.siphon").startswith("cannot")
    vented = "cannot: its vented loop stays above the waterline"
    assert brannock.text("opening.bilge-outlet.siphon") == vented
    assert sallow.text("opening.port.port-seacock.siphon") == vented
    assert sallow.text("opening.port.port-shaft-seal.siphon") == vented


def test_without_loops_it_can(tmp_path: Path) -> None:
    loop = ", loop: {x: 3.4 m, y: -1.4 m, z: 900 mm}"
    found = fluids(tmp_path, edits={VESSEL: [(loop, "")]})
    assert found.text("opening.bilge-outlet.siphon").startswith("can:")
    specs = "vessels/sallow"
    text = (Path(__file__).parents[2] / "specs" / f"{specs}.yaml").read_text("utf-8")
    lines = [line for line in text.splitlines() if "id: port-loop," in line]
    bare = fluids(tmp_path / "sallow", "sallow", {specs: [(f"{lines[0]}\n", "")]})
    assert bare.text("opening.port.port-seacock.siphon").startswith("can:")
    # The seal's own loop still stands between its opening and the injection.
    assert bare.text("opening.port.port-shaft-seal.siphon").startswith("cannot: its vented loop")


def test_one_seacock_for_two_engines(tmp_path: Path) -> None:
    other = "code: V2, bore: 32 mm"
    found = fluids(tmp_path, "sallow", {"vessels/sallow": [(other, "code: V1, bore: 32 mm")]})
    intakes = [opening for opening in found.side.openings if opening.kind == "intake"]
    assert [opening.engines for opening in intakes] == [("port", "starboard")]


def test_riser_under_water(tmp_path: Path) -> None:
    riser = "z: 690 mm}"
    found = fluids(tmp_path, edits={VESSEL: [(riser, "z: 300 mm}")]})
    assert found.text("opening.engine.exhaust-outlet.siphon").startswith("can:")


def test_profiles(brannock: Fluids) -> None:
    route = brannock.side.routes["engine"]
    profile = route_profile(brannock.book, brannock.vessel, route)
    assert [point.name for point in profile] == [step.name for step in route.steps]
    along = [point.along_m for point in profile]
    assert along == sorted(along)
    # 55 mm + 420·cos 4° + 150·sin 4° = 484.4 mm: the engine's own outlet, from where it is placed.
    outlet = next(point for point in profile if point.name == "Heat exchanger")
    assert outlet.height_m == pytest.approx(0.4844, abs=1e-4)
    assert profile[0].lowest_m == pytest.approx(-0.5978, abs=5e-4)
    exhaust = exhaust_profile(
        brannock.book, brannock.vessel, route, brannock.vessel.spec.exhaust[0]
    )
    assert min(point.height_m for point in exhaust) == -0.06
    assert max(point.height_m for point in exhaust) == 0.69
