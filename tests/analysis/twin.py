"""A twin made of the reference build: two of its engines, each with a copy of its wiring."""

from __future__ import annotations

import copy
import re
from pathlib import Path
from typing import Any

import yaml

from installgen.analysis.analyse import Analysis, analyse
from installgen.spec.load import SpecLibrary
from tests.analysis.specs import edited

ENGINES = ("port", "starboard")
KEPT = ("format", "units", "standard", "places", "sea")


def twin(folder: Path) -> Path:
    """A specs folder with the vessel `twin`: energised-to-run engines `port` and `starboard`.

    Device `key` of the reference build is `port-key` and `starboard-key`, conductor `S1` is `PS1`
    and `SS1`; the negatives of the two batteries are joined by `N1`.
    """
    specs = edited(folder, {})
    single = yaml.safe_load((specs / "vessels/brannock.yaml").read_text("utf-8"))
    electrical = single["electrical"]
    ids = [device["id"] for device in electrical["devices"]]
    made: dict[str, Any] = {name: single[name] for name in KEPT}
    made["vessel"] = {**single["vessel"], "id": "twin", "name": "Twin"}
    made["vessel"].pop("earlier", None)
    made["engines"], devices, conductors = [], [], []
    for name in ENGINES:
        engine = {**copy.deepcopy(single["engines"][0]), "name": name, "at": name}
        engine.pop("alignment")
        made["engines"].append(engine)
        for device in electrical["devices"]:
            own = {**copy.deepcopy(device), "id": f"{name}-{device['id']}"}
            own["name"] = f"{name.capitalize()} {device['name']}"
            if "code" in own:
                own["code"] = f"{name[0].upper()}{own['code']}"
            if device["kind"] in ("key-switch", "isolator", "resistor") or "engine" in own:
                own["engine"] = name
            devices.append(own)
        for wire in electrical["conductors"]:
            own = {**wire, "label": f"{name[0].upper()}{wire['label']}"}
            for end in ("from", "to"):
                head, _, rest = wire[end].partition(".")
                own[end] = f"{name}-{head}.{rest}" if head in ids else f"{name}.{rest}"
            conductors.append(own)
    join = {
        "label": "N1",
        "from": "port-start-bank.negative",
        "to": "starboard-start-bank.negative",
    }
    like = next(wire for wire in electrical["conductors"] if wire["label"] == "S3")
    conductors.append({**like, **join, "function": "join the negatives"})
    made["electrical"] = {"system": electrical["system"], "devices": devices}
    made["electrical"]["conductors"] = conductors
    text = yaml.safe_dump(made, sort_keys=False, allow_unicode=True, width=4000)
    (specs / "vessels/twin.yaml").write_text(text, "utf-8")
    return specs


def analysed_twin(specs: Path) -> Analysis:
    """The twin, analysed."""
    return analyse(SpecLibrary.at(specs).vessel("twin"))


def change(specs: Path, device: str, old: str, new: str) -> None:
    """Replace a text in the entry of one device of the twin."""
    path = specs / "vessels/twin.yaml"
    head, entry, rest = re.split(
        rf"(?m)(^  - id: {device}\n(?:    .*\n)+)", path.read_text("utf-8")
    )
    assert old in entry, entry
    path.write_text(head + entry.replace(old, new) + rest, "utf-8")
