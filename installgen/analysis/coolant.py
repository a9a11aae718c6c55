"""Coolant: what the system holds, its antifreeze, how it grows when hot."""

from __future__ import annotations

from dataclasses import dataclass

from installgen.analysis.circuits import LaidCircuit, LaidPart, analyse_volumes, total
from installgen.analysis.results import Book, MissingInput, Working
from installgen.calc.coolant import Antifreeze as AntifreezeTable
from installgen.calc.coolant import (
    concentrate_m3,
    drain_and_replace_m3,
    expansion_m3,
    freezing_point_c,
    product_antifreeze,
    strength_needed,
)
from installgen.calc.water import Glycol, Liquid, glycol_mass_ratio, glycol_mixture
from installgen.spec.vessel import FittedEngine, Vessel
from installgen.spec.vessel_spec import Antifreeze
from installgen.units import Fraction, Temperature, TemperatureDifference, Volume

RAISE_PERCENT = 5.0
"""The step of the topping-up table; any other goes with it."""


@dataclass(frozen=True)
class CoolantSystem:
    """The coolant of one engine, or of several that lines join.

    key: prefix of the ids of its results, and their subject
    engines: whose coolant it is
    alone: whether it is the only one aboard
    circuit: its parts and lines
    loose: vessel's parts that no line joins to an engine, where it could be another's
    """

    key: str
    engines: tuple[FittedEngine, ...]
    alone: bool
    circuit: LaidCircuit
    loose: tuple[LaidPart, ...] = ()


def coolant_systems(vessel: Vessel, circuit: LaidCircuit) -> tuple[CoolantSystem, ...]:
    """The separate coolant systems aboard: engines share one where the vessel's lines join them."""
    groups: list[set[str]] = [{f"{engine.name}."} for engine in vessel.engines]
    groups += [{part.id} for part in circuit.parts if part.engine is None]
    for line in circuit.lines:
        if line.engine is None:
            ends = {_owner(vessel, line.start), _owner(vessel, line.end)}
            met = [group for group in groups if group & ends]
            groups = [group for group in groups if group not in met]
            groups.append(ends.union(*met))
    held = [(tuple(e for e in vessel.engines if f"{e.name}." in group), group) for group in groups]
    with_engine = [(engines, group) for engines, group in held if engines]
    if len(with_engine) < 2:
        return (CoolantSystem("coolant", tuple(vessel.engines), True, circuit),)
    with_engine.sort(key=lambda found: vessel.engines.index(found[0][0]))
    joined = set[str]().union(*(group for _, group in with_engine))
    loose = tuple(p for p in circuit.parts if p.engine is None and p.id not in joined)
    return tuple(
        CoolantSystem(
            f"coolant.{'-'.join(engine.name for engine in engines)}",
            engines,
            False,
            _part_of(vessel, circuit, group),
            loose,
        )
        for engines, group in with_engine
    )


def _owner(vessel: Vessel, end: str) -> str:
    """What an end of a line belongs to: an engine, with its dot, or a part of the vessel."""
    for engine in vessel.engines:
        if end.startswith(f"{engine.name}."):
            return f"{engine.name}."
    return end


def _part_of(vessel: Vessel, circuit: LaidCircuit, group: set[str]) -> LaidCircuit:
    def inside(name: str) -> bool:
        return _owner(vessel, name) in group

    parts = tuple(part for part in circuit.parts if inside(part.id))
    lines = tuple(line for line in circuit.lines if inside(line.start))
    return LaidCircuit(circuit.system, parts, lines)


def analyse_coolant(book: Book, vessel: Vessel, circuit: LaidCircuit) -> None:
    mixture = vessel.spec.coolant.antifreeze if vessel.spec.coolant else None
    systems = coolant_systems(vessel, circuit)
    for system in systems:
        _volume(book, system)
    analyse_volumes(book, LaidCircuit(circuit.system, systems[0].loose, ()))
    _freezing(book, vessel, mixture)
    _strength_needed(book, vessel, mixture)
    for system in systems:
        _concentrate(book, system, mixture)
        _raise_strength(book, system, mixture)
        _expansion(book, system, mixture)


