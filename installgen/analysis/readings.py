"""What a meter should show at every terminal in every case of an engine's sequence.

A meter of 10 Mohm lies between the terminal and the negative post of the engine's battery while
the circuit is solved, so that it loads what it reads as it does aboard.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from installgen.analysis.cases import DcCase
from installgen.analysis.dc import DcAnalysis
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.sequences import own_sequence
from installgen.analysis.symptoms import watch
from installgen.calc.dc_elements import Voltmeter
from installgen.calc.dc_network import Network, Point, Variation
from installgen.calc.dc_solver import solve_many
from installgen.calc.relay_logic import closed_contacts

METER_V = 0.1
"""Half width of the band within which two readings are the same, besides a share of the reading:
what ordinary meters and leads differ by (common practice)."""

METER_RATIO = 0.02

SPARE_V = 0.15
"""What is still as expected beyond that, so that a suspect whose reading hardly differs from the
normal one is not looked for on both sides."""

NOTHING_V = 1.0
"""Below this a meter is said to show nothing."""

NEAR_NOTHING_V = 1.4
"""A limit nearer to nothing than this would leave no room between the two."""

CARRIES_A = 0.5
"""A terminal that carries less is not called loaded."""

METER_TELLS_V = 1e-4
"""Where meters on every terminal at once change a reading by more, it is solved with one alone."""


def band_v(volts: float) -> float:
    """Half width of the band around a reading [V]."""
    return METER_V + METER_RATIO * abs(volts)


def widened_v(low_v: float, high_v: float) -> tuple[float, float]:
    """The readings between two voltages, and what meters differ by; in tenths of a volt [V]."""
    least = math.floor(10.0 * (low_v - band_v(low_v) - SPARE_V)) / 10.0
    return least, math.ceil(10.0 * (high_v + band_v(high_v) + SPARE_V)) / 10.0


def accepted_v(low_v: float, high_v: float) -> tuple[float, float]:
    """What a question counts as expected: as `widened_v`, and nothing for nothing [V]."""
    if abs(low_v) < NOTHING_V and abs(high_v) < NOTHING_V:
        return -NOTHING_V, NOTHING_V
    least, most = widened_v(low_v, high_v)
    if abs(least) < NEAR_NOTHING_V:
        least = NOTHING_V if low_v - band_v(low_v) > NOTHING_V else -NOTHING_V
    return least, most


@dataclass(frozen=True)
class ExpectedReading:
    """A terminal in a case, read against the negative post of the engine's battery.

    computed_v: with the weakest and with the strongest battery, the lesser first; None where the
        terminal floats or a relay chatters, so that a meter may show anything [V]
    flow_a: current that the terminal passes on meanwhile, weakest battery [A]
    """

    case: DcCase
    node: str
    computed_v: tuple[float, float] | None
    flow_a: float

    @property
    def widened_v(self) -> tuple[float, float] | None:
        """What a whole circuit may show on an ordinary meter [V]; None where anything."""
        return None if self.computed_v is None else widened_v(*self.computed_v)

    @property
    def under_load(self) -> bool:
        """Whether enough flows for a poor joint to show."""
        return self.flow_a >= CARRIES_A


@dataclass(frozen=True)
class EngineReadings:
    """The readings of one engine's sequence.

    black: the terminal that the meter's black lead is on
    readings: case after case
    """

    engine: str
    black: str
    cases: tuple[DcCase, ...]
    readings: tuple[ExpectedReading, ...]

    @cached_property
    def by_case(self) -> Mapping[str, Mapping[str, ExpectedReading]]:
        """Each case's readings by terminal."""
        found: dict[str, dict[str, ExpectedReading]] = {case.id: {} for case in self.cases}
        for reading in self.readings:
            found[reading.case.id][reading.node] = reading
        return found


