"""The DC system solved in every case: voltages, currents, drops, what each device has."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from installgen.analysis.cases import DcCase, cases
from installgen.analysis.conductors import resistance_id
from installgen.analysis.dc_joined import on_charge
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_parts import DcParts, parts_of
from installgen.analysis.dc_paths import Wiring
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.dc_sources import (
    BatteryModel,
    alternator_id,
    battery_elements,
    battery_results,
)
from installgen.analysis.dc_written import NETWORK, enter_network
from installgen.analysis.duty import at_work
from installgen.analysis.path_losses import path_losses
from installgen.analysis.remembered import leading_to, remembered
from installgen.analysis.results import Book, Missing, MissingInput, SystemName, Working
from installgen.calc.dc_elements import BadNetwork, Source
from installgen.calc.dc_elements import Battery as BatteryOnCharge
from installgen.calc.dc_network import Network
from installgen.calc.relay_logic import LogicState, Start, settle_many
from installgen.errors import NotSolved, OutOfRange
from installgen.spec.electrical import (
    AlarmSwitch,
    Alternator,
    Battery,
    Gauge,
    Heater,
    Isolator,
    Load,
    Relay,
    Selector,
    Starter,
    StateName,
    StopSolenoid,
)
from installgen.spec.entry import known
from installgen.spec.vessel import Vessel
from installgen.units import Current, Fraction, Voltage

POWERED_RATIO = 0.25
"""Below this share of the nominal voltage an instrument is off (common practice)."""

WORTH_NAMING = 0.02
"""Share of a drop below which a piece is not listed by itself."""

SOURCES = (BatteryOnCharge, Source)
"""The elements that stand for batteries."""

MOST_NAMED = 8
"""Missing fields that a reason names; the result lists all of them."""

CARRIES_A = 1e-3
"""Below this a conductor counts as carrying nothing in the list of what a case depends on."""


def solve_cases(
    model: DcModel,
    strength: BatteryModel = BatteryModel.WEAKEST,
    only: frozenset[StateName] | None = None,
    which: Sequence[DcCase] | None = None,
    earlier: Sequence[SolvedCase] = (),
    *,
    flat: bool = False,
) -> list[SolvedCase]:
    """Every case in its order, each from where the one before left relays and plungers.

    only: solve just the cases in which an engine is in one of these states
    which: the cases; left out, those of the vessel
    earlier: cases that are solved already, after which some of these come
    flat: the batteries are discharged and take all that the alternators give
    """
    every = list(cases(model.vessel) if which is None else which)
    wanted = {case.id for case in every if only is None or only & set(case.all_states)}
    needed = leading_to(wanted, every)
    solved: list[SolvedCase] = []
    ended = {one.case.id: one.settled.state.operated for one in earlier if one.settled is not None}
    for case in every:
        if case.id not in needed:
            continue
        previous = LogicState(remembered(model.vessel, case, ended))
        found = _solve(model, case, previous, strength, flat=flat)
        if case.id in wanted:
            solved.append(found)
        if found.settled is not None:
            ended[case.id] = found.settled.state.operated
    return solved


def _solve(
    model: DcModel, case: DcCase, previous: LogicState, strength: BatteryModel, *, flat: bool
) -> SolvedCase:
    parts, lacking = _parts(model, case, strength, {})
    charged_v: dict[str, float] = {}
    if "running" in case.all_states and not flat:
        moved = {name for one in parts.actuators for name in (*one.closes, *one.opens)}
        charged_v = on_charge(model, case, parts, parts.closed | moved)
        parts, lacking = _parts(model, case, strength, charged_v)
    solved = _settled(model, case, previous, parts, lacking)
    while solved.settled is not None:
        # A bank that no closed contact joins to a running engine's alternator rests after all; one
        # that is joined to fewer alternators may be held higher. Either goes one way only.
        joined_v = on_charge(model, case, parts, solved.settled.point.closed)
        still_v = {
            name: max(held_v, joined_v[name])
            for name, held_v in charged_v.items()
            if name in joined_v
        }
        if still_v == charged_v:
            break
        charged_v = still_v
        parts, lacking = _parts(model, case, strength, charged_v)
        solved = _settled(model, case, previous, parts, lacking)
    return solved


def _parts(
    model: DcModel, case: DcCase, strength: BatteryModel, charged_v: Mapping[str, float]
) -> tuple[DcParts, list[Missing]]:
    elements, lacking = battery_elements(model, strength, charged_v)
    return parts_of(model, case, elements), lacking


def _settled(
    model: DcModel,
    case: DcCase,
    previous: LogicState,
    parts: DcParts,
    lacking: Sequence[Missing],
) -> SolvedCase:
    reference = model.reference()
    wanted = [(f"`{item.path}`", item) for item in lacking]
    wanted += [
        (f"{item.what} of {element.removesuffix(':joints')}", item)
        for element, items in parts.missing.items()
        for item in items
    ]
    missing = tuple(dict.fromkeys(item for _, item in wanted))
    if missing:
        told = list(dict.fromkeys(name for name, _ in wanted))
        more = [f"and {len(told) - MOST_NAMED} more"] if len(told) > MOST_NAMED else []
        fields = ", ".join([*told[:MOST_NAMED], *more])
        return SolvedCase(case, parts, None, None, f"not given: {fields}", missing)
    if reference is None or not any(isinstance(e, SOURCES) for e in parts.elements):
        return SolvedCase(case, parts, None, None, "no battery can be modelled", missing)
    try:
        network = Network(tuple(parts.elements), reference, tuple(parts.actuators))
        names = {actuator.id for actuator in network.actuators}
        kept = LogicState(previous.operated & names)
        start = Start(frozenset(parts.closed), kept)
        until_s = step_s(model, case)
        outcome = settle_many(network, [start], until_s)[0]
        if isinstance(outcome, NotSolved):
            raise outcome
    except (BadNetwork, NotSolved, OutOfRange) as error:
        return SolvedCase(case, parts, None, None, str(error))
    return SolvedCase(case, parts, network, outcome, until_s=until_s)


def step_s(model: DcModel, case: DcCase) -> float | None:
    """How far into a case it is looked at, where a timer would otherwise run out [s].

    An engine is stopped while its timer runs: half of the shortest timer's time.
    """
    if not {"stopping", "emergency-stop"} & set(case.all_states):
        return None
    times = [
        time.s
        for _, device, _ in model.vessel.devices()
        if isinstance(device, Relay) and (time := known(device.release_time)) is not None
    ]
    return min(times) / 2.0 if times else None


def solved_id(case: DcCase) -> str:
    """Id of the result that says how a case came to rest."""
    return f"dc.{case.id}.solved"


def analyse_cases(book: Book, model: DcModel) -> list[SolvedCase]:
    """Enter the batteries and, for every case, what each device has; returns the solved cases."""
    battery_results(book, model)
    enter_network(book, model)
    solved = solve_cases(model)
    for found in solved:
        _enter_solution(book, model, found)
        for device_id, device, engine in model.vessel.devices():
            name = engine.name if engine is not None else getattr(device, "engine", None) or ""
            if engine is not None and _idle_beside(found, engine.name, device_id):
                continue
            if isinstance(device, Load | Heater | Gauge):
                _load(book, model, found, device_id, device, name)
            elif isinstance(device, Relay):
                _relay(book, found, device_id, device, name)
            elif isinstance(device, Starter):
                _starter(book, found, device_id, device, name)
            elif isinstance(device, StopSolenoid):
                _stop_solenoid(book, found, device_id, device, name)
    return solved


def analyse_positions(book: Book, model: DcModel, solved: Sequence[SolvedCase]) -> None:
    """Enter what relays, starters and stop solenoids do in cases besides the vessel's own."""
    for found in solved:
        _enter_solution(book, model, found)
        for device_id, device, engine in model.vessel.devices():
            name = engine.name if engine is not None else getattr(device, "engine", None) or ""
            if engine is not None and _idle_beside(found, engine.name, device_id):
                continue
            if isinstance(device, Relay):
                _relay(book, found, device_id, device, name)
            elif isinstance(device, Starter):
                _starter(book, found, device_id, device, name)
            elif isinstance(device, StopSolenoid):
                _stop_solenoid(book, found, device_id, device, name)


