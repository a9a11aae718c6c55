"""How long after a spec is saved its pages are there, under `mkdocs serve`."""

import re
import socket
import subprocess
import sys
import time
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

LENGTH = re.compile(r"(label: E\d+, .*?length: )([\d.]+) m")


def save_to_page_s(project: Path, runs: int) -> tuple[list[float], list[float]]:
    """Seconds from each change of a conductor's length until the browser is told to reload.

    Returns those to the first time, when all pages are new but those on faults, revisions and
    sisters, and those to the second, when these are too.
    """
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        address = f"127.0.0.1:{probe.getsockname()[1]}"
    command = [sys.executable, "-m", "mkdocs", "serve", "--dev-addr", address]
    spec = min((project / "specs" / "vessels").glob("*.yaml"))
    with subprocess.Popen(command, cwd=project, stderr=subprocess.DEVNULL) as server:
        try:
            seen = epoch(address, 0, server)
            first: list[float] = []
            second: list[float] = []
            for _ in range(runs):
                time.sleep(1)
                started = time.perf_counter()
                spec.write_text(LENGTH.sub(longer, spec.read_text("utf-8"), count=1), "utf-8")
                for seconds in (first, second):
                    seen = epoch(address, seen, server)
                    seconds.append(time.perf_counter() - started)
            return first, second
        finally:
            server.terminate()


def longer(found: re.Match[str]) -> str:
    """A conductor a little longer."""
    return f"{found[1]}{float(found[2]) * 1.03:.3f} m"


def epoch(address: str, after: int, server: "subprocess.Popen[bytes]") -> int:
    """The state of the site once it is newer than `after`; the server answers when it is."""
    while server.poll() is None:
        try:
            with urlopen(f"http://{address}/livereload/{after}/0", timeout=90) as answer:
                if (found := int(answer.read())) > after:
                    return found
        except URLError:
            time.sleep(0.1)
    raise SystemExit("`mkdocs serve` stopped")
