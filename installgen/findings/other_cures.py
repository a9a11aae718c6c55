"""Cures that are not cables: another fuse, stronger coolant, a larger muffler, another word."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from installgen.analysis.dc_choice import rating_rule
from installgen.analysis.dc_protection import weakest_id
from installgen.findings.finding import Change, Cure, Finding
from installgen.findings.rules import BoundRule
from installgen.findings.survey import Survey
from installgen.findings.trial import Trial, path_of, try_out
from installgen.findings.words import sentence
from installgen.spec.electrical import Fuse
from installgen.spec.entry import Entry, known
from installgen.spec.piping import Hose, Valve
from installgen.spec.standard_spec import FuseStock
from installgen.spec.vessel import entries
from installgen.spec.vessel_spec import ExhaustPiece
from installgen.units import Current, Fraction, Time, Volume

MOST_TRIALS = 5


def _tried(
    survey: Survey,
    rules: list[BoundRule],
    before: list[Finding],
    group: list[Finding],
    values: Sequence[tuple[Entry, str, Any]],
    text: str,
) -> Cure | None:
    """A cure where these values clear the group; nothing where they do not."""
    if any(entry.origin is None or entry.origin.path[:1] == () for entry, _, _ in values):
        return None
    trial = try_out(survey, rules, before, {path_of(e, f): v for e, f, v in values})
    return _cleared(survey, trial, group, values, text)


def _cleared(
    survey: Survey,
    trial: Trial,
    group: list[Finding],
    values: Sequence[tuple[Entry, str, Any]],
    text: str,
) -> Cure | None:
    """What was tried as a cure, where it clears the group."""
    if not trial.clears(group):
        return None
    now = trial.again(group[0])
    first = survey.vessel.spec.units.first
    then = f"; then {sentence(now, first)}" if now is not None else ""
    changes = tuple(Change(e.path_to(f), str(v), e.where(f)) for e, f, v in values)
    return Cure(f"{text}{then}", changes, checked=True)


def _vessel_fuse(survey: Survey, finding: Finding) -> Fuse | None:
    """The vessel's fuse that a finding is about; an engine's own is not the yard's to change."""
    electrical = survey.vessel.spec.electrical
    for device in electrical.devices if electrical is not None else ():
        if isinstance(device, Fuse) and device.id == finding.subject:
            return device
    return None


def _families(survey: Survey, fuse: Fuse) -> Iterator[FuseStock]:
    """The yard's families that may be used at the system's voltage, the fuse's own first."""
    electrical = survey.vessel.spec.electrical
    volts = electrical.system.v if electrical is not None else 0.0
    fit = [f for f in survey.standard.stock.fuses if f.voltage is None or f.voltage.v >= volts]
    yield from sorted(fit, key=lambda family: family.type.casefold() != fuse.type.casefold())


def another_fuse(
    survey: Survey, rules: list[BoundRule], before: list[Finding], group: list[Finding]
) -> Cure | None:
    """Another rating of the fuse's own family that lies in the window.

    None that would blow: it is at least the standard's share above the greatest current of all
    cases, and of charging flat batteries. Where none does, the weakest conductor is to be changed.
    """
    fuse = _vessel_fuse(survey, group[0])
    if fuse is None:
        return None
    family = next((f for f in _families(survey, fuse) if f.type == fuse.type), None)
    load = survey.book.get(f"fuse.{group[0].subject}.load")
    if family is None or load is None or not isinstance(load.value, Current):
        return None
    least = load.value.a * rating_rule(survey.standard).load_ratio
    ratings = sorted((r for r in family.ratings if r.a >= least), key=lambda r: r.a)
    for rating in ratings[:MOST_TRIALS]:
        text = f"a {family.type} of {rating}"
        cure = _tried(survey, rules, before, group, [(fuse, "rating", rating)], text)
        if cure is not None:
            return cure
    weakest = survey.book.get(weakest_id(group[0].subject))
    end = next((e for e in survey.wires if weakest and e.element == weakest.value), None)
    thin = f"a heavier conductor than {end.wire.label}, or a fuse of its own for it" if end else ""
    return Cure(
        f"no rating of the family {fuse.type} lies above the load and within its conductors: "
        f"{thin or 'heavier conductors, or ask'}"
    )


