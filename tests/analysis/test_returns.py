"""Where a starter's current goes without the main negative, beside a calculation by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis
from installgen.errors import SpecErrors
from installgen.units import Current, Resistance
from tests.analysis.specs import analysed_in, change_line, edited, remove_line

BRANNOCK = "vessels/brannock"
CABLE = "{works: stop, "


def _current(analysis: Analysis, result: str) -> float:
    value = analysis.book[result].value
    assert isinstance(value, Current)
    return value.a


def _ohm(analysis: Analysis, *labels: str) -> float:
    found = 0.0
    for label in labels:
        value = analysis.book[f"conductor.{label}.resistance"].value
        assert isinstance(value, Resistance)
        found += value.ohm
    return found


def test_the_instruments_negative_takes_the_starters_current(tmp_path: Path) -> None:
    """By hand: the stalled starter in series with W21, E12 and D3, whose joints, with the plug's
    pin, and isolator and contacts make up at most 5 mohm more."""
    analysis = analysed_in(edited(tmp_path, {}))
    amps = _current(analysis, "engine.returns.without-S3.E12.current")
    emf, inside = (
        analysis.book[f"battery.start-bank.weakest.{what}"].value for what in ("emf", "resistance")
    )
    assert isinstance(inside, Resistance)
    volts = getattr(emf, "v", 0.0)
    ohm = inside.ohm + 6.5e-3 + _ohm(analysis, "S1", "S2", "engine.W21", "E12", "D3")
    assert volts / (ohm + 5e-3) < amps < volts / ohm


def test_a_control_cable_that_touches_carries_its_share(tmp_path: Path) -> None:
    """The cable lies beside the instruments' negative and nothing else is between block and bus:
    the two share the current by their conductances."""
    specs = edited(tmp_path, {})
    change_line(
        specs, BRANNOCK, CABLE, CABLE, f"{CABLE}touches: negative-bus.6, resistance: 20 mohm, "
    )
    analysis = analysed_in(specs)
    cable = _current(analysis, "engine.returns.without-S3.stop-cable-engine-wheelhouse.current")
    wire = _current(analysis, "engine.returns.without-S3.E12.current")
    other = _ohm(analysis, "engine.W21", "E12")
    assert cable / wire == pytest.approx(other / 20e-3, rel=0.2)
    assert wire < cable


def test_without_another_way_nothing_carries_it(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    remove_line(specs, BRANNOCK, "{label: E12,")
    dc = analysed_in(specs).dc
    assert dc is not None
    assert [loose.main.element for loose in dc.loose] == ["S3"]
    assert not dc.loose[0].returns


def test_in_a_twin_the_current_goes_by_the_other_engines_battery(tmp_path: Path) -> None:
    """Port's main negative loose: through the instruments' negative and the house negative to the
    starboard bank, and over the common negative back to the port bank."""
    analysis = analysed_in(edited(tmp_path, {}), "sallow")
    by_hand = {"PE25", "port.W24", "D3", "N1"}
    dc = analysis.dc
    assert dc is not None
    loose = next(one for one in dc.loose if one.main.element == "PS3")
    assert by_hand <= {way.element for way in loose.returns}
    most = {way.element: way.current_a for way in loose.returns}
    assert most["N1"] == pytest.approx(most["PE25"], rel=0.01)
    assert most["SE25"] < most["PE25"]


def test_a_cable_touches_a_terminal_that_there_is(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    change_line(specs, BRANNOCK, CABLE, CABLE, f"{CABLE}touches: helm-frame.1, ")
    with pytest.raises(SpecErrors, match="helm-frame"):
        analysed_in(specs)