def _idle_beside(found: SolvedCase, engine: str, device_id: str) -> bool:
    """Whether a device belongs to an engine that is off while another is not, and does nothing."""
    others = {state.state for name, state in found.case.states if name != engine}
    if found.case.state(engine).state != "off" or others <= {"off"} or found.settled is None:
        return False
    return f"{device_id}:plunger" not in found.settled.state.operated


def _enter_solution(book: Book, model: DcModel, found: SolvedCase) -> None:
    with book.working(
        solved_id(found.case),
        f"How the circuit comes to rest: {found.case.name}",
        "start-run-stop",
        formula=(
            "Kirchhoff's laws at every terminal; relays and plungers move one after the other "
            "until nothing moves"
        ),
        source=(
            "nodal analysis; order of moves by operating time (common practice where not stated)"
        ),
        subject=f"case.{found.case.id}",
        case=found.case.id,
    ) as w:
        w.result(NETWORK)
        if found.settled is None:
            raise MissingInput(found.reason, found.missing)
        for end in model.wires():
            current = found.current_a(end.element)
            if current is not None and abs(current) >= CARRIES_A:
                w.result(resistance_id(end.element))
        for device_id, device, _ in model.vessel.devices():
            if isinstance(device, Battery):
                w.result(f"battery.{device_id}.weakest.emf")
                w.result(f"battery.{device_id}.weakest.resistance")
        for result_id in _alternators_running(model, found.case):
            w.result(result_id)
        for name in ("joint_resistance", "pin_resistance", "fuse_resistance"):
            w.assume(name)
        for name in _contacts_assumed(model):
            w.assume(name)
        if len(found.negatives) > 1:
            poles = ", ".join(found.negatives)
            w.note(f"Nothing joins these negatives: {poles}. Voltages count from each in its part.")
        if found.settled.chatter:
            w.value = "chatters: " + ", ".join(found.settled.chatter)
        else:
            w.value = "settled"


