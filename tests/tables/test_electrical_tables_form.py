"""Every electrical table loads, says where it is from, and says so when it is from memory."""

from collections.abc import Callable

import pytest

from installgen.tables import electrical
from installgen.tables.loader import Mark, Table, TableRow

TABLES = {
    name: function
    for name, function in vars(electrical).items()
    if callable(function) and getattr(function, "__annotations__", {}).keys() == {"return"}
}


def test_all_are_found() -> None:
    assert len(TABLES) == 15


@pytest.mark.parametrize("load", TABLES.values(), ids=TABLES.keys())
def test_every_row_has_a_source_and_a_mark(load: Callable[[], Table[TableRow]]) -> None:
    table = load()
    assert table.rows
    for row in table.rows:
        assert len(row.source) > 5
        assert isinstance(row.mark, Mark)
        if row.mark is Mark.MEMORY:
            assert "recalled" in f"{table.title} {row.source}"


def test_what_is_from_memory() -> None:
    """The whole list: metric ampacities and their factors, and the 72 in rule."""
    from_memory = {
        name for name, load in TABLES.items() if any(row.mark is Mark.MEMORY for row in load().rows)
    }
    assert from_memory == {
        "recalled_metric_ampacities",
        "recalled_metric_engine_space_factors",
        "device_positions",
    }


def test_colours_of_a_function() -> None:
    negative = {row.colour for row in electrical.dc_colours().where(function="negative return")}
    assert negative == {"black", "yellow"}
