"""The map of the wiring: what leads where, on small networks and on the demonstration vessels."""

import pytest

from installgen.drawings.vessel.sheet_parts import (
    alarm_wires,
    instrument_wires,
    power_pieces,
    reserved_wires,
)
from installgen.drawings.vessel.start_parts import Function, start_pieces
from installgen.drawings.vessel.wiring import Joined, WiringMap, beside, between, reach, shortest
from tests.drawings.vessel.fleet import VESSELS, analysed


def pieces(*ways: str) -> list[Joined]:
    """Pieces such as `a-b`, called after their ends."""
    ends = [(way, *way.partition("-")[::2]) for way in ways]
    return [Joined(way, start, end) for way, start, end in ends]


START: tuple[Function, ...] = ("start",)
RING = pieces("a-b", "b-c", "c-d", "d-a", "c-e", "e-f")


def test_what_ends_blindly_is_left_out() -> None:
    assert [piece.element for piece in between(RING, {"a", "c"})] == ["a-b", "b-c", "c-d", "d-a"]
    assert [piece.element for piece in between(RING, {"a", "f"})] == [p.element for p in RING]
    assert between(pieces("a-b", "b-c"), {"x"}) == []


def test_the_shortest_way_is_found() -> None:
    around = beside([*RING, *pieces("a-e")])
    assert [piece.element for piece in shortest(around, "a", {"f"})] == ["e-f", "a-e"]
    assert shortest(around, "a", {"nowhere"}) == []


def test_reach_counts_pieces_and_stops_where_told() -> None:
    around = beside(RING)
    assert reach(around, ["a"]) == {"a": 0, "b": 1, "d": 1, "c": 2, "e": 3, "f": 4}
    assert "e" not in reach(around, ["a"], stop={"c"})


def wiring(vessel: str) -> WiringMap:
    """A vessel's wiring."""
    dc = analysed(vessel).dc
    assert dc is not None
    return WiringMap(dc.model)


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_conductor_has_its_sheet(vessel: str) -> None:
    whole = wiring(vessel)
    placed = {piece.element for piece in power_pieces(whole)}
    for engine in analysed(vessel).vessel.engines:
        placed |= {piece.element for piece in start_pieces(whole, engine)}
        placed |= {wire.element for wire in instrument_wires(whole, engine)}
        placed |= {wire.element for wire in reserved_wires(whole, engine)}
    left = [wire.element for wire in whole.wires if wire.element not in placed]
    assert all(whole.is_negative(wire) for wire in whole.wires if wire.element in left)


def test_negatives_are_told_from_feeds() -> None:
    whole = wiring("brannock")
    negative = {wire.element for wire in whole.wires if whole.is_negative(wire)}
    assert {"S3", "D3", "E12", "L3", "engine.W7", "engine.W11", "engine.W21"} <= negative
    assert not negative & {"S1", "E1", "E5", "E9", "engine.W8", "engine.W10", "engine.W13"}


def test_alarms_and_gauges_share_no_conductor() -> None:
    whole = wiring("brannock")
    engine = analysed("brannock").vessel.engines[0]
    wires = instrument_wires(whole, engine)
    alarms = {wire.element for wire in alarm_wires(whole, engine, wires)}
    assert alarms == {
        "E4", "E5", "E16", "E17", "E19", "engine.W13", "engine.W17", "engine.W18",
    }  # fmt: skip
    assert {"E9", "E10", "E11", "engine.W15", "engine.W19"} <= (
        {wire.element for wire in wires} - alarms
    )


def test_a_paralleling_switch_that_is_never_on_feeds_no_starter() -> None:
    whole = wiring("sallow")
    port = analysed("sallow").vessel.engine("port")
    found = {piece.element for piece in start_pieces(whole, port)}
    assert not found & {"PX1", "PX2", "PX3", "PX4", "SS1"}
    assert {"PS1", "PS2", "PS3"} <= found


def test_a_switch_is_not_fed_from_one_of_its_outlets() -> None:
    whole = wiring("sallow")
    port = analysed("sallow").vessel.engine("port")
    start = {piece.element for piece in start_pieces(whole, port, START)}
    assert {"PE3", "PE5", "PE6"} <= start
    assert not start & {"PE7", "PE8", "PE11"}