def _alternators_running(model: DcModel, case: DcCase) -> Iterator[str]:
    """Ids of the most that each alternator of a running engine gives at its speed."""
    for _, device, engine in model.vessel.devices():
        if isinstance(device, Alternator) and engine is not None:
            state = case.state(engine.name)
            if state.state == "running" and state.speed is not None:
                yield alternator_id(engine, device, state.speed)


def _contacts_assumed(model: DcModel) -> Iterator[str]:
    """The standard's resistances of contacts, as far as a device aboard states none of its own."""
    devices = [device for _, device, _ in model.vessel.devices()]
    if any(
        isinstance(device, Starter)
        or (isinstance(device, Isolator | Selector) and known(device.resistance) is None)
        for device in devices
    ):
        yield "switch_resistance"
    if any(
        isinstance(device, AlarmSwitch | Alternator | StopSolenoid)
        or (isinstance(device, Relay) and any(known(c.resistance) is None for c in device.contacts))
        for device in devices
    ):
        yield "contact_resistance"


def _device_voltage(w: Working, found: SolvedCase, plus: str, minus: str) -> float:
    w.result(solved_id(found.case), "the case")
    across = found.across_v(plus, minus)
    if across is None:
        raise MissingInput("no closed path leads to it in this case")
    return across


def _on(found: SolvedCase, element: str) -> bool:
    return any(e.id == element for e in found.parts.elements)


def _load(
    book: Book,
    model: DcModel,
    found: SolvedCase,
    device_id: str,
    device: Load | Heater | Gauge,
    engine: str,
) -> None:
    """Voltage, current and drop of a load that is on in this case."""
    plus, minus = _load_ends(model, device_id, device)
    if found.settled is not None:
        if not _fed(found, device_id):
            return
        if isinstance(device, Load) and not _switched_on(model, found, device_id, plus, minus):
            return
    elif isinstance(device, Load) and device.on_in is not None:
        states = found.case.all_states
        if not set(device.on_in) & set(states):
            return
    system: SystemName = "start-run-stop" if isinstance(device, Heater | Gauge) else "dc-power"
    with book.working(
        f"dc.{found.case.id}.{device_id}.voltage",
        f"Voltage at {device.title}: {found.case.name}",
        system,
        formula="V = V(+) − V(−) at its terminals",
        source="the solved case",
        subject=device_id,
        case=found.case.id,
        engine=engine,
    ) as w:
        w.value = Voltage(_device_voltage(w, found, plus, minus))
    with book.working(
        f"dc.{found.case.id}.{device_id}.current",
        f"Current of {device.title}: {found.case.name}",
        system,
        formula="from its voltage and what it is",
        source="the solved case",
        subject=device_id,
        case=found.case.id,
        engine=engine,
    ) as w:
        w.result(solved_id(found.case), "the case")
        current = found.current_a(device_id)
        if current is None:
            raise MissingInput("it is not in the network of this case")
        w.value = Current(abs(current))
    owner = next((e for e in model.vessel.engines if device_id.startswith(f"{e.name}.")), None)
    powered = not isinstance(device, Gauge) or _powered(model, found, plus, minus)
    if powered and at_work(found.case, device, owner):
        _drop(book, model, found, device_id, device, plus, minus, system, engine)


