"""Raw-water routes of the demonstration vessels against EPANET 2.2, to 0.5 %."""

from pathlib import Path

import pytest

from installgen.analysis.raw_water_network import route_network, water_at
from installgen.analysis.raw_water_pieces import Variation
from installgen.analysis.results import Book
from installgen.analysis.route import lay_route
from installgen.analysis.speeds import SPEEDS, analyse_speeds, range_speeds, speed_id
from installgen.calc.pipe_network import Network, PumpPiece
from installgen.spec.load import SpecLibrary
from installgen.spec.vessel import Vessel
from tests.published.test_epanet import assert_agrees

pytestmark = pytest.mark.filterwarnings("ignore")  # wntr and its libraries warn of themselves

LIBRARY = SpecLibrary.at(Path(__file__).parents[2] / "specs")
ROUTES = [("brannock", 0), ("corrie", 0), ("sallow", 0), ("sallow", 1)]
CASES = {
    "as built": Variation(),
    "fouled and worn": Variation(strainer=4.0, slip=1.5),
}


def network(vessel: Vessel, number: int, speed: str, variation: Variation) -> Network:
    """A demonstration route as EPANET can have it: the pump's vacuum counted on total pressure."""
    book = Book(vessel.standard.assume)
    analyse_speeds(book, vessel)
    route = lay_route(vessel, vessel.spec.raw_water[number])
    scratch = book.working("", "", "raw-water", formula="", source="")
    rpm = scratch.result(speed_id(route.engine, speed)).rpm
    laid = route_network(scratch, route, rpm, water_at(vessel, 10.0), variation).network
    pieces = tuple(
        PumpPiece(piece.name, piece.start, piece.end, piece.pump, piece.speed_rpm)
        if isinstance(piece, PumpPiece)
        else piece
        for piece in laid.pieces
    )
    return Network(laid.nodes, pieces, laid.liquid)


@pytest.mark.parametrize("speed", SPEEDS)
@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize(("vessel", "number"), ROUTES)
def test_demo_route(vessel: str, number: int, speed: str, case: str) -> None:
    assert_agrees(network(LIBRARY.vessel(vessel), number, speed, CASES[case]))


def test_demo_route_over_the_range() -> None:
    vessel = LIBRARY.vessel("brannock")
    for speed in range_speeds(vessel.engines[0]):
        assert_agrees(network(vessel, 0, speed, Variation()))


def test_every_complete_route_is_compared() -> None:
    complete = []
    for vessel in LIBRARY.vessels():
        book = Book(vessel.standard.assume)
        analyse_speeds(book, vessel)
        for number, water in enumerate(vessel.spec.raw_water):
            with book.working(f"{vessel.id}.{number}", "", "raw-water", formula="", source="") as w:
                route_network(w, lay_route(vessel, water), 1000.0, water_at(vessel, 10.0))
                w.value = 1
                complete.append((vessel.id, number))
    assert sorted(complete) == ROUTES
