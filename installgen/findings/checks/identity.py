"""Who she is, who answers for her, and what nobody has filled in yet."""

from __future__ import annotations

import re
from collections.abc import Iterator

from installgen.findings.dates import last_day
from installgen.findings.judgement import (
    About,
    Judgement,
    at_most,
    holds,
    lacking,
    not_assessed,
)
from installgen.findings.registry import named_check
from installgen.findings.required import unknown_fields
from installgen.findings.survey import Survey
from installgen.findings.words import NameList, WholeNumber
from installgen.spec.entry import known

_HIN = re.compile(r"[A-Z]{2}-[A-Z0-9]{3}[A-Z0-9]{5}[A-L][0-9][0-9]{2}")


@named_check("identity")
def hin_form(survey: Survey) -> Iterator[Judgement]:
    """The hull identification number has the form of ISO 10087.

    Country, hyphen, maker (three signs), serial (five), month of build (letter A to L), year of
    build (one digit), model year (two digits).
    """
    vessel = survey.vessel.spec.vessel
    about = About("vessel", "hull identification number", ((vessel, "hin"),))
    hin = known(vessel.hin)
    if hin is None:
        yield lacking(about, vessel, "hin", "hull identification number")
    else:
        ok = _HIN.fullmatch(hin) is not None
        yield holds(ok, hin, "the form of ISO 10087, such as AB-CDE12345F626", about)


@named_check("identity")
def identity_stated(survey: Survey) -> Iterator[Judgement]:
    """Yard, builder's number, launching, revision and its date are known."""
    vessel = survey.vessel.spec.vessel
    for field in ("yard", "builders_number", "launched", "date", "length", "beam"):
        what = field.replace("_", " ").replace("builders", "builder's")
        about = About(f"vessel.{field}", what, ((vessel, field),))
        value = known(getattr(vessel, field))
        if value is None:
            yield lacking(about, vessel, field, what)
        else:
            yield holds(True, str(value), "stated", about)


@named_check("identity")
def serial_known(survey: Survey) -> Iterator[Judgement]:
    """Each engine's serial number and date of build are known, for parts go by them."""
    for engine in survey.engines:
        about = About(
            engine.name, f"engine {engine.name}", ((engine.entry, "serial"),), engine.name
        )
        gap = next(
            (f for f in ("serial", "built") if known(getattr(engine.entry, f)) is None), None
        )
        if gap is not None:
            yield lacking(about, engine.entry, gap)
        else:
            yield holds(True, str(engine.entry.serial), "stated", about)


@named_check("identity")
def signed_by(survey: Survey, limit: NameList) -> Iterator[Judgement]:
    """Each of these roles has signed, with a date."""
    roles = survey.vessel.spec.roles
    for name in limit.names:
        own = [role for role in roles if role.role == name]
        about = About(
            f"role.{name}",
            f"signature of the {name}",
            tuple((role, "date") for role in own) or ((survey.vessel.spec, "roles"),),
        )
        if not own:
            yield lacking(about, survey.vessel.spec, "roles", f"a {name}")
        elif not any(role.date for role in own):
            yield lacking(about, own[0], "date", f"date on which the {name} signed")
        else:
            yield holds(True, next(role.date for role in own if role.date), "signed", about)


@named_check("identity")
def unknown_count(survey: Survey, limit: WholeNumber) -> Iterator[Judgement]:
    """No more fields than this say `unknown`, in the vessel spec and in the sheets as fitted."""
    found = unknown_fields(survey.vessel)
    about = About("unknown-fields", "fields that say `unknown`")
    judged = at_most(len(found), limit.count, about)
    if found:
        listed = ", ".join(f"`{one.path}`" for one in found[:8])
        more = f" and {len(found) - 8} more" if len(found) > 8 else ""
        judged = judged.because(f"{listed}{more}")
    yield judged


@named_check("identity")
def spaces_stated(survey: Survey) -> Iterator[Judgement]:
    """Every space says how warm it gets; an engine space its volume too."""
    for place in survey.vessel.spec.places:
        if place.kind == "bulkhead":
            continue
        about = About(f"place.{place.id}", place.name, ((place, "temperature"),))
        fields = ("temperature", "volume") if place.kind == "engine-space" else ("temperature",)
        gap = next((f for f in fields if known(getattr(place, f)) is None), None)
        if gap is not None:
            yield lacking(about, place, gap, f"{gap} of {place.name}")
        else:
            yield holds(True, str(place.temperature), "stated", about)


@named_check("identity")
def exemptions_in_order(survey: Survey) -> Iterator[Judgement]:
    """Every exemption names a rule of the standard, a role that may claim it, and has not ended."""
    rules = {rule.check for rule in survey.standard.rules}
    roles = survey.standard.exemption_roles
    for number, claim in enumerate(survey.vessel.spec.exemptions, start=1):
        about = About(f"exemption.{number}", f"exemption from {claim.check}", ((claim, ""),))
        if claim.check not in rules:
            yield holds(False, claim.check, "a check that the standard asks for", about)
        elif roles and claim.role not in roles:
            yield holds(False, f"claimed by {claim.role}", " or ".join(roles), about)
        elif not claim.until:
            yield holds(True, "without an end", "in force", about)
        elif survey.as_of is None:
            yield not_assessed(about, "no date is given to judge its end by")
        else:
            ok = survey.as_of <= last_day(claim.until)
            yield holds(ok, f"until {claim.until}", f"in force on {survey.as_of}", about)
