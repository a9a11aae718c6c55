"""Air of the places where batteries stand: how much it takes to keep their hydrogen thin."""

from __future__ import annotations

from collections.abc import Iterator

from installgen.analysis.results import Book, MissingInput, TableOrigin, Working
from installgen.calc.battery_gas import hydrogen_airflow_m3_per_s, vent_area_m2
from installgen.spec.electrical import Alternator, Battery
from installgen.spec.vessel import Vessel
from installgen.tables.batteries import battery_gassing
from installgen.units import AirFlow, Area

SOURCE = "EN 50272-3 (now EN IEC 62485-3), as a battery maker quotes it"
CELL_V = 2.0
ROUNDING_V = 0.03
"""Set voltages are printed to a tenth: 14.4 V and 28.8 V are 2.4 V a cell."""


def battery_places(vessel: Vessel) -> Iterator[tuple[str, list[Battery]]]:
    """The places with batteries in them; batteries in the open air are left out."""
    kinds = {place.id: place.kind for place in vessel.spec.places}
    found: dict[str, list[Battery]] = {}
    for battery in vessel.batteries():
        if battery.place is None or kinds.get(battery.place) != "deck":
            found.setdefault(battery.place or "", []).append(battery)
    yield from found.items()


def vent_id(place: str, what: str) -> str:
    """Id of a result about the air of a battery place: `flow`, `area`."""
    return f"battery-air.{place or 'nowhere'}.{what}"


def analyse_battery_air(book: Book, vessel: Vessel) -> None:
    """Enter the air and the openings that each battery place needs."""
    for place, batteries in battery_places(vessel):
        with _working(
            book, place, "flow", "Air against hydrogen", "Q = sum of 0.05·n·I·C/100"
        ) as w:
            total = 0.0
            for battery in batteries:
                total += _flow_m3_per_s(w, vessel, battery)
            w.value = AirFlow(total)
        name = "Clear area of the air inlet, and of the outlet, against hydrogen"
        with _working(book, place, "area", name, "A = 28·Q [cm², m³/h]") as w:
            w.value = Area(vent_area_m2(w.result(vent_id(place, "flow"), "air").m3_per_s))
            w.note("Inlet low, outlet high, both to the open air.")


def _working(book: Book, place: str, what: str, name: str, formula: str) -> Working:
    return book.working(
        vent_id(place, what),
        name,
        "air",
        formula=formula,
        source=SOURCE,
        subject=f"battery-air.{place or 'nowhere'}",
    )


def _flow_m3_per_s(w: Working, vessel: Vessel, battery: Battery) -> float:
    w.optional(battery, "place", f"space of {battery.title}")
    w.spec(battery, "chemistry", f"kind of {battery.title}")
    row = battery_gassing().row(chemistry=battery.chemistry)
    origin = TableOrigin("battery_gassing", row.chemistry, row.source, row.mark.value)
    cells = round(w.spec(battery, "voltage", f"voltage of {battery.title}").v / CELL_V)
    w.table("gassing current for each 100 Ah", f"{row.gassing_a_per_100_ah:g} A", origin)
    _charged_gently(w, vessel, cells, row.highest_cell_v)
    capacity = w.spec(battery, "capacity", f"capacity of {battery.title}").ah
    return hydrogen_airflow_m3_per_s(cells, row.gassing_a_per_100_ah, capacity)


def _charged_gently(w: Working, vessel: Vessel, cells: int, highest_cell_v: float) -> None:
    """Refuse the table where an alternator charges with more volts than it is for."""
    for _, device, _ in vessel.devices():
        if isinstance(device, Alternator):
            volts = w.optional(device, "set_voltage", f"set voltage of {device.title}")
            if volts is not None and volts.v / cells > highest_cell_v + ROUNDING_V / cells:
                raise MissingInput(
                    f"{device.title} charges with {volts.v:g} V, over {highest_cell_v:g} V a cell"
                )
