"""Demonstration specs with small edits, so that a test states only what matters to it."""

from __future__ import annotations

import re
import shutil
from collections.abc import Mapping
from pathlib import Path

from installgen.analysis.analyse import Analysis, analyse
from installgen.spec.load import SpecLibrary

SPECS = Path(__file__).parents[2] / "specs"

Edits = Mapping[str, list[tuple[str, str]]]


def edited(folder: Path, edits: Edits) -> Path:
    """A copy of the specs folder with texts replaced.

    edits: by file below the folder, such as `vessels/brannock`; each old text must be there
    """
    specs = folder / "specs"
    if not specs.exists():
        shutil.copytree(SPECS, specs)
    for name, changes in edits.items():
        path = specs / f"{name}.yaml"
        text = path.read_text("utf-8")
        for old, new in changes:
            assert old in text, f"{name} no longer says {old!r}"
            text = text.replace(old, new)
        path.write_text(text, "utf-8")
    return specs


def analysed(folder: Path, vessel: str, edits: Edits | None = None) -> Analysis:
    """A demonstration vessel, analysed after edits."""
    return analysed_in(edited(folder, edits or {}), vessel)


def analysed_in(specs: Path, vessel: str = "brannock") -> Analysis:
    """A vessel of a specs folder, analysed as the folder stands."""
    return analyse(SpecLibrary.at(specs).vessel(vessel))


def change_line(specs: Path, name: str, holding: str, old: str, new: str) -> None:
    """Replace a text in the one line that holds another text, such as `{label: S1,`."""
    path = specs / f"{name}.yaml"
    lines = path.read_text("utf-8").splitlines()
    found = [index for index, line in enumerate(lines) if holding in line]
    assert len(found) == 1, f"{holding!r} stands in {len(found)} lines of {name}"
    assert old in lines[found[0]], f"{old!r} is not in {lines[found[0]]!r}"
    lines[found[0]] = lines[found[0]].replace(old, new)
    path.write_text("\n".join(lines) + "\n", "utf-8")


def remove_line(specs: Path, name: str, holding: str) -> None:
    """Remove the one line that holds a text."""
    path = specs / f"{name}.yaml"
    lines = path.read_text("utf-8").splitlines()
    kept = [line for line in lines if holding not in line]
    assert len(kept) == len(lines) - 1, f"{holding!r} stands in {len(lines) - len(kept)} lines"
    path.write_text("\n".join(kept) + "\n", "utf-8")


def field(specs: Path, name: str, holding: str, key: str, value: str) -> None:
    """Give one key of a one-line entry another value, whatever it has now."""
    path = specs / f"{name}.yaml"
    lines = path.read_text("utf-8").splitlines()
    found = [index for index, line in enumerate(lines) if holding in line]
    assert len(found) == 1, f"{holding!r} stands in {len(found)} lines of {name}"
    line = re.sub(rf"(\b{key}: )[^,}}]+", lambda match: match[1] + value, lines[found[0]])
    assert line != lines[found[0]], f"no `{key}` in {lines[found[0]]!r}"
    lines[found[0]] = line
    path.write_text("\n".join(lines) + "\n", "utf-8")


def apart(specs: Path) -> None:
    """Make two systems of the twin's one: each bank's negative leads to its own engine only."""
    twin = "vessels/sallow"
    for holding in ("label: N1,", "label: PX1,", "label: PX2,", "label: PX3,", "label: PX4,"):
        remove_line(specs, twin, holding)
    for device in ("parallel-switch", "parallel-fuse-port", "parallel-fuse-starboard"):
        remove_line(specs, twin, f"id: {device},")
    for label, length in (("PE25", "3.1 m"), ("PE28", "3.9 m"), ("PE29", "6.9 m")):
        field(specs, twin, f"label: {label},", "to", "port-bank.negative")
        field(specs, twin, f"label: {label},", "length", length)


def insert(specs: Path, name: str, before: str, *lines: str) -> None:
    """Put lines before the one line that holds a text."""
    path = specs / f"{name}.yaml"
    text = path.read_text("utf-8").splitlines()
    found = [index for index, line in enumerate(text) if before in line]
    assert len(found) == 1, f"{before!r} stands in {len(found)} lines"
    text[found[0] : found[0]] = list(lines)
    path.write_text("\n".join(text) + "\n", "utf-8")


def emergency_stop(specs: Path) -> None:
    """A button that opens the ignition's way to the solenoid that is energised to run."""
    brannock = "vessels/brannock"
    insert(
        specs, brannock, "{id: charge-lamp,",
        "    - {id: emergency-button, kind: push-button, name: Emergency stop, "
        "code: SB9, contacts: [in, out], positions: {released: [[in, out]], pressed: []}, "
        "position_in: {emergency-stop: pressed}, place: wheelhouse}",
    )  # fmt: skip
    change_line(specs, brannock, "{label: E2,", "from: key.ignition", "from: emergency-button.out")
    insert(
        specs, brannock, "{label: E2,",
        "    - {label: E20, from: key.ignition, to: emergency-button.in, length: 0.3 m, "
        "size: 12 AWG, insulation: 105 °C, place: engine-space}",
    )  # fmt: skip


def emergency_button(specs: Path) -> None:
    """An emergency button of its own circuit feeds a solenoid that is energised to stop."""
    insert(
        specs, "vessels/pipit", "{id: stop-button,",
        "    - {id: emergency-button, kind: push-button, name: Emergency stop, code: SB9, "
        "contacts: [in, out], positions: {released: [], pressed: [[in, out]]}, "
        "position_in: {emergency-stop: pressed}, place: cockpit}",
    )  # fmt: skip
    insert(
        specs, "vessels/pipit", "{label: E1,",
        *(
            f"    - {{label: {label}, from: {start}, to: {end}, length: 2 m, size: 4 mm², "
            "insulation: 105 °C, place: engine-box}"
            for label, start, end in (
                ("E20", "key.battery", "emergency-button.in"),
                ("E21", "emergency-button.out", "engine.P1.4"),
            )
        ),
    )  # fmt: skip