def _working(
    book: Book, system: CoolantSystem, what: str, name: str, formula: str, source: str
) -> Working:
    """The working of a result of one system, which names its engines where there are more."""
    names = " and ".join(engine.name for engine in system.engines)
    return book.working(
        f"{system.key}.{what}",
        name if system.alone else f"{name}, {names}",
        "coolant",
        formula=formula,
        source=source,
        subject=system.key,
        engine=names if not system.alone and len(system.engines) == 1 else "",
    )


def _joined(w: Working, system: CoolantSystem) -> None:
    """Note which lines make a system its engines' own. Raises MissingInput where it is not sure."""
    if system.alone and len(system.engines) < 2:
        return
    for line in system.circuit.lines:
        if line.engine is None:
            for field in ("from_", "to"):
                w.spec(line.line, field, f"{line.id}, {field.rstrip('_')}")
    if system.loose:
        titles = ", ".join(part.part.title for part in system.loose)
        raise MissingInput(f"no line in `coolant.lines` says which engine's this is: {titles}")


def _volume(book: Book, system: CoolantSystem) -> None:
    ids = analyse_volumes(book, system.circuit)
    name, formula = "Coolant in the whole system", "engine(s) + tanks + heaters + hoses"
    with _working(book, system, "volume", name, formula, "sum of the parts") as w:
        _joined(w, system)
        engines = 0.0
        for engine in system.engines:
            engines += w.spec(engine.sheet.capacities, "coolant", f"coolant in {engine.name}").m3
        w.value = total(w, ids, Volume(engines))


def mixture_at(
    w: Working, mixture: Antifreeze | None, share_ratio: float, temperature_c: float
) -> Liquid:
    """Properties of glycol and water at a temperature.

    w: takes the glycol that the product is made from
    share_ratio: volume of product in the mixture [-]
    """
    kind = Glycol(w.spec(mixture, "glycol", "glycol that the product is made from"))
    return glycol_mixture(kind, glycol_mass_ratio(kind, share_ratio), temperature_c)


def _expansion(book: Book, system: CoolantSystem, mixture: Antifreeze | None) -> None:
    name = "By how much the coolant grows from cold to hot"
    formula = "V·(density cold / density hot − 1)"
    source = "mass balance; glycol and water after Melinder 2010"
    with _working(book, system, "expansion", name, formula, source) as w:
        volume = w.result(f"{system.key}.volume").m3
        share = w.spec(mixture, "volume_share", "share of the product").ratio
        cold = w.assume("filling_temperature", "temperature when filled").c
        hot = max(
            w.spec(engine.sheet.thermostat, "full_open", f"{engine.name}: thermostats full open").c
            for engine in system.engines
        )
        before = mixture_at(w, mixture, share, cold)
        after = mixture_at(w, mixture, share, hot)
        w.value = Volume(expansion_m3(volume, before.density_kg_per_m3, after.density_kg_per_m3))
        w.note("The product is counted as pure glycol.")
    tanks = [part for part in system.circuit.of_kind("expansion-tank") if part.engine is None]
    name, formula = "Room in the expansion tanks", "sum of volume · (1 − fill level)"
    with _working(book, system, "expansion-room", name, formula, "vessel spec") as w:
        _joined(w, system)
        if not tanks:
            raise MissingInput("no expansion tank is written in `coolant.parts`")
        room = 0.0
        for tank in tanks:
            volume = w.spec(tank.part, "volume", f"volume of {tank.part.title}").m3
            level = w.spec(tank.part, "fill_level", f"fill level of {tank.part.title}, cold")
            room += volume * (1.0 - level.ratio)
        w.value = Volume(room)
    name, formula = "Room left in the expansion tanks when hot", "room − growth"
    with _working(book, system, "expansion-margin", name, formula, "volume balance") as w:
        room = w.result(f"{system.key}.expansion-room").m3
        w.value = Volume(room - w.result(f"{system.key}.expansion").m3)


