"""A bank that no starter hangs on: its isolator and battery have their steps, each told once."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.analysis.specs import edited
from tests.manual.manuals import Manual, manual

BANK = {
    "brannock": "voltage: 12 V, capacity: 200 Ah, cca: 700 A, short_circuit: 3000 A",
    "sallow": "voltage: 24 V, capacity: 200 Ah, cca: 700 A, short_circuit: 3000 A",
}


def with_house_bank(folder: Path, vessel: str) -> Manual:
    specs = edited(folder, {})
    path = specs / f"vessels/{vessel}.yaml"
    ends = "length: 0.4 m, place: engine-space"
    devices = (
        f"    - {{id: house-bank, kind: battery, name: House battery, code: BT9, {BANK[vessel]}, "
        "purpose: house, place: engine-space}\n"
        "    - {id: house-switch, kind: isolator, name: House isolator, code: Q9, rating: 200 A, "
        "place: engine-space}\n"
    )
    wires = (
        f"    - {{label: H20, from: house-bank.positive, to: house-switch.in, {ends}, "
        "size: unknown}\n"
        f"    - {{label: H21, from: house-bank.negative, to: negative-bus.1, {ends}, "
        "size: unknown}\n"
    )
    text = path.read_text("utf-8")
    text = text.replace("  conductors:\n", f"{devices}  conductors:\n{wires}", 1)
    path.write_text(text, "utf-8")
    return manual(vessel, specs)


@pytest.mark.parametrize("vessel", ["brannock", "sallow"])
def test_a_house_isolator_is_turned_on_before_and_off_after(tmp_path: Path, vessel: str) -> None:
    text = with_house_bank(tmp_path, vessel).text("starting")
    engines = 2 if vessel == "sallow" else 1
    assert text.count("Turn Q9 House isolator on, unless it is on already.") == engines
    assert text.count("turn Q9 House isolator off, unless a bilge pump") == engines


def test_the_only_engine_has_every_bank_in_its_list(tmp_path: Path) -> None:
    text = with_house_bank(tmp_path, "brannock").text("lay-up")
    assert "What the engines share" not in text
    for bank in ("BT1 Start battery", "BT9 House battery"):
        assert text.count(f"Charge {bank}, take its negative off") == 1
    assert "Turn Q9 House isolator off" in text
    assert "Turn Q9 House isolator on" in text


def test_twins_have_their_own_banks_and_share_the_house(tmp_path: Path) -> None:
    made = with_house_bank(tmp_path, "sallow")
    text = made.text("lay-up")
    for bank in ("BT1 Port start battery", "BT2 Starboard battery bank", "BT9 House battery"):
        assert text.count(f"Charge {bank}, take its negative off") == 1
    shared = text.index("What the engines share")
    assert text.index("BT1 Port start battery, take") < shared < text.index("BT9 House battery, t")
    assert text.count("Turn Q9 House isolator off") == 1


def test_what_a_fuse_can_break_is_told_from_the_stock_where_only_its_type_is_written(
    tmp_path: Path,
) -> None:
    """The rule reads it there too, large and small letters alike."""
    written = "type: class-t, interrupting: 20000 A, from_source: 170 mm"
    edits = {"vessels/brannock": [(written, "type: Class-T, from_source: 170 mm")]}
    made = manual("brannock", edited(tmp_path, edits))
    family = made.source.vessel.standard.stock.family("class-t")
    assert family is not None
    rows = made.tree("dc-power").xpath(
        "//table[.//th[contains(., 'Can break')]]//tr[contains(., 'House main fuse')]"
    )
    assert len(rows) == 1
    assert str(family.interrupting) in rows[0].text_content().replace("\N{NO-BREAK SPACE}", " ")
    judged = {finding.id: finding.verdict for finding in made.source.findings.items}
    assert judged["fuse-interrupting/main-fuse"] == "pass"
