"""Batteries and alternators as the network sees them: weakest, strongest, on charge, by speed."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum

from installgen.analysis.cases import EngineState
from installgen.analysis.dc_model import DcModel
from installgen.analysis.results import Book, Missing, MissingInput, Working
from installgen.analysis.speeds import SPEEDS, SpeedName, enter_speed, speed_id
from installgen.calc import battery as calc
from installgen.calc import dc_elements as dc
from installgen.calc.alternator import OutputCurves, alternator_speed_rpm, derated, output_limit_a
from installgen.calc.curve import Curve
from installgen.spec.electrical import Alternator, Battery
from installgen.spec.entry import known
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.units import Current, Resistance, Voltage

REST_C = 25.0
"""Temperature at which the standard's rest voltages hold."""


class BatteryModel(Enum):
    """Which of the two models of a battery: one for voltages, one for breaking capacity."""

    WEAKEST = "weakest"
    STRONGEST = "strongest"


def cells(battery: Battery) -> int:
    """Lead-acid cells in series: one for each two volts."""
    return round(battery.voltage.v / 2.0)


def battery_results(book: Book, model: DcModel) -> None:
    """Enter EMF and resistance of every battery, weakest and strongest."""
    for device_id, device, _ in model.vessel.devices():
        if isinstance(device, Battery):
            _weakest(book, device_id, device)
            _strongest(book, device_id, device)


def _curve(w: Working) -> Curve:
    points = w.book.assumptions.rest_voltage
    if not points:
        raise MissingInput(
            "the standard's `assume.rest_voltage` is not given",
            (Missing("assume.rest_voltage", None, "rest voltage of a cell"),),
        )
    rows = []
    for point in points:
        charge = point.charge.percent
        rows.append((charge, w.spec(point, "cell", f"cell at {charge:g} %").v))
    return Curve("the rest voltage of a cell", "state of charge", tuple(rows))


def _emf(w: Working, battery: Battery, charge_percent: float, temperature_c: float) -> float:
    coefficient = w.assume("cell_coefficient", "change of a cell's voltage for each kelvin").v
    w.spec(battery, "voltage", "nominal voltage")
    return calc.emf_v(
        _curve(w),
        charge_percent,
        cells(battery),
        temperature_c,
        curve_temperature_c=REST_C,
        cell_coefficient_v_per_k=coefficient,
    )


def _weakest(book: Book, device_id: str, battery: Battery) -> None:
    prefix = f"battery.{device_id}.weakest"
    # A house bank's maker states no cold-cranking current, and what is `unknown` is to be found.
    by_short_circuit = battery.cca is None and known(battery.short_circuit) is not None
    with book.working(
        f"{prefix}.emf",
        f"Voltage at rest of {battery.title}, weakest",
        "dc-power",
        formula="cells · (rest voltage by charge + coefficient · (T − 25 °C))",
        source="common practice for lead-acid; figures of the standard",
        subject=device_id,
    ) as w:
        charge = w.assume("weakest_charge", "charge of the weak battery").percent
        temperature = w.assume("weakest_temperature", "temperature of the weak battery").c
        w.value = Voltage(_emf(w, battery, charge, temperature))
    with book.working(
        f"{prefix}.resistance",
        f"Internal resistance of {battery.title}, weakest",
        "dc-power",
        formula=(
            "ratio when discharged · warm current to cold · EMF full / short-circuit current"
            if by_short_circuit
            else "ratio when discharged · (EMF full − 1.2 V · cells) / CCA"
        ),
        source=(
            "the battery maker's short-circuit current; ratios of the standard"
            if by_short_circuit
            else "SAE J537: 1.2 V a cell after 30 s at −18 °C"
        ),
        subject=device_id,
    ) as w:
        ratio = w.assume("discharged_resistance", "resistance when discharged to full").ratio
        full = _emf(w, battery, 100.0, REST_C)
        weak = w.result(f"{prefix}.emf", "voltage at rest").v
        temperature = w.assume("weakest_temperature").c
        if by_short_circuit:
            stated = w.spec(battery, "short_circuit", "the maker's short-circuit current").a
            warm = w.assume("strongest_multiple", "warm current to cold").ratio
            found = calc.weakest_by_short_circuit(full, weak, stated, temperature, warm, ratio)
            w.note("No cold-cranking current is stated.")
        else:
            cca = w.spec(battery, "cca", "cold-cranking current").a
            found = calc.weakest_model(full, weak, cca, cells(battery), temperature, ratio)
        w.value = Resistance(found.resistance_ohm)


def _strongest(book: Book, device_id: str, battery: Battery) -> None:
    prefix = f"battery.{device_id}.strongest"
    with book.working(
        f"{prefix}.emf",
        f"Voltage at rest of {battery.title}, full and warm",
        "dc-power",
        formula="cells · rest voltage at 100 %",
        source="common practice for lead-acid; figures of the standard",
        subject=device_id,
    ) as w:
        w.value = Voltage(_emf(w, battery, 100.0, REST_C))
    with book.working(
        f"{prefix}.short-circuit",
        f"Short-circuit current of {battery.title}, full and warm",
        "dc-power",
        formula="the maker's; else multiple · CCA-basis current (an upper bound)",
        source="battery maker, or SAE J537 with the standard's multiple",
        subject=device_id,
    ) as w:
        emf = w.result(f"{prefix}.emf").v
        stated = w.optional(battery, "short_circuit", "the maker's short-circuit current")
        if stated is not None:
            w.value = Current(calc.strongest_model(emf, stated.a).short_circuit_current_a)
        else:
            cca = w.spec(battery, "cca", "cold-cranking current").a
            ratio = w.assume("strongest_multiple", "warm current to cold").ratio
            bound = calc.strongest_bound(emf, cca, cells(battery), ratio)
            w.value = Current(bound.short_circuit_current_a)
            w.note("An upper bound, not the maker's figure.")


