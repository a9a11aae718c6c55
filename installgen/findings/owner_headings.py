"""What stands under each heading of an owner's manual, and which of them nobody has filled."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import get_args

from installgen.spec.entry import known
from installgen.spec.owner_spec import HeadingName, OwnerHeading
from installgen.spec.vessel import Vessel

HEADINGS: tuple[HeadingName, ...] = get_args(HeadingName)


@dataclass(frozen=True)
class HeadingState:
    """One heading of the owner's manual.

    generated: whether the tool fills it from what is fitted
    entry: what the yard wrote for it; its own text stands beside what is generated
    """

    name: HeadingName
    generated: bool
    entry: OwnerHeading | None

    @property
    def missing(self) -> bool:
        """Whether nothing stands under it, not even why it does not apply."""
        return not self.generated and self.entry is None


def owner_headings(vessel: Vessel) -> tuple[HeadingState, ...]:
    """Every heading, in the order in which ISO 10240 asks for them."""
    written = {entry.heading: entry for entry in vessel.spec.owners_manual.headings}
    return tuple(
        HeadingState(name, name in _GENERATED and _GENERATED[name](vessel), written.get(name))
        for name in HEADINGS
    )


def _craft_data(vessel: Vessel) -> bool:
    hull = vessel.spec.vessel
    return known(hull.length) is not None and known(hull.beam) is not None


def _equipment(vessel: Vessel, *kinds: str) -> bool:
    return any(item.kind in kinds for item in vessel.spec.owners_manual.equipment)


_GENERATED: Mapping[HeadingName, Callable[[Vessel], bool]] = {
    "craft-data": _craft_data,
    "engine": lambda vessel: bool(vessel.engines),
    "hull-openings": lambda vessel: bool(vessel.spec.raw_water or vessel.spec.openings),
    "bilge": lambda vessel: _equipment(vessel, "bilge-pump", "hand-bilge-pump"),
    "fuel": lambda vessel: vessel.spec.fuel is not None,
    "fire-fighting": lambda vessel: _equipment(vessel, "fire-extinguisher", "fixed-extinguisher"),
    "electrical": lambda vessel: vessel.spec.electrical is not None,
}
