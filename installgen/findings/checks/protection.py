"""Fuses and breakers: rating, place, what they can break, and what each conductor has."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.analysis.conductors import ampacity_id
from installgen.analysis.dc_faults import OVERLOADS, fault_id, overload_id, spoils
from installgen.analysis.dc_links import BOTH
from installgen.analysis.dc_model import DcModel, WireEnd
from installgen.analysis.dc_protection import CONTRADICTED, CRANKING, TOO_FAR, WITHIN, weakest_id
from installgen.analysis.speed_signals import signal_source
from installgen.calc.protection import RatingVerdict
from installgen.findings.checks.conductors import about_wire
from installgen.findings.judgement import (
    About,
    Judgement,
    at_least,
    figure_of,
    holds,
    lacking,
    not_assessed,
    result_at_most,
    result_is,
    with_care,
    worst,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.electrical import Alternator, Battery, Fuse, Gauge, Plug, Sender
from installgen.spec.entry import Choose, known
from installgen.units import Current, show

_FITS = "above the load and within what its conductors may carry"


def _fuses(survey: Survey, *fields: str) -> Iterator[tuple[str, Fuse, About]]:
    for device_id, device, engine in survey.devices:
        if isinstance(device, Fuse):
            name = engine.name if engine is not None else ""
            at = tuple((device, field) for field in fields)
            yield device_id, device, About(device_id, device.title, at, name)


@named_check("dc-power")
def fuse_rating(survey: Survey) -> Iterator[Judgement]:
    """A device's rating lies above its load and within what the conductors behind it may carry.

    The window is the standard's `fuse_load` and `fuse_ampacity`; between its upper end and the
    legal limit it is a caution, beyond it fails. The load is the greatest current of all cases, and
    of charging flat batteries; the conductors are those whose faults this device clears.
    """
    for device_id, device, about in _fuses(survey, "rating"):
        result_id = f"fuse.{device_id}.rating"
        value = figure_of(survey.book, result_id, about)
        if isinstance(value, Judgement):
            yield value
            continue
        rating = f"{device.rating}: " if not isinstance(device.rating, Choose) else ""
        found = f"{rating}{value}"
        result = survey.book[result_id]
        if value == str(RatingVerdict.FITS):
            judged = holds(True, found, _FITS, about)
        elif value in (str(RatingVerdict.BELOW_MARGIN), str(RatingVerdict.ABOVE_CONDUCTOR)):
            judged = with_care(found, _FITS, about)
        elif isinstance(device.rating, Choose):
            judged = with_care(found, "the rating that was fitted", about)
        else:
            judged = holds(False, found, _FITS, about)
        judged = replace(judged, results=(result_id,), assumed=result.assumed)
        yield judged if judged.verdict == "pass" else _named(survey, device_id, judged)


def _named(survey: Survey, device_id: str, judged: Judgement) -> Judgement:
    """A rating's judgement with the weakest conductor and the load, each with its figure."""
    units = survey.vessel.spec.units.first
    weakest = survey.book[weakest_id(device_id)].value
    end = next(end for end in survey.wires if end.element == weakest)
    may = survey.book[ampacity_id(end.element)].value
    load = survey.book[f"fuse.{device_id}.load"]
    assert isinstance(may, Current)
    assert isinstance(load.value, Current)
    size = survey.analysis.dc.model.size_of(end.wire) if survey.analysis.dc is not None else None
    case = next((item.name for item in load.inputs if item.name.startswith("the case: ")), "")
    told = (
        f"the weakest conductor behind it is {end.wire.label}, {size}, which may carry "
        f"{show(may, units)}; it carries {show(load.value, units)} at most, in "
        f"{case.removeprefix('the case: ')}"
    )
    about = replace(judged.about, at=(*judged.about.at, (end.wire, "size")))
    return replace(judged, about=about, reason=told)


