"""The connection register says what this vessel connects to each point of the engine."""

from __future__ import annotations

import pytest

from tests.manual.manuals import manual


@pytest.mark.parametrize(
    ("point", "words"),
    [
        ("engine.raw-water-inlet", ["RW1", "hose spigot", "Hose"]),
        (
            "engine.fuel-supply",
            ["FU1", "M16x1.5".replace("x", "×"), "Supply line, Water separator"],
        ),
        ("engine.heater-supply", ["CO2", "plugged"]),
        ("engine.battery-stud", ["EL1", "S2"]),
        ("engine.block-stud", ["EL2", "S3"]),
        ("engine.main-plug", ["P1", "E1", "E12"]),
        ("engine.throttle-lever", ["CT1", "Throttle"]),
        ("engine.exhaust-outlet", ["EX1", "four M10 studs", "exhaust"]),
    ],
)
def test_each_point_says_what_is_on_it(point: str, words: list[str]) -> None:
    (row,) = manual("brannock").tree("connections").xpath("//tr[@id=$id]", id=point)
    for word in words:
        assert word in row.text_content()


def test_a_caution_of_a_point_stands_before_its_table() -> None:
    tree = manual("brannock").tree("connections")
    (panel,) = [p for p in tree.xpath("//div[@class='warning']") if "EL1" in p.text_content()]
    (row,) = tree.xpath("//tr[@id='engine.battery-stud']")
    order = list(tree.iter())
    assert order.index(panel) < order.index(row)


def test_nothing_connected_is_said_where_something_must_be() -> None:
    """The half-written launch leaves the overflow of her coolant open."""
    text = manual("pipit").text("connections")
    assert "nothing connected" in text
