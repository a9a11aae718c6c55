"""Driveline: gear on engine, rotation and propeller, neutral start, cruise against rated."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.analysis.engine_mounts import alignment_id, mount_id
from installgen.findings.judgement import (
    About,
    Judgement,
    at_least,
    at_most,
    figure_of,
    holds,
    lacking,
    result_at_least,
    result_at_most,
    with_care,
)
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.entry import known
from installgen.spec.vessel import FittedEngine
from installgen.spec.vessel_spec import Mount
from installgen.units import Fraction, Mass


@named_check("driveline")
def gear_match(survey: Survey) -> Iterator[Judgement]:
    """Gear and engine have the same housing and flywheel sizes, and the coupling has room."""
    for engine in survey.engines:
        gear = engine.entry.gear
        if gear is None:
            continue
        about = About(
            f"{engine.name}.driveline",
            f"gear on {engine.name}",
            ((gear, "housing"), (gear, "flywheel")),
            engine.name,
        )
        result_id = f"{engine.name}.driveline.mounting"
        value = figure_of(survey.book, result_id, about)
        if isinstance(value, Judgement):
            yield value
            continue
        room = " ".join(survey.book[result_id].notes)
        same = str(value).count("same size") == 2
        ok = same and room == "Coupling in housing: fits."
        found = str(value) if not same else f"{value}; {room}".rstrip(".")
        yield replace(
            holds(ok, found, "same sizes, coupling with room", about), results=(result_id,)
        )


@named_check("driveline")
def mount_load(survey: Survey) -> Iterator[Judgement]:
    """No mount carries more than its maker allows, and the propeller's torque lifts none."""
    for engine in survey.engines:
        entry = engine.entry
        if not entry.mounts:
            about = About(
                f"{engine.name}.mounts",
                f"mounts of {engine.name}",
                ((entry, "mounts"),),
                engine.name,
            )
            yield lacking(about, entry, "mounts", "the engine mounts")
        for mount in entry.mounts:
            subject = f"{engine.name}.mounts.{mount.id}"
            name = f"mount {mount.title} of {engine.name}"
            about = About(subject, name, ((mount, "carries"), (mount, "at")), engine.name)
            yield _mount(survey, engine, mount, about)


def _mount(survey: Survey, engine: FittedEngine, mount: Mount, about: About) -> Judgement:
    allowed = known(mount.carries)
    if allowed is None:
        return lacking(about, mount, "carries", f"load that mount {mount.title} may carry")
    least = figure_of(survey.book, mount_id(engine, mount, "least-load"), about)
    if isinstance(least, Mass) and least.kg < 0.0:
        return at_least(least, Mass(0.0), about).because("the torque lifts it")
    return result_at_most(survey.book, mount_id(engine, mount, "largest-load"), allowed, about)


