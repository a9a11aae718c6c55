"""How surely relays and plungers rest: other positions they could keep, and when they chatter."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from installgen.analysis.dc_cases import solved_id
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_paths import Wiring
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.remembered import remembered
from installgen.analysis.results import Book, MissingInput
from installgen.calc.dc_elements import Battery, Resistor, Source
from installgen.calc.dc_network import Network, Variation
from installgen.calc.relay_logic import (
    AT_REST,
    LogicState,
    Settled,
    Start,
    chatter_onset_ohm,
    settle_many,
    stable_states,
)
from installgen.spec.electrical import Relay, Starter
from installgen.spec.vessel import FittedEngine
from installgen.units import Resistance

MOST_FREE = 6
"""Relays and plungers whose positions are tried in every combination."""

HIGHEST_OHM = 10.0
"""A joint or battery worse than this lets no starter turn."""

LADDER_RUNGS = 10


def rests_id(case_id: str) -> str:
    """Id of the result that says in which other positions a case could rest."""
    return f"dc.{case_id}.rests"


def chatter_id(engine: str, part: str) -> str:
    """Id of the resistance at which relays chatter; part: `battery` or `joint`."""
    return f"{engine}.start-run-stop.chatter-{part}"


def analyse_stability(book: Book, model: DcModel, solved: Sequence[SolvedCase]) -> None:
    """Enter the other stable positions of each case, and each engine's chatter while cranking."""
    for found in solved:
        busy = [name for name, state in found.case.states if state.state != "off"]
        if len(busy) == 1 and found.settled is not None:
            _rests(book, model, found, busy[0])
    for engine in model.vessel.engines:
        if any(isinstance(device, Starter) for device in engine.sheet.devices):
            _chatter(book, model, engine, solved)


# ---- several stable states ----------------------------------------------------------------------


def _rests(book: Book, model: DcModel, found: SolvedCase, engine: str) -> None:
    network, settled = found.network, found.settled
    assert network is not None
    assert settled is not None
    own = [a.id for a in network.actuators if "." not in a.id or a.id.startswith(f"{engine}.")]
    if not own or len(own) > MOST_FREE or settled.chatter or found.until_s is not None:
        return
    with book.working(
        rests_id(found.case.id),
        f"Other positions in which relays and plungers would rest: {found.case.name}",
        "start-run-stop",
        formula="every combination of positions tried; stable where nothing wants to move",
        source="the solved case; which of several it is depends on the case before",
        subject=f"case.{found.case.id}",
        case=found.case.id,
        engine=engine,
    ) as w:
        w.result(solved_id(found.case), "the case")
        now = settled.state.operated
        states = stable_states(network, found.parts.closed, free=own, lifted=now)
        others = [state.operated for state in states if state.operated != now]
        if not others:
            w.value = "none"
            return
        w.value = "; ".join(_difference(model, network, now, other) for other in others)
        w.note("It rests as the table says because of where the case before left them.")


def _difference(
    model: DcModel, network: Network, now: frozenset[str], other: frozenset[str]
) -> str:
    """What would be otherwise, by the devices' names."""
    words = []
    for actuator in network.actuators:
        if (actuator.id in now) != (actuator.id in other):
            position = "lifted" if actuator.id in other else "released"
            words.append(f"{_title(model, actuator.id)} {position}")
    return " and ".join(words)


def _title(model: DcModel, actuator: str) -> str:
    names = {device_id: device.title for device_id, device, _ in model.vessel.devices()}
    device_id = actuator.rpartition(":")[0]
    return names.get(device_id, device_id)


# ---- chatter ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Onset:
    """The least resistance at which something chatters.

    chattering: what moves for ever
    """

    element: str
    ohm: float
    chattering: tuple[str, ...]
    case: SolvedCase


