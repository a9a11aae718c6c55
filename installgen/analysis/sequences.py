"""One engine's own cases, from key off to every way of stopping it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from installgen.analysis.dc_solved import SolvedCase


def own_sequence(engine: str, solved: Iterable[SolvedCase]) -> list[SolvedCase]:
    """The cases in which one engine goes through its states and the others are off."""
    alone = [
        found
        for found in solved
        if all(state.state == "off" for name, state in found.case.states if name != engine)
    ]
    busy = [found for found in alone if found.case.state(engine).state != "off"]
    before = {found.case.after for found in busy}
    off = [found for found in alone if found not in busy]
    first = [found for found in off if found.case.id in before] or off[:1]
    return [*first[:1], *busy]


def can_be_followed(sequence: Sequence[SolvedCase]) -> bool:
    """Whether there is a sequence and every case of it could be solved as built."""
    return bool(sequence) and all(found.network is not None for found in sequence)
