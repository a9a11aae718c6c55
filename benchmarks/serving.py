"""How long after a spec is saved its pages are there, under `mkdocs serve`."""

import socket
import subprocess
import sys
import time
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen


def save_to_page_s(project: Path, runs: int) -> list[float]:
    """Seconds from each save of a vessel's spec until the browser is told to reload."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        address = f"127.0.0.1:{probe.getsockname()[1]}"
    command = [sys.executable, "-m", "mkdocs", "serve", "--dev-addr", address]
    spec = min((project / "specs" / "vessels").glob("*.yaml"))
    with subprocess.Popen(command, cwd=project, stderr=subprocess.DEVNULL) as server:
        try:
            seen = epoch(address, 0, server)
            seconds = []
            for run in range(runs):
                time.sleep(1)
                started = time.perf_counter()
                spec.write_text(f"{spec.read_text('utf-8')}# saved {run}\n", "utf-8")
                seen = epoch(address, seen, server)
                seconds.append(time.perf_counter() - started)
            return seconds
        finally:
            server.terminate()


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
