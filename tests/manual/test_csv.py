"""Tables as CSV: what a spreadsheet reads is what stands in the manual, and never a formula."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from installgen.analysis.analyse import analyse
from installgen.findings.check import check
from installgen.manual.blocks import Amount, Column
from installgen.manual.csv_text import csv_text, harmless
from installgen.manual.pages.installer import tables_csv
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.load import SpecLibrary
from installgen.units import Length
from tests.analysis.specs import edited
from tests.manual.manuals import SPECS

TRIGGERS = "=+-@\t\r\uff1d\uff0b\uff0d\uff20"
"""What a cell must not begin with (OWASP, CSV injection), the wide forms too."""


def tables(vessel: str, specs: Path = SPECS) -> dict[str, str]:
    analysis = analyse(SpecLibrary.at(specs).vessel(vessel))
    made = VesselManual(analysis, check(analysis, cures=False))
    made.__dict__.update(readings=())  # slow to compute, and of no matter here
    return tables_csv(made)


def cells(text: str, delimiter: str = ",") -> list[str]:
    """Every cell as a program reads it that splits at this sign."""
    rows = csv.reader(io.StringIO(text.removeprefix("\ufeff")), delimiter=delimiter)
    return [cell for row in rows for cell in row]


def is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1-1",
        "-1+cmd|' /C calc'!A0",
        "@SUM(A1)",
        "\t=1",
        "\r=1",
        "\n=1",
        "  =1",
        '"=1',
        "'=1",
        "\u200b=1",
        "\uff1d1+1",
        "fine;=1+1",
        'fine;"=1+1',
        "fine\t=1+1",
        "a\r\n=1",
    ],
)
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_no_cell_is_a_formula(text: str, delimiter: str) -> None:
    made = csv_text((Column("One"), Column(text)), [(text, "plain"), ("plain", text)], "metric")
    for cell in cells(made, delimiter):
        assert cell.strip().strip("\"'").strip()[:1] not in TRIGGERS or cell.lstrip()[0] == "'", (
            cell
        )
        assert not cell.startswith(tuple(TRIGGERS)), cell


@pytest.mark.parametrize("text", ["B+", "1-3/4 in", "70 mm²", "a = b", "−20 kPa", "3", "-3.5"])
def test_harmless_text_stays_as_it_is(text: str) -> None:
    assert harmless(text) == text


def test_a_column_of_lengths_has_plain_numbers_beside_it() -> None:
    columns = (Column("What"), Column("Length", figure=True))
    made = csv_text(columns, [("a", Amount(Length(1.2))), ("b", "not given")], "metric")
    assert made.startswith("\ufeff")
    heads, first, second = [cells(line) for line in made.removeprefix("\ufeff").split("\r\n")[:3]]
    assert heads == ["What", "Length", "Length [m]"]
    assert first == ["a", "1.20 m (3 ft 11 in)", "1.2"]
    assert second == ["b", "not given", ""]


def test_a_spec_that_holds_formulas_makes_harmless_tables(tmp_path: Path) -> None:
    formula = "\"=HYPERLINK('x')\""
    specs = edited(
        tmp_path,
        {
            "vessels/brannock": [
                ("name: Raw-water strainer", f"name: {formula}"),
                ("function: starter feed", "function: \"+cmd|' /C calc'!A0\""),
                ("colour: tan,", 'colour: "tan;@SUM(A1)",'),
                ("code: BT1", 'code: "-1+2"'),
            ]
        },
    )
    made = tables("brannock", specs)
    assert any("HYPERLINK" in text for text in made.values())
    assert any("calc" in text for text in made.values())
    for name, text in made.items():
        for delimiter in ",;\t":
            for cell in cells(text, delimiter):
                assert is_number(cell) or not cell.startswith(tuple(TRIGGERS)), (name, cell)


@pytest.mark.parametrize("vessel", ["brannock", "sallow", "pipit"])
def test_every_table_is_whole(vessel: str) -> None:
    """As many cells in every row as headings; a draft says so in each name."""
    made = tables(vessel)
    assert {"hoses", "conductors", "cut-list", "labels", "torques", "checklist"} <= {
        name.removeprefix("draft-").removesuffix(".csv") for name in made
    }
    for name, text in made.items():
        rows = list(csv.reader(io.StringIO(text.removeprefix("\ufeff"))))
        assert len({len(row) for row in rows}) == 1, name
        assert len(rows) > 1, name
        assert name.startswith("draft-") == (vessel == "pipit")


@pytest.mark.parametrize("vessel", ["brannock", "sallow"])
def test_every_hose_says_where_it_comes_from_and_goes_to(vessel: str) -> None:
    rows = list(csv.DictReader(io.StringIO(tables(vessel)["hoses.csv"])))
    assert len(rows) > 8
    assert [row["Label"] for row in rows if not (row["From"] and row["To"])] == []
    seals = {row["From"] for row in rows if "seal-hose-1" in row["Label"]}
    assert all(start.startswith("tee behind ") for start in seals)
    assert bool(seals) is (vessel == "sallow")
