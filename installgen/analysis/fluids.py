"""Coolant, lubricating oil and fuel: every circuit laid out, then computed."""

from __future__ import annotations

from installgen.analysis.circuits import LaidCircuit, lay_circuit
from installgen.analysis.coolant import analyse_coolant
from installgen.analysis.fuel import analyse_fuel
from installgen.analysis.fuel_lines import analyse_fuel_lines
from installgen.analysis.oil import analyse_gear_oil, analyse_oil
from installgen.analysis.results import Book
from installgen.spec.vessel import Vessel


def analyse_fluids(book: Book, vessel: Vessel) -> dict[str, LaidCircuit]:
    """Enter all that concerns coolant, oil and fuel; returns the circuits as laid."""
    circuits = {}
    for system in ("coolant", "oil", "fuel", "crankcase-vent"):
        circuit = lay_circuit(vessel, system)
        if circuit is not None:
            circuits[system] = circuit
    if "coolant" in circuits:
        analyse_coolant(book, vessel, circuits["coolant"])
    if "oil" in circuits:
        analyse_oil(book, vessel, circuits["oil"])
    analyse_gear_oil(book, vessel)
    if "fuel" in circuits and vessel.spec.fuel is not None:
        analyse_fuel(book, vessel, circuits["fuel"])
        analyse_fuel_lines(book, vessel, circuits["fuel"])
    return circuits
