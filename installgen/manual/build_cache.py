"""What one build made and the next one may use again, while `mkdocs serve` runs."""

from collections.abc import Callable, Hashable
from typing import TypeVar

Made = TypeVar("Made")


class BuildCache:
    """Remembers values under the text they were made from, from one build to the next.

    A key holds everything that the value depends on (file contents, not file names), so that a
    hit is always right. `start_build` forgets what the build before the last one made and the
    last one did not ask for.
    """

    def __init__(self) -> None:
        self._kept: dict[Hashable, object] = {}
        self._asked: dict[Hashable, object] = {}

    def start_build(self) -> None:
        """Begin a build: keep only what the build just ended asked for."""
        if self._asked:
            self._kept, self._asked = self._asked, {}

    def get(self, key: Hashable, make: Callable[[], Made]) -> Made:
        """The value kept under `key`, made by `make()` if there is none; errors are not kept."""
        if key in self._asked:
            return self._asked[key]  # type: ignore[return-value]
        value = self._kept[key] if key in self._kept else make()
        self._asked[key] = value
        return value  # type: ignore[return-value]
