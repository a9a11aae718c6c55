"""The heat exchanger at part load, from its one stated duty, and what the thermostats hold."""

from __future__ import annotations

from installgen.analysis.coolant import mixture_at
from installgen.analysis.raw_water import flow_id, water_at
from installgen.analysis.raw_water_heat import duty_id, sheet_figure, temperature_id
from installgen.analysis.results import Book, MissingInput, Working
from installgen.analysis.route import Route, Step
from installgen.analysis.speeds import SPEEDS
from installgen.calc.exchanger import (
    Arrangement,
    CoolantTemperature,
    coolant_temperature,
    part_load_ua_w_per_k,
    ua_from_design_w_per_k,
)
from installgen.spec.entry import known
from installgen.spec.piping import Cooler, DesignPoint
from installgen.spec.vessel import Vessel
from installgen.units import Temperature, TemperatureDifference

FLOW_EXPONENT = 0.8
_ARRANGEMENTS = {
    "counter-flow": Arrangement.COUNTER,
    "parallel-flow": Arrangement.PARALLEL,
    "cross-flow": Arrangement.CROSS,
    "shell-and-tube": Arrangement.SHELL_AND_TUBE,
}


def analyse_exchangers(book: Book, vessel: Vessel, route: Route) -> None:
    """Enter the coolant's temperature in the hottest sea where a jacket cooler states a duty."""
    for step in route.steps:
        if isinstance(step.entry, Cooler) and step.entry.cools == "jacket":
            for speed in SPEEDS:
                found = _coolant(book, vessel, route, step, step.entry, speed)
                _held(book, route, step, speed, found)
                _margin(book, route, step, speed, found)
            return


def _working(
    book: Book, route: Route, step: Step, what: str, name: str, formula: str, source: str,
    speed: str,
) -> Working:  # fmt: skip
    return book.working(
        f"{route.engine.name}.coolant.{speed}.{what}",
        f"{name} at {speed}",
        "coolant",
        formula=formula,
        source=source,
        subject=step.id,
        case=speed,
        engine=route.engine.name,
    )


def _coolant(
    book: Book, vessel: Vessel, route: Route, step: Step, cooler: Cooler, speed: str
) -> CoolantTemperature | None:
    found: CoolantTemperature | None = None
    engine = route.engine
    with _working(
        book,
        route,
        step,
        "temperature-hottest",
        "Highest coolant temperature, hottest sea,",
        "T = T raw water + duty / (effectiveness·C), C the smaller capacity rate, effectiveness "
        "from UA/C; UA from the stated duty, 1/UA in proportion to flow^−0.8 on each side, less "
        "fouling; held by the thermostats until they are full open",
        "Kays and London, Compact Heat Exchangers; exponent of Dittus and Boelter",
        speed,
    ) as w:
        design = known(cooler.design)
        if design is None:
            w.spec(cooler, "design", f"stated duty of the {cooler.name.lower()}")
            raise MissingInput("no duty is stated")
        duty = w.result(duty_id(engine, speed, "jacket"), "duty").w
        raw_flow = w.result(flow_id(route, speed), "raw-water flow").m3_per_s
        joint = next(one for one in route.joints if one.downstream is step)
        raw_in = w.result(temperature_id(joint, speed, "hottest"), "raw water as it enters").c
        hot_flow = sheet_figure(w, engine, speed, "coolant_flow").m3_per_s
        opens = w.spec(engine.sheet.thermostat, "opens", "thermostats open").c
        full = w.spec(engine.sheet.thermostat, "full_open", "thermostats full open").c
        mixture = vessel.spec.coolant.antifreeze if vessel.spec.coolant else None
        share = w.spec(mixture, "volume_share", "share of antifreeze").ratio
        coolant = mixture_at(w, mixture, share, full)
        raw = water_at(vessel, raw_in)
        hot_rate = hot_flow * coolant.density_kg_per_m3 * coolant.specific_heat_j_per_kg_k
        raw_rate = raw_flow * raw.density_kg_per_m3 * raw.specific_heat_j_per_kg_k
        conductance = _conductance(w, vessel, design, hot_flow, raw_flow)
        arrangement = _ARRANGEMENTS[design.arrangement]
        found = coolant_temperature(
            duty, raw_in, hot_rate, raw_rate, conductance, arrangement, opens, full
        )
        w.value = Temperature(found.highest_c)
        w.note(f"Conductance, fouled: {conductance / 1000.0:.2f} kW/K.")
        w.note(f"With the thermostats full open it would be {found.wide_open_c:.1f} °C.")
        if route.branches:
            w.note("The whole pump flow is counted.")
    return found


