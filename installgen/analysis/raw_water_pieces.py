"""One step of a raw-water route as a piece of a pipe network, from what its spec states."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from installgen.analysis.results import MissingInput, Working
from installgen.analysis.route import Step
from installgen.calc.ends import End
from installgen.calc.fittings import (
    bend_loss_coefficient,
    change_of_bore_loss_coefficient,
    fitting_loss_coefficient,
)
from installgen.calc.pipe_pieces import Closed, Fitting, MeasuredLoss, Piece, Pipe, PumpPiece
from installgen.calc.pump import ImpellerPump, pump_speed_rpm
from installgen.spec.entry import Entry, known
from installgen.spec.piping import (
    Adapter,
    Cooler,
    Discharge,
    FittedCooler,
    Hose,
    Injection,
    RawWaterPump,
    Seacock,
    Strainer,
    Valve,
    VentedLoop,
)
from installgen.spec.piping import End as WrittenEnd
from installgen.units import Quantity

CRANE = "Crane TP-410, appendix A"
LOSS_FIELD = {
    Seacock: "open_loss",
    Injection: "spray_loss",
    Strainer: "loss",
    Cooler: "loss",
    FittedCooler: "loss",
    Discharge: "loss",
}


@dataclass(frozen=True)
class Variation:
    """How a route departs from its clean, new state as built.

    strainer: loss of the strainer over that of a clean one
    slip: slip of the pump over that of a new impeller
    headway: with what headway adds in a scoop that faces forward
    larger: steps that are taken in another size, with their bore over the bore as built
    """

    strainer: float = 1.0
    slip: float = 1.0
    headway: bool = False
    larger: Mapping[str, float] = field(default_factory=dict)

    def bore_ratio(self, step: Step) -> float:
        """Bore of a step over its bore as built."""
        return self.larger.get(step.id, 1.0)


def clear_bore_m(end: End | None) -> float | None:
    """Bore that the water sees in an end [m]; nothing where only a nominal size is known."""
    if end is None or end.clear_bore_mm is None:
        return None
    return end.clear_bore_mm / 1000.0


def bore_or_size_m(end: End | None) -> float | None:
    """Bore of an end or, where that is not given, the bore of the hose that goes on it [m]."""
    if end is None:
        return None
    bore_mm = end.clear_bore_mm or end.diameter_mm
    return None if bore_mm is None else bore_mm / 1000.0


def loss_is_open(end: Discharge) -> bool:
    """Whether the loss at the end of a branch is not known.

    A hose overboard without one is a free outlet; a shaft seal always has one of its own.
    """
    given = end.loss is not None
    return known(end.loss) is None and (given or end.into == "shaft-seal")


def piece_of(
    w: Working, step: Step, start: str, end: str, rpm: float, variation: Variation
) -> Piece:
    """The piece of a step between two nodes.

    w: takes its inputs; raises MissingInput where one is not there
    rpm: of the engine
    """
    entry = step.entry
    ratio = variation.bore_ratio(step)
    inlet, outlet = bore_or_size_m(step.inlet), bore_or_size_m(step.outlet)
    bores = _scaled(inlet, ratio), _scaled(outlet, ratio)
    match entry:
        case Hose():
            return _hose(w, step, start, end, ratio)
        case RawWaterPump():
            return _pump(w, entry, step, start, end, rpm, variation.slip)
        case Valve(state="closed") | Seacock(state="closed"):
            return Closed(step.id, start, end)
        case Adapter():
            return _adapter(w, entry, step, start, end, bores)
    without = _from_the_handbook(w, step, ratio)
    if without is not None:
        bore, factor = without
        return Fitting(step.id, start, end, bore, factor)
    loss_field = LOSS_FIELD[type(entry)]
    loss = known(getattr(entry, loss_field))
    if loss is None:
        w.spec(entry, loss_field, f"loss of {step.name}")
        raise MissingInput(f"the loss of {step.name} is not given")
    flow = w.spec(loss, "flow", f"flow of the loss of {step.name}").m3_per_s
    drop = w.spec(loss, "drop", f"loss of {step.name} at that flow").pa
    _note_ends(w, entry, step.name)
    if isinstance(entry, Strainer):
        drop *= variation.strainer
    return MeasuredLoss(step.id, start, end, flow, drop / ratio**4, *bores)


def _note_ends(w: Working, entry: Entry, name: str) -> None:
    """The sizes at which water enters and leaves a piece: they set its velocities there."""
    for side in ("inlet", "outlet"):
        end = getattr(entry, side, None)
        if isinstance(end, WrittenEnd):
            for what in ("kind", "size", "bore"):
                w.optional(end, what, f"{side} of {name}, {what}")
    for size in ("bore", "ports"):
        if isinstance(getattr(entry, size, None), Quantity):
            w.spec(entry, size, f"{size} of {name}")


def _from_the_handbook(w: Working, step: Step, ratio: float) -> tuple[float, float] | None:
    """Bore and loss coefficient of a piece whose maker states none; nothing for the others."""
    entry = step.entry
    match entry:
        case Valve():
            bore = w.spec(entry, "bore", f"bore of {step.name}").m
            kinds = {"ball": "ball valve", "gate": "gate valve", "check": "swing check valve"}
            factor = fitting_loss_coefficient(kinds[entry.kind], bore)
        case VentedLoop():
            bore = w.spec(entry, "bore", f"bore of {step.name}").m
            factor = fitting_loss_coefficient("return bend close", bore)
        case Seacock(open_loss=None):
            bore = w.spec(entry, "bore", f"bore of {step.name}").m
            valves = {"ball": "ball valve", "gate": "gate valve", "tapered-plug": "plug valve"}
            factor = fitting_loss_coefficient("entrance projecting", bore)
            factor += fitting_loss_coefficient(valves[entry.valve], bore)
        case Injection(spray_loss=None):
            found = bore_or_size_m(step.inlet)
            if found is None:
                raise MissingInput(f"the bore of {step.name} is not given")
            bore, factor = found, fitting_loss_coefficient("exit", found)
        case Discharge() if known(entry.loss) is None:
            if loss_is_open(entry):
                name = f"loss of {step.name}"
                w.bounded(entry, "loss", name, "not known: a free outlet, which takes the most")
            bore = w.spec(entry, "size", f"size of {step.name}").m
            factor = fitting_loss_coefficient("exit", bore)
        case _:
            return None
    w.method(f"loss coefficient of {step.name}", round(factor, 3), CRANE)
    return bore * ratio, factor


def _adapter(
    w: Working,
    entry: Adapter,
    step: Step,
    start: str,
    end: str,
    bores: tuple[float | None, float | None],
) -> Piece:
    for side in ("inlet", "outlet"):
        given = getattr(entry, side)
        name = "bore" if known(given.bore) is not None else "size"
        if known(getattr(given, name)) is not None:
            w.spec(given, name, f"{side} of {step.name}")
    if bores[0] is None or bores[1] is None:
        raise MissingInput(f"the bores of {step.name} are not given")
    factor = change_of_bore_loss_coefficient(bores[0], bores[1])
    return Fitting(step.id, start, end, min(bores[0], bores[1]), factor, bores[0], bores[1])


def _hose(w: Working, step: Step, start: str, end: str, ratio: float) -> Piece:
    length = 0.0
    bends = 0
    bore = 0.0
    for entry in step.entries:
        bore = w.spec(entry, "bore", f"bore of {step.name}").m * ratio
        length += w.spec(entry, "length", f"length of {step.name}").m
        if isinstance(entry, Hose) and entry.bends:
            bends += w.spec(entry, "bends", f"bends in {step.name}")
    roughness = w.assume("hose_roughness", "roughness of the hose").m
    factor = 0.0
    if bends:
        radius = w.assume("bend_radius", "bend radius to bore").ratio
        factor = bends * bend_loss_coefficient(bore, 90.0, radius)
        w.method(f"loss of {bends} bends in {step.name}", round(factor, 3), CRANE)
    return Pipe(step.id, start, end, bore, length, roughness, factor)


def _pump(
    w: Working, pump: RawWaterPump, step: Step, start: str, end: str, rpm: float, wear: float
) -> Piece:
    slip = known(pump.slip)
    if slip is None:
        w.spec(pump, "slip", f"slip of {step.name}")
        raise MissingInput(f"the slip of {step.name} is not given")
    full = w.optional(pump, "full_flow_vacuum", "inlet vacuum up to which the flow is whole")
    none = w.optional(pump, "no_flow_vacuum", "inlet vacuum at which nothing flows any more")
    model = ImpellerPump(
        displacement_m3_per_rev=w.spec(pump, "displacement", f"displacement of {step.name}").m3,
        slip_ratio=w.spec(slip, "free", "slip against no pressure").ratio * wear,
        loaded_slip_ratio=w.spec(slip, "loaded", "slip at the stated pressure").ratio * wear,
        loaded_slip_pressure_pa=w.spec(slip, "pressure", "pressure of the stated slip").pa,
        loaded_slip_speed_rpm=w.spec(slip, "speed", "pump speed of the stated slip").rpm,
    )
    if full is not None and none is not None:
        model = replace(model, full_flow_vacuum_pa=full.pa, no_flow_vacuum_pa=none.pa)
    ratio = w.spec(pump, "ratio", "pump turns per engine turn").ratio
    bores = bore_or_size_m(step.inlet), bore_or_size_m(step.outlet)
    return PumpPiece(step.id, start, end, model, pump_speed_rpm(rpm, ratio), *bores)


def _scaled(bore_m: float | None, ratio: float) -> float | None:
    return None if bore_m is None else bore_m * ratio
