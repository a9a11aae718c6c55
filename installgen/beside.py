"""One process beside this one, that is given a piece of work before its answer is needed."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable
from multiprocessing import get_context
from multiprocessing.connection import Connection
from typing import Any, TypeVar

Question = TypeVar("Question")
Answer = TypeVar("Answer")


class Beside:
    """A second process that does one piece of work at a time, for a program that goes on serving.

    What is handed over and back is copied, so it has to be plain values. The process ends with
    this one, however this one ends: it then has nobody to listen to.
    """

    def __init__(self) -> None:
        context = get_context("spawn")
        self._here, there = context.Pipe()
        self._process = context.Process(target=_serve, args=(there,), daemon=True)
        self._process.start()
        there.close()
        self._busy = False
        self._begun = 0

    def begin(
        self, work: Callable[[Question], Answer], question: Question
    ) -> Callable[[], Answer] | None:
        """Hand work over. Returns what waits for its answer; nothing where there is no free hand.

        What is returned does the work itself where the other process was lost, and raises what
        the work raises.
        """
        if self._busy and self._here.poll():
            self._take()  # of work that nobody waited for
        if self._busy or not self._process.is_alive():
            return None
        try:
            self._here.send((work, question))
        except OSError:
            return None
        self._busy = True
        self._begun += 1
        number = self._begun

        def answer() -> Answer:
            if number != self._begun:  # it was taken when other work was begun
                return work(question)
            try:
                made: Answer = self._take()
            except (EOFError, OSError):
                return work(question)
            return made

        return answer

    def _take(self) -> Any:
        self._busy = False
        made, error = self._here.recv()
        if error is not None:
            raise error
        return made


def second_process() -> Beside | None:
    """A process beside this one, where the machine has a core for it."""
    return Beside() if (os.cpu_count() or 1) > 1 else None


def _serve(there: Connection) -> None:
    """Work until the other side is gone; an interrupt from the keyboard is the other side's."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    while True:
        try:
            work, question = there.recv()
        except EOFError:
            return
        answer: tuple[Any, Exception | None]
        try:
            answer = work(question), None
        except Exception as error:  # it is raised where the answer is taken
            answer = None, error
        try:
            there.send(answer)
        except OSError:
            return
