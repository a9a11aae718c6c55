"""The pressure at the intake and what headway does in its scoop, by hand."""

from pathlib import Path

import pytest

from tests.analysis.fluid_cases import Fluids, fluids

VESSEL, STANDARD = "vessels/brannock", "standards/quenby-slip"
FLUSH = "intake: flush"
KNOT = 1852.0 / 3600.0
SEA = 1027.9  # at 3 °C
DEEP = SEA * 9.80665 * 0.420


def with_intake(folder: Path, text: str, *others: tuple[str, str], vessel: str = VESSEL) -> Fluids:
    edits = {vessel: [(FLUSH, text), *(pair for pair in others if pair[0] not in STANDARD_TEXT)]}
    edits[STANDARD] = [pair for pair in others if pair[0] in STANDARD_TEXT]
    return fluids(folder, vessel.partition("/")[2], edits)


STANDARD_TEXT = (Path(__file__).parents[2] / "specs" / f"{STANDARD}.yaml").read_text("utf-8")


def test_flush_with_the_hull_only_its_depth_counts(tmp_path: Path) -> None:
    made = with_intake(tmp_path, FLUSH)
    for speed in ("idle", "cruise", "rated"):
        found = made.si(f"engine.raw-water.{speed}.intake-pressure")
        assert found == pytest.approx(DEEP, rel=1e-3)
    assert not [result for result in made.book if "headway" in result]


def test_an_intake_that_is_not_stated_says_that_headway_is_not_counted(tmp_path: Path) -> None:
    made = with_intake(tmp_path, "notes: bronze")
    result = made.book["engine.raw-water.rated.intake-pressure"]
    assert made.si(result.id) == pytest.approx(DEEP, rel=1e-3)
    assert any("not stated" in note for note in result.notes)


def test_a_scoop_that_faces_forward_is_bounded_both_ways(tmp_path: Path) -> None:
    # Flow and suction as at the quay; under way no more than the stagnation pressure at 9.2 kn,
    # the run at her cruising speed.
    flush = with_intake(tmp_path / "flush", FLUSH)
    made = with_intake(tmp_path / "scoop", "intake: scoop-forward")
    assert made.si("engine.raw-water.cruise.intake-pressure") == pytest.approx(DEEP, rel=1e-3)
    assert made.si("engine.raw-water.cruise.headway") == pytest.approx(9.2 * KNOT)
    most = DEEP + SEA * (9.2 * KNOT) ** 2 / 2.0
    assert made.si("engine.raw-water.cruise.intake-pressure-headway") == pytest.approx(
        most, rel=1e-3
    )
    flow = "engine.raw-water.cruise.flow"
    assert made.si(flow) == flush.si(flow)
    assert made.si(f"{flow}-headway") > flush.si(flow)
    inlet = "engine.raw-water.cruise.pump-inlet"
    # The flow grows a little with it, and so do the losses on the way.
    assert made.si(f"{inlet}-headway") - made.si(inlet) == pytest.approx(most - DEEP, rel=0.05)


def test_between_two_runs_and_beyond_them(tmp_path: Path) -> None:
    # Rated 2300 rpm lies between 1800 rpm (9.2 kn) and 2330 rpm (12.9 kn).
    made = with_intake(tmp_path, "intake: scoop-forward")
    expected = 9.2 + (12.9 - 9.2) * (2300.0 - 1800.0) / (2330.0 - 1800.0)
    assert made.si("engine.raw-water.rated.headway") == pytest.approx(expected * KNOT)
    idle = made.book["engine.raw-water.idle.headway"]
    assert made.si(idle.id) == pytest.approx(6.6 * KNOT)
    assert any("slower" in note for note in idle.notes)


def test_what_its_maker_states_stands_for_the_bound(tmp_path: Path) -> None:
    made = with_intake(tmp_path, "intake: scoop-forward, recovery: 60 %")
    expected = DEEP + 0.6 * SEA * (9.2 * KNOT) ** 2 / 2.0
    result = made.book["engine.raw-water.cruise.intake-pressure-headway"]
    assert made.si(result.id) == pytest.approx(expected, rel=1e-3)
    assert not result.notes


def test_a_scoop_that_faces_aft_takes_from_the_suction(tmp_path: Path) -> None:
    made = with_intake(tmp_path, "intake: scoop-aft")
    result = made.book["engine.raw-water.cruise.intake-pressure"]
    expected = DEEP - 0.4 * SEA * (9.2 * KNOT) ** 2 / 2.0
    assert made.si(result.id) == pytest.approx(expected, rel=1e-3)
    assert result.assumed
    flush = with_intake(tmp_path / "flush", FLUSH)
    assert made.si("engine.raw-water.cruise.flow") < flush.si("engine.raw-water.cruise.flow")
    inlet = "engine.raw-water.cruise.pump-inlet"
    assert flush.si(inlet) - made.si(inlet) == pytest.approx(DEEP - expected, rel=0.05)


def test_without_a_share_a_scoop_that_faces_aft_is_not_assessed(tmp_path: Path) -> None:
    line = next(line for line in STANDARD_TEXT.splitlines() if "aft_scoop_suction:" in line)
    made = with_intake(tmp_path, "intake: scoop-aft", (line, ""))
    assert made.missing("engine.raw-water.cruise.intake-pressure") == ["assume.aft_scoop_suction"]
    assert made.missing("engine.raw-water.cruise.flow") == ["assume.aft_scoop_suction"]


def test_without_a_boat_speed_it_is_not_assessed(tmp_path: Path) -> None:
    made = with_intake(
        tmp_path,
        "intake: scoop-forward",
        (", boat_speed: 6.6 kn", ""),
        (", boat_speed: 9.2 kn", ""),
        (", boat_speed: 12.9 kn", ", boat_speed: unknown"),
        ("  speed_at_cruise: 9.2 kn", ""),
    )
    assert made.missing("engine.raw-water.cruise.intake-pressure-headway") == ["sea_trial"]
    assert made.missing("engine.raw-water.greatest-headway") == ["sea_trial[3].boat_speed"]
    assert made.si("engine.raw-water.cruise.flow") > 0.0


def test_headway_past_the_stopped_pump(tmp_path: Path) -> None:
    # Her injection stands 304 mm over the waterline at the worst heel: √(2·9.80665·0.304) m/s.
    made = with_intake(tmp_path, "intake: scoop-forward")
    height = made.si("engine.raw-water.injection.lowest-height")
    assert made.si("engine.raw-water.way-over") == height
    assert height == pytest.approx(0.304, abs=1e-3)
    found = made.si("engine.raw-water.flooding-headway")
    assert found == pytest.approx((2.0 * 9.80665 * height) ** 0.5)
    assert made.si("engine.raw-water.greatest-headway") == pytest.approx(12.9 * KNOT)


def test_a_vented_loop_counts_by_its_crown_only(tmp_path: Path) -> None:
    hose = "      - hose:     {id: hose-3,"
    loop = (
        "      - vented_loop: {id: loop, bore: 2 in, vent: valve, "
        "at: {x: 1.9 m, y: 0 m, z: 900 mm}}\n"
    )
    made = with_intake(tmp_path, "intake: scoop-forward", (hose, loop + hose))
    crown = made.si("engine.raw-water.loop.lowest-height")
    assert made.si("engine.raw-water.way-over") == crown
    assert crown > made.si("engine.raw-water.injection.lowest-height")