def _conductance(
    w: Working, vessel: Vessel, design: DesignPoint, hot_flow: float, raw_flow: float
) -> float:
    duty = w.spec(design, "duty", "stated duty").w
    design_raw = w.spec(design, "raw_flow", "raw-water flow of the stated duty").m3_per_s
    raw_inlet = w.spec(design, "raw_inlet", "raw water of the stated duty").c
    design_hot = w.spec(design, "hot_flow", "coolant flow of the stated duty").m3_per_s
    hot_inlet = w.spec(design, "hot_inlet", "coolant of the stated duty").c
    share = w.spec(design, "hot_share", "share of antifreeze of the stated duty").ratio
    raw_side = w.spec(design, "raw_side", "share of resistance, raw-water side").ratio
    hot_side = w.spec(design, "hot_side", "share of resistance, coolant side").ratio
    mixture = vessel.spec.coolant.antifreeze if vessel.spec.coolant else None
    coolant, raw = mixture_at(w, mixture, share, hot_inlet), water_at(vessel, raw_inlet)
    w.spec(design, "arrangement")
    clean = ua_from_design_w_per_k(
        duty,
        hot_inlet,
        raw_inlet,
        design_hot * coolant.density_kg_per_m3 * coolant.specific_heat_j_per_kg_k,
        design_raw * raw.density_kg_per_m3 * raw.specific_heat_j_per_kg_k,
        _ARRANGEMENTS[design.arrangement],
    )
    lost = w.assume("exchanger_fouling", "share of the conductance that fouling takes").ratio
    if not 0.0 <= lost < 1.0:
        raise MissingInput("the standard's `assume.exchanger_fouling` is not below 100 %")
    fouling = lost / (1.0 - lost) / clean
    w.method("exponent of the flow", FLOW_EXPONENT, "Dittus and Boelter 1930")
    return part_load_ua_w_per_k(
        clean,
        hot_flow / design_hot,
        raw_flow / design_raw,
        hot_side,
        raw_side,
        FLOW_EXPONENT,
        fouling,
    )


def _held(
    book: Book, route: Route, step: Step, speed: str, found: CoolantTemperature | None
) -> None:
    with _working(
        book,
        route,
        step,
        "thermostat",
        "Whether the thermostats hold the coolant, hottest sea,",
        "they hold while the exchanger alone would let it be colder than full open",
        "definition of a thermostat",
        speed,
    ) as w:
        w.result(f"{route.engine.name}.coolant.{speed}.temperature-hottest")
        assert found is not None
        w.value = "held" if found.held else "full open, not held"


def _margin(
    book: Book, route: Route, step: Step, speed: str, found: CoolantTemperature | None
) -> None:
    with _working(
        book,
        route,
        step,
        "thermostat-margin",
        "Margin of the thermostats, hottest sea,",
        "full open − what the coolant would be with the thermostats full open",
        "definition",
        speed,
    ) as w:
        w.result(f"{route.engine.name}.coolant.{speed}.temperature-hottest")
        assert found is not None
        full = w.spec(route.engine.sheet.thermostat, "full_open", "thermostats full open").c
        w.value = TemperatureDifference(full - found.wide_open_c)