def _chatter(
    book: Book, model: DcModel, engine: FittedEngine, solved: Sequence[SolvedCase]
) -> None:
    before = {found.case.id: found for found in solved}
    # The first instant takes the most current, so nothing chatters sooner than there.
    cranking = [
        found
        for state in ("breakaway", "cranking")
        for found in solved
        if found.case.state(engine.name).state == state
        and all(s.state == "off" for name, s in found.case.states if name != engine.name)
    ][:1]
    if not cranking:
        return
    for part, name in (("battery", "battery"), ("joint", "poorest joint")):
        with book.working(
            chatter_id(engine.name, part),
            f"Resistance of the {name} at which relays chatter while cranking",
            "start-run-stop",
            formula="raised until relays and plungers go on moving for ever",
            source="the first instant of cranking, weak battery, from where the case before ended",
            subject=f"{engine.name}.chatter",
            case=cranking[0].case.id,
            engine=engine.name,
        ) as w:
            onsets = []
            for found in cranking:
                if found.settled is None or found.network is None:
                    raise MissingInput(found.reason, found.missing)
                w.result(solved_id(found.case), f"the case: {found.case.name}")
                starter = _starter(engine)
                names = (
                    _battery(found, starter)
                    if part == "battery"
                    else _joints(model, found, engine, starter)
                )
                onsets += _onsets(found, _memory(model, found, before), names)
            if not onsets:
                w.value = f"none up to {HIGHEST_OHM:g} Ω"
                return
            least = min(onsets, key=lambda onset: onset.ohm)
            w.value = Resistance(least.ohm)
            moving = sorted({_title(model, item) for item in least.chattering})
            w.note(f"{' and '.join(moving)}: {least.case.case.name}.")
            if part == "joint":
                label = least.element.removesuffix(":joints")
                w.note(f"The joint that needs the least is in conductor {label}.")


def _memory(model: DcModel, found: SolvedCase, before: Mapping[str, SolvedCase]) -> LogicState:
    """Where the cases before left relays and plungers."""
    if found.network is None:
        return AT_REST
    ended = {
        name: earlier.settled.state.operated
        for name, earlier in before.items()
        if earlier.settled is not None
    }
    names = {actuator.id for actuator in found.network.actuators}
    return LogicState(remembered(model.vessel, found.case, ended) & names)


def _starter(engine: FittedEngine) -> str:
    return next(f"{engine.name}.{d.id}" for d in engine.sheet.devices if isinstance(d, Starter))


def _battery(found: SolvedCase, starter: str) -> list[str]:
    hops = Wiring(found).upstream(f"{starter}.battery")
    pole = hops[-1].reaches if hops else f"{starter}.battery"
    return [
        element.id
        for element in found.parts.elements
        if isinstance(element, Source | Battery) and element.positive == pole
    ]


def _joints(model: DcModel, found: SolvedCase, engine: FittedEngine, starter: str) -> list[str]:
    """Joints on the ways to the starter, its solenoid and the relays, and back from the block."""
    wiring = Wiring(found)
    ends = [f"{starter}.battery", f"{starter}.solenoid"]
    returns = [f"{engine.name}.block"]
    for device_id, device, owner in model.vessel.devices():
        if isinstance(device, Relay) and owner is engine:
            first, second = device.coil.between
            ends.append(f"{device_id}.{first}")
            returns += [] if second == "block" else [f"{device_id}.{second}"]
    hops = [hop for end in ends for hop in wiring.upstream(end)]
    hops += [hop for end in returns for hop in wiring.downstream(end)]
    joints = {e.id for e in found.parts.elements if isinstance(e, Resistor) and ":joints" in e.id}
    return list(dict.fromkeys(hop.element for hop in hops if hop.element in joints))


def _onsets(found: SolvedCase, memory: LogicState, names: Iterable[str]) -> list[_Onset]:
    """For each element that can make it chatter the first rung; of the least, the exact figure."""
    network = found.network
    assert network is not None
    hand = frozenset(found.parts.closed)
    tried: list[tuple[str, float, float]] = []
    for name in names:
        own = float(getattr(network.elements[network.positions[name]], "resistance_ohm", 0.0))
        rungs = np.geomspace(max(own, 1e-4), HIGHEST_OHM, LADDER_RUNGS).tolist()
        tried += list(zip([name] * len(rungs), [rungs[0], *rungs], rungs, strict=False))
    starts = [Start(hand, memory, Variation(resistance_ohm={n: ohm})) for n, _, ohm in tried]
    first: dict[str, tuple[float, float, tuple[str, ...]]] = {}
    for (name, below, ohm), outcome in zip(tried, settle_many(network, starts), strict=True):
        if name not in first and isinstance(outcome, Settled) and outcome.chatter:
            first[name] = below, ohm, outcome.chatter
    if not first:
        return []
    name = min(first, key=lambda one: first[one][1])
    below, ohm, chattering = first[name]
    exact = (
        chatter_onset_ohm(
            network, name, hand, lowest_ohm=below, highest_ohm=ohm, previous=memory,
            relative_error=5e-3,
        )
        if below < ohm
        else ohm
    )  # fmt: skip
    return [_Onset(name, exact or ohm, chattering, found)]