@named_check("dc-power")
def fuse_interrupting(survey: Survey) -> Iterator[Judgement]:
    """A device can break the current of a dead short just behind it, fed by a full battery."""
    for device_id, device, about in _fuses(survey, "interrupting", "type"):
        own = known(device.interrupting)
        family = survey.standard.stock.family(device.type)
        if own is None and device.interrupting is None and family is not None:
            own = known(family.interrupting)
        if own is None:
            yield lacking(about, device, "interrupting", "current it can break")
        else:
            yield result_at_most(survey.book, f"fuse.{device_id}.prospective-current", own, about)


@named_check("dc-power")
def fuse_position(survey: Survey) -> Iterator[Judgement]:
    """A device sits no farther from its source than the rule whose conditions it meets allows.

    The distance is the larger of `from_source` and the length of the conductors up to it; where
    these are longer than what is stated, that is a caution even within the rule.
    """
    for device_id, _, about in _fuses(survey, "from_source", "enclosed"):
        judged = result_is(survey.book, f"fuse.{device_id}.position", [WITHIN], about)
        if str(judged.figure).startswith(CONTRADICTED):
            judged = replace(judged, verdict="caution")
        yield judged


@named_check("dc-power")
def fuse_voltage(survey: Survey) -> Iterator[Judgement]:
    """A device is of a family that may be used at the system's voltage."""
    electrical = survey.vessel.spec.electrical
    for _, device, about in _fuses(survey, "type"):
        family = survey.standard.stock.family(device.type)
        if not device.type:
            yield lacking(about, device, "type")
        elif family is None or family.voltage is None:
            what = f"highest voltage of the family {device.type}"
            yield lacking(about, family or survey.standard.stock, "voltage", what)
        elif electrical is not None:
            yield at_least(family.voltage, electrical.system, about)


@named_check("dc-power")
def fuse_stocked(survey: Survey) -> Iterator[Judgement]:
    """The yard keeps the device's family in its rating, so that a spare can be aboard."""
    for device_id, device, about in _fuses(survey, "rating", "type"):
        rating = known(device.rating) if not isinstance(device.rating, Choose) else None
        if "." in device_id:
            continue
        if rating is None or not device.type:
            yield lacking(about, device, "type" if rating is not None else "rating")
            continue
        family = survey.standard.stock.family(device.type)
        kept = family is not None and any(abs(r.a - rating.a) < 1e-6 for r in family.ratings)
        yield holds(kept, f"{device.type} of {rating}", "a device of the yard's stock", about)


def _should_be_fed(survey: Survey, end: WireEnd) -> bool:
    """Whether a conductor without a supply is one that somebody forgot to feed."""
    if end.engine is not None or end.wire.reserved_for or survey.analysis.dc is None:
        return False
    model = survey.analysis.dc.model
    return signal_source(model, end.start) is None and not _senders_wire(model, end)


def _senders_wire(model: DcModel, end: WireEnd) -> bool:
    """Whether a conductor joins a sender to a gauge, which lets little more than it shows."""
    kinds = {name: type(device) for name, device, _ in model.vessel.devices()}
    passes = (Plug, Gauge, Sender)
    queue = [end.start, end.end]
    for node in queue:
        if kinds.get(node.rpartition(".")[0]) is Sender:
            return True
        for wire in model.wires():
            ends = [one.removesuffix(":engine") for one in (wire.start, wire.end)]
            if node.removesuffix(":engine") in ends:
                for one in ends:
                    if kinds.get(one.rpartition(".")[0]) in passes and one not in queue:
                        queue.append(one)
    return False


@named_check("dc-power")
def fault_clears(survey: Survey) -> Iterator[Judgement]:
    """A dead short at the end of a conductor opens its device before the insulation is spoiled.

    With the weakest battery and the slowest device; the conductor stands I²t from its insulation's
    rating to the most that insulation stands for seconds.
    """
    for end in survey.wires:
        about = about_wire(end, "size", "insulation", "length")
        result_id = fault_id(end.element)
        if result_id in survey.book:
            yield _clears(survey, result_id, about)
            continue
        device = figure_of(survey.book, f"conductor.{end.element}.protected-by", about)
        if isinstance(device, Judgement):
            yield device


