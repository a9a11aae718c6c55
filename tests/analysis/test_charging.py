"""Banks on charge, an open sense lead, and isolators that are opened under way."""

from __future__ import annotations

from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis, analyse
from installgen.spec.load import SpecLibrary
from installgen.units import Current, Fraction, Time, Voltage
from tests.analysis.specs import change_line, edited

SIX, SALLOW = "engines/tolvane-six", "vessels/sallow"


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    return edited(tmp_path, {})


def _analysed(specs: Path, vessel: str = "brannock") -> Analysis:
    return analyse(SpecLibrary.at(specs).vessel(vessel))


def test_a_full_bank_sits_at_the_set_voltage_far_from_the_alternators_limit(specs: Path) -> None:
    # Common practice: a full bank accepts 1 to 2 % of its Ah, here 2 % of 200 Ah.
    book = _analysed(specs).book
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
    analysis = _analysed(specs)
    assert analysis.dc is not None
    found = next(one for one in analysis.dc.cases if one.case.id == "running-cruise")
    assert found.settled is not None
    point = found.settled.point
    assert point.power_balance_w() == pytest.approx(0.0, abs=1e-5)
    assert abs(max(point.current_balance_a().values(), key=abs)) < 1e-6


def test_an_open_sense_lead_raises_the_bank_up_to_the_alternators_ceiling(specs: Path) -> None:
    result = _analysed(specs).book["engine.alternator.sense-open"]
    assert isinstance(result.value, Voltage)
    assert 14.2 * 1.08 < result.value.v <= 14.2 * 1.3
    assert "states no `ceiling`" in result.notes[0]
    change_line(specs, SIX, "set_voltage: 14.2 V", "14.2 V", "14.2 V\n    ceiling: 15 V")
    result = _analysed(specs).book["engine.alternator.sense-open"]
    assert isinstance(result.value, Voltage)
    assert 14.2 < result.value.v <= 15.0
    assert result.notes == ()


def test_an_alternator_that_reads_its_own_stud_has_no_lead_to_lose(specs: Path) -> None:
    assert "port.alternator.sense-open" not in _analysed(specs, "sallow").book


def test_opening_the_only_isolator_is_a_load_dump(specs: Path) -> None:
    assert str(_analysed(specs).book["engine.alternator.load-dump.isolator"].value).startswith(
        "load dump"
    )
    name = "port.alternator.load-dump.port-isolator"
    assert str(_analysed(specs, "sallow").book[name].value).startswith("load dump")
    # With the banks paralleled the other one stays on it.
    change_line(specs, SALLOW, "{id: parallel-switch,", "on_in: [], ", "")
    assert _analysed(specs, "sallow").book[name].value == "it stays on starboard-bank"


def test_hours_to_charge_again_by_hand(specs: Path) -> None:
    book = _analysed(specs).book
    hours, surplus = book["dc.recharge-hours"].value, book["dc.running-cruise.surplus"].value
    assert isinstance(hours, Time)
    assert isinstance(surplus, Current)
    # Half of 200 Ah, 15 % more put in; a discharged bank accepts a quarter of its Ah.
    taken, accepted = 200 * 0.5, 200 * 0.25
    assert hours.s == pytest.approx(3600 * taken * 1.15 / min(surplus.a, accepted))