def another_fuse_family(
    survey: Survey, rules: list[BoundRule], before: list[Finding], group: list[Finding]
) -> Cure | None:
    """A family of the yard's that has the same rating and can break the current.

    Where every such family makes something else fail, the first is told with what then fails.
    """
    fuse = _vessel_fuse(survey, group[0])
    asked = group[0].figure
    if fuse is None or not isinstance(asked, Current) or not isinstance(fuse.rating, Current):
        return None
    spoiled = ""
    for family in _families(survey, fuse):
        can = known(family.interrupting)
        same = any(abs(one.a - fuse.rating.a) < 1e-6 for one in family.ratings)
        if can is not None and can.a >= asked.a and same:
            values = [(fuse, "type", family.type), (fuse, "interrupting", can)]
            text = f"a {family.type} of {fuse.rating}, which can break {can}"
            trial = try_out(survey, rules, before, {path_of(e, f): v for e, f, v in values})
            cure = _cleared(survey, trial, group, values, text)
            if cure is not None:
                return cure
            worse = ", ".join(dict.fromkeys(f"{one.name} ({one.check})" for one in trial.worse))
            spoiled = spoiled or (f"{text}, would do it, but then fails: {worse}" if worse else "")
    return Cure(spoiled or f"no family in the yard's stock has {fuse.rating} and can break that")


def stronger_coolant(
    survey: Survey, rules: list[BoundRule], before: list[Finding], group: list[Finding]
) -> Cure | None:
    """The least share of the product, in whole percents, that keeps the margin."""
    coolant = survey.vessel.spec.coolant
    mixture = coolant.antifreeze if coolant is not None else None
    needed = survey.book.get("coolant.share-needed")
    if mixture is None or needed is None or not isinstance(needed.value, Fraction):
        return None
    start = math.ceil(needed.value.percent - 1e-9)
    for percent in range(start, start + MOST_TRIALS):
        share = Fraction(percent / 100.0, text=f"{percent} %")
        text = f"{percent} % of {mixture.product}"
        values = [(mixture, "volume_share", share)]
        cure = _tried(survey, rules, before, group, values, text)
        if cure is not None:
            return cure
    return Cure("no mixture of this product does it: another product, or drain for the winter")


def larger_muffler(
    survey: Survey, rules: list[BoundRule], before: list[Finding], group: list[Finding]
) -> Cure | None:
    """The volume below the muffler's inlet, in whole litres, that holds the cranking asked for."""
    finding = group[0]
    room = survey.book.get(f"{finding.engine}.exhaust.drain-back-room")
    muffler = next(
        (
            piece
            for exhaust in survey.vessel.spec.exhaust
            if survey.vessel.engine(exhaust.engine).name == finding.engine
            for piece in exhaust.pieces
            if piece.kind == "muffler"
        ),
        None,
    )
    if muffler is None or room is None or not isinstance(room.value, Volume):
        return None
    if not isinstance(finding.figure, Time) or not isinstance(finding.limit, Time):
        return None
    if finding.figure.s <= 0.0:
        return None  # the water that runs back fills it: how much more is needed is not known
    held = {name: known(getattr(muffler, name)) for name in ("volume", "volume_heeled")}
    least = min((one.m3 for one in held.values() if one is not None), default=0.0)
    more = room.value.m3 * (finding.limit.s / finding.figure.s - 1.0)
    litres = math.ceil((least + more) * 1000.0 - 1e-9)
    volume = Volume(litres / 1000.0, text=f"{litres} l")
    small = [name for name, one in held.items() if one is not None and one.m3 < volume.m3]
    text = f"a muffler that holds {volume} below its inlet, heeled too"
    return _tried(survey, rules, before, group, [(muffler, name, volume) for name in small], text)


def written_otherwise(
    field: str, value: str
) -> Callable[[Survey, list[BoundRule], list[Finding], list[Finding]], Cure | None]:
    """A cure that is one word instead of another, in the entry that the finding points at."""

    def cure(
        survey: Survey, rules: list[BoundRule], before: list[Finding], group: list[Finding]
    ) -> Cure | None:
        place = group[0].place
        for entry in entries(survey.vessel.spec):
            if (
                isinstance(entry, Hose | Valve | ExhaustPiece)
                and place is not None
                and entry.path_to(field) == place.path
            ):
                text = f"`{field}: {value}`"
                return _tried(survey, rules, before, group, [(entry, field, value)], text)
        return None

    return cure
