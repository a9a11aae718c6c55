"""What each stocked size means for one conductor: resistance, ampacity, minimum, protection."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from installgen.calc.ampacity import Ampacity, MetricAmpacityTable, ampacity
from installgen.calc.conductors import (
    ConductorSize,
    Finish,
    MinimumSize,
    area_mm2,
    conductor_resistance_ohm,
    mechanical_minimum,
)
from installgen.calc.least_copper import TOLERANCE
from installgen.calc.protection import RatingRule, choose_rating, rating_window
from installgen.errors import OutOfTable


class Criterion(StrEnum):
    """What a size has to satisfy; the stock governs when even its smallest size does."""

    DROP = "voltage drop"
    AMPACITY = "ampacity"
    PROTECTION = "protection"
    MINIMUM = "mechanical minimum"
    STOCK = "smallest size in stock"


@dataclass(frozen=True)
class DeviceNeed:
    """The protective device of a piece: fitted, or to be chosen from the stock.

    load_a: continuous current through it [A]
    fitted_a: rating of the device that is there; None when it is to be chosen [A]
    stocked_a: ratings to choose from [A]
    """

    load_a: float
    rule: RatingRule
    fitted_a: float | None = None
    stocked_a: tuple[float, ...] = ()


@dataclass(frozen=True)
class OpenPiece:
    """A conductor whose size is to be chosen.

    label: as the schedule names it; unlike every other
    length_m: one way, above zero [m]; temperature_c: of the conductor at work [°C]
    current_a: by case; a case that is not named carries nothing; direction does not matter [A]
    carries_a: continuous current for ampacity; None where the rule exempts it (cranking) [A]
    stocked: sizes the yard keeps for this use, in any order
    insulation_c … bundled_conductors: as in `ampacity`; in_sheath: as in `mechanical_minimum`
    device: None where no device protects it or none is asked
    group: pieces of one group get one size, as the cores of a cable do; empty for a piece alone
    """

    label: str
    length_m: float
    temperature_c: float
    current_a: Mapping[str, float]
    carries_a: float | None
    stocked: tuple[ConductorSize, ...]
    insulation_c: float
    in_engine_space: bool
    in_sheath: bool = False
    bundled_conductors: int = 1
    finish: Finish = Finish.PLAIN
    device: DeviceNeed | None = None
    group: str = ""


@dataclass(frozen=True)
class SizeJudgement:
    """One stocked size in one piece.

    resistance_ohm: at working temperature; None without a published figure [ohm]
    ampacity, minimum: None where not asked or, for ampacity, not covered by any table
    device_a: rating fitted or chosen; None without a device or where no rating fits [A]
    fails: criteria the size fails by itself; the drop belongs to the path and is not among them
    not_covered: why a figure is missing; empty when none is
    """

    size: ConductorSize
    copper_mm2: float
    resistance_ohm: float | None
    ampacity: Ampacity | None
    minimum: MinimumSize
    device_a: float | None
    fails: tuple[Criterion, ...]
    not_covered: str


def judge_sizes(
    piece: OpenPiece, metric_table: MetricAmpacityTable | None
) -> tuple[SizeJudgement, ...]:
    """Judge every stocked size of a piece by itself, by rising copper.

    metric_table: as in `ampacity`
    Returns one judgement for each size. Raises OutOfTable for a size its system does not have.
    Source: as in `conductor_resistance_ohm`, `ampacity`, `mechanical_minimum`, `rating_window`.
    """
    sizes = sorted(dict.fromkeys(piece.stocked), key=lambda size: (area_mm2(size), str(size)))
    return tuple(_judge_size(piece, size, metric_table) for size in sizes)


def _judge_size(
    piece: OpenPiece, size: ConductorSize, metric_table: MetricAmpacityTable | None
) -> SizeJudgement:
    not_covered: list[str] = []
    resistance_ohm: float | None = None
    try:
        resistance_ohm = conductor_resistance_ohm(
            size, piece.length_m, piece.temperature_c, piece.finish
        )
    except OutOfTable as problem:
        not_covered.append(str(problem))
    allowed: Ampacity | None = None
    if piece.carries_a is not None or piece.device is not None:
        try:
            allowed = ampacity(
                size,
                piece.insulation_c,
                in_engine_space=piece.in_engine_space,
                bundled_conductors=piece.bundled_conductors,
                metric_table=metric_table,
            )
        except OutOfTable as problem:
            not_covered.append(str(problem))
    allowed_a = allowed.current_a if allowed else 0.0
    minimum = mechanical_minimum(size, piece.in_sheath)
    device_a = _device_a(piece.device, allowed_a) if piece.device else None
    fails: list[Criterion] = []
    if piece.carries_a is not None and abs(piece.carries_a) > allowed_a * (1 + TOLERANCE):
        fails.append(Criterion.AMPACITY)
    if piece.device is not None and device_a is None:
        fails.append(Criterion.PROTECTION)
    if not minimum.met:
        fails.append(Criterion.MINIMUM)
    return SizeJudgement(
        size,
        area_mm2(size),
        resistance_ohm,
        allowed,
        minimum,
        device_a,
        tuple(fails),
        "; ".join(dict.fromkeys(not_covered)),
    )


def _device_a(device: DeviceNeed, ampacity_a: float) -> float | None:
    """The rating that protects a conductor of this ampacity, or None when none does."""
    window = rating_window(device.load_a, ampacity_a, device.rule)
    if device.fitted_a is None:
        return choose_rating(window, device.stocked_a)
    return device.fitted_a if device.fitted_a <= window.largest_a * (1 + TOLERANCE) else None
