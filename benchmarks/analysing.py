"""How long the analysis of the fleet takes by itself."""

import statistics
import time
from pathlib import Path

from installgen.analysis.analyse import analyse
from installgen.spec.load import SpecLibrary


def analysis_s(specs_folder: Path, runs: int) -> float:
    """Seconds to analyse every vessel of the folder, once they are read; the middle of the runs."""
    vessels = SpecLibrary.at(specs_folder).vessels()
    seconds = []
    for _ in range(runs):
        started = time.perf_counter()
        for vessel in vessels:
            analyse(vessel)
        seconds.append(time.perf_counter() - started)
    return statistics.median(seconds)
