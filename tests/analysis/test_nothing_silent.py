"""What is not known is not assessed, or counts on the safe side: never as nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis
from installgen.findings.check import check
from installgen.units import Current, Resistance, Voltage
from tests.analysis.specs import analysed_in, change_line, field, insert, remove_line

BRANNOCK, YARD = "vessels/brannock", "standards/quenby-slip"


def _lacking(analysis: Analysis, result: str) -> list[str]:
    return [item.path.rpartition(".")[2] for item in analysis.book[result].missing]


def test_an_instrument_whose_current_is_unknown_does_not_count_as_none(specs: Path) -> None:
    field(specs, BRANNOCK, "{id: oil-gauge,", "current", "unknown")
    analysis = analysed_in(specs)
    assert analysis.book["dc.running-cruise.surplus"].value is None
    assert _lacking(analysis, "dc.running-cruise.solved") == ["current"]


@pytest.mark.parametrize("name", ["switch_resistance", "contact_resistance"])
def test_a_contact_without_any_resistance_is_not_assessed(specs: Path, name: str) -> None:
    marked = analysed_in(specs).book["dc.cranking.solved"]
    assert marked.assumed
    assert name.replace("_", " ") in [item.name for item in marked.inputs]
    remove_line(specs, YARD, f"  {name}:")
    analysis = analysed_in(specs)
    assert analysis.book["dc.cranking.solved"].value is None
    assert _lacking(analysis, "dc.cranking.solved") == [name]


def test_a_short_behind_a_diode_is_not_assessed(specs: Path) -> None:
    insert(
        specs, BRANNOCK, "{id: charge-lamp,",
        "    - {id: splitter, kind: diode, name: Splitter, drop: 0.7 V, drop_at: 5 A}",
    )  # fmt: skip
    change_line(specs, BRANNOCK, "{label: L8,", "from: panel-breaker.out", "from: splitter.cathode")
    insert(
        specs, BRANNOCK, "{label: L8,",
        "    - {label: L80, from: panel-breaker.out, to: splitter.anode, length: 0.3 m, "
        "size: 12 AWG, insulation: 105 °C, place: wheelhouse}",
    )  # fmt: skip
    result = analysed_in(specs).book["conductor.L8.fault"]
    assert result.value is None
    assert "a diode lies on its way" in result.not_assessed


def test_heights_over_an_engine_of_no_stated_angle_are_not_assessed(specs: Path) -> None:
    def rests_on_angle(analysis: Analysis) -> list[str]:
        return [
            result.id
            for result in analysis.book.values()
            if "installed angle" in [item.name for item in result.inputs] and result.assessed
        ]

    assert rests_on_angle(analysed_in(specs))
    path = specs / f"{BRANNOCK}.yaml"
    lines = path.read_text("utf-8").splitlines()
    kept = [line for line in lines if not line.strip().startswith("angle:")]
    assert len(kept) < len(lines)
    path.write_text("\n".join(kept) + "\n", "utf-8")
    assert rests_on_angle(analysed_in(specs)) == []


def test_a_starter_that_only_clicks_leaves_its_negatives_not_assessed(specs: Path) -> None:
    names = "parallel-negatives/engine.S3", "parallel-negatives/engine.starter"
    found = {item.id: item for item in check(analysed_in(specs), cures=False).items}
    assert names[0] in found
    assert names[1] not in found
    field(specs, BRANNOCK, "{id: start-bank,", "cca", "40 A")
    found = {item.id: item for item in check(analysed_in(specs), cures=False).items}
    assert names[0] not in found
    assert found[names[1]].verdict == "not assessed"


def test_a_bank_whose_maker_states_only_a_short_circuit_current(specs: Path) -> None:
    """Left out, the cold-cranking current is not missed; `unknown`, it is to be found."""
    result = "battery.start-bank.weakest.resistance"
    field(specs, BRANNOCK, "{id: start-bank,", "cca", "unknown")
    unknown = analysed_in(specs).book[result]
    assert [missing.path for missing in unknown.missing] == ["electrical.devices[1].cca"]
    change_line(specs, BRANNOCK, "{id: start-bank,", "cca: unknown, ", "")
    book = analysed_in(specs).book
    full, short = (
        book["battery.start-bank.strongest.emf"],
        book["battery.start-bank.strongest.short-circuit"],
    )
    assumed = analysed_in(specs).vessel.standard.assume
    assert assumed.strongest_multiple is not None
    assert assumed.discharged_resistance is not None
    ratio = assumed.strongest_multiple.ratio * assumed.discharged_resistance.ratio
    assert isinstance(full.value, Voltage)
    assert isinstance(short.value, Current)
    found = book[result].value
    assert isinstance(found, Resistance)
    assert found.ohm == pytest.approx(full.value.v / short.value.a * ratio)
    assert book["dc.cranking.engine.starter.voltage"].assessed
