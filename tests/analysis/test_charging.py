"""Banks on charge, an open sense lead, and isolators that are opened under way."""

from __future__ import annotations

from pathlib import Path

import pytest

from installgen.units import Current, Fraction, Time, Voltage
from tests.analysis.specs import analysed_in, change_line, insert, remove_line

SIX, SALLOW = "engines/tolvane-six", "vessels/sallow"


def test_a_full_bank_sits_at_the_set_voltage_far_from_the_alternators_limit(specs: Path) -> None:
    # Common practice: a full bank accepts 1 to 2 % of its Ah, here 2 % of 200 Ah.
    book = analysed_in(specs).book
    charge = book["dc.running-cruise.start-bank.charge"].value
    volts = book["dc.running-cruise.start-bank.voltage"].value
    share = book["dc.running-cruise.engine.alternator.share"].value
    assert isinstance(charge, Current)
    assert isinstance(volts, Voltage)
    assert isinstance(share, Fraction)
    assert charge.a == pytest.approx(4.0, abs=0.2)
    assert volts.v == pytest.approx(14.2, abs=0.05)
    assert share.ratio < 0.5


def test_the_alternator_gives_what_loads_and_banks_take(specs: Path) -> None:
    analysis = analysed_in(specs)
    assert analysis.dc is not None
    found = next(one for one in analysis.dc.cases if one.case.id == "running-cruise")
    assert found.settled is not None
    point = found.settled.point
    assert point.power_balance_w() == pytest.approx(0.0, abs=1e-5)
    assert abs(max(point.current_balance_a().values(), key=abs)) < 1e-6


def test_an_open_sense_lead_raises_the_bank_up_to_the_alternators_ceiling(specs: Path) -> None:
    result = analysed_in(specs).book["engine.alternator.sense-open"]
    assert isinstance(result.value, Voltage)
    assert 14.2 * 1.08 < result.value.v <= 14.2 * 1.3
    assert "states no `ceiling`" in result.notes[0]
    change_line(specs, SIX, "set_voltage: 14.2 V", "14.2 V", "14.2 V\n    ceiling: 15 V")
    result = analysed_in(specs).book["engine.alternator.sense-open"]
    assert isinstance(result.value, Voltage)
    assert 14.2 < result.value.v <= 15.0
    assert result.notes == ()


def test_loads_do_not_hide_what_an_open_sense_lead_does(specs: Path) -> None:
    """They may be off when it breaks, so a load that takes all it gives changes nothing."""
    light = analysed_in(specs).book["engine.alternator.sense-open"]
    change_line(specs, "vessels/brannock", "id: wipers", "current: 4 A", "current: 120 A")
    heavy = analysed_in(specs).book["engine.alternator.sense-open"]
    assert heavy.value == light.value


def test_an_alternator_that_reads_its_own_stud_has_no_lead_to_lose(specs: Path) -> None:
    assert "port.alternator.sense-open" not in analysed_in(specs, "sallow").book


def test_opening_the_only_isolator_is_a_load_dump(specs: Path) -> None:
    assert str(analysed_in(specs).book["engine.alternator.load-dump.isolator"].value).startswith(
        "load dump"
    )
    name = "port.alternator.load-dump.port-isolator"
    assert str(analysed_in(specs, "sallow").book[name].value).startswith("load dump")
    # With the banks paralleled the other one stays on it.
    change_line(specs, SALLOW, "{id: parallel-switch,", "on_in: [], ", "")
    assert analysed_in(specs, "sallow").book[name].value == "it stays on starboard-bank"


def test_hours_to_charge_again_by_hand(specs: Path) -> None:
    book = analysed_in(specs).book
    hours, surplus = book["dc.recharge-hours"].value, book["dc.running-cruise.surplus"].value
    assert isinstance(hours, Time)
    assert isinstance(surplus, Current)
    # Half of 200 Ah, 15 % more put in; a discharged bank accepts a quarter of its Ah.
    taken, accepted = 200 * 0.5, 200 * 0.25
    assert hours.s == pytest.approx(3600 * taken * 1.15 / min(surplus.a, accepted))


def test_a_bank_that_no_running_engine_reaches_rests(specs: Path) -> None:
    """The port engine alone, paralleling switch open: her starboard bank carries the house."""
    book = analysed_in(specs, "sallow").book
    charging = book["dc.port.running-cruise.port-bank.charge"].value
    resting = book["dc.port.running-cruise.starboard-bank.charge"]
    volts = book["dc.port.running-cruise.starboard-bank.voltage"].value
    emf = book["battery.starboard-bank.weakest.emf"].value
    assert isinstance(charging, Current)
    assert charging.a > 0.0
    assert isinstance(resting.value, Current)
    assert resting.value.a < 0.0
    assert "full" not in resting.name
    assert isinstance(volts, Voltage)
    assert isinstance(emf, Voltage)
    # Discharged as the weakest is, and a little below that at its posts.
    assert volts.v < emf.v
    both = book["dc.all.running-cruise.starboard-bank.charge"].value
    assert isinstance(both, Current)
    assert both.a > 0.0
    # Paralleled, the port engine's alternator reaches both.
    change_line(specs, SALLOW, "{id: parallel-switch,", "on_in: [], ", "")
    joined = analysed_in(specs, "sallow").book["dc.port.running-cruise.starboard-bank.charge"].value
    assert isinstance(joined, Current)
    assert joined.a > 0.0


