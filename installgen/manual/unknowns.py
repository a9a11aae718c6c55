"""Fields in which somebody wrote `unknown`: counted, listed, never guessed."""

from __future__ import annotations

from installgen.analysis.results import Missing
from installgen.spec.entry import Unknown
from installgen.spec.vessel import Vessel, entries


def unknown_fields(vessel: Vessel) -> list[Missing]:
    """Every field of the vessel and of her engines, as fitted, that says `unknown`."""
    found = []
    for part in (vessel.spec, *(engine.sheet for engine in vessel.engines)):
        for entry in entries(part):
            for name in type(entry).model_fields:
                if isinstance(getattr(entry, name), Unknown):
                    place = Missing(
                        entry.path_to(name), entry.where(name), name.rstrip("_").replace("_", " ")
                    )
                    if place not in found:
                        found.append(place)
    return found
