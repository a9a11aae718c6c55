"""How often Python looks for objects that keep each other alive."""

from __future__ import annotations

import gc

OBJECTS_BETWEEN = (50_000, 20, 100)


def keep_what_is_there() -> None:
    """Collect what is dead, then never again walk what is alive.

    For a program that goes on adding results that it keeps: each later collection would walk all
    that came before, and the work would grow with its square.
    """
    gc.collect()
    gc.freeze()


def collect_seldom() -> None:
    """Collect a hundred times less often than Python does, for a program that owns its process.

    A vessel's results and pages are millions of objects that live to the end. To walk them again
    and again took a quarter of a build's time and freed next to nothing.
    """
    gc.set_threshold(*OBJECTS_BETWEEN)
