"""Raw-water networks made for comparison: one route, one branched route, and seeded random ones."""

from __future__ import annotations

import random
from dataclasses import replace

from installgen.calc.constants import STANDARD_GRAVITY_M_PER_S2
from installgen.calc.pipe_network import (
    Fitting,
    MeasuredLoss,
    Network,
    Node,
    Piece,
    Pipe,
    PumpPiece,
    VentedLoop,
)
from installgen.calc.pump import ImpellerPump
from installgen.calc.water import seawater

HOSE_M = 3e-5
SEA = seawater(15.0)
PUMP = ImpellerPump(
    displacement_m3_per_rev=0.16e-3,
    slip_ratio=0.04,
    loaded_slip_ratio=0.12,
    loaded_slip_pressure_pa=100e3,
    loaded_slip_speed_rpm=2400.0,
    full_flow_vacuum_pa=35e3,
    no_flow_vacuum_pa=80e3,
)

STRONG_PUMP = replace(PUMP, full_flow_vacuum_pa=None, no_flow_vacuum_pa=None)
"""The same, whose flow no vacuum takes from, as EPANET knows no such pump."""


def sea_pressure_pa(depth_m: float) -> float:
    return SEA.density_kg_per_m3 * STANDARD_GRAVITY_M_PER_S2 * depth_m


def series_route(speed_rpm: float = 2400.0, vented: bool = False) -> Network:
    """Seacock, strainer, pump, charge-air cooler, gear-oil cooler, exchanger, wet exhaust."""
    heights = {
        "a": -0.45, "b": -0.1, "c": -0.1, "d": 0.15, "e": 0.15, "f": 0.6, "g": 0.6, "h": 0.2,
        "i": 0.2, "j": 0.55, "k": 0.55, "l": 0.9, "m": 0.9,
    }  # fmt: skip
    nodes = (
        Node("sea", -0.45, sea_pressure_pa(0.45)),
        *(Node(name, height) for name, height in heights.items()),
        Node("injection", 0.35, 4e3),
    )
    crown: Piece = Fitting("crown", "l", "m", 0.045, 0.3)
    if vented:
        crown = VentedLoop("crown", "l", "m")
    pieces = (
        Fitting("seacock", "sea", "a", 0.05, 0.9),
        Pipe("suction hose", "a", "b", 0.05, 1.8, HOSE_M, 0.5),
        MeasuredLoss("strainer", "b", "c", 5e-3, 6e3),
        Pipe("pump hose", "c", "d", 0.05, 0.9, HOSE_M, 0.3),
        PumpPiece("pump", "d", "e", PUMP, speed_rpm),
        Pipe("hose 1", "e", "f", 0.044, 0.8, HOSE_M, 0.4),
        MeasuredLoss("charge-air cooler", "f", "g", 6e-3, 14e3),
        Pipe("hose 2", "g", "h", 0.044, 0.7, HOSE_M, 0.6),
        MeasuredLoss("gear-oil cooler", "h", "i", 6e-3, 5e3),
        Pipe("hose 3", "i", "j", 0.044, 1.0, HOSE_M, 0.6),
        MeasuredLoss("heat exchanger", "j", "k", 6e-3, 18e3),
        Pipe("riser", "k", "l", 0.045, 0.6, HOSE_M, 0.3),
        crown,
        Pipe("down leg", "m", "injection", 0.045, 0.9, HOSE_M, 1.6),
    )
    return Network(nodes, pieces, SEA)


def branched_route(speed_rpm: float = 2400.0) -> Network:
    """The same with a shaft-seal feed, a bypass round the gear-oil cooler and a bleed overboard."""
    route = series_route(speed_rpm)
    nodes = (*route.nodes, Node("seal", -0.3, sea_pressure_pa(0.3)), Node("overboard", 0.4, 0.0))
    pieces = (
        *route.pieces,
        Pipe("seal feed", "g", "seal", 0.010, 4.0, HOSE_M, 3.0),
        Pipe("bypass", "g", "j", 0.016, 1.4, HOSE_M, 2.0),
        Pipe("bleed", "l", "overboard", 0.006, 2.5, HOSE_M, 1.5),
    )
    return Network(nodes, pieces, SEA)


def random_network(seed: int) -> Network:
    """A series route of random pieces; every second seed branches it, some branches loop back."""
    rng = random.Random(seed)
    nodes = [Node("sea", -0.5, sea_pressure_pa(0.5))]
    pieces: list[Piece] = []
    before = rng.randint(2, 4)
    after = rng.randint(3, 8)
    bore = rng.uniform(0.032, 0.064)
    for step in range(before + 1 + after):
        last = step == before + after
        pressure = rng.uniform(0.0, 8e3) if last else None
        height = rng.uniform(-0.3, 0.3) if step <= before else rng.uniform(-0.2, 1.2)
        nodes.append(Node(f"n{step}", height, pressure))
        ends = (f"p{step}", nodes[-2].name, nodes[-1].name)
        if step == before:
            pieces.append(PumpPiece(*ends, STRONG_PUMP, rng.uniform(500.0, 2600.0)))
            continue
        kind = rng.choice(("pipe", "pipe", "fitting", "measured"))
        if kind == "pipe":
            size = bore * rng.uniform(0.9, 1.1)
            length, roughness = rng.uniform(0.2, 4.0), rng.choice((1e-5, 3e-5, 1e-4))
            pieces.append(Pipe(*ends, size, length, roughness, rng.uniform(0.0, 3.0)))
        elif kind == "fitting":
            pieces.append(Fitting(*ends, bore, rng.uniform(0.1, 2.0)))
        else:
            pieces.append(MeasuredLoss(*ends, 5e-3, rng.uniform(2e3, 9e3)))
    if seed % 2:
        _add_branches(rng, nodes, pieces, before)
    return Network(tuple(nodes), tuple(pieces), SEA)


def _add_branches(rng: random.Random, nodes: list[Node], pieces: list[Piece], before: int) -> None:
    joints = [node.name for node in nodes[before + 2 : -1]]
    for number in range(rng.randint(1, 3)):
        start = rng.choice(joints)
        size, length = rng.uniform(0.006, 0.025), rng.uniform(0.5, 5.0)
        k = rng.uniform(0.5, 4.0)
        if rng.random() < 0.5:
            end = rng.choice([node.name for node in nodes[before + 2 :] if node.name != start])
        else:
            end = f"end{number}"
            nodes.append(Node(end, rng.uniform(-0.4, 0.4), rng.uniform(0.0, 4e3)))
        pieces.append(Pipe(f"branch{number}", start, end, size, length, HOSE_M, k))
