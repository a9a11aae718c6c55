"""What can be reached from where."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from typing import TypeVar

Place = TypeVar("Place", bound=Hashable)


def reached(ways: Mapping[Place, Iterable[Place]], starts: Iterable[Place]) -> set[Place]:
    """Every place that the ways lead to, the starts among them.

    ways: from a place to those next to it
    """
    found = set(starts)
    waiting = list(found)
    while waiting:
        for other in ways.get(waiting.pop(), ()):
            if other not in found:
                found.add(other)
                waiting.append(other)
    return found
