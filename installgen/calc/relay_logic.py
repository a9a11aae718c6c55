"""Relays and plungers of a network: which contacts close, in which order, and where it ends.

Armatures and plungers remember: each starts from the position the previous step left it in. A pull
that suffices starts its clock, the earliest due moves, the network is solved anew, and so on until
nothing is due. A state that comes back with the same moves under way is a cycle in time: chatter.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import product

import numpy as np

from installgen.calc.actuators import Pull
from installgen.calc.dc_elements import BadNetwork
from installgen.calc.dc_network import (
    AS_BUILT,
    ContactState,
    Network,
    Point,
    Variation,
)
from installgen.calc.dc_solver import solve_many
from installgen.calc.operating_point import OperatingPoint, OperatingPoints
from installgen.calc.star_mesh import Bools
from installgen.errors import NotSolved, OutOfRange

_SAME_TIME_DIGITS = 9
_MOST_MOVES = 400
_MOST_TO_ENUMERATE = 10


@dataclass(frozen=True)
class LogicState:
    """Positions of all actuators.

    operated: actuators that are lifted; all others are released
    pending: moves under way, with the time each still needs [s]
    """

    operated: frozenset[str] = frozenset()
    pending: tuple[tuple[str, float], ...] = ()


AT_REST = LogicState()


@dataclass(frozen=True)
class Move:
    """One move of one actuator.

    at_s: time since the step began [s]
    operated: whether it was lifted, else it dropped
    """

    at_s: float
    actuator: str
    operated: bool


@dataclass(frozen=True)
class Start:
    """Where a step begins.

    by_hand: contacts that are held closed from outside: keys, switches, buttons
    previous: positions that the step before left
    variation: departure from the network as built
    """

    by_hand: frozenset[str]
    previous: LogicState = AT_REST
    variation: Variation = AS_BUILT


@dataclass(frozen=True)
class Settled:
    """Where a step ends.

    state: positions at the end
    point: operating point at the end; of a chatter, the one at which its cycle begins
    moves: everything that moved, in order
    chatter: actuators that go on moving for ever, empty where it comes to rest
    chatter_period_s: time of one cycle, None where no cycle repeats exactly [s]
    alternatives: other positions that would rest under the same switches (`settle` only)
    """

    state: LogicState
    point: OperatingPoint
    moves: tuple[Move, ...]
    chatter: tuple[str, ...] = ()
    chatter_period_s: float | None = None
    alternatives: tuple[LogicState, ...] = ()


def closed_contacts(
    network: Network, by_hand: frozenset[str], operated: frozenset[str]
) -> ContactState:
    """Contacts that are closed.

    network: with its actuators
    by_hand: contacts held closed from outside
    operated: actuators that are lifted
    Returns the ids of the closed contacts.
    """
    closed = set(by_hand)
    for actuator in network.actuators:
        closed.update(actuator.closes if actuator.id in operated else actuator.opens)
    return frozenset(closed)


def settle(
    network: Network,
    by_hand: Iterable[str],
    previous: LogicState = AT_REST,
    variation: Variation = AS_BUILT,
    until_s: float | None = None,
) -> Settled:
    """Let relays and plungers move until nothing is due.

    network: with its actuators
    by_hand: contacts held closed from outside: keys, switches, buttons
    previous: positions that the step before left
    variation: departure from the network as built
    until_s: end of the step, where it ends before everything has moved (a running timer) [s]
    Returns where it ends.
    Raises NotSolved where an operating point on the way has no solution.
    """
    hand = frozenset(by_hand)
    outcome = settle_many(network, [Start(hand, previous, variation)], until_s)[0]
    if isinstance(outcome, NotSolved):
        raise outcome
    others = tuple(
        state
        for state in stable_states(network, hand, variation)
        if state.operated != outcome.state.operated
    )
    return Settled(
        outcome.state,
        outcome.point,
        outcome.moves,
        outcome.chatter,
        outcome.chatter_period_s,
        others,
    )


def settle_many(
    network: Network, starts: Sequence[Start], until_s: float | None = None
) -> list[Settled | NotSolved]:
    """Let many starts of one network settle side by side, such as all faults of a study.

    network: with its actuators
    starts: where each begins
    until_s: as of `settle` [s]
    Returns where each ends, in order, without alternatives; NotSolved where one could not be
    followed to its end.
    """
    for start in starts:
        _check_start(network, start)
    runs = [_Run(network, start) for start in starts]
    active = runs
    while active:
        points = solve_many(
            network,
            [
                Point(
                    closed_contacts(network, run.start.by_hand, frozenset(run.operated)),
                    run.start.variation,
                )
                for run in active
            ],
        )
        wanted = _wanted_positions(network, points, [run.operated for run in active])
        for index, run in enumerate(active):
            run.advance(points, index, wanted[:, index], until_s)
        active = [run for run in active if run.outcome is None]
    return [run.outcome for run in runs if run.outcome is not None]


def stable_states(
    network: Network,
    by_hand: Iterable[str],
    variation: Variation = AS_BUILT,
    *,
    free: Iterable[str] | None = None,
    lifted: Iterable[str] = (),
) -> tuple[LogicState, ...]:
    """Positions in which nothing wants to move.

    All combinations are tried with up to ten actuators; with more, what is reached from all
    released, all lifted and each one lifted alone.

    network: with its actuators
    by_hand: contacts held closed from outside
    variation: departure from the network as built
    free: try the positions of these only; left out, of all
    lifted: of the others, those that are lifted
    Returns the states, the one with the fewest lifted first.
    """
    hand = frozenset(by_hand)
    every = [actuator.id for actuator in network.actuators]
    names = every if free is None else [name for name in every if name in set(free)]
    held = frozenset(lifted) - frozenset(names)
    if len(names) <= _MOST_TO_ENUMERATE:
        candidates = [
            held | {name for name, up in zip(names, choice, strict=True) if up}
            for choice in product((False, True), repeat=len(names))
        ]
    else:
        begin = [held, held | set(names), *(held | {name} for name in names)]
        starts = [Start(hand, LogicState(operated), variation) for operated in begin]
        candidates = [
            outcome.state.operated
            for outcome in settle_many(network, starts)
            if isinstance(outcome, Settled) and not outcome.chatter
        ]
    distinct = sorted(set(candidates), key=lambda operated: (len(operated), sorted(operated)))
    points = solve_many(
        network,
        [Point(closed_contacts(network, hand, operated), variation) for operated in distinct],
    )
    wanted = _wanted_positions(network, points, distinct)
    return tuple(
        LogicState(operated)
        for index, operated in enumerate(distinct)
        if points.solved[index]
        and operated == {n for n, up in zip(every, wanted[:, index], strict=True) if up}
    )


def chatter_onset_ohm(
    network: Network,
    element: str,
    by_hand: Iterable[str],
    *,
    lowest_ohm: float,
    highest_ohm: float,
    previous: LogicState = AT_REST,
    variation: Variation = AS_BUILT,
    relative_error: float = 1e-6,
) -> float | None:
    """Least resistance of a joint, conductor or battery with which the relays chatter.

    The range is divided in geometric steps, and the first step in which chatter begins again.

    network: with its actuators
    element: whose resistance is raised
    by_hand: contacts held closed from outside
    lowest_ohm, highest_ohm: range to search [ohm]
    previous: positions that the step before left
    variation: other departures from the network as built
    relative_error: of the answer [-]
    Returns the resistance; lowest_ohm where it chatters there already, None where it chatters
    nowhere in the range [ohm].
    """
    if not 0.0 < lowest_ohm < highest_ohm:
        raise OutOfRange(
            f"range of resistance for {element}",
            f"{lowest_ohm:g} to {highest_ohm:g} ohm",
            "a rising range above 0",
        )
    hand = frozenset(by_hand)
    steps = 32
    while True:
        tried_ohm = np.geomspace(lowest_ohm, highest_ohm, steps + 1).tolist()
        starts = [
            Start(hand, previous, _with_resistance(variation, element, ohm)) for ohm in tried_ohm
        ]
        outcomes = settle_many(network, starts)
        chattering = [isinstance(found, Settled) and bool(found.chatter) for found in outcomes]
        if not any(chattering):
            return None
        first = chattering.index(True)
        if first == 0:
            return float(tried_ohm[0])
        lowest_ohm, highest_ohm = tried_ohm[first - 1], tried_ohm[first]
        if highest_ohm <= lowest_ohm * (1.0 + relative_error):
            return float(highest_ohm)


def _with_resistance(variation: Variation, element: str, ohm: float) -> Variation:
    return Variation(variation.broken, variation.welded, {**variation.resistance_ohm, element: ohm})


def _check_start(network: Network, start: Start) -> None:
    moved = {name for a in network.actuators for name in (*a.closes, *a.opens)}
    both = sorted(start.by_hand & moved)
    if both:
        raise BadNetwork(f"{both[0]} is moved by a relay and cannot be held by hand")
    names = {actuator.id for actuator in network.actuators}
    unknown = sorted(start.previous.operated - names)
    if unknown:
        raise BadNetwork(f"the network has no actuator {unknown[0]}")


def _wanted_positions(
    network: Network, points: OperatingPoints, operated: Sequence[Iterable[str]]
) -> Bools:
    """Position each actuator is pulled to, (actuators, points)."""
    lifted_now = [set(some) for some in operated]
    wanted = np.zeros((len(network.actuators), len(points)), dtype=np.bool_)
    for row, actuator in enumerate(network.actuators):
        now = np.array([actuator.id in some for some in lifted_now], dtype=np.bool_)
        lifts = _suffices(network, points, actuator.lift)
        holds = _suffices(network, points, actuator.hold)
        wanted[row] = np.where(now, holds, lifts)
    return wanted


def _suffices(network: Network, points: OperatingPoints, pulls: tuple[Pull, ...]) -> Bools:
    enough = np.zeros(len(points), dtype=np.bool_)
    for pull in pulls:
        rows = [network.positions[name] for name, _ in pull.turns]
        turns = np.array([count for _, count in pull.turns])
        enough |= np.abs(turns @ points.current_a[rows]) >= pull.least_ampere_turns
    return enough


@dataclass
class _Run:
    """One start on its way."""

    network: Network
    start: Start
    operated: set[str] = field(init=False)
    due_s: dict[str, float] = field(init=False)
    clock_s: float = 0.0
    moves: list[Move] = field(default_factory=list)
    seen: dict[tuple[object, ...], tuple[int, float]] = field(default_factory=dict)
    outcome: Settled | NotSolved | None = None

    def __post_init__(self) -> None:
        self.operated = set(self.start.previous.operated)
        self.due_s = dict(self.start.previous.pending)

    def advance(
        self, points: OperatingPoints, index: int, wanted: Bools, until_s: float | None
    ) -> None:
        """Make the next move, or come to an end, at a solved point."""
        if not points.solved[index]:
            self.outcome = points.failure(index)
            return
        self.due_s = self._due(wanted)
        key = self._key()
        if key in self.seen:
            count, since_s = self.seen[key]
            self._finish(points[index], self.moves[count:], self.clock_s - since_s)
            return
        self.seen[key] = (len(self.moves), self.clock_s)
        if not self.due_s or (until_s is not None and min(self.due_s.values()) > until_s):
            if until_s is not None:
                self.clock_s = until_s
            self._finish(points[index], [], None)
            return
        if len(self.moves) >= _MOST_MOVES:
            self._finish(points[index], self.moves[_MOST_MOVES // 2 :], None)
            return
        name = min(self.due_s, key=lambda moving: self.due_s[moving])
        self.clock_s = self.due_s.pop(name)
        self.operated ^= {name}
        self.moves.append(Move(self.clock_s, name, name in self.operated))

    def _due(self, wanted: Bools) -> dict[str, float]:
        """Moves under way, each from when its cause arose; one whose cause is gone is forgotten."""
        due_s = {}
        for actuator, lifted in zip(self.network.actuators, wanted, strict=True):
            if lifted != (actuator.id in self.operated):
                needs_s = actuator.operate_s if lifted else actuator.release_s
                due_s[actuator.id] = self.due_s.get(actuator.id, self.clock_s + needs_s)
        return due_s

    def _pending(self) -> tuple[tuple[str, float], ...]:
        return tuple(
            (name, round(due_s - self.clock_s, _SAME_TIME_DIGITS))
            for name, due_s in sorted(self.due_s.items())
        )

    def _key(self) -> tuple[object, ...]:
        return frozenset(self.operated), self._pending()

    def _finish(self, point: OperatingPoint, cycle: list[Move], period_s: float | None) -> None:
        names = [actuator.id for actuator in self.network.actuators]
        cycling = {move.actuator for move in cycle}
        self.outcome = Settled(
            state=LogicState(frozenset(self.operated), self._pending()),
            point=point,
            moves=tuple(self.moves),
            chatter=tuple(name for name in names if name in cycling),
            chatter_period_s=period_s,
        )
