"""Coolant: what the system holds, its antifreeze, how it grows when hot."""

from __future__ import annotations

from installgen.analysis.circuits import LaidCircuit, analyse_volumes, total
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
from installgen.spec.vessel import Vessel
from installgen.spec.vessel_spec import Antifreeze
from installgen.units import Fraction, Temperature, TemperatureDifference, Volume

RAISE_PERCENT = 5.0
"""The step of the topping-up table; any other goes with it."""


def analyse_coolant(book: Book, vessel: Vessel, circuit: LaidCircuit) -> None:
    ids = analyse_volumes(book, circuit)
    with book.working(
        "coolant.volume",
        "Coolant in the whole system",
        "coolant",
        formula="engine(s) + tanks + heaters + hoses",
        source="sum of the parts",
        subject="coolant",
    ) as w:
        engines = 0.0
        for engine in vessel.engines:
            engines += w.spec(engine.sheet.capacities, "coolant", f"coolant in {engine.name}").m3
        w.value = total(w, ids, Volume(engines))
    mixture = vessel.spec.coolant.antifreeze if vessel.spec.coolant else None
    _concentrate(book, mixture)
    _freezing(book, vessel, mixture)
    _strength_needed(book, vessel, mixture)
    _raise_strength(book, mixture)
    _expansion(book, vessel, circuit, mixture)


def mixture_at(
    w: Working, mixture: Antifreeze | None, share_ratio: float, temperature_c: float
) -> Liquid:
    """Properties of glycol and water at a temperature.

    w: takes the glycol that the product is made from
    share_ratio: volume of product in the mixture [-]
    """
    kind = Glycol(w.spec(mixture, "glycol", "glycol that the product is made from"))
    return glycol_mixture(kind, glycol_mass_ratio(kind, share_ratio), temperature_c)


def _expansion(
    book: Book, vessel: Vessel, circuit: LaidCircuit, mixture: Antifreeze | None
) -> None:
    with book.working(
        "coolant.expansion",
        "By how much the coolant grows from cold to hot",
        "coolant",
        formula="V·(density cold / density hot − 1)",
        source="mass balance; glycol and water after Melinder 2010",
        subject="coolant",
    ) as w:
        volume = w.result("coolant.volume").m3
        share = w.spec(mixture, "volume_share", "share of the product").ratio
        cold = w.assume("filling_temperature", "temperature when filled").c
        hot = max(
            w.spec(engine.sheet.thermostat, "full_open", f"{engine.name}: thermostats full open").c
            for engine in vessel.engines
        )
        before = mixture_at(w, mixture, share, cold)
        after = mixture_at(w, mixture, share, hot)
        w.value = Volume(expansion_m3(volume, before.density_kg_per_m3, after.density_kg_per_m3))
        w.note("The product is counted as pure glycol.")
    tanks = [part for part in circuit.of_kind("expansion-tank") if part.engine is None]
    with book.working(
        "coolant.expansion-room",
        "Room in the expansion tanks",
        "coolant",
        formula="Σ volume · (1 − fill level)",
        source="vessel spec",
        subject="coolant",
    ) as w:
        if not tanks:
            raise MissingInput("no expansion tank is written in `coolant.parts`")
        room = 0.0
        for tank in tanks:
            volume = w.spec(tank.part, "volume", f"volume of {tank.part.title}").m3
            level = w.spec(tank.part, "fill_level", f"fill level of {tank.part.title}, cold")
            room += volume * (1.0 - level.ratio)
        w.value = Volume(room)
    with book.working(
        "coolant.expansion-margin",
        "Room left in the expansion tanks when hot",
        "coolant",
        formula="room − growth",
        source="volume balance",
        subject="coolant",
    ) as w:
        room = w.result("coolant.expansion-room").m3
        w.value = Volume(room - w.result("coolant.expansion").m3)


def _concentrate(book: Book, mixture: Antifreeze | None) -> None:
    for result_id, name in (
        ("coolant.concentrate", "Antifreeze concentrate to fill from empty"),
        ("coolant.water", "Water to fill from empty"),
    ):
        with book.working(
            result_id,
            name,
            "coolant",
            formula="volume · share of the product (the rest is water)",
            source="volume balance",
            subject="coolant",
        ) as w:
            volume = w.result("coolant.volume").m3
            share = w.spec(mixture, "volume_share", "share of the product").percent
            part = concentrate_m3(volume, share)
            w.value = Volume(part if result_id == "coolant.concentrate" else volume - part)


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


def _raise_strength(book: Book, mixture: Antifreeze | None) -> None:
    with book.working(
        "coolant.drain-for-five-percent",
        "To raise the share by 5 %, drain and replace with concentrate",
        "coolant",
        formula="V·(b − a) / (1 − a)",
        source="volume balance, the drained part well mixed",
        subject="coolant",
    ) as w:
        volume = w.result("coolant.volume").m3
        share = w.spec(mixture, "volume_share", "share of the product").percent
        w.value = Volume(drain_and_replace_m3(volume, share, share + RAISE_PERCENT))
