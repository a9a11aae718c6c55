"""What isolators do not cut off is named wherever work begins by turning them off."""

from __future__ import annotations

from pathlib import Path

from installgen.manual.ways import MOST_NAMED, still_live
from tests.analysis.specs import edited
from tests.manual.manuals import FLEET, Manual, manual

BRANNOCK = "vessels/brannock"
AHEAD = ("{label: D1, from: isolator.out", "{label: D1, from: isolator.in")
PAGES = ("index", "dc-power", "start-run-stop", "driveline")


def test_behind_the_isolators_nothing_stays_live() -> None:
    for vessel in FLEET:
        made = manual(vessel)
        assert still_live(made.source) == []
        assert not any("Still live" in made.text(page) for page in PAGES)
        assert "Throw no water there." not in made.text("emergencies")


def test_a_feed_ahead_of_the_isolator_is_named_with_its_fuses(tmp_path: Path) -> None:
    made = manual("brannock", edited(tmp_path, {BRANNOCK: [AHEAD]}))
    by_device = {one.device: one for one in still_live(made.source)}
    assert by_device["bilge-pump"].through[0] == "main-fuse"
    assert "engine.starter" not in by_device
    for page in PAGES:
        assert "Still live with every isolator off, as keys, switches" in made.text(page)
        assert "take the negative off every battery." in made.text(page)
        assert "Bilge pump" in made.text(page)
    assert "Throw no water there." in made.text("emergencies")
    rows = made.tree("dc-power").xpath(
        "//table[caption[contains(., 'Still live')]]//tr[contains(., 'Bilge pump')]"
    )
    assert len(rows) == 1
    assert "F10" in rows[0].text_content()


def test_every_battery_that_feeds_a_thing_is_listed_with_it(tmp_path: Path) -> None:
    """A second battery beside the first: taking the negative off one leaves all live."""
    specs = edited(tmp_path, {BRANNOCK: [AHEAD]})
    path = specs / f"{BRANNOCK}.yaml"
    text = path.read_text("utf-8")
    (own,) = [line for line in text.splitlines() if "id: start-bank," in line]
    second = own.replace("start-bank", "second-bank").replace("BT1", "BT9")
    ends = "length: 0.5 m, size: 4/0 AWG, place: engine-space"
    wires = (
        f"    - {{label: Z1, from: second-bank.positive, to: isolator.in, {ends}}}\n"
        f"    - {{label: Z2, from: second-bank.negative, to: start-bank.negative, {ends}}}\n"
    )
    text = text.replace(own, f"{own}\n{second}")
    path.write_text(text.replace("  conductors:\n", f"  conductors:\n{wires}", 1), "utf-8")
    made = manual("brannock", specs)
    fed = {one.battery for one in still_live(made.source) if one.device == "bilge-pump"}
    assert fed == {"start-bank", "second-bank"}
    rows = made.tree("dc-power").xpath(
        "//table[caption[contains(., 'Still live')]]//tr[contains(., 'Bilge pump')]"
    )
    assert len(rows) == 2
    panel = made.text("index").partition("as keys, switches and relays stand: ")[2]
    assert panel.partition("Before you touch")[0].count("Bilge pump") == 1


def test_a_battery_cut_off_in_its_negative_feeds_nothing(tmp_path: Path) -> None:
    """The isolator of the reference build moved from the positive to the negative."""
    changes = [
        ("{label: S1, from: start-bank.positive", "{label: S1, from: start-bank.negative"),
        ("{label: S2, from: isolator.out", "{label: S2, from: start-bank.positive"),
        ("{label: D1, from: isolator.out", "{label: D1, from: start-bank.positive"),
        ("to: start-bank.negative", "to: isolator.out"),
    ]
    specs = edited(tmp_path, {BRANNOCK: changes})
    assert still_live(manual("brannock", specs).source) == []


def test_a_diode_leads_one_way_only(tmp_path: Path) -> None:
    """A solar panel behind its diode: the battery feeds what hangs on the cathode."""
    load = "{id: panel, kind: load, name: Panel, current: 1 A, place: engine-space}"
    diode = (
        "{id: blocker, kind: diode, name: Diode, drop: 0.4 V, drop_at: 5 A, place: engine-space}"
    )
    ends = "length: 0.3 m, size: 12 AWG, place: engine-space"
    for number, (towards, away) in enumerate((("cathode", "anode"), ("anode", "cathode"))):
        specs = edited(tmp_path / str(number), {})
        wires = (
            f"    - {{label: Z1, from: start-bank.positive, to: blocker.{towards}, {ends}}}\n"
            f"    - {{label: Z2, from: blocker.{away}, to: panel.positive, {ends}}}\n"
        )
        path = specs / f"{BRANNOCK}.yaml"
        text = path.read_text("utf-8")
        new = f"    - {load}\n    - {diode}\n  conductors:\n{wires}"
        path.write_text(text.replace("  conductors:\n", new, 1), "utf-8")
        live = {one.device for one in still_live(manual("brannock", specs).source)}
        assert ("panel" in live) is (towards == "anode")


def test_of_many_live_things_the_starter_is_named_first_and_the_rest_are_counted(
    tmp_path: Path,
) -> None:
    """The starter's cable moved ahead of the isolator: with it all that the key feeds."""
    ahead = ("{label: S2, from: isolator.out", "{label: S2, from: isolator.in")
    made = manual("brannock", edited(tmp_path, {BRANNOCK: [AHEAD, ahead]}))
    count = len(still_live(made.source))
    assert count > MOST_NAMED
    told = made.text("index").partition("as keys, switches and relays stand: ")[2]
    assert told.startswith("M1 Starter")
    assert f"{count - MOST_NAMED} more, listed under DC power" in told
    assert "Still live with every isolator off" in _danger(made)
    assert "M1 Starter" in _danger(made)
    assert made.tree("dc-power").xpath("//tr[@id='still-live']")


def test_a_starter_that_its_isolator_cuts_off_needs_no_more_words() -> None:
    assert "burns out in seconds" in _danger(manual("brannock"))
    assert "Still live" not in _danger(manual("brannock"))


def _danger(made: Manual) -> str:
    """The panel of danger on the page of the starter that stays engaged."""
    panels = made.tree("fault-starter-stays-in").find_class("danger")
    return " ".join(panels[0].text_content().split())
