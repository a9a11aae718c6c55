"""A standard's rules: read, inherited, refused with the place and what to write instead."""

from __future__ import annotations

from pathlib import Path

import pytest

from installgen.errors import SpecErrors
from installgen.findings.check import check
from installgen.findings.registry import checks
from installgen.findings.rules import read_rules
from installgen.spec.edits import edited_library, read_edit
from installgen.spec.load import SpecLibrary
from installgen.spec.standard_spec import StandardSpec
from installgen.units import TemperatureDifference
from tests.analysis.specs import edited
from tests.findings.scenario_files import SPECS, analysed, judged

NEXT = """format: 1
builds_on: quenby-slip
standard: {id: quenby-slip-next, name: Proposed, yard: Quenby Slip, edition: "8", date: 2026-12-01}
stock:
  leave_out: [4/0 AWG, bolt-down]
  cables:
    - {size: 3 AWG, insulation: 105 °C, studs: [8 mm]}
assume:
  ambient: 45 °C
rules:
  - {check: circuit-drop, circuit: critical, limit: 1 %, severity: must, because: a proposal}
  - {check: house-bank, severity: not-used, because: decided by the owner}
colours:
  - {function: ignition, colour: violet}
"""


def _standard(*changes: str) -> StandardSpec:
    edits = [read_edit(f"standard.{text}", n) for n, text in enumerate(changes, start=1)]
    return edited_library(SpecLibrary.at(SPECS), edits).standard("quenby-slip")


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (
            "rules[circuit-drop critical].limit = 3 mm",
            "rules[1].limit: found `3 mm`, a length; expected a share such as 80 % or 2.5 % "
            "(units: %)",
        ),
        (
            "rules[circuit-drop critical].limit =",
            "rules[1].limit: found no `limit`; expected a share such as 80 % or 2.5 % (units: %)",
        ),
        (
            "rules[circuit-drop critical].check = circuit-dropp",
            "rules[1].check: found the check `circuit-dropp`; expected a check that there is; "
            "`installgen check --list` describes them; write `circuit-drop`",
        ),
        (
            "rules[circuit-drop critical].circuit = critcal",
            "rules[1].circuit: found `critcal`; expected one of critical, other; write `critical`",
        ),
        (
            "rules[hin-form].limit = 3 %",
            "found the limit `3 %`; expected no limit, for the check `hin-form` takes none",
        ),
        (
            "rules[hin-form].circuit = critical",
            "found `critical`; expected no `circuit`, for the check `hin-form` has no classes",
        ),
        (
            "rules[seacock-material].limit = 3 %, -",
            "found `3 %, -`; expected names with commas between them",
        ),
        (
            "rules[unknown-count].limit = few",
            "found `few`; expected a whole number such as `4`",
        ),
        (
            "required[vessel.hin].item = vessel.hinn",
            "required[1].item: found `vessel.hinn`, whose `hinn` no vessel spec has; expected "
            "one of `id`, `name`, `hin`",
        ),
    ],
)
def test_a_rule_that_cannot_be_read_says_where_and_what_instead(change: str, told: str) -> None:
    with pytest.raises(SpecErrors) as raised:
        read_rules(_standard(change))
    assert told in str(raised.value)


def test_a_second_rule_of_the_same_check_is_refused() -> None:
    with pytest.raises(SpecErrors, match="a second rule with the check `hin-form`"):
        _standard("rules[+] = {check: hin-form, severity: advice, because: twice}")


def test_every_check_describes_itself() -> None:
    for name, known in checks().items():
        assert known.summary.endswith("."), name
        assert known.summary[0].isupper(), name
        assert known.takes, name


