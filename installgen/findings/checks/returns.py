"""Ways back to the battery: what small conductors carry when a main negative comes loose."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from installgen.analysis.conductors import ampacity_id
from installgen.analysis.dc_returns import LooseNegative, Return
from installgen.findings.judgement import About, Judgement, holds, not_assessed, with_care
from installgen.findings.registry import named_check
from installgen.findings.survey import Survey
from installgen.spec.electrical import Starter
from installgen.spec.entry import Entry
from installgen.units import Current, show


@named_check("start-run-stop")
def parallel_negatives(survey: Survey) -> Iterator[Judgement]:
    """With a main negative loose no small conductor takes the starter's current.

    Each main negative is broken while the starter pulls; the instruments' negative, bonding,
    control cables and the other engine's negative then carry what they can. What carries more than
    it may, or is no conductor at all, is a caution: it gets hot, and no fuse stands in it.
    """
    dc = survey.analysis.dc
    electrical = survey.vessel.spec.electrical
    if dc is None or electrical is None:
        return
    if survey.cases and all(found.settled is None for found in survey.cases):
        about = About("cases", "main negatives", ((electrical, ""),))
        yield not_assessed(about, survey.cases[0].reason, survey.cases[0].missing)
        return
    told = {loose.engine for loose in dc.loose}
    for device_id, device, engine in survey.devices:
        if isinstance(device, Starter) and engine is not None and engine.name not in told:
            about = About(device_id, f"main negatives of {engine.name}", ((device, ""),))
            yield not_assessed(
                replace(about, engine=engine.name),
                "in no solved case does one way back carry more than half of the starter's current",
            )
    for loose in dc.loose:
        small = [way for way in loose.returns if loose.too_much(survey.book, way) is not False]
        small.sort(key=lambda way: way.wire is not None and way.wire.engine is not None)
        at: list[tuple[Entry | None, str]] = [
            (way.entry, "size" if way.wire is not None else "touches") for way in small
        ]
        label = loose.main.wire.label
        about = About(
            f"{loose.engine}.{loose.main.element}",
            f"main negative {label} of {loose.engine}",
            (*at, (loose.main.wire, "from_")),
            loose.engine,
            loose.case.case.id,
        )
        asked = "no small conductor takes the starter's current"
        if not small:
            yield holds(True, "no small conductor takes it", asked, about)
            continue
        found = with_care(_told(survey, loose, small), asked, about)
        yield found.because(
            f"keep the joints of {label} tight and on studs of their own; a second negative of its "
            "size from block to battery takes the current over"
        )


def _told(survey: Survey, loose: LooseNegative, small: list[Return]) -> str:
    """Which ways carry how much, and what each may: `with S3 loose E12 carries 212 A …`."""
    units = survey.vessel.spec.units.first
    parts = []
    for way in small:
        carries = show(Current(way.current_a), units)
        parts.append(f"{way.label} carries {carries} ({_allowed(survey, way)})")
    return f"with {loose.main.wire.label} loose " + ", ".join(parts)


def _allowed(survey: Survey, way: Return) -> str:
    if way.wire is None:
        return "is no conductor"
    may = survey.book.get(ampacity_id(way.element))
    if may is None or not isinstance(may.value, Current):
        return "what it may carry is not assessed"
    return f"may carry {show(may.value, survey.vessel.spec.units.first)}"
