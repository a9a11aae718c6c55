"""What a check of a whole yard costs: its vessels are made from a demonstration vessel."""

import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

VESSEL = "brannock"
LENGTHS = ("1.30 m", "1.35 m", "1.40 m", "1.25 m", "1.20 m")
"""Of her starter cable: no vessel is the same as the one before her."""


@dataclass(frozen=True)
class FleetCost:
    """One check of so many vessels: on the clock, and of the processors."""

    vessels: int
    seconds: float
    processor_seconds: float

    @property
    def per_hundred(self) -> float:
        """Seconds on the clock for a hundred vessels."""
        return self.seconds * 100 / self.vessels


def fleet_cost(project: Path, vessels: int) -> FleetCost:
    """`installgen check` over so many generated vessels, start-up included."""
    with tempfile.TemporaryDirectory() as folder:
        specs = generated(project / "specs", Path(folder, "specs"), vessels)
        before = _processor_seconds()
        started = time.perf_counter()
        command = [sys.executable, "-m", "installgen", "--specs", str(specs), "check", "--by-rule"]
        answer = subprocess.run(command, check=False, capture_output=True, text=True, cwd=project)
        seconds = time.perf_counter() - started
        if answer.returncode not in (0, 1):
            raise SystemExit(f"the check of {vessels} vessels came to nothing:\n{answer.stderr}")
        judged = set(re.findall(r"hull-\d{4}", answer.stdout))
        if len(judged) != vessels:
            raise SystemExit(f"{len(judged)} of {vessels} vessels were judged")
        return FleetCost(vessels, seconds, _processor_seconds() - before)


def _processor_seconds() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def generated(source: Path, target: Path, vessels: int) -> Path:
    """A specs folder with vessels like the demonstration's, each a little different."""
    shutil.copytree(source, target, ignore=shutil.ignore_patterns("vessels", "schema", "earlier"))
    (target / "vessels").mkdir()
    text = (source / "vessels" / f"{VESSEL}.yaml").read_text("utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("  earlier:")]
    for number in range(1, vessels + 1):
        name = f"hull-{number:04d}"
        length = LENGTHS[number % len(LENGTHS)]
        own = "\n".join(
            line.replace("length: 1.3 m", f"length: {length}") if "{label: S2," in line else line
            for line in lines
        ).replace(f"id: {VESSEL}\n", f"id: {name}\n")
        (target / "vessels" / f"{name}.yaml").write_text(own + "\n", "utf-8")
    return target