def battery_elements(
    model: DcModel, strength: BatteryModel, charged_v: Mapping[str, float]
) -> tuple[dict[str, dc.Element], list[Missing]]:
    """The element of each battery: on charge and full, or resting.

    charged_v: the voltage that an alternator holds at each bank that is on charge [V]
    Returns the elements by battery, and the fields that are missing for others.
    """
    book = Book(model.vessel.standard.assume)
    battery_results(book, model)
    elements: dict[str, dc.Element] = {}
    missing: list[Missing] = []
    for device_id, device, _ in model.vessel.devices():
        if not isinstance(device, Battery):
            continue
        made = _element(book, model, device_id, device, strength, charged_v.get(device_id))
        if made is not None:
            elements[device_id] = made
        else:
            missing += [item for result in book.about(device_id) for item in result.missing] or [
                Missing(device.path_to("cca"), device.where("cca"), "cold-cranking current")
            ]
    return elements, list(dict.fromkeys(missing))


def _element(
    book: Book,
    model: DcModel,
    device_id: str,
    battery: Battery,
    strength: BatteryModel,
    set_v: float | None,
) -> dc.Element | None:
    plus, minus = f"{device_id}.positive", f"{device_id}.negative"
    emf = book[f"battery.{device_id}.{strength.value}.emf"].value
    full = book[f"battery.{device_id}.strongest.emf"].value
    weak_ohm = book[f"battery.{device_id}.weakest.resistance"].value
    short = book[f"battery.{device_id}.strongest.short-circuit"].value
    if not isinstance(emf, Voltage) or not isinstance(full, Voltage):
        return None
    if strength is BatteryModel.STRONGEST:
        if not isinstance(short, Current):
            return None
        ohm = emf.v / short.a
    elif isinstance(weak_ohm, Resistance):
        ohm = weak_ohm.ohm
    else:
        return None
    share = model.vessel.standard.assume.full_charge_current
    capacity = known(battery.capacity)
    if set_v is not None and set_v > full.v and share is not None and capacity is not None:
        accepted = calc.full_acceptance_a(capacity.ah, share.percent)
        rise = calc.charge_resistance_ohm(full.v, set_v, accepted)
        return dc.Battery(device_id, plus, minus, full.v, ohm, rise)
    return dc.Source(device_id, plus, minus, emf.v, ohm)


def alternator_limit_a(
    vessel: Vessel, engine: FittedEngine | None, alternator: Alternator, state: EngineState
) -> float | None:
    """The most an alternator gives, hot, at the speed of this state [A]; None where not known."""
    if engine is None or state.speed is None:
        return None
    book = Book(vessel.standard.assume)
    enter_speed(book, engine, state.speed)
    result_id = alternator_id(engine, alternator, state.speed)
    _limit(book, engine, alternator, state.speed)
    value = book[result_id].value
    return value.a if isinstance(value, Current) else None


def alternator_id(engine: FittedEngine, alternator: Alternator, speed: SpeedName) -> str:
    """Id of what an alternator can give at a speed."""
    return f"{engine.name}.{alternator.id}.{speed}.output"


def analyse_alternators(book: Book, vessel: Vessel) -> None:
    """Enter what every alternator can give, hot, at each speed."""
    for engine in vessel.engines:
        for device in engine.sheet.devices:
            if isinstance(device, Alternator):
                for speed in SPEEDS:
                    _limit(book, engine, device, speed)


def _limit(book: Book, engine: FittedEngine, alternator: Alternator, speed: SpeedName) -> None:
    with book.working(
        alternator_id(engine, alternator, speed),
        f"Most that {alternator.title} gives at {speed}, hot",
        "dc-power",
        formula="hot share · its curve at engine speed · pulley ratio",
        source=(
            "the maker's curve; hot output as stated, else the standard's share (common practice)"
        ),
        subject=f"{engine.name}.{alternator.id}",
        case=speed,
        engine=engine.name,
    ) as w:
        rpm = w.result(speed_id(engine, speed), "engine speed").rpm
        ratio = w.spec(alternator, "pulley_ratio", "pulley ratio").ratio
        if not alternator.curve:
            w.spec(alternator, "curve", "output curve")
        points = []
        for point in alternator.curve or []:
            at = w.spec(point, "speed", "alternator speed").rpm
            points.append((at, w.spec(point, "current", f"output at {at:.0f} rpm").a))
        hot = w.spec_or_assume(
            alternator, "hot_output", "alternator_hot_output", "hot output"
        ).ratio
        curve = derated(Curve(alternator.title, "alternator speed", tuple(points)), hot)
        curves = OutputCurves(alternator.title, points[0][0], ((REST_C, curve),))
        speed_rpm = alternator_speed_rpm(rpm, ratio)
        w.value = Current(output_limit_a(curves, speed_rpm, REST_C))
        w.note(f"The alternator turns at {speed_rpm:.0f} rpm.")
