"""What the alternators give beyond the loads, for each part of the system they reach."""

from __future__ import annotations

from collections.abc import Sequence

from installgen.analysis.dc_cases import solved_id
from installgen.analysis.dc_joined import Joined, charged_groups
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.dc_sources import alternator_id
from installgen.analysis.dc_written import NETWORK
from installgen.analysis.results import Book, MissingInput, Working
from installgen.analysis.speeds import SpeedName
from installgen.calc.charging import surplus_a
from installgen.spec.electrical import Alternator, Gauge, Load
from installgen.spec.vessel import FittedEngine
from installgen.units import Current


def surplus_id(case_id: str, joined: Joined | None = None) -> str:
    """Id of a case's surplus or, with some joined banks, of theirs."""
    return ".".join(["dc", case_id, *(joined.banks if joined else ()), "surplus"])


def analyse_surplus(book: Book, model: DcModel, solved: Sequence[SolvedCase]) -> None:
    """Enter, where every engine runs at one speed, the loads and what is left beyond them."""
    for found in solved:
        speeds = {s.speed for _, s in found.case.states if s.state == "running" and s.speed}
        states = {s.state for _, s in found.case.states}
        if len(speeds) != 1 or states != {"running"}:
            continue
        speed = next(iter(speeds))
        with book.working(
            f"dc.{found.case.id}.load",
            f"Loads: {found.case.name}",
            "dc-power",
            formula="sum of current · share of the time it is on",
            source="load table",
            case=found.case.id,
            subject="loads",
        ) as w:
            loads = [name for name, item, _ in model.vessel.devices() if _takes(item)]
            w.value = Current(_mean_a(w, model, found, loads))
        groups = charged_groups(model, found)
        if len(groups) > 1:
            for joined in groups:
                _of_group(book, model, found, joined, speed)
        _of_case(book, model, found, groups, speed)


def _takes(device: object) -> bool:
    return isinstance(device, Load | Gauge)


def _mean_a(w: Working, model: DcModel, found: SolvedCase, loads: Sequence[str]) -> float:
    """Mean current of some loads over their duty [A]."""
    total = 0.0
    for device_id, device, _ in model.vessel.devices():
        result_id = f"dc.{found.case.id}.{device_id}.current"
        if device_id not in loads or result_id not in w.book:
            continue
        duty = (
            w.optional(device, "duty", f"duty of {device.title}")
            if isinstance(device, Load)
            else None
        )
        total += w.result(result_id).a * (1.0 if duty is None else duty.ratio)
    if total == 0.0:
        w.result(solved_id(found.case), "the case")
    return total


def _output_a(
    w: Working, alternators: Sequence[tuple[FittedEngine, Alternator]], speed: SpeedName
) -> float:
    outputs = (w.result(alternator_id(engine, item, speed)).a for engine, item in alternators)
    return float(sum(outputs))


def _of_group(
    book: Book, model: DcModel, found: SolvedCase, joined: Joined, speed: SpeedName
) -> None:
    """The surplus of alternators that reach some banks while others are not joined to them."""
    titles = {name: device.title for name, device, _ in model.vessel.devices()}
    with book.working(
        surplus_id(found.case.id, joined),
        f"Surplus on {' and '.join(titles[name] for name in joined.banks)}: {found.case.name}",
        "dc-power",
        formula="most the alternators that reach it give, hot − the loads that it feeds",
        source="sum of currents over what is joined in the case",
        case=found.case.id,
        subject="loads",
    ) as w:
        w.result(NETWORK)
        w.result(solved_id(found.case), "the case")
        fitted = [
            (engine, device)
            for name, device, engine in model.vessel.devices()
            if name in joined.alternators and isinstance(device, Alternator) and engine is not None
        ]
        output = _output_a(w, fitted, speed)
        w.value = Current(surplus_a(output, _mean_a(w, model, found, joined.loads)))


def _of_case(
    book: Book,
    model: DcModel,
    found: SolvedCase,
    groups: Sequence[Joined],
    speed: SpeedName,
) -> None:
    several = len(groups) > 1
    with book.working(
        surplus_id(found.case.id),
        f"Surplus of the alternators: {found.case.name}",
        "dc-power",
        formula=(
            "the least of the parts that nothing joins"
            if several
            else "most the alternators give, hot − loads"
        ),
        source="sum of currents",
        case=found.case.id,
        subject="loads",
    ) as w:
        if found.settled is None:
            raise MissingInput(found.reason, found.missing)
        if not groups:
            w.result(solved_id(found.case), "the case")
            raise MissingInput("no alternator reaches a bank in this case")
        if several:
            parts = [w.result(surplus_id(found.case.id, joined)).a for joined in groups]
            w.value = Current(min(parts))
            w.note("Nothing joins these banks in this case: what one has left helps no other.")
            return
        reaching = groups[0].alternators
        fitted = [
            (engine, device)
            for name, device, engine in model.vessel.devices()
            if name in reaching and isinstance(device, Alternator) and engine is not None
        ]
        output = _output_a(w, fitted, speed)
        w.value = Current(surplus_a(output, w.result(f"dc.{found.case.id}.load").a))
