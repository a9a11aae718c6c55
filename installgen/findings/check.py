"""Judge a vessel by a standard: every rule, every subject, in order of work."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date

from installgen.analysis.analyse import Analysis, analyse
from installgen.findings.causes import causes
from installgen.findings.cures import with_cures
from installgen.findings.dates import last_day
from installgen.findings.finding import DraftReason, Finding, Findings, Place
from installgen.findings.judging import judge
from installgen.findings.required import required_unknown
from installgen.findings.rules import read_rules
from installgen.findings.survey import Survey
from installgen.findings.words import sentence
from installgen.spec.entry import Choose, known
from installgen.spec.standard_spec import StandardSpec
from installgen.spec.vessel import Vessel, entries


def check(
    analysis: Analysis,
    standard: StandardSpec | None = None,
    *,
    as_of: date | None = None,
    cures: bool = True,
) -> Findings:
    """Judge a vessel.

    standard: judge her by this one instead of her own; she is then computed again with it
    as_of: date by which exemptions are judged; left out, the date of her spec
    cures: whether to look for what would clear each finding that fails, and try it
    Raises SpecErrors where a rule of the standard cannot be read.
    """
    if standard is not None and standard is not analysis.vessel.standard:
        analysis = analyse(replace(analysis.vessel, standard=standard))
    survey = Survey(analysis, analysis.vessel.standard, as_of or _spec_date(analysis.vessel))
    rules = read_rules(survey.standard)
    found = [finding for rule in rules for finding in judge(survey, rule)]
    if cures:
        found = with_cures(survey, rules, found)
    items = tuple(sorted(found, key=lambda finding: finding.order))
    return Findings(
        vessel=survey.vessel.id,
        name=survey.vessel.name,
        standard=survey.standard.standard.id,
        edition=survey.standard.standard.edition,
        as_of=survey.as_of,
        items=items,
        draft_reasons=tuple(_draft_reasons(survey.vessel, items)),
        causes=causes(items),
    )


def _spec_date(vessel: Vessel) -> date | None:
    """The date of the spec, as a whole day; nothing where it is not known."""
    text = known(vessel.spec.vessel.date)
    return last_day(text) if text else None


def _draft_reasons(vessel: Vessel, items: Iterable[Finding]) -> Iterator[DraftReason]:
    """Why the manual is a draft: open must-rules, unknown fields, sizes that are proposals."""
    for finding in items:
        if finding.holds_back:
            text = f"{finding.name}: {sentence(finding, vessel.spec.units.first)}"
            yield DraftReason("finding", text, finding.place)
    for field in required_unknown(vessel):
        place = Place(field.path, field.position)
        yield DraftReason("unknown field", f"`{field.path}` is `unknown`", place)
    for entry in entries(vessel.spec):
        for name in type(entry).model_fields:
            if isinstance(getattr(entry, name), Choose):
                path = entry.path_to(name)
                text = f"`{path}` is proposed; write what was fitted"
                yield DraftReason("proposed size", text, Place(path, entry.where(name)))
