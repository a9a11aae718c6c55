"""The raw-water system of a stranger's vessel: what a finding says of it."""

from __future__ import annotations

import pytest

from installgen.findings.finding import Finding, Findings
from tests.findings.scenario_files import analysed, judged

SEAL = "raw_water[port].route[port-seal-feed].route"


def _of(found: Findings, check_name: str, subject: str) -> Finding:
    return next(f for f in found.items if f.check == check_name and f.subject == subject)


def test_a_branch_that_ends_under_water_says_so_in_both_units() -> None:
    found = judged("sallow", f"{SEAL}[port-seal-loop] =")
    branch = _of(found, "branch-siphon", "port.raw-water.port-seal-feed.port-shaft-seal")
    assert branch.verdict == "fail"
    figure = str(branch.figure).replace("\N{NO-BREAK SPACE}", " ")
    assert figure == "ends 260 mm (10-1/4 in) under the waterline"


@pytest.mark.parametrize("loss", ["unknown", ""])
def test_a_seal_of_unknown_loss_leaves_the_route_computed_and_its_own_flow_open(loss: str) -> None:
    """Less is then left for the exhaust than with a loss: what is computed is the worst of it."""
    seal = f"{SEAL}[port-shaft-seal].loss = {loss}".rstrip()
    known, left = analysed("sallow").book, analysed("sallow", seal).book
    for speed in ("idle", "cruise", "rated"):
        branch = f"port.raw-water.port-seal-feed.{speed}.flow"
        assert left[branch].value.m3_per_s > known[branch].value.m3_per_s
        assert left[branch].assumed
        assert not left[f"{branch}-margin"].assessed
        assert "loss" in left[f"{branch}-margin"].not_assessed
        last = f"port.raw-water.{speed}.injection-flow"
        assert left[last].value.m3_per_s < known[last].value.m3_per_s
        assert left[last].assumed
    found = judged("sallow", seal)
    fed = _of(found, "seal-flow", "port.raw-water.port-seal-feed.port-shaft-seal")
    assert fed.verdict == "not assessed"
