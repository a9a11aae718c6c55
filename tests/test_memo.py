"""What is kept of an object goes with the object."""

from __future__ import annotations

import gc
from weakref import ref

from installgen.memo import once_for_each


class Thing:
    """Something to make words of."""


def test_it_is_made_once_for_each_object_and_forgotten_with_it() -> None:
    made: list[Thing] = []

    @once_for_each
    def words(thing: Thing) -> list[int]:
        made.append(thing)
        return [len(made)]

    first, second = Thing(), Thing()
    assert words(first) is words(first)
    assert words(second) == [2]
    assert len(made) == 2
    gone = ref(first)
    made.clear()
    del first
    gc.collect()
    assert gone() is None
    assert words(Thing()) == [1]