def test_a_standard_builds_on_another(tmp_path: Path) -> None:
    specs = edited(tmp_path, {})
    (specs / "standards/quenby-slip-next.yaml").write_text(NEXT, "utf-8")
    library = SpecLibrary.at(specs)
    base, own = library.standard("quenby-slip"), library.standard("quenby-slip-next")
    limits = {(rule.check, rule.circuit): rule for rule in own.rules}
    assert limits["circuit-drop", "critical"].limit == "1 %"
    assert limits["circuit-drop", "other"].limit == "10 %"
    assert ("house-bank", "") not in limits
    assert len(own.rules) == len(base.rules) - 1
    places = [
        limits[key].where("limit") for key in [("circuit-drop", c) for c in ("critical", "other")]
    ]
    assert [place.file for place in places if place] == [
        "specs/standards/quenby-slip-next.yaml",
        "specs/standards/quenby-slip.yaml",
    ]
    sizes = {str(cable.size).replace("\N{NO-BREAK SPACE}", " ") for cable in own.stock.cables}
    assert "3 AWG" in sizes
    assert "4/0 AWG" not in sizes
    assert "bolt-down" not in {family.type for family in own.stock.fuses}
    assert own.assume.ambient is not None
    assert own.assume.ambient.c == 45
    assert own.assume.joint_resistance == base.assume.joint_resistance
    assert [c.colour for c in own.colours if c.function == "ignition"] == ["violet"]
    assert own.fuse_load == base.fuse_load
    vessel = library.vessel("brannock", "quenby-slip-next")
    assert [file for file in vessel.files if file.startswith("specs/standards/")] == [
        "specs/standards/quenby-slip-next.yaml",
        "specs/standards/quenby-slip.yaml",
    ]


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("builds_on: quenby-slip\n", "builds_on: quenby-slip-next\n", "a circle of standards"),
        ("builds_on: quenby-slip\n", "builds_on: quenby-slop\n", "write `quenby-slip`"),
        ("leave_out: [4/0 AWG", "leave_out: [4/00 AWG", "does not keep"),
    ],
)
def test_a_standard_that_builds_on_nothing_is_refused(
    tmp_path: Path, old: str, new: str, told: str
) -> None:
    specs = edited(tmp_path, {})
    assert old in NEXT
    (specs / "standards/quenby-slip-next.yaml").write_text(NEXT.replace(old, new), "utf-8")
    with pytest.raises(SpecErrors, match=told):
        SpecLibrary.at(specs).standard("quenby-slip-next")


def test_a_limit_near_its_figure_is_a_caution() -> None:
    """The radio loses 1.05 % at cruise: a limit of 1.1 % leaves less than a tenth of itself."""
    change = "standard.rules[circuit-drop critical]"
    found = judged("brannock", f"{change}.limit = 3 %", f"{change}.near = 1 %")
    assert {f.verdict for f in found.items if f.check == "circuit-drop"} == {"pass"}
    near = judged("brannock", f"{change}.limit = 3 %", f"{change}.near = 40 %")
    cautions = [f for f in near.items if f.check == "circuit-drop" and f.verdict == "caution"]
    assert cautions
    assert all((f.margin_share or 0.0) < 0.4 for f in cautions)


def test_warm_air_is_judged_at_its_worst_speed() -> None:
    """With a small blower it is too warm at every speed; rated is worst, against 15 K."""
    stuffy = analysed("brannock", "air[engine-space].blowers[1].flow = 1 m³/min")
    found = check(stuffy)
    (rise,) = [f for f in found.items if f.check == "air-rise"]
    speeds = ("idle", "cruise", "rated")
    rises = {}
    for speed in speeds:
        value = stuffy.book[f"air.engine-space.{speed}.rise"].value
        assert isinstance(value, TemperatureDifference)
        assert value.k > 15.0
        rises[speed] = value
    worst = max(rises, key=lambda speed: rises[speed].k)
    assert rise.verdict == "fail"
    assert rise.figure == rises[worst]
    assert rise.limit == TemperatureDifference(15.0)
    assert rise.sense == "at most"
    assert rise.name.endswith(f", {worst}")
