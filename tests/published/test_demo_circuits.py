"""Every circuit of the demonstration fleet, in every case, against the circuit simulator ngspice.

Source of the expected voltages: ngspice 39, operating point analysis, contacts frozen as our relay
logic left them.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from installgen.analysis.dc import DcAnalysis, analyse_dc
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.rating import analyse_rating
from installgen.analysis.results import Book
from installgen.analysis.speeds import analyse_speeds
from installgen.spec.load import SpecLibrary
from tests.analysis.specs import apart, edited
from tests.published.ngspice import ngspice_is_missing, ngspice_voltages

SPECS = Path(__file__).parents[2] / "specs"
RELATIVE = 1e-6
NOMINAL_V = 12.0

pytestmark = pytest.mark.skipif(ngspice_is_missing(), reason="ngspice is not installed")


def _dc(vessel_id: str, specs: Path = SPECS) -> DcAnalysis:
    vessel = SpecLibrary.at(specs).vessel(vessel_id)
    book = Book(vessel.standard.assume)
    analyse_speeds(book, vessel)
    analyse_rating(book, vessel)
    dc = analyse_dc(book, vessel)
    assert dc is not None
    return dc


def _vessels() -> list[str]:
    return list(SpecLibrary.at(SPECS).folder.ids("vessels"))


@pytest.mark.parametrize("vessel_id", _vessels())
def test_every_case_has_the_voltages_of_ngspice(vessel_id: str) -> None:
    dc = _dc(vessel_id)
    compared = 0
    for found in (*dc.cases, *dc.strongest):
        if found.settled is None or found.network is None:
            continue
        expected = ngspice_voltages(found.network, found.settled.point.closed)
        compared += _compare(found, expected)
    incomplete = all(found.settled is None for found in dc.cases)
    assert compared > 100 or incomplete, "nothing was compared"


def _compare(found: SolvedCase, expected: dict[str, float]) -> int:
    for node, volts in expected.items():
        ours = found.voltage_v(node)
        assert ours is not None, f"{found.case.id}: {node} floats here and not in ngspice"
        # A voltage near zero is a difference of large ones: judged against the nominal voltage.
        allowed = RELATIVE * max(abs(volts), NOMINAL_V)
        assert abs(ours - volts) <= allowed, f"{found.case.id}: {node} {ours} against {volts}"
    return len(expected)


def test_a_twin_without_a_common_negative_is_two_circuits(tmp_path: Path) -> None:
    # ngspice solves each half alone, from its own battery's negative.
    specs = edited(tmp_path, {})
    apart(specs)
    dc = _dc("sallow", specs)
    poles = ("port-bank.negative", "starboard-bank.negative")
    for found in dc.cases:
        assert found.negatives == poles
        assert found.settled is not None
        assert found.network is not None
        for pole in poles:
            half = replace(found.network, reference=pole)
            expected = ngspice_voltages(half, found.settled.point.closed)
            assert f"{pole.partition('-')[0]}.starter.battery" in expected
            assert all(found.negative_of(node) == pole for node in expected)
            assert _compare(found, expected) > 50