def _switched_on(model: DcModel, found: SolvedCase, device_id: str, plus: str, minus: str) -> bool:
    """Whether a load is fed by a way of its own, not a little through its neighbours.

    Its engine's key may be off, or a relay out: what it then has is no drop of its wires.
    """
    return _powered(model, found, plus, minus) or Wiring(found).switched_on(device_id)


def _powered(model: DcModel, found: SolvedCase, plus: str, minus: str) -> bool:
    """Whether what a device has is more than it gets through its neighbours while it is off."""
    across = found.across_v(plus, minus)
    nominal = nominal_v(model.vessel)
    if across is None or nominal is None:
        return True
    return across > POWERED_RATIO * nominal


def _fed(found: SolvedCase, device_id: str) -> bool:
    current = found.current_a(device_id)
    return current is not None and abs(current) >= 1e-6


def _load_ends(model: DcModel, device_id: str, device: Load | Heater | Gauge) -> tuple[str, str]:
    if isinstance(device, Gauge):
        return f"{device_id}.supply", f"{device_id}.negative"
    block = (
        f"{device_id.split('.')[0]}.block"
        if "." in device_id
        else f"{model.vessel.engines[0].name}.block"
    )
    if isinstance(device, Heater) or device.returns == "case":
        return f"{device_id}.positive", block
    return f"{device_id}.positive", f"{device_id}.negative"


def _drop(
    book: Book,
    model: DcModel,
    found: SolvedCase,
    device_id: str,
    device: Load | Heater | Gauge,
    plus: str,
    minus: str,
    system: SystemName,
    engine: str,
) -> None:
    """Lost from source to load and back, as a share of the nominal voltage."""
    with book.working(
        f"dc.{found.case.id}.{device_id}.drop",
        f"Voltage drop to {device.title} and back: {found.case.name}",
        system,
        formula="(V at the source − V at the load) / nominal voltage",
        source=(
            "the solved case; the sum from source to load and back, joints and switches included"
        ),
        subject=device_id,
        case=found.case.id,
        engine=engine,
    ) as w:
        across = _device_voltage(w, found, plus, minus)
        source = source_of(model, found, plus)
        at_source = found.across_v(f"{source}.positive", f"{source}.negative")
        if at_source is None:
            raise MissingInput("the source floats in this case")
        electrical = model.vessel.spec.electrical
        nominal = w.spec(electrical, "system", "nominal voltage").v
        whole = at_source - across
        w.value = Fraction(whole / nominal)
        _split(w, model, found, plus, minus, whole)
        w.note(f"Counted from the terminals of {source}.")


def _split(
    w: Working, model: DcModel, found: SolvedCase, plus: str, minus: str, whole: float
) -> None:
    """Note what each piece of the way takes of a drop, the one that takes most first."""
    pieces = sorted(path_losses(model, found, plus, minus), key=lambda one: -one.lost_v)
    named = [piece for piece in pieces if piece.lost_v >= WORTH_NAMING * whole]
    for piece in named:
        share = f"{piece.name}: {100.0 * piece.lost_v / whole:.0f} % of it" if whole > 0.0 else ""
        w.method(share or piece.name, Voltage(piece.lost_v), "the solved case")
    rest = whole - sum(piece.lost_v for piece in named)
    if len(named) < len(pieces) and rest > 0.0:
        w.method("all other pieces", Voltage(rest), "the solved case")


def source_of(model: DcModel, found: SolvedCase, plus: str = "") -> str:
    """The battery that drops are counted from: the one that the wiring leads back to.

    plus: the node that is fed; without it, the battery that gives the most in this case
    """
    banks = [name for name, device, _ in model.vessel.devices() if isinstance(device, Battery)]
    if plus:
        hops = Wiring(found).upstream(plus)
        pole = hops[-1].reaches if hops else ""
        if pole.rpartition(".")[0] in banks:
            return pole.rpartition(".")[0]
    return max(banks, key=lambda name: found.current_a(name) or float("-inf"))


