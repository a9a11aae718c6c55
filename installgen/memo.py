"""What is made of an object once and kept as long as the object is."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar
from weakref import ref

Source = TypeVar("Source")
Made = TypeVar("Made")


def once_for_each(make: Callable[[Source], Made]) -> Callable[[Source], Made]:
    """Keep what a function makes of an object that never changes, for as long as it lives.

    Objects count by identity, for such as hold a whole vessel are slow to compare. Nobody may
    change what is kept.
    """
    kept: dict[int, tuple[ref[Source], Made]] = {}

    @wraps(make)
    def made_once(source: Source) -> Made:
        name = id(source)
        if name not in kept:
            kept[name] = (ref(source, lambda _: kept.pop(name, None)), make(source))
        return kept[name][1]

    return made_once
