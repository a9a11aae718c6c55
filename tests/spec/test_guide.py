"""The guide to writing a spec: its blocks load, and what it says of terminals is so."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from installgen.analysis.analyse import analyse
from installgen.findings.check import check
from installgen.spec.electrical import Device, DeviceBase
from installgen.spec.load import SpecLibrary
from installgen.spec.reader import read_text
from installgen.spec.vessel import Vessel
from tests.conftest import PROJECT

GUIDE = (PROJECT / "docs" / "writing-a-spec.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```yaml\n(.*?)^```", GUIDE, re.M | re.S)
PARTS = [block for block in BLOCKS if not block.startswith(("# by itself", "# twin"))]
TWIN = [block for block in BLOCKS if block.startswith("# twin")]


def _vessel(folder: Path, name: str, parts: list[str]) -> Vessel:
    """A vessel of the guide, with the demonstration's sheets and standard."""
    specs = folder / "specs"
    shutil.copytree(PROJECT / "specs", specs, ignore=shutil.ignore_patterns("vessels", "schema"))
    (specs / "vessels").mkdir()
    (specs / "vessels" / f"{name}.yaml").write_text("\n".join(parts), encoding="utf-8")
    (vessel,) = SpecLibrary.at(specs).vessels()
    return vessel


def test_the_twin_is_a_spec_that_loads_and_is_computed(tmp_path: Path) -> None:
    found = analyse(_vessel(tmp_path, "teal", TWIN))
    assert [engine.name for engine in found.vessel.engines] == ["port", "starboard"]
    for result in ("dc.port.cranking.port.starter.voltage", "port.raw-water.rated.flow"):
        assert found.book[result].value is not None
    findings = check(found, cures=False)
    judged = {f.id: f.verdict for f in findings.items}
    assert judged["reading-within/reading.1"] == "pass"
    assert judged["reading-within/reading.2"] == "pass"
    assert judged["neutral-start/port.gear"] == "pass"


def test_the_single_one_is_computed_and_her_exemption_covers(tmp_path: Path) -> None:
    findings = check(analyse(_vessel(tmp_path, "wend", PARTS)), cures=False)
    exempt = {f.id for f in findings.items if f.exempt}
    assert exempt == {"size-fitted/L1"}
    assert not [f for f in findings.items if f.check == "exemption-unused"]
    assert {f.verdict for f in findings.items if f.check == "reading-within"} == {"pass"}


def test_the_blocks_put_together_are_a_spec_that_loads(tmp_path: Path) -> None:
    vessel = _vessel(tmp_path, "wend", PARTS)
    assert vessel.name == "Wend"
    assert str(vessel.engine().sheet.build.mass) == "311 kg"
    assert vessel.spec.electrical is not None
    assert len(vessel.spec.electrical.conductors) == 15
    assert [piece.kind for piece in vessel.spec.raw_water[0].route].count("engine") == 2


@pytest.mark.parametrize("block", BLOCKS)
def test_every_block_is_read(block: str) -> None:
    assert read_text(block, "guide").entries


# The least that a device of each kind has to say, so that its terminals can be asked for.
SMALLEST = {
    "battery": "{voltage: 12 V, capacity: 90 Ah}",
    "isolator": "{rating: 250 A}",
    "fuse": "{rating: 10 A}",
    "breaker": "{rating: 10 A}",
    "relay": "{coil: {between: ['86', '85'], resistance: 70 ohm, pull_in: 7 V, drop_out: 2 V}, "
    "contacts: [{between: ['30', '87']}]}",
    "load": "{current: 1 A}",
    "resistor": "{resistance: 60 ohm}",
    "gauge": "{measures: speed}",
    "diode": "{drop: 0.7 V, drop_at: 10 A}",
    "starter": "{returns: case, voltage: 12 V, motor: {stalled_resistance: unknown, "
    "brush_drop: unknown, resistance: unknown, cranking_current: unknown, rpm_per_volt: unknown}, "
    "pull_in_winding: {resistance: unknown}, hold_in_winding: {resistance: unknown}}",
    "alternator": "{voltage: 12 V, rated: 90 A, set_voltage: 14.2 V, pulley_ratio: 2:1, "
    "sense: internal}",
    "stop-solenoid": "{acts: energised-to-stop, windings: single}",
    "glow-plugs": "{current: 30 A}",
    "air-heater": "{current: 30 A}",
    "sender": "{measures: pressure}",
    "alarm-switch": "{measures: pressure, operates: falling, closed_in: []}",
    "speed-pickup": "{}",
}
OWN = {"key-switch", "push-button", "toggle-switch", "bus", "plug"}


def device(kind: str) -> DeviceBase:
    given = read_text(f"a: {SMALLEST[kind]}\n", "guide").plain()["a"]
    assert isinstance(given, dict)
    read: DeviceBase = TypeAdapter(Device).validate_python({"id": "a", "kind": kind, **given})
    return read


def told_of_terminals() -> dict[str, str]:
    section = GUIDE.split("### Devices and their terminals")[1].split("###")[0]
    told: dict[str, str] = {}
    for row in re.findall(r"^\| (`.*?) \| (.*) \|$", section, re.M):
        told |= dict.fromkeys(re.findall(r"`([^`]+)`", row[0]), row[1])
    return told


def test_every_kind_of_device_is_in_the_table() -> None:
    schema = TypeAdapter(Device).json_schema()
    assert set(told_of_terminals()) == set(schema["discriminator"]["mapping"])
    assert set(SMALLEST) | OWN == set(told_of_terminals())


@pytest.mark.parametrize("kind", sorted(SMALLEST))
def test_the_table_tells_the_terminals_of(kind: str) -> None:
    first = told_of_terminals()[kind].split(";")[0]
    assert tuple(re.findall(r"`([^`]+)`", first)) == device(kind).terminals
