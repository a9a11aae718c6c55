"""Judge a vessel by a standard: every rule, every subject, in order of work."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from installgen.analysis.analyse import Analysis, analyse
from installgen.errors import SpecErrors
from installgen.findings.causes import causes
from installgen.findings.cures import with_cures
from installgen.findings.dates import last_day
from installgen.findings.draft import draft_reasons
from installgen.findings.exemptions import exemption_problems, unused_exemptions
from installgen.findings.finding import Findings
from installgen.findings.judging import judge
from installgen.findings.rules import read_rules
from installgen.findings.survey import Survey
from installgen.spec.entry import known
from installgen.spec.standard_spec import StandardSpec
from installgen.spec.vessel import Vessel


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
    Raises SpecErrors where a rule of the standard or an exemption of the vessel cannot be read.
    """
    if standard is not None and standard is not analysis.vessel.standard:
        analysis = analyse(replace(analysis.vessel, standard=standard))
    survey = Survey(analysis, analysis.vessel.standard, as_of or _spec_date(analysis.vessel))
    rules = read_rules(survey.standard)
    found = [finding for rule in rules for finding in judge(survey, rule)]
    if problems := exemption_problems(survey, found):
        raise SpecErrors(problems)
    found += unused_exemptions(survey, found)
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
        draft_reasons=draft_reasons(survey.vessel, items),
        causes=causes(items),
    )


def _spec_date(vessel: Vessel) -> date | None:
    """The date of the spec, as a whole day; nothing where it is not known."""
    text = known(vessel.spec.vessel.date)
    return last_day(text) if text else None