@named_check("driveline")
def shaft_alignment(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """The coupling faces are parallel to the limit, read afloat.

    A limit of 0.1 % is a thousandth of an inch for each inch of the coupling's diameter.
    """
    for engine in survey.engines:
        entry = engine.entry
        read = entry.alignment
        about = About(
            f"{engine.name}.alignment",
            f"alignment of {engine.name}",
            ((read or entry, "afloat" if read else "alignment"),),
            engine.name,
        )
        if read is None:
            yield lacking(about, entry, "alignment", "readings at the shaft coupling")
            continue
        judged = result_at_most(survey.book, alignment_id(engine), limit, about)
        if judged.verdict == "pass" and read.afloat == "no":
            judged = with_care("read ashore", "read afloat", about, "the hull moves when afloat")
        yield judged


@named_check("driveline")
def torsional_approval(survey: Survey) -> Iterator[Judgement]:
    """Somebody approved the torsional vibrations of engine, gear, shaft and propeller together."""
    for engine in survey.engines:
        entry = engine.entry
        if entry.gear is None:
            continue
        about = About(
            f"{engine.name}.torsion",
            f"torsional approval of {engine.name}",
            ((entry, "torsional_approval"),),
            engine.name,
        )
        approved = known(entry.torsional_approval)
        if approved is None:
            yield lacking(about, entry, "torsional_approval", "approval of torsional vibrations")
        else:
            yield holds(bool(approved.strip()), approved, "recorded", about)


@named_check("driveline")
def propeller_hand(survey: Survey) -> Iterator[Judgement]:
    """The propeller's hand is the one that the shaft's rotation ahead asks for."""
    for engine in survey.engines:
        if engine.entry.gear is None:
            continue
        propeller = engine.entry.propeller
        about = About(
            f"{engine.name}.propeller",
            f"propeller of {engine.name}",
            ((propeller, "hand"),),
            engine.name,
        )
        result_id = f"{engine.name}.driveline.propeller-hand"
        asked = figure_of(survey.book, result_id, about)
        if propeller is None or propeller.hand is None:
            yield lacking(about, propeller, "hand", f"hand of the propeller of {engine.name}")
        elif isinstance(asked, Judgement):
            yield asked
        else:
            found = holds(propeller.hand == asked, propeller.hand, str(asked), about)
            yield replace(found, results=(result_id,))


@named_check("driveline")
def propellers_opposed(survey: Survey) -> Iterator[Judgement]:
    """The propellers of a twin turn against each other."""
    pair = [engine for engine in survey.engines if engine.entry.at in ("port", "starboard")]
    if len(pair) != 2:
        return
    hands = [e.entry.propeller.hand if e.entry.propeller else None for e in pair]
    about = About("propellers", "propellers", tuple((e.entry.propeller, "hand") for e in pair))
    if hands[0] is None or hands[1] is None:
        missing = pair[0] if hands[0] is None else pair[1]
        yield lacking(about, missing.entry.propeller, "hand", "hand of a propeller")
    else:
        yield holds(hands[0] != hands[1], " and ".join(str(h) for h in hands), "opposed", about)


@named_check("driveline")
def neutral_start(survey: Survey) -> Iterator[Judgement]:
    """The gear has a switch that lets the engine start in neutral only."""
    for engine in survey.engines:
        gear = engine.entry.gear
        if gear is not None:
            about = About(
                f"{engine.name}.gear",
                f"gear of {engine.name}",
                ((gear, "neutral_switch"),),
                engine.name,
            )
            yield holds(gear.neutral_switch == "fitted", gear.neutral_switch, "fitted", about)


@named_check("driveline")
def propeller_stated(survey: Survey) -> Iterator[Judgement]:
    """Diameter and pitch of the propeller and the diameter of its shaft are written."""
    for engine in survey.engines:
        propeller = engine.entry.propeller
        if propeller is None:
            continue
        about = About(
            f"{engine.name}.propeller",
            f"propeller of {engine.name}",
            ((propeller, "diameter"),),
            engine.name,
        )
        gap = next(
            (f for f in ("diameter", "pitch", "shaft") if known(getattr(propeller, f)) is None),
            None,
        )
        if gap is not None:
            yield lacking(about, propeller, gap, f"{gap} of the propeller")
        else:
            yield holds(True, f"{propeller.diameter} × {propeller.pitch}", "stated", about)


@named_check("driveline")
def cruise_speed(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """Cruise is at most this share of rated speed."""
    for engine in survey.engines:
        entry, rating = engine.entry, engine.rating
        about = About(
            f"{engine.name}.cruise", f"cruise of {engine.name}", ((entry, "cruise"),), engine.name
        )
        cruise = known(entry.cruise)
        rated = known(rating.speed) if rating is not None else None
        if cruise is None:
            yield lacking(about, entry, "cruise")
        elif rated is None:
            yield lacking(about, rating, "speed", "rated speed")
        else:
            told = f"{cruise} of {rated}"
            yield at_most(Fraction(cruise.rpm / rated.rpm), limit, about, told)


@named_check("driveline")
def gear_stated(survey: Survey) -> Iterator[Judgement]:
    """Each engine has a gear that says its ratios and rotation, or `not_fitted` says why not."""
    left_out = {one.system for one in survey.vessel.spec.not_fitted}
    for engine in survey.engines:
        gear = engine.entry.gear
        about = About(
            f"{engine.name}.gear",
            f"gear of {engine.name}",
            ((gear or engine.entry, "ratio_ahead" if gear is not None else "gear"),),
            engine.name,
        )
        if gear is None and "driveline" in left_out:
            yield holds(True, "not fitted", "a gear", about)
        elif gear is None:
            yield lacking(about, engine.entry, "gear")
        elif known(gear.ratio_ahead) is None:
            yield lacking(about, gear, "ratio_ahead")
        elif gear.turns_shaft is None:
            yield lacking(about, gear, "turns_shaft", "rotation of its output")
        else:
            yield holds(True, gear.model, "a gear", about)


@named_check("driveline")
def installed_angle(survey: Survey) -> Iterator[Judgement]:
    """The engine is installed at no more than the angle its maker allows."""
    for engine in survey.engines:
        entry, build = engine.entry, engine.sheet.build
        about = About(
            f"{engine.name}.angle",
            f"installed angle of {engine.name}",
            ((entry, "angle"),),
            engine.name,
        )
        angle, most = known(entry.angle), known(build.largest_angle)
        if angle is None:
            yield lacking(about, entry, "angle", "installed angle")
        elif most is None:
            yield lacking(about, build, "largest_angle")
        else:
            yield at_most(angle, most, about)


@named_check("driveline")
def propeller_match(survey: Survey, limit: Fraction) -> Iterator[Judgement]:
    """At full throttle on the sea trial the engine reaches at least this share of rated speed."""
    for engine in survey.engines:
        if engine.entry.gear is None or engine.entry.propeller is None:
            continue
        trial = [
            run
            for run in survey.vessel.spec.sea_trial
            if run.engine in (None, engine.name) and run.throttle == "full"
        ]
        about = About(
            f"{engine.name}.propeller",
            f"propeller of {engine.name} on the sea trial",
            tuple((run, "speed") for run in trial[-1:]) or ((survey.vessel.spec, "sea_trial"),),
            engine.name,
        )
        result_id = f"{engine.name}.driveline.propeller-match"
        yield result_at_least(survey.book, result_id, limit, about)
