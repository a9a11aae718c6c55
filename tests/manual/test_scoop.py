"""A scoop that faces forward: told with its figures and its steps, and only where it is fitted."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.analysis.specs import edited
from tests.manual.manuals import Manual, manual

SECTION = "Under way with the engine stopped"
FILES = {"brannock": "vessels/brannock", "sallow": "vessels/sallow"}


def with_intake(folder: Path, vessel: str, text: str) -> Manual:
    return manual(vessel, edited(folder, {FILES[vessel]: [("intake: flush", text)]}))


@pytest.mark.parametrize("vessel", ["brannock", "sallow"])
@pytest.mark.parametrize("fitting", ["flush", "scoop-aft"])
def test_nothing_is_said_where_headway_pushes_nothing_in(
    tmp_path: Path, vessel: str, fitting: str
) -> None:
    made = with_intake(tmp_path, vessel, f"intake: {fitting}")
    for page in ("starting", "emergencies", "raw-water"):
        assert "towed" not in made.text(page)
        assert "faces forward" not in made.text(page)
        assert SECTION not in made.text(page)
    said = "flush with the hull" if fitting == "flush" else "scoop facing aft"
    assert said in made.text("raw-water")


def test_the_single_engine_is_shut_off_before_a_tow(tmp_path: Path) -> None:
    made = with_intake(tmp_path, "brannock", "intake: scoop-forward")
    text = made.text("starting")
    assert SECTION in text
    assert "Before the boat is towed or sails with the engine stopped, shut V1" in text
    assert "Left open, it can let water in from 4.75\N{NO-BREAK SPACE}kn" in text
    assert "another engine" not in text
    assert "shut V1 Raw-water seacock. Its scoop" in made.text("emergencies")
    assert "The scoop of V1 Raw-water seacock faces forward" in made.text("raw-water")


def test_on_a_twin_the_other_engine_is_named_as_a_cause(tmp_path: Path) -> None:
    made = with_intake(tmp_path, "sallow", "intake: scoop-forward")
    text = made.text("starting")
    for cock in ("V1 Port raw-water seacock", "V2 Starboard raw-water seacock"):
        assert f"goes on by another engine with this one stopped, shut {cock}" in text


def test_a_seacock_that_feeds_the_other_engine_is_not_shut_unwarned(tmp_path: Path) -> None:
    one = [("intake: flush", "intake: scoop-forward"), ("code: V2, bore: 32", "code: V1, bore: 32")]
    made = manual("sallow", edited(tmp_path, {FILES["sallow"]: one}))
    for page in ("starting", "emergencies"):
        assert "It feeds the starboard engine too: shut, that one must not run" in made.text(page)


def test_a_speed_that_is_not_known_is_not_made_up(tmp_path: Path) -> None:
    made = manual(
        "brannock",
        edited(
            tmp_path,
            {
                "vessels/brannock": [
                    ("intake: flush", "intake: scoop-forward"),
                    ("worst_heel: 12 °", "worst_heel: unknown"),
                ]
            },
        ),
    )
    text = made.text("starting")
    assert "Before the boat is towed or sails with the engine stopped, shut V1" in text
    assert "Left open, it can" not in text
