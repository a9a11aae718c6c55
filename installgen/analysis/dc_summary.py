"""What the solved cases come to: cranking, path losses, surplus, hours on the bank."""

from __future__ import annotations

from installgen.analysis.conductors import resistance_id
from installgen.analysis.dc_cases import solved_id, source_of
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_paths import Wiring
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.dc_written import NETWORK
from installgen.analysis.endurance import analyse_endurance
from installgen.analysis.results import Book, MissingInput
from installgen.analysis.speed_signals import analyse_speed_signals
from installgen.analysis.surplus import analyse_surplus
from installgen.calc.dc_elements import TurningStarter
from installgen.spec.electrical import Starter
from installgen.spec.vessel import FittedEngine
from installgen.units import Resistance, RotationalSpeed


def analyse_summary(
    book: Book, model: DcModel, solved: list[SolvedCase], strongest: list[SolvedCase]
) -> None:
    """Enter cranking, starter circuit, alternator surplus, hours on the bank and speed signals."""
    for engine in model.vessel.engines:
        for device in engine.sheet.devices:
            if isinstance(device, Starter):
                _cranking_speed(book, engine, device, solved, "weakest")
                _cranking_speed(book, engine, device, strongest, "strongest")
                _starter_circuit(book, model, engine, device, solved)
        analyse_speed_signals(book, model, engine)
    analyse_surplus(book, model, solved)
    analyse_endurance(book, model, solved)


def _of(solved: list[SolvedCase], engine: FittedEngine, state: str) -> SolvedCase | None:
    """The case in which one engine is in a state and every other one is off."""
    for found in solved:
        others = [s.state for name, s in found.case.states if name != engine.name]
        if found.case.state(engine.name).state == state and set(others) <= {"off"}:
            return found
    return None


def _strongest(book: Book) -> list[str]:
    """What the batteries are when full and warm, as far as that is known."""
    return [
        result.id
        for result in book.values()
        if result.id.startswith("battery.") and ".strongest." in result.id and result.assessed
    ]


def _cranking_speed(
    book: Book, engine: FittedEngine, device: Starter, solved: list[SolvedCase], strength: str
) -> None:
    found = _of(solved, engine, "cranking")
    if found is None:
        return
    with book.working(
        f"{engine.name}.start-run-stop.cranking-speed-{strength}",
        f"Cranking speed, {strength} battery",
        "start-run-stop",
        formula="n = (V at the motor − brush drop − R·I) · rpm for each volt",
        source="voltage balance of a direct-current motor; figures of the engine sheet",
        subject=f"{engine.name}.{device.id}",
        case=found.case.id,
        engine=engine.name,
    ) as w:
        for name in ("brush_drop", "resistance", "cranking_current", "rpm_per_volt"):
            w.spec(device.motor, name)
        if strength == "weakest":
            w.result(solved_id(found.case), "the case")
        else:
            w.result(NETWORK)
            for result_id in _strongest(book):
                w.result(result_id)
        if found.settled is None:
            raise MissingInput(found.reason, found.missing)
        element = next(
            (
                e
                for e in found.parts.elements
                if isinstance(e, TurningStarter) and e.id == f"{engine.name}.{device.id}:motor"
            ),
            None,
        )
        if element is None:
            raise MissingInput("the starter's figures are not complete")
        if f"{engine.name}.{device.id}:contacts" not in found.settled.point.closed:
            raise MissingInput("the starter's contacts do not close in this case")
        across = found.across_v(element.positive, element.negative)
        if across is None:
            raise MissingInput("no closed path leads to the starter in this case")
        w.value = RotationalSpeed(element.speed_rpm(across))
        if strength == "strongest":
            w.note("Full and warm battery: the fastest she is turned.")


def _starter_circuit(
    book: Book, model: DcModel, engine: FittedEngine, device: Starter, solved: list[SolvedCase]
) -> None:
    found = _of(solved, engine, "cranking")
    if found is None:
        return
    with book.working(
        f"{engine.name}.start-run-stop.starter-circuit",
        "Resistance of the starter circuit",
        "start-run-stop",
        formula="(V at the battery − V at the starter) / starter current, out and back",
        source=(
            "SAE J541 judges battery to starter including the return, without motor and solenoid"
        ),
        subject=f"{engine.name}.{device.id}",
        case=found.case.id,
        engine=engine.name,
    ) as w:
        starter = f"{engine.name}.{device.id}"
        volts = w.result(f"dc.{found.case.id}.{starter}.voltage").v
        amps = w.result(f"dc.{found.case.id}.{starter}.current").a
        source = source_of(model, found, f"{starter}.battery")
        at_source = found.across_v(f"{source}.positive", f"{source}.negative")
        if at_source is None or amps <= 0.0:
            raise MissingInput("the starter carries no current in this case")
        hops = Wiring(found).upstream(f"{starter}.battery")
        for hop in hops:
            if resistance_id(hop.element) in w.book:
                w.result(resistance_id(hop.element))
        w.value = Resistance((at_source - volts) / amps)
        w.note(
            "At the temperature of the conductors in the engine space; the rule is stated at 20 °C."
        )
