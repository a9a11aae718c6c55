"""What one build made and the next one may use again, while `mkdocs serve` runs."""

from collections.abc import Callable, Hashable
from typing import TypeVar, cast

Made = TypeVar("Made")


class BuildCache:
    """Remembers values by what they were made from, from one build to the next.

    A key holds everything that the value depends on (the text of the files, not their names), so
    that a hit is always right.
    """

    def __init__(self) -> None:
        self._earlier: dict[Hashable, object] = {}
        self._asked: dict[Hashable, object] = {}

    def get(self, key: Hashable, make: Callable[[], Made]) -> Made:
        """The value remembered for `key`, else `make()`; what `make` raises is not remembered."""
        if key not in self._asked:
            self._asked[key] = self._earlier[key] if key in self._earlier else make()
        return cast(Made, self._asked[key])

    def forget_unused(self) -> None:
        """After a build that went through: forget what it did not ask for."""
        self._earlier, self._asked = self._asked, {}
