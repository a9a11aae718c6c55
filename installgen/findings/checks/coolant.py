"""Coolant: its strength against frost, and the hoses it runs in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.analysis.coolant import CoolantSystem, coolant_systems
from installgen.findings.checks.speeds import margin_at_every_speed
from installgen.findings.judgement import (
    About,
    Judgement,
    at_least,
    at_most,
    holds,
    lacking,
    not_assessed,
    result_at_least,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.findings.words import NameList
from installgen.spec.entry import known
from installgen.spec.vessel_spec import Antifreeze
from installgen.units import Fraction, TemperatureDifference, Volume


def _mixture(survey: Survey) -> Antifreeze | None:
    return survey.vessel.spec.coolant.antifreeze if survey.vessel.spec.coolant else None


def _has_coolant(survey: Survey) -> bool:
    return "coolant" in survey.analysis.circuits


@named_check("coolant")
def freezing_margin(survey: Survey, limit: TemperatureDifference) -> Iterator[Judgement]:
    """The coolant freezes at least this much below the coldest air where she lies in winter."""
    if _has_coolant(survey):
        about = About("coolant", "coolant against frost", ((_mixture(survey), "volume_share"),))
        yield result_at_least(survey.book, "coolant.freezing-margin", limit, about)


@named_check("coolant")
def coolant_ceiling(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """There is no more antifreeze in the coolant than the limit, or than its maker allows."""
    mixture = _mixture(survey)
    if not _has_coolant(survey):
        return
    about = About("coolant", "share of antifreeze", ((mixture, "volume_share"),))
    share = known(mixture.volume_share) if mixture is not None else None
    own = known(mixture.highest_share) if mixture is not None else None
    if share is None:
        yield lacking(about, mixture, "volume_share", "share of antifreeze")
    elif own is not None and own.ratio < limit.ratio:
        yield at_most(share, own, about, "the maker of the product allows less than the yard")
    else:
        yield at_most(share, limit, about)


@named_check("coolant")
def coolant_floor(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """There is at least this much antifreeze, without which it does not keep corrosion away."""
    mixture = _mixture(survey)
    if not _has_coolant(survey):
        return
    about = About("coolant", "share of antifreeze", ((mixture, "volume_share"),))
    share = known(mixture.volume_share) if mixture is not None else None
    if share is None:
        yield lacking(about, mixture, "volume_share", "share of antifreeze")
    else:
        yield at_least(share, limit, about)


@named_check("coolant")
def coolant_product(survey: Survey) -> Iterator[Judgement]:
    """The coolant's product is named, with its own table of freezing points."""
    mixture = _mixture(survey)
    if not _has_coolant(survey):
        return
    about = About("coolant", "coolant", ((mixture, "product"), (mixture, "freezes")))
    if mixture is None or known(mixture.product) is None:
        yield lacking(about, mixture, "product", "product of the coolant")
    elif not mixture.freezes:
        yield lacking(about, mixture, "freezes", "the product's own table")
    else:
        yield holds(True, str(mixture.product), "a product with its table", about)


@named_check("coolant")
def coolant_hose(survey: Survey, limit: NameList) -> Iterator[Judgement]:
    """Coolant lines of the vessel are of a kind of hose made for it."""
    circuit = survey.analysis.circuits.get("coolant")
    for line in circuit.lines if circuit is not None else ():
        if line.engine is None:
            about = About(line.id, f"coolant line {line.id}", ((line.line, "hose"),))
            hose = known(line.line.hose)
            if hose is None:
                yield lacking(about, line.line, "hose", "kind of hose")
            else:
                yield holds(hose in limit, hose, str(limit), about)


@named_check("coolant")
def vents_rise(survey: Survey) -> Iterator[Judgement]:
    """Every vent line of the coolant that says how it runs rises all the way; none falls."""
    circuit = survey.analysis.circuits.get("coolant")
    for line in circuit.lines if circuit is not None else ():
        if line.line.kind != "vent" or line.line.counted == "no":
            continue
        engine = line.engine.name if line.engine is not None else ""
        about = About(line.id, f"vent line {line.id}", ((line.line, "slope"),), engine)
        if line.line.slope is None:
            yield lacking(about, line.line, "slope", "how it runs")
        else:
            yield holds(line.line.slope == "rises", line.line.slope, "rises", about)


@named_check("coolant")
def expansion_tank(survey: Survey) -> Iterator[Judgement]:
    """The coolant has somewhere to expand: an expansion tank beside the header tank's overflow."""
    circuit = survey.analysis.circuits.get("coolant")
    if circuit is None:
        return
    for system in coolant_systems(survey.vessel, circuit):
        found = system.circuit.of_kind("expansion-tank")
        tanks = [part for part in found if part.engine is None]
        about = _expands(survey, system)
        if tanks:
            about = replace(about, at=((tanks[0].part, "kind"),))
        elif system.loose:
            title = system.loose[0].part.title
            yield not_assessed(about, f"no line says which engine's {title} is")
            continue
        title = tanks[0].part.title if tanks else "none"
        yield holds(bool(tanks), title, "an expansion tank", about)


def _expands(survey: Survey, system: CoolantSystem) -> About:
    """The coolant of one system as what expands."""
    names = " and ".join(engine.name for engine in system.engines)
    name = "expansion of the coolant" + ("" if system.alone else f", {names}")
    return About(system.key, name, ((survey.vessel.spec.coolant, "parts"),))


@named_check("coolant")
def expansion_room(survey: Survey) -> Iterator[Judgement]:
    """The expansion tank takes what the coolant grows by from cold to hot."""
    if not _has_coolant(survey):
        return
    for system in coolant_systems(survey.vessel, survey.analysis.circuits["coolant"]):
        margin = f"{system.key}.expansion-margin"
        yield result_at_least(survey.book, margin, Volume(0.0), _expands(survey, system))


@named_check("coolant")
def thermostat_holds(survey: Survey) -> Iterator[Judgement]:
    """In the hottest sea, exchanger fouled, the thermostats still hold the coolant."""
    for engine in survey.engines:
        thermostat = engine.sheet.thermostat
        about = About(
            f"{engine.name}.coolant",
            f"coolant of {engine.name}",
            ((survey.vessel.spec.sea, "hottest"), (thermostat, "full_open")),
            engine.name,
        )
        pattern = f"{engine.name}.coolant.{{speed}}.thermostat-margin"
        yield margin_at_every_speed(survey, pattern, TemperatureDifference(0.0), about)