def expected_readings(dc: DcAnalysis) -> tuple[EngineReadings, ...]:
    """The readings of every engine whose sequence can be solved as built."""
    found = []
    for engine in dc.model.vessel.engines:
        weak = own_sequence(engine.name, dc.cases)
        strong = own_sequence(engine.name, dc.strongest_cases)
        if not weak or any(case.settled is None for case in (*weak, *strong)):
            continue
        black = f"{watch(dc.model, engine.name, weak).source}.negative"
        readings: list[ExpectedReading] = []
        for one, other in zip(weak, strong, strict=True):
            if person_reads(one.case, engine.name):
                readings += _of_case(dc.model, engine.name, one, other, black)
        cases = tuple(one.case for one in weak if person_reads(one.case, engine.name))
        found.append(EngineReadings(engine.name, black, cases, tuple(readings)))
    return tuple(found)


def person_reads(case: DcCase, engine: str) -> bool:
    """Whether a case lasts long enough for a meter, and nobody need lean over a fast engine."""
    return case.state(engine).key not in ("breakaway", "running-rated")


def _of_case(
    model: DcModel, engine: str, weak: SolvedCase, strong: SolvedCase, black: str
) -> Iterable[ExpectedReading]:
    flows = flows_a(weak)
    first, second = metered_v(weak, black), metered_v(strong, black)
    owners = {device_id: (device, owner) for device_id, device, owner in model.vessel.devices()}
    for node, low_v in first.items():
        device, owner = owners.get(node.rpartition(".")[0], (None, None))
        if node == black or (owner is not None and owner.name != engine):
            continue
        if device is None and node != f"{engine}.block":
            continue
        if device is not None and device.reach == "none":
            continue
        high_v = second.get(node)
        both = None if low_v is None or high_v is None else (low_v, high_v)
        computed = None if both is None else (min(both), max(both))
        yield ExpectedReading(weak.case, node, computed, flows.get(node, 0.0))


def metered_v(found: SolvedCase, black: str) -> dict[str, float | None]:
    """What a meter shows at each terminal, its black lead on one; None where it floats [V].

    All meters are solved at once; a terminal that this loads too much is solved again with its
    own meter alone.
    """
    network, settled = found.network, found.settled
    if network is None or settled is None:
        return {}
    nodes = [node for node in network.nodes if ":" not in node]
    if settled.chatter:
        return dict.fromkeys(nodes)
    bare = dict(zip(network.nodes, settled.point.against_v(black), strict=True))
    read = [node for node in nodes if node != black and not math.isnan(bare[node])]
    with_meters = _with_meters(network, read, black)
    closed = closed_contacts(network, frozenset(found.parts.closed), settled.state.operated)
    together = solve_many(with_meters, [Point(closed)])[0].against_v(black)
    volts = dict(zip(with_meters.nodes, map(float, together), strict=True))
    alone = [node for node in read if abs(volts[node] - bare[node]) > METER_TELLS_V]
    others = {node: frozenset(_meter(o) for o in read if o != node) for node in alone}
    points = [Point(closed, Variation(broken=others[node])) for node in alone]
    for node, point in zip(alone, solve_many(with_meters, points), strict=True):
        volts[node] = dict(zip(with_meters.nodes, map(float, point.against_v(black)), strict=True))[
            node
        ]
    shown: dict[str, float | None] = dict.fromkeys(nodes)
    return shown | {node: volts[node] for node in read}


def _with_meters(network: Network, nodes: Sequence[str], black: str) -> Network:
    meters = tuple(Voltmeter(_meter(node), node, black) for node in nodes)
    return Network((*network.elements, *meters), network.reference, network.actuators)


def _meter(node: str) -> str:
    return f"meter:{node}"


def flows_a(found: SolvedCase) -> dict[str, float]:
    """The current that each node passes on: half of what all elements carry at it [A]."""
    flows: dict[str, float] = {}
    if found.settled is None:
        return flows
    for element in found.parts.elements:
        current = abs(found.settled.point.through_a(element.id))
        for node in element.ends:
            flows[node] = flows.get(node, 0.0) + current / 2.0
    return flows
