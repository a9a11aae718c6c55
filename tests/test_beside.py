"""The process beside a server: its answers, its errors, its end."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from installgen.beside import Beside

STARTS_ONE = """
import time
from installgen.beside import Beside
if __name__ == "__main__":
    beside = Beside()
    print(beside.begin(abs, -1)(), flush=True)
    print(beside._process.pid, flush=True)
    time.sleep(60)
"""


@pytest.fixture
def beside() -> Iterator[Beside]:
    made = Beside()
    yield made
    made._process.kill()
    made._process.join()


def test_it_answers_from_another_process(beside: Beside) -> None:
    answer = beside.begin(eval, "__import__('os').getpid()")
    assert answer is not None
    assert answer() == beside._process.pid != os.getpid()
    again = beside.begin(sorted, [2, 1])
    assert again is not None
    assert again() == [1, 2]


def test_it_takes_one_piece_of_work_at_a_time(beside: Beside) -> None:
    first = beside.begin(time.sleep, 0.5)
    assert first is not None
    assert beside.begin(abs, -1) is None
    first()
    second = beside.begin(abs, -1)
    assert second is not None
    assert second() == 1


def test_an_answer_that_nobody_took_is_not_another_ones(beside: Beside) -> None:
    assert beside.begin(abs, -1) is not None
    deadline = time.monotonic() + 30
    while (answer := beside.begin(abs, -2)) is None and time.monotonic() < deadline:
        time.sleep(0.01)
    assert answer is not None
    assert answer() == 2


def test_an_answer_that_was_taken_for_other_work_is_worked_out_again(beside: Beside) -> None:
    first = beside.begin(abs, -1)
    assert first is not None
    deadline = time.monotonic() + 30
    while (second := beside.begin(abs, -2)) is None and time.monotonic() < deadline:
        time.sleep(0.01)
    assert second is not None
    assert (first(), second()) == (1, 2)


def test_what_the_work_raises_is_raised_here(beside: Beside) -> None:
    answer = beside.begin(int, "no number")
    assert answer is not None
    with pytest.raises(ValueError, match="no number"):
        answer()


def test_where_the_process_is_lost_the_work_is_done_here(beside: Beside) -> None:
    ready = beside.begin(abs, -1)
    assert ready is not None
    ready()
    answer = beside.begin(len, "four")
    assert answer is not None
    beside._process.kill()
    beside._process.join()
    assert answer() == 4
    assert beside.begin(abs, -1) is None


def test_it_ends_with_the_program_that_started_it(tmp_path: Path) -> None:
    script = tmp_path / "starts_one.py"
    script.write_text(STARTS_ONE)
    with subprocess.Popen(
        [sys.executable, str(script)],
        stdout=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).parents[1],
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[1])},
    ) as program:
        assert program.stdout is not None
        assert program.stdout.readline().strip() == "1"
        pid = int(program.stdout.readline())
        program.send_signal(signal.SIGKILL)
    deadline = time.monotonic() + 30
    while runs(pid) and time.monotonic() < deadline:
        time.sleep(0.05)
    assert not runs(pid)


def runs(pid: int) -> bool:
    """Whether a process is alive, and not only waiting to be buried."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False