@named_check("dc-power")
def overload_clears(survey: Survey) -> Iterator[Judgement]:
    """Between 1.1 and 2 times its rating a device opens before what it protects is spoiled.

    The worst of these overloads counts; beyond five seconds heat leaves the conductor.
    """
    for device_id, _, about in _fuses(survey, "rating", "type"):
        found = worst(
            _clears(survey, result_id, about)
            for multiple in OVERLOADS
            if (result_id := overload_id(device_id, multiple)) in survey.book
        )
        load = figure_of(survey.book, f"fuse.{device_id}.rating", about)
        if found is not None:
            yield found
        elif isinstance(load, Judgement):
            yield load


def _clears(survey: Survey, result_id: str, about: About) -> Judgement:
    value = figure_of(survey.book, result_id, about)
    if isinstance(value, Judgement):
        return value
    words, result = str(value), survey.book[result_id]
    judged = holds(not spoils(words), words, "opens before the conductor is spoiled", about)
    reason = result.notes[-1] if result.notes else ""
    return replace(judged, results=(result_id,), assumed=result.assumed, reason=reason)


@named_check("dc-power")
def link_protected(survey: Survey) -> Iterator[Judgement]:
    """What joins two batteries has a device at either end, an alternator's lead one at the battery.

    Cranking conductors may lie before the device: they are exempt from the fuse.
    """
    devices = {name: entry for name, entry, _ in survey.devices}
    unsolved = next((found for found in survey.cases if found.settled is None), None)
    sources = [(d, "") for d in devices.values() if isinstance(d, Battery | Alternator)]
    if unsolved is not None and len(sources) > 1:
        about = About("links", "what joins two sources", tuple(sources))
        yield not_assessed(about, unsolved.reason, unsolved.missing)
        return
    for result_id, result in survey.book.items():
        if result_id.startswith("link."):
            device = devices[result.subject]
            about = About(
                result_id, result.name[:1].lower() + result.name[1:], ((device, ""),), result.engine
            )
            value = figure_of(survey.book, result_id, about)
            if isinstance(value, Judgement):
                yield value
            else:
                ok = str(value).startswith(BOTH)
                judged = holds(ok, str(value), BOTH, about)
                yield replace(judged, results=(result_id,), assumed=result.assumed)


@named_check("dc-power")
def conductor_protected(survey: Survey) -> Iterator[Judgement]:
    """Every conductor has a fuse or breaker on the way to each battery that feeds it.

    One that leads to its device may stand before it, as far as the rule for the device's place
    allows: the length is counted along the conductors, an isolator between them or not.
    The starter's own conductors are exempt from the fuse, not from isolator, support and chafe
    cover. A conductor of the vessel that no supply reaches is a caution, unless it carries a speed
    signal, joins a sender to its gauge or says what it is reserved for.
    """
    for end in survey.wires:
        about = about_wire(end, "from_", "to")
        result_id = f"conductor.{end.element}.protected-by"
        value = figure_of(survey.book, result_id, about)
        if isinstance(value, Judgement):
            yield value
            continue
        result = survey.book[result_id]
        if value == "no supply reaches it" and _should_be_fed(survey, end):
            judged = with_care(str(value), "a supply, or `reserved_for`", about)
        else:
            safe = value != "nothing" and not str(value).startswith(TOO_FAR)
            judged = holds(safe, str(value), "a fuse or breaker, or to end at one close by", about)
        if str(value).startswith(CRANKING):
            judged = judged.because("support it well and cover it against chafe")
        yield replace(judged, results=(result_id,), assumed=result.assumed)