def charge_relay(specs: Path, pull_in: str) -> None:
    """A relay that joins both banks once the port alternator has raised its own so far [V]."""
    run = "length: 0.5 m, size: 25 mm², insulation: 105 °C, place: engine-space"
    insert(
        specs, SALLOW, "{id: port-bank,",
        "    - {id: charge-relay, kind: relay, name: Charge relay, coil: {between: [coil, "
        f"negative], resistance: 200 ohm, pull_in: {pull_in} V, drop_out: 20 V}}, contacts: "
        "[{between: [in, out], kind: closes}], place: engine-space}",
    )  # fmt: skip
    insert(
        specs, SALLOW, "{label: PS1,",
        f"    - {{label: CR1, from: port-isolator.out, to: charge-relay.in, {run}}}",
        f"    - {{label: CR2, from: charge-relay.out, to: starboard-isolator.out, {run}}}",
        f"    - {{label: CR3, from: port-isolator.out, to: charge-relay.coil, {run}}}",
        f"    - {{label: CR4, from: charge-relay.negative, to: port-bank.negative, {run}}}",
    )  # fmt: skip


def test_a_charge_relay_that_lets_go_leaves_its_bank_at_rest(specs: Path) -> None:
    """It is asked where its contact stands, not whether it could close."""
    for pull_in, on_charge in (("26.4", True), ("40", False)):
        charge_relay(specs, pull_in)
        book = analysed_in(specs, "sallow").book
        charge = book["dc.port.running-cruise.starboard-bank.charge"].value
        assert isinstance(charge, Current)
        assert (charge.a > 0.0) is on_charge
        for holding in ("id: charge-relay", *(f"label: CR{n}," for n in range(1, 5))):
            remove_line(specs, SALLOW, holding)


def test_hours_count_only_the_banks_that_are_joined_to_the_loads(specs: Path) -> None:
    """A start bank behind an open paralleling switch carries no lights."""
    hours = analysed_in(specs, "sallow").book["dc.hours-on-bank"].value
    assert isinstance(hours, Time)
    change_line(specs, SALLOW, "{id: port-bank,", "purpose: starting", "purpose: both")
    same = analysed_in(specs, "sallow").book["dc.hours-on-bank"].value
    assert same == hours
    # Paralleled they carry them together: 180 Ah and 90 Ah.
    change_line(specs, SALLOW, "{id: parallel-switch,", "on_in: [], ", "")
    together = analysed_in(specs, "sallow").book["dc.hours-on-bank"].value
    assert isinstance(together, Time)
    assert together.s == pytest.approx(hours.s * 270 / 180)


def test_hours_are_not_assessed_where_the_bank_is_switched_off(specs: Path) -> None:
    change_line(specs, SALLOW, "{id: starboard-isolator,", "resistance:", "on_in: [], resistance:")
    hours = analysed_in(specs, "sallow").book["dc.hours-on-bank"]
    assert hours.value is None
    assert "nothing joins a battery to: " in hours.not_assessed


def test_a_bank_is_held_by_its_own_alternator_where_another_is_cut_off(specs: Path) -> None:
    """The starboard one holds 29 V, the port one 28.4 V, and a relay between them lets go."""
    sheet = (specs / "engines" / "tolvane-four.yaml").read_text("utf-8")
    other = sheet.replace("id: tolvane-four", "id: tolvane-other", 1)
    other = other.replace("set_voltage: 28.4 V", "set_voltage: 29 V")
    (specs / "engines" / "tolvane-other.yaml").write_text(other, "utf-8")
    spec = specs / "vessels" / "sallow.yaml"
    head, _, tail = spec.read_text("utf-8").rpartition("sheet: tolvane-four")
    spec.write_text(f"{head}sheet: tolvane-other{tail}", "utf-8")
    charge_relay(specs, "40")
    charge = analysed_in(specs, "sallow").book["dc.all.running-cruise.starboard-bank.charge"].value
    assert isinstance(charge, Current)
    # Full and held at its set voltage, it takes 2 % of its 180 Ah, and never more than that.
    assert 0.9 * 3.6 < charge.a <= 3.6
