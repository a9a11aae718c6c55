"""Labels and codes: each once, in the standard's form, on what a person has to find."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

from installgen.findings.judgement import About, Judgement, holds, lacking
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.electrical import Alternator, Battery, Fuse, Isolator, Relay, Selector, Starter
from installgen.spec.entry import Entry
from installgen.spec.standard_spec import LabelForm
from installgen.units import quoted

_SIGNS = {
    "letter": "[A-Za-z]",
    "letters": "[A-Za-z]{1,8}",
    "digit": "[0-9]",
    "digits": "[0-9]{1,8}",
}


def _coded(survey: Survey) -> Iterator[tuple[str, str, Entry, str]]:
    """Everything with a code: subject, name, entry, engine."""
    for device_id, device, engine in survey.devices:
        yield device_id, device.title, device, engine.name if engine is not None else ""
    for name, route in survey.analysis.routes.items():
        for step in route.all_steps():
            yield step.id, step.name, step.entry, name
    for circuit in survey.analysis.circuits.values():
        for part in circuit.parts:
            yield part.id, part.part.title, part.part, part.engine.name if part.engine else ""


@named_check("identity")
def codes_unique(survey: Survey) -> Iterator[Judgement]:
    """No two things of one engine or of the vessel carry the same code.

    Two engines of one model carry the same codes; their names tell them apart.
    """
    found = [
        (subject, name, entry, engine)
        for subject, name, entry, engine in _coded(survey)
        if getattr(entry, "code", "")
    ]
    counted = Counter((engine, getattr(entry, "code", "")) for _, _, entry, engine in found)
    for subject, name, entry, engine in found:
        code = getattr(entry, "code", "")
        about = About(subject, name, ((entry, "code"),), engine)
        times = counted[(engine, code)]
        words = code if times == 1 else f"{code}, {times} times"
        yield holds(times == 1, words, "each code once", about)


@named_check("identity")
def codes_given(survey: Survey) -> Iterator[Judgement]:
    """What a person has to find in a hurry carries a code: seacocks, fuses, isolators, relays."""
    kinds = (Battery, Isolator, Fuse, Relay, Selector, Starter, Alternator)
    for subject, name, entry, engine in _coded(survey):
        seacock = type(entry).__name__ == "Seacock"
        if isinstance(entry, kinds) or seacock:
            about = About(subject, name, ((entry, "code"),), engine)
            code = getattr(entry, "code", "")
            yield holds(True, code, "a code", about) if code else lacking(about, entry, "code")


@named_check("identity")
def label_form(survey: Survey) -> Iterator[Judgement]:
    """Labels are written as the standard's `labels` say."""
    forms = {form.of: form for form in survey.standard.labels}
    electrical = survey.vessel.spec.electrical
    if electrical is not None and "conductor" in forms:
        for wire in electrical.conductors:
            about = About(wire.label, f"conductor {wire.label}", ((wire, "label"),))
            yield _form(wire.label, forms["conductor"], about)
    if "device" in forms:
        for subject, name, entry, engine in _coded(survey):
            code = getattr(entry, "code", "")
            if code:
                yield _form(code, forms["device"], About(subject, name, ((entry, "code"),), engine))
    if "connection" in forms:
        for fitted in survey.engines:
            for point in fitted.sheet.connections:
                if point.code:
                    about = About(
                        f"{fitted.name}.{point.id}", point.name, ((point, "code"),), fitted.name
                    )
                    yield _form(point.code, forms["connection"], about)


def _form(label: str, form: LabelForm, about: About) -> Judgement:
    pattern = "".join(_SIGNS.get(part, re.escape(part)) for part in form.parts)
    asked = ", ".join(form.parts)
    short = form.longest is None or len(label) <= form.longest
    if form.longest is not None:
        asked += f", at most {form.longest} signs"
    ok = short and re.fullmatch(pattern, label) is not None
    return holds(ok, quoted(label), asked, about)


@named_check("identity")
def found_by(survey: Survey) -> Iterator[Judgement]:
    """Seacocks, isolators, batteries and the engine's devices have a sentence to find them by."""
    for subject, name, entry, engine in _coded(survey):
        wanted = isinstance(entry, Battery | Isolator) or type(entry).__name__ == "Seacock"
        if wanted or (engine and isinstance(entry, Starter | Alternator | Relay | Fuse)):
            about = About(subject, name, ((entry, "find"),), engine)
            find = getattr(entry, "find", "")
            yield holds(True, find, "a sentence", about) if find else lacking(about, entry, "find")
