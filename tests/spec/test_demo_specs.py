"""The demonstration fleet: it loads with every option, and a surveyor would believe it."""

from __future__ import annotations

import itertools
import math
import shutil
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from installgen.spec.engine_sheet import EngineSheet
from installgen.spec.entry import known
from installgen.spec.load import SpecLibrary
from installgen.spec.reader import read_text
from installgen.spec.schema import schema
from installgen.spec.starter import starting_spec
from installgen.spec.vessel import Vessel, entries
from tests.conftest import PROJECT

LIBRARY = SpecLibrary.at(PROJECT / "specs")
VESSELS = LIBRARY.folder.ids("vessels")
SHEETS = LIBRARY.folder.ids("engines")

SMALLEST = """\
format: 1
vessel: {{id: made, name: Made, hin: unknown, yard: unknown, revision: A, date: unknown}}
standard: quenby-slip
engines:
  - name: engine
    sheet: {sheet}
    serial: unknown
    rating: {rating}
    options: {{{options}}}
"""


def library_with(folder: Path, vessel: str) -> SpecLibrary:
    shutil.copytree(PROJECT / "specs", folder / "specs", ignore=shutil.ignore_patterns("vessels"))
    (folder / "specs" / "vessels").mkdir()
    (folder / "specs" / "vessels" / "made.yaml").write_text(vessel, encoding="utf-8")
    return SpecLibrary.at(folder / "specs")


def choices(sheet: EngineSheet) -> list[str]:
    taken = [[f"{name}: {one}" for one in offer.choices] for name, offer in sheet.options.items()]
    return [", ".join(combination) for combination in itertools.product(*taken)]


OPTIONS = [(name, taken) for name in SHEETS for taken in choices(LIBRARY.sheet(name))]


def test_the_fleet_is_what_it_should_be() -> None:
    fleet = {vessel.id: vessel for vessel in LIBRARY.vessels()}
    assert set(fleet) == {"brannock", "corrie", "sallow", "pipit"}
    assert [len(fleet[one].engines) for one in ("brannock", "corrie", "sallow", "pipit")] == [
        1, 1, 2, 1,
    ]  # fmt: skip
    assert fleet["brannock"].engine().options["fuel-cooler"] == "fitted"
    assert fleet["corrie"].engine().options["fuel-cooler"] == "omitted"
    assert fleet["sallow"].engine("port").options["voltage"] == "24-v"
    assert fleet["pipit"].engine().options["voltage"] == "12-v"


@pytest.mark.parametrize(("sheet", "options"), OPTIONS)
def test_every_choice_of_options_is_whole(sheet: str, options: str, tmp_path: Path) -> None:
    rating = LIBRARY.sheet(sheet).ratings[0].id
    text = SMALLEST.format(sheet=sheet, rating=rating, options=options)
    vessel = library_with(tmp_path, text).vessel("made")
    taken = {f"{option}: {choice}" for option, choice in vessel.engine().options.items()}
    assert taken == set(options.split(", "))


@pytest.mark.parametrize("engines", [1, 2])
@pytest.mark.parametrize("sheet", SHEETS)
def test_a_starting_spec_loads_and_satisfies_editors(
    sheet: str, engines: int, tmp_path: Path
) -> None:
    text = starting_spec("made", [LIBRARY.sheet(sheet)] * engines, "quenby-slip")
    fitted = library_with(tmp_path, text).vessel("made").engines
    assert [engine.sheet.engine.id for engine in fitted] == [sheet] * engines
    errors = list(
        Draft202012Validator(schema("vessel")).iter_errors(read_text(text, "made").plain())
    )
    assert [error.message for error in errors] == []


def codes(vessel: Vessel) -> dict[str, set[str]]:
    """What each code stands for: ids of entries; a plug and its connection point are one thing."""
    found: dict[str, set[str]] = defaultdict(set)
    for entry in entries(vessel.spec):
        for code in (getattr(entry, "code", ""), getattr(entry, "label", "")):
            if code:
                found[code].add(str(getattr(entry, "id", code)))
    for engine in vessel.engines:
        prefix = f"{engine.name} " if len(vessel.engines) > 1 else ""
        for entry in entries(engine.sheet):
            for code in (getattr(entry, "code", ""), getattr(entry, "label", "")):
                if code and type(entry).__name__ != "ConnectionPoint":
                    found[prefix + code].add(str(getattr(entry, "id", code)))
    return found


@pytest.mark.parametrize("vessel", VESSELS)
def test_a_code_on_a_label_has_one_meaning(vessel: str) -> None:
    found = codes(LIBRARY.vessel(vessel))
    assert {code: ids for code, ids in found.items() if len(ids) > 1} == {}


def of(value: Any) -> Any:
    figure = known(value)
    assert figure is not None
    return figure


DIESEL_KG_PER_L = 0.84
"""Density of diesel fuel near 15 °C (EN 590 allows 0.820 to 0.845)."""


@pytest.mark.parametrize("name", SHEETS)
class TestEngineSheets:
    """Hand arithmetic on the sheets' own figures; the bounds are common practice for diesels."""

    def test_displacement_is_that_of_bore_and_stroke(self, name: str) -> None:
        build = LIBRARY.sheet(name).build
        bore_dm, stroke_dm = of(build.bore).m * 10, of(build.stroke).m * 10
        litres = build.cylinders * math.pi / 4 * bore_dm**2 * stroke_dm
        assert of(build.displacement).l == pytest.approx(litres, rel=0.005)

    def test_fuel_for_each_kilowatt_hour(self, name: str) -> None:
        for table in LIBRARY.sheet(name).performance:
            last = table.rows[-1]
            grams = of(last.fuel).l_per_h * DIESEL_KG_PER_L * 1000 / (of(last.power).w / 1000)
            assert 200 < grams < 250

    def test_the_load_line_is_near_the_cube_of_speed(self, name: str) -> None:
        for table in LIBRARY.sheet(name).performance:
            last = table.rows[-1]
            for row in table.rows:
                cube = of(last.power).w * (row.speed.rpm / last.speed.rpm) ** 3
                assert of(row.power).w == pytest.approx(cube, rel=0.03, abs=100)

    def test_jacket_heat_and_air(self, name: str) -> None:
        for table in LIBRARY.sheet(name).performance:
            last = table.rows[-1]
            assert 0.5 < of(last.jacket_heat).w / of(last.power).w < 0.7
            fuel_kg_per_s = of(last.fuel).l_per_h * DIESEL_KG_PER_L / 3600
            assert 18 < of(last.air).kg_per_s / fuel_kg_per_s < 32
            heats = [last.jacket_heat, last.gear_oil_heat, last.engine_oil_heat]
            kept = of(last.power).w + sum(known(heat).w for heat in heats if known(heat))
            assert 0.55 < kept / (fuel_kg_per_s * 42.8e6) < 0.75

    def test_what_the_pump_sweeps_for_each_kilowatt(self, name: str) -> None:
        sheet = LIBRARY.sheet(name)
        assert sheet.raw_water is not None
        for pump in sheet.raw_water.pumps:
            pump_rpm = of(sheet.ratings[0].speed).rpm * of(pump.ratio).ratio
            litres_per_min = of(pump.displacement).l * pump_rpm
            assert 1.2 < litres_per_min / (of(sheet.ratings[0].power).w / 1000) < 1.6
