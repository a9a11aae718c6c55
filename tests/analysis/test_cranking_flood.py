"""How long an engine may be cranked: by hand, and never said where a figure is missing."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.analysis.fluid_cases import Fluids, fluids

VESSEL = "vessels/brannock"
LIMIT = "engine.exhaust.cranking-limit"


@pytest.fixture(scope="module")
def brannock(tmp_path_factory: pytest.TempPathFactory) -> Fluids:
    return fluids(tmp_path_factory.mktemp("brannock"))


def test_by_hand(brannock: Fluids) -> None:
    # Riser: π/4 · 0.127² · 0.8 m = 10.134 l. Heeled muffler: 34 − 10.134 − 6 = 17.866 l.
    assert brannock.si("engine.exhaust.drained-back") * 1e3 == pytest.approx(10.134, rel=1e-4)
    assert brannock.si("engine.exhaust.drain-back-room") * 1e3 == pytest.approx(17.866, rel=1e-4)
    # 0.112 l · 1.2 · 150 / 60 = 0.336 l/s: 53.17 s, of which whole seconds; three times 15 s.
    assert brannock.si(LIMIT) == 53.0
    assert brannock.book["engine.exhaust.cranking-attempts"].value == 3


def test_half_the_room(tmp_path: Path) -> None:
    half = fluids(tmp_path, edits={VESSEL: [("volume_heeled: 34 l", "volume_heeled: 25.067 l")]})
    assert half.si(LIMIT) == 26.0  # 8.933 l / 0.336 l/s = 26.59 s


def test_no_room(tmp_path: Path) -> None:
    none = fluids(tmp_path, edits={VESSEL: [("volume_heeled: 34 l", "volume_heeled: 9 l")]})
    assert none.si(LIMIT) == 0.0
    assert none.book["engine.exhaust.cranking-attempts"].value == 0
    assert none.si("engine.exhaust.drain-back-room") < 0.0


def test_twice_the_pump_halves_the_time(brannock: Fluids, tmp_path: Path) -> None:
    sheet = "engines/tolvane-six"
    edits = {sheet: [("displacement: 0.112 l\n", "displacement: 0.224 l\n")]}
    assert fluids(tmp_path, edits=edits).si(LIMIT) == 26.0  # 53.17 / 2 = 26.59 s


@pytest.mark.parametrize(
    ("old", "new", "missing"),
    [
        (" volume_heeled: 34 l,", "", "exhaust[1].pieces[2].volume_heeled"),
        (" stays: 6 l,", " stays: unknown,", "exhaust[1].pieces[2].stays"),
        ("volume: 38 l,", "volume: unknown,", "exhaust[1].pieces[2].volume"),
        ("id: riser, bore: 5 in,", "id: riser,", "exhaust[1].pieces[3].bore"),
        ("kind: muffler, id: muffler,", "kind: hose, id: muffler,", "exhaust[1].pieces"),
    ],
)
def test_without_a_figure_nothing_is_said(tmp_path: Path, old: str, new: str, missing: str) -> None:
    found = fluids(tmp_path, edits={VESSEL: [(old, new)]})
    assert found.missing(LIMIT) == [missing]
    assert found.missing("engine.exhaust.cranking-attempts") == [missing]


def test_an_exhaust_that_nobody_wrote(tmp_path: Path) -> None:
    text = (Path(__file__).parents[2] / "specs" / f"{VESSEL}.yaml").read_text("utf-8")
    section = text[text.index("exhaust:\n  - engine") : text.index("openings:")]
    found = fluids(tmp_path, edits={VESSEL: [(section, "")]})
    assert found.missing(LIMIT) == ["exhaust"]


def test_a_hose_between_muffler_and_riser_runs_back_too(brannock: Fluids, tmp_path: Path) -> None:
    hose = "      - {kind: hose, id: lift, bore: 5 in, length: 0.4 m}\n"
    riser = "      - {kind: riser, id: riser,"
    found = fluids(tmp_path, edits={VESSEL: [(riser, hose + riser)]})
    ratio = found.si("engine.exhaust.drained-back") / brannock.si("engine.exhaust.drained-back")
    assert ratio == pytest.approx(1.5)
    assert found.si(LIMIT) < brannock.si(LIMIT)


def test_without_a_riser_all_behind_the_muffler_runs_back(tmp_path: Path) -> None:
    found = fluids(tmp_path, edits={VESSEL: [("kind: riser, id: riser", "kind: hose, id: riser")]})
    # 0.8 m + 0.9 m of 5 in: 21.535 l
    assert found.si("engine.exhaust.drained-back") * 1e3 == pytest.approx(21.535, rel=1e-4)


def test_a_shared_seacock_is_counted_for_both(tmp_path: Path) -> None:
    found = fluids(tmp_path, "sallow")
    assert found.si("port.exhaust.cranking-limit") == found.si("starboard.exhaust.cranking-limit")
