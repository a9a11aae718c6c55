"""Causes of what differs, guessed and stated matches, what a change would do."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path

import pytest

from installgen.analysis.analyse import Analysis, analyse
from installgen.errors import SpecErrors
from installgen.findings import consequences as module
from installgen.findings.check import check
from installgen.findings.compare import compare
from installgen.findings.comparison import BuildDifference, Comparison, Turn
from installgen.findings.consequences import Consequence, Side, consequences
from installgen.spec.edits import edited_library, read_edit
from installgen.spec.load import SpecLibrary
from tests.analysis.specs import edited, field
from tests.findings.scenario_files import SPECS, analysed


@cache
def _brannock() -> Analysis:
    return analyse(SpecLibrary.at(SPECS).vessel("brannock"))


def _against(*changes: str) -> tuple[Comparison, tuple[Consequence, ...]]:
    """The reference build against herself with changes, and the causes of what differs."""
    library = SpecLibrary.at(SPECS)
    edits = [read_edit(text, number) for number, text in enumerate(changes, start=1)]
    other = edited_library(library, edits)
    first, second = Side(library, _brannock()), Side(other, analyse(other.vessel("brannock")))
    found = compare(
        first.analysis,
        second.analysis,
        findings=(check(first.analysis, cures=False), check(second.analysis, cures=False)),
    )
    return found, consequences(first, second, found)


def _causes(found: tuple[Consequence, ...], result: str) -> set[str]:
    consequence = next(c for c in found if c.result.result == result)
    return {".".join(cause.path) for cause in consequence.causes}


def test_each_result_has_its_own_cause() -> None:
    _, found = _against("electrical.conductors[S2].length = 4 m", "lay_up.coldest = -30 °C")
    assert _causes(found, "coolant.freezing-margin") == {"lay_up.coldest"}
    starter = "engine.start-run-stop.cranking-speed-weakest"
    assert _causes(found, starter) == {"electrical.conductors.S2.length"}
    assert not any(consequence.jointly for consequence in found)
    assert all(consequence.causes for consequence in found)


def test_shared_between_processes_the_causes_are_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    changes = (
        "electrical.conductors[S2].length = 4 m",
        "lay_up.coldest = -30 °C",
        "electrical.devices[wipers].current = 6 A",
    )
    monkeypatch.setattr(module, "MANY", len(changes) + 1)
    _, alone = _against(*changes)
    monkeypatch.setattr(module, "MANY", 1)
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    _, shared = _against(*changes)
    assert {c.result.result: c.causes for c in shared} == {c.result.result: c.causes for c in alone}


def test_a_load_is_a_cause_of_what_its_network_does() -> None:
    _, found = _against("electrical.devices[wipers].current = 6 A")
    assert _causes(found, "dc.running-cruise.wipers.drop") == {"electrical.devices.wipers.current"}
    assert all(consequence.causes for consequence in found)


def test_two_differences_that_both_move_a_result_are_both_named() -> None:
    lines = [f"electrical.conductors[{label}].length = 4 m" for label in ("S2", "S3")]
    _, found = _against(*lines)
    starter = "engine.start-run-stop.cranking-speed-weakest"
    assert _causes(found, starter) == {
        "electrical.conductors.S2.length",
        "electrical.conductors.S3.length",
    }


def test_what_cannot_stand_alone_is_listed_jointly() -> None:
    """A load needs its conductors: neither it nor they can be read without the other."""
    _, found = _against(
        "electrical.devices[+] = {id: heater, kind: load, name: Cabin heater, current: 9 A, "
        "circuit: other, on_in: [running], duty: 100 %, place: wheelhouse}",
        "electrical.devices[negative-bus].contacts = ['1', '2', '3', '4', '5', '6', '7']",
        "electrical.conductors[+] = {label: L20, from: panel-breaker.out, to: heater.positive, "
        "length: 2 m, size: 12 AWG, insulation: 105 °C, place: wheelhouse, function: heater}",
        "electrical.conductors[+] = {label: L21, from: heater.negative, to: negative-bus.7, "
        "length: 2 m, size: 12 AWG, insulation: 105 °C, place: wheelhouse, function: negative}",
    )
    load = next(c for c in found if c.result.result == "dc.running-cruise.load")
    assert load.jointly
    assert {".".join(cause.path) for cause in load.causes} >= {
        "electrical.conductors.L20",
        "electrical.conductors.L21",
    }


def test_a_piece_put_into_the_route_moves_the_flow() -> None:
    found, causes = _against(
        "raw_water[engine].route[hose-3].bore = 1-3/4 in",
    )
    assert found.results
    flow = _causes(causes, "engine.raw-water.rated.pump-outlet")
    assert flow == {"raw_water.engine.route.hose-3.bore"}


def test_a_change_of_the_sheet_is_a_cause_too(tmp_path: Path) -> None:
    specs = edited(tmp_path, {"engines/tolvane-six": [("oil_full: 23.5 l", "oil_full: 22 l")]})
    other = SpecLibrary.at(specs)
    first = Side(SpecLibrary.at(SPECS), _brannock())
    second = Side(other, analyse(other.vessel("brannock")))
    found = consequences(first, second, compare(first.analysis, second.analysis))
    assert {c.result.result for c in found} == {"engine.oil.fill", "engine.oil.dipstick"}
    assert _causes(found, "engine.oil.fill") == {"sheet.engine.capacities.oil_full"}


def test_findings_are_raised_and_cleared() -> None:
    found, _ = _against("raw_water[engine].route[hose-2].clamps = single")
    assert [(f.finding, f.first, f.second, f.turn) for f in found.findings] == [
        ("double-clamps/engine.raw-water.hose-2", "pass", "fail", Turn.WORSE)
    ]
    back = compare(
        analysed("brannock", "raw_water[engine].route[hose-2].clamps = single"),
        _brannock(),
        findings=(
            check(analysed("brannock", "raw_water[engine].route[hose-2].clamps = single")),
            check(_brannock(), cures=False),
        ),
    )
    assert [(f.first, f.second, f.turn) for f in back.findings] == [("fail", "pass", Turn.BETTER)]


def test_what_lost_most_of_its_margin_comes_first() -> None:
    found, _ = _against("electrical.conductors[S2].length = 6 m")
    lost = [result.margin_lost or 0.0 for result in found.results]
    assert lost == sorted(lost, reverse=True)
    assert lost[0] > 0.0


def test_another_name_for_the_same_thing_is_a_guess(tmp_path: Path) -> None:
    specs = edited(tmp_path, {"vessels/brannock": [("label: L8,", "label: L80,")]})
    found = compare(_brannock(), analyse(SpecLibrary.at(specs).vessel("brannock")))
    assert [(m.kind, m.first, m.second, m.guessed) for m in found.matches] == [
        ("conductor", "L8", "L80", True)
    ]
    assert not found.build
    assert not found.results


def test_a_stated_pair_is_no_guess(tmp_path: Path) -> None:
    specs = edited(tmp_path, {"vessels/brannock": [("label: L8,", "label: L80,")]})
    other = analyse(SpecLibrary.at(specs).vessel("brannock"))
    found = compare(_brannock(), other, pairs={"L8": "L80"})
    assert [(m.first, m.second, m.guessed) for m in found.matches] == [("L8", "L80", False)]


def test_a_mirrored_route_is_told_once(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    for piece, y in (("intake-seacock", "-0.5"), ("hose-1", "-0.7"), ("strainer", "-0.7")):
        field(specs, "vessels/brannock", f"{{id: {piece},", "y", f"{y} m")
    found = compare(_brannock(), analyse(SpecLibrary.at(specs).vessel("brannock")))
    assert found.mirrored == ("raw-water",)
    assert not found.build


def test_a_twin_beside_a_single_engine() -> None:
    sallow = analyse(SpecLibrary.at(SPECS).vessel("sallow"))
    pipit = analyse(SpecLibrary.at(SPECS).vessel("pipit"))
    found = compare(pipit, sallow)
    assert [(m.first, m.second, m.guessed) for m in found.engines] == [("engine", "port", True)]
    stated = compare(pipit, sallow, pairs={"engine": "starboard"})
    assert [(m.first, m.second, m.guessed) for m in stated.engines] == [
        ("engine", "starboard", False)
    ]
    there, back = compare(pipit, sallow), compare(sallow, pipit)
    assert sorted((d.first, d.second) for d in there.build) == sorted(
        (d.second, d.first) for d in back.build
    )


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("electrical.conductors[S22].size = 70 mm²", "no item `S22`"),
        ("electrical.conductors[99].size = 70 mm²", "the item 99 of"),
        ("electrical.conductor[S2].size = 70 mm²", "write `conductors`"),
        ("electrical.conductors[S2].size = 70 mm", "change 1:1:33: electrical.conductors[2].size"),
        ("electrical.conductors.size = 70 mm²", "expected an item, such as `[1]` or `[S2]`"),
        ("vessel.name.first = Ann", "the text `Brannock`"),
        ("nothing at all", "`PATH = VALUE`"),
        ("lay_up.coldest = {a: ", "a value should stand"),
        ("readings[of].value = 12 V", "no item `of`"),
    ],
)
def test_a_change_that_leads_nowhere_says_so(text: str, told: str) -> None:
    with pytest.raises(SpecErrors) as raised:
        edited_library(SpecLibrary.at(SPECS), [read_edit(text)]).vessel("brannock")
    assert told in str(raised.value)


def test_a_sheet_that_only_one_of_them_has_is_no_difference_to_try() -> None:
    """The twin's second engine comes with her entry; a few trials show that none of them fails."""
    library = SpecLibrary.at(SPECS)
    first, second = (Side(library, analyse(library.vessel(v))) for v in ("brannock", "sallow"))
    found = compare(first.analysis, second.analysis)
    assert any(d.path[:2] == ("sheet", "starboard") for d in found.build)
    asked: list[BuildDifference] = []

    def few(items: Sequence[BuildDifference]) -> Sequence[BuildDifference]:
        asked.extend(items)
        return items[:3]

    causes = consequences(first, second, found, watch=few)
    assert len(causes) == len(found.results)
    assert not [d for d in asked if d.path[:2] == ("sheet", "starboard")]
