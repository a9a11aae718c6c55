"""Pages made before the faults of the wiring are known are the same as those made after."""

from __future__ import annotations

import pytest

from installgen.analysis.analyse import analyse
from installgen.findings.check import check
from installgen.manual.links import FAULTS
from installgen.manual.pages.all_pages import (
    early_pages,
    system_pages,
)
from installgen.manual.vessel_manual import VesselManual
from installgen.spec.load import SpecLibrary
from tests.manual.manuals import SPECS


@pytest.mark.parametrize("vessel", ["brannock", "pipit"])
def test_no_early_page_tells_of_faults(vessel: str) -> None:
    analysis = analyse(SpecLibrary.at(SPECS).vessel(vessel))
    findings = check(analysis, cures=False)
    early = early_pages(VesselManual(analysis, findings, studied=()))
    whole = VesselManual(analysis, findings)
    assert whole.faults
    pages = system_pages(whole)
    assert system_pages(whole, early) == pages
    late = {page.id for page in pages} - {page.id for made in early.values() for page in made}
    assert FAULTS in late
    assert all(name.startswith("fault-") for name in late - {FAULTS})
