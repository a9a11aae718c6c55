"""The guide to writing a spec: its blocks load, and what it says of terminals is so."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from installgen.spec.electrical import Device, DeviceBase
from installgen.spec.load import SpecLibrary
from installgen.spec.reader import read_text
from tests.conftest import PROJECT

GUIDE = (PROJECT / "docs" / "writing-a-spec.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```yaml\n(.*?)^```", GUIDE, re.M | re.S)
PARTS = [block for block in BLOCKS if not block.startswith("# by itself")]


def test_the_blocks_put_together_are_a_spec_that_loads(tmp_path: Path) -> None:
    specs = tmp_path / "specs"
    shutil.copytree(PROJECT / "specs", specs, ignore=shutil.ignore_patterns("vessels", "schema"))
    (specs / "vessels").mkdir()
    (specs / "vessels" / "wend.yaml").write_text("\n".join(PARTS), encoding="utf-8")
    (vessel,) = SpecLibrary.at(specs).vessels()
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