def _concentrate(book: Book, system: CoolantSystem, mixture: Antifreeze | None) -> None:
    formula = "volume · share of the product (the rest is water)"
    for what, name in (
        ("concentrate", "Antifreeze concentrate to fill from empty"),
        ("water", "Water to fill from empty"),
    ):
        with _working(book, system, what, name, formula, "volume balance") as w:
            volume = w.result(f"{system.key}.volume").m3
            share = w.spec(mixture, "volume_share", "share of the product").percent
            part = concentrate_m3(volume, share)
            w.value = Volume(part if what == "concentrate" else volume - part)


def _product(w: Working, mixture: Antifreeze | None) -> AntifreezeTable:
    if mixture is None or not mixture.freezes:
        w.spec(mixture, "freezes", "the product's own table of freezing points")
        raise MissingInput("the product's own table of freezing points is not given")
    name = w.spec(mixture, "product", "product")
    rows = []
    for row in mixture.freezes:
        share = w.spec(row, "volume_share", "share").percent
        rows.append((share, w.spec(row, "freezes", f"freezing point at {share:g} %").c))
    return product_antifreeze(name, rows)


def _freezing(book: Book, vessel: Vessel, mixture: Antifreeze | None) -> None:
    with book.working(
        "coolant.freezing-point",
        "Freezing point of the coolant",
        "coolant",
        formula="the product's own table, a straight line between its rows",
        source="the product's data as written in the vessel spec",
        subject="coolant",
    ) as w:
        product = _product(w, mixture)
        share = w.spec(mixture, "volume_share", "share of the product").percent
        w.value = Temperature(freezing_point_c(product, share))
    with book.working(
        "coolant.freezing-margin",
        "Margin over the coldest lay-up",
        "coolant",
        formula="coldest lay-up − freezing point",
        source="common practice: keep 5 K",
        subject="coolant",
    ) as w:
        freezing = w.result("coolant.freezing-point").c
        coldest = w.spec(vessel.spec.lay_up, "coldest", "coldest lay-up").c
        w.value = TemperatureDifference(coldest - freezing)


def _strength_needed(book: Book, vessel: Vessel, mixture: Antifreeze | None) -> None:
    with book.working(
        "coolant.share-needed",
        "Least share of product for the lay-up",
        "coolant",
        formula="the weakest share that freezes the margin below the coldest lay-up",
        source="the product's data; margin of the standard; ceiling of the product or the standard",
        subject="coolant",
    ) as w:
        product = _product(w, mixture)
        coldest = w.spec(vessel.spec.lay_up, "coldest", "coldest lay-up").c
        margin = w.assume("antifreeze_margin", "margin").k
        ceiling = w.spec_or_assume(
            mixture, "highest_share", "antifreeze_ceiling", "most that is allowed"
        ).percent
        found = strength_needed(product, coldest, margin, ceiling)
        w.value = Fraction(found.strength_percent / 100.0)
        if not found.within_ceiling:
            w.note(
                f"That is over the ceiling of {ceiling:g} %: no mixture of this product will do."
            )


def _raise_strength(book: Book, system: CoolantSystem, mixture: Antifreeze | None) -> None:
    name = "To raise the share by 5 %, drain and replace with concentrate"
    source = "volume balance, the drained part well mixed"
    with _working(book, system, "drain-for-five-percent", name, "V·(b − a) / (1 − a)", source) as w:
        volume = w.result(f"{system.key}.volume").m3
        share = w.spec(mixture, "volume_share", "share of the product").percent
        w.value = Volume(drain_and_replace_m3(volume, share, share + RAISE_PERCENT))
