"""The form of a table file, and the refusal to look outside it."""

from dataclasses import dataclass

import pytest

from installgen.errors import OutOfTable
from installgen.tables.loader import BadTable, Mark, Table, TableRow, parse_table, weakest

TEXT = """\
# title: Density of example fluid
# source: Handbook, table 7
# mark: SEEN
# key: fluid, temperature_c
# note: at 1 atm
fluid,temperature_c,density_kg_per_m3,viscosity_pa_s,mark
thin,0,1000,0.001,
thin,20,990,,MEMORY
thick,0,1100,0.002,
"""


@dataclass(frozen=True, kw_only=True)
class Fluid(TableRow):
    fluid: str
    temperature_c: float
    density_kg_per_m3: float
    viscosity_pa_s: float | None


def table(text: str = TEXT) -> Table[Fluid]:
    return parse_table("example", text, Fluid)


def test_head_and_row_marks() -> None:
    fluids = table()
    assert fluids.title == "Density of example fluid"
    assert fluids.notes == ("at 1 atm",)
    assert [row.mark for row in fluids.rows] == [Mark.SEEN, Mark.MEMORY, Mark.SEEN]
    assert {row.source for row in fluids.rows} == {"Handbook, table 7"}
    assert fluids.rows[1].viscosity_pa_s is None


def test_exact_row() -> None:
    assert table().row(fluid="thin", temperature_c=20).density_kg_per_m3 == 990
    with pytest.raises(OutOfTable, match=r"fluid water.*covers fluid thin, thick"):
        table().row(fluid="water")
    with pytest.raises(ValueError, match="2 rows have fluid thin"):
        table().row(fluid="thin")


def test_interpolation_stays_inside() -> None:
    assert table().interpolate("temperature_c", 5, "density_kg_per_m3", fluid="thin") == 997.5
    assert table().interpolate("temperature_c", 20, "density_kg_per_m3", fluid="thin") == 990
    assert table().interpolate("temperature_c", 0, "density_kg_per_m3", fluid="thick") == 1100
    for outside in (-0.001, 20.001):
        with pytest.raises(OutOfTable, match="temperature_c 0 to 20"):
            table().interpolate("temperature_c", outside, "density_kg_per_m3", fluid="thin")
    # The source prints no viscosity at 20, so the table ends at 0 for that column.
    with pytest.raises(OutOfTable, match=r"fluid thin, temperature_c = 10; it covers .* 0 to 0"):
        table().interpolate("temperature_c", 10, "viscosity_pa_s", fluid="thin")


def test_next_row_up_and_down() -> None:
    fluids = table()
    assert fluids.at_least("temperature_c", 0.1, fluid="thin").temperature_c == 20
    assert fluids.at_most("temperature_c", 19.9, fluid="thin").temperature_c == 0
    with pytest.raises(OutOfTable):
        fluids.at_least("temperature_c", 21)
    with pytest.raises(OutOfTable, match="at most -1; it covers temperature_c 0 to 20"):
        fluids.at_most("temperature_c", -1)
    with pytest.raises(OutOfTable, match="fluid ink, temperature_c of at most 5; it covers fluid"):
        fluids.at_most("temperature_c", 5, fluid="ink")


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("# source: Handbook, table 7\n", "", "no line '# source"),
        ("# mark: SEEN", "# mark: SURE", "mark 'SURE'"),
        ("# note: at 1 atm", "# nota: at 1 atm", "line 5: starts no known comment"),
        ("thin,0,1000,0.001,", "thin,0,1000,0.001", "line 7: has 4 cells; expected 5"),
        ("thin,0,1000,0.001,", "thin,0,,0.001,", "line 7: has an empty cell"),
        ("thin,0,1000,0.001,", "thin,0,inf,0.001,", "finite"),
        ("thick,0", "thin,0", "two rows with"),
        ("viscosity_pa_s,mark", "viscosity,mark", "has the columns"),
        ("# key: fluid, temperature_c", "# key: colour", "has the key"),
    ],
)
def test_bad_file(old: str, new: str, message: str) -> None:
    assert old in TEXT
    with pytest.raises(BadTable, match=message):
        table(TEXT.replace(old, new))


def test_weakest_mark() -> None:
    assert weakest(Mark.SEEN, Mark.MEMORY, Mark.SEEN_2ND) is Mark.MEMORY
    assert weakest(Mark.SEEN, Mark.DERIVED) is Mark.DERIVED
    assert not Mark.MEMORY.confirmed