def _relay(book: Book, found: SolvedCase, device_id: str, device: Relay, engine: str) -> None:
    ends = [
        f"{device_id}.{end}" if end != "block" else f"{device_id.split('.')[0]}.block"
        for end in device.coil.between
    ]
    if found.settled is not None and not _fed(found, device_id):
        return
    with book.working(
        f"dc.{found.case.id}.{device_id}.voltage",
        f"Coil voltage of {device.title}: {found.case.name}",
        "start-run-stop",
        formula="V = V(+) − V(−) at its coil",
        source="the solved case",
        subject=device_id,
        case=found.case.id,
        engine=engine,
    ) as w:
        w.value = Voltage(_device_voltage(w, found, ends[0], ends[1]))
        w.spec(device.coil, "pull_in", "voltage at which it pulls in")
        w.optional(device.coil, "drop_out", "voltage at which it lets go")
        operated = (
            found.settled is not None and f"{device_id}:armature" in found.settled.state.operated
        )
        w.note("It is pulled in." if operated else "It is not pulled in.")


def _starter(book: Book, found: SolvedCase, device_id: str, device: Starter, engine: str) -> None:
    state = found.case.state(engine).state
    with book.working(
        f"dc.{found.case.id}.{device_id}.position",
        f"Where the plunger of {device.title} is: {found.case.name}",
        "start-run-stop",
        formula="pulled in by both windings, kept by the holding one; it remembers",
        source="the solved case",
        subject=device_id,
        case=found.case.id,
        engine=engine,
    ) as w:
        w.result(solved_id(found.case), "the case")
        if found.settled is None:
            raise MissingInput(found.reason, found.missing)
        w.value = (
            "engaged" if f"{device_id}:plunger" in found.settled.state.operated else "released"
        )
    if state not in ("breakaway", "cranking"):
        return
    back = f"{engine}.block" if device.returns == "case" else f"{device_id}.negative"
    with book.working(
        f"dc.{found.case.id}.{device_id}.voltage",
        f"Voltage at {device.title}: {found.case.name}",
        "start-run-stop",
        formula="V = V(battery stud) − V(return) at the starter",
        source="the solved case",
        subject=device_id,
        case=found.case.id,
        engine=engine,
    ) as w:
        w.value = Voltage(_device_voltage(w, found, f"{device_id}.battery", back))
        lowest = w.optional(device.motor, "lowest_voltage", "least voltage while cranking")
        if lowest is not None:
            w.note(f"The engine maker asks for at least {lowest}.")
    with book.working(
        f"dc.{found.case.id}.{device_id}.current",
        f"Current of {device.title}: {found.case.name}",
        "start-run-stop",
        formula="from its motor and its windings",
        source="the solved case",
        subject=device_id,
        case=found.case.id,
        engine=engine,
    ) as w:
        w.result(solved_id(found.case), "the case")
        current = found.current_a(f"{device_id}:contacts")
        if current is None:
            raise MissingInput("it is not in the network of this case")
        w.value = Current(abs(current))


def _stop_solenoid(
    book: Book, found: SolvedCase, device_id: str, device: StopSolenoid, engine: str
) -> None:
    with book.working(
        f"dc.{found.case.id}.{device_id}.position",
        f"Where {device.title} is: {found.case.name}",
        "start-run-stop",
        formula="lifted by its lifting winding, kept by its holding winding; it remembers",
        source="the solved case",
        subject=device_id,
        case=found.case.id,
        engine=engine,
    ) as w:
        w.result(solved_id(found.case), "the case")
        if found.settled is None:
            raise MissingInput(found.reason, found.missing)
        up = f"{device_id}:plunger" in found.settled.state.operated
        runs = up == (device.acts == "energised-to-run")
        consequence = "the engine may run" if runs else "the engine is stopped"
        w.value = f"{'lifted' if up else 'dropped'}: {consequence}"
    for element, terminal in ((":lifting", "lift"), (":holding", "hold"), (":winding", "supply")):
        current = found.current_a(f"{device_id}{element}")
        if current is None or abs(current) < CARRIES_A:
            continue
        word = {"lift": "lifting winding", "hold": "holding winding", "supply": "winding"}[terminal]
        with book.working(
            f"dc.{found.case.id}.{device_id}.{word.replace(' ', '-')}.current",
            f"Current in the {word} of {device.title}: {found.case.name}",
            "start-run-stop",
            formula="I = V / R of the winding",
            source="the solved case",
            subject=device_id,
            case=found.case.id,
            engine=engine,
        ) as w:
            w.result(solved_id(found.case), "the case")
            w.value = Current(abs(current))


def nominal_v(vessel: Vessel) -> float | None:
    """Nominal voltage of the system [V]; None where she has no electrical entry."""
    electrical = vessel.spec.electrical
    value = known(electrical.system) if electrical is not None else None
    return None if value is None else value.v
