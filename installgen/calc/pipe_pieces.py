"""The parts of a pipe network: joints and ends, and the pieces between them.

Pressures at nodes are total pressures, gauge: what a still pocket of water there would show. The
static pressure that a gauge in the stream reads is lower by the velocity head, and is reported for
each end of each piece.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from installgen.calc.constants import STANDARD_ATMOSPHERE_PA
from installgen.calc.pump import ImpellerPump
from installgen.calc.ranges import more_than_zero, zero_or_more
from installgen.calc.water import Liquid
from installgen.errors import OutOfRange


@dataclass(frozen=True, slots=True)
class Node:
    """A joint, or an end where the pressure is given.

    name: unique in the network
    elevation_m: above the static waterline or any other common datum [m]
    pressure_pa: gauge pressure of the space an end opens into [Pa]; None at a joint
    """

    name: str
    elevation_m: float
    pressure_pa: float | None = None


@dataclass(frozen=True, slots=True)
class Pipe:
    """A pipe or hose with the bends and fittings in it; the flow counts from start to end.

    name: unique in the network; start, end: names of nodes
    bore_m: [m]
    length_m: [m]
    roughness_m: absolute [m]
    loss_coefficient: sum of K of its bends, entrance and exit, on its own velocity head [-]
    count: equal bores side by side, as the tubes of a cooler [-]
    liquid: what flows in it, where it differs from the network's (warmer, after a cooler)
    """

    name: str
    start: str
    end: str
    bore_m: float
    length_m: float
    roughness_m: float
    loss_coefficient: float = 0.0
    count: int = 1
    liquid: Liquid | None = None


@dataclass(frozen=True, slots=True)
class Fitting:
    """A valve, reducer or other short piece with a loss coefficient.

    name: unique in the network; start, end: names of nodes
    bore_m: the bore whose velocity head the coefficient refers to [m]
    loss_coefficient: K [-]
    start_bore_m, end_bore_m: bores of its ends where they differ from `bore_m` [m]
    liquid: what flows in it, where it differs from the network's
    """

    name: str
    start: str
    end: str
    bore_m: float
    loss_coefficient: float
    start_bore_m: float | None = None
    end_bore_m: float | None = None
    liquid: Liquid | None = None


@dataclass(frozen=True, slots=True)
class MeasuredLoss:
    """A component known by one point: a drop at a flow; the drop goes with the square of the flow.

    name: unique in the network; start, end: names of nodes
    flow_m3_per_s: at the known point, more than 0 [m3/s]
    drop_pa: at the known point [Pa]
    start_bore_m, end_bore_m: bores of its ends [m]; None where not known
    liquid: what flows in it, where it differs from the network's
    """

    name: str
    start: str
    end: str
    flow_m3_per_s: float
    drop_pa: float
    start_bore_m: float | None = None
    end_bore_m: float | None = None
    liquid: Liquid | None = None


@dataclass(frozen=True, slots=True)
class PumpPiece:
    """A flexible-impeller pump in its place; the inlet is at the start.

    name: unique in the network; start, end: names of nodes
    pump: its sheet
    speed_rpm: of the pump, 0 when stopped [rev/min]
    start_bore_m, end_bore_m: bores of its ports [m]; with a bore the inlet vacuum is the static one
    liquid: what flows in it, where it differs from the network's
    """

    name: str
    start: str
    end: str
    pump: ImpellerPump
    speed_rpm: float
    start_bore_m: float | None = None
    end_bore_m: float | None = None
    liquid: Liquid | None = None


@dataclass(frozen=True, slots=True)
class FixedFlow:
    """A piece that passes a given flow whatever the pressure.

    name: unique in the network; start, end: names of nodes
    flow_m3_per_s: [m3/s]
    liquid: what flows in it, where it differs from the network's
    """

    name: str
    start: str
    end: str
    flow_m3_per_s: float
    liquid: Liquid | None = None


@dataclass(frozen=True, slots=True)
class VentedLoop:
    """The crown of an open vented loop: no vacuum upstream of it, so no siphon across it.

    Where the water beyond would pull a vacuum, air comes in and the pipe beyond does not run full.

    name: unique in the network; start, end: names of nodes, both at the height of the crown
    liquid: what flows in it, where it differs from the network's
    """

    name: str
    start: str
    end: str
    liquid: Liquid | None = None


@dataclass(frozen=True, slots=True)
class Closed:
    """A closed valve: a piece through which nothing flows.

    name: unique in the network; start, end: names of nodes
    """

    name: str
    start: str
    end: str


Piece = Pipe | Fitting | MeasuredLoss | PumpPiece | FixedFlow | VentedLoop | Closed


@dataclass(frozen=True, slots=True)
class Network:
    """A network of pieces full of one liquid.

    nodes: joints and ends, at least one end
    pieces: what connects them
    liquid: density and viscosity count; the vapour pressure, where known, is the least pressure
    atmosphere_pa: absolute pressure that gauge pressures count from [Pa]
    Raises OutOfRange for a name used twice, a piece to nowhere or to itself, and for sizes that
    cannot be.
    """

    nodes: tuple[Node, ...]
    pieces: tuple[Piece, ...]
    liquid: Liquid
    atmosphere_pa: float = STANDARD_ATMOSPHERE_PA

    def __post_init__(self) -> None:
        _check_unique("node", (node.name for node in self.nodes))
        _check_unique("piece", (piece.name for piece in self.pieces))
        elevation = {node.name: node.elevation_m for node in self.nodes}
        for piece in self.pieces:
            for end in (piece.start, piece.end):
                if end not in elevation:
                    raise OutOfRange(f"end of {piece.name}", end, "the nodes of the network")
            if piece.start == piece.end:
                raise OutOfRange(f"end of {piece.name}", piece.end, "another node than its start")
            _check_sizes(piece)
            if isinstance(piece, VentedLoop) and elevation[piece.start] != elevation[piece.end]:
                raise OutOfRange(
                    f"height of the ends of {piece.name}",
                    f"{elevation[piece.start]:g} m and {elevation[piece.end]:g} m",
                    "one height, that of the crown",
                )
        if all(node.pressure_pa is None for node in self.nodes):
            raise OutOfRange("number of ends with a pressure", "0", "1 or more")

    def node(self, name: str) -> Node:
        """The node of that name. Raises KeyError when there is none."""
        return {node.name: node for node in self.nodes}[name]

    def piece(self, name: str) -> Piece:
        """The piece of that name. Raises KeyError when there is none."""
        return {piece.name: piece for piece in self.pieces}[name]


def end_bores_m(piece: Piece) -> tuple[float | None, float | None]:
    """Bores of the two ends of a piece, where they are known.

    piece: any
    Returns the bores at start and end [m].
    """
    match piece:
        case Pipe(bore_m=bore):
            return bore, bore
        case Fitting(bore_m=bore, start_bore_m=start, end_bore_m=end):
            return start or bore, end or bore
        case MeasuredLoss() | PumpPiece():
            return piece.start_bore_m, piece.end_bore_m
        case _:
            return None, None


def _check_unique(what: str, names: Iterable[str]) -> None:
    for name, times in Counter(names).items():
        if times > 1:
            raise OutOfRange(f"name of a {what}", f"{name}, used {times} times", "one of its own")


def _check_sizes(piece: Piece) -> None:
    positive: dict[str, float | None] = {}
    not_negative: dict[str, float] = {}
    match piece:
        case Pipe():
            positive = {"bore": piece.bore_m, "number of bores": piece.count}
            not_negative = {
                "length": piece.length_m,
                "roughness": piece.roughness_m,
                "loss coefficient": piece.loss_coefficient,
            }
        case Fitting():
            positive = {
                "bore": piece.bore_m,
                "start bore": piece.start_bore_m,
                "end bore": piece.end_bore_m,
            }
            not_negative = {"loss coefficient": piece.loss_coefficient}
        case MeasuredLoss():
            positive = {
                "flow": piece.flow_m3_per_s,
                "start bore": piece.start_bore_m,
                "end bore": piece.end_bore_m,
            }
            not_negative = {"drop": piece.drop_pa}
        case PumpPiece():
            positive = {"start bore": piece.start_bore_m, "end bore": piece.end_bore_m}
            not_negative = {"speed": piece.speed_rpm}
        case _:
            pass
    for what, size in positive.items():
        if size is not None:
            more_than_zero(f"the {what} of {piece.name}", size, "")
    for what, value in not_negative.items():
        zero_or_more(f"the {what} of {piece.name}", value, "")
