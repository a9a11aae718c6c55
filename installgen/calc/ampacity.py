"""The current a conductor may carry for as long as it likes, where it lies and as it is bundled."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from installgen.calc.conductors import ConductorSize, SizeSystem, area_mm2, awg
from installgen.errors import OutOfRange, OutOfTable
from installgen.tables.electrical import (
    AwgAmpacity,
    BundlingFactor,
    EngineSpaceFactor,
    MetricAmpacity,
    awg_ampacities,
    awg_engine_space_factors,
    bundling_factors,
    recalled_metric_ampacities,
    recalled_metric_engine_space_factors,
)
from installgen.tables.loader import Mark, Table, TableRow, weakest


class AmpacityCaution(StrEnum):
    """What a reader must be told with an ampacity."""

    COOL_INSULATION_IN_ENGINE_SPACE = "insulation read as 60 °C in an engine space"
    LOWER_COLUMN = "read in the next temperature column below the insulation's rating"
    FROM_MEMORY = "the lower figure is from memory and not confirmed"
    ONE_TABLE_ONLY = "only one of the two tables covers this conductor"


@dataclass(frozen=True)
class MetricAmpacityTable:
    """A table of metric ampacities with its engine-space factors, in the edition a yard holds."""

    ampacities: Table[MetricAmpacity]
    engine_space_factors: Table[EngineSpaceFactor]


@dataclass(frozen=True)
class AmpacityFigure:
    """What one table says of a conductor.

    read_as: the row used, such as `2 AWG` for a conductor of 35 mm²
    column_c: temperature column used [°C]; never above the insulation's rating
    base_a: the table's figure [A]; the two ratios multiply it into `current_a`
    """

    read_as: str
    column_c: int
    base_a: float
    engine_space_ratio: float
    bundling_ratio: float
    sources: tuple[str, ...]
    mark: Mark

    @property
    def current_a(self) -> float:
        """The figure with both factors applied [A]."""
        return self.base_a * self.engine_space_ratio * self.bundling_ratio


@dataclass(frozen=True)
class Ampacity:
    """The current a conductor may carry, and every table's figure that was weighed.

    governing: the lowest of `considered`
    not_covered: why a table that was asked gave no figure
    """

    governing: AmpacityFigure
    considered: tuple[AmpacityFigure, ...]
    not_covered: tuple[str, ...]
    cautions: tuple[AmpacityCaution, ...]

    @property
    def current_a(self) -> float:
        """Allowable current [A]."""
        return self.governing.current_a


def ampacity(
    size: ConductorSize,
    insulation_c: float,
    *,
    in_engine_space: bool,
    bundled_conductors: int = 1,
    metric_table: MetricAmpacityTable | None = None,
) -> Ampacity:
    """Current a conductor may carry continuously.

    I = I_table · k_engine_space · k_bundling

    AWG is read in its own table. mm² and SAE are read as the largest AWG size of not more copper;
    for mm² the lower of that and of the metric table counts. A column above the insulation's rating
    is never used. A figure from memory never stands alone: then the conductor is not covered.

    insulation_c: temperature rating of the insulation [°C]
    in_engine_space: any part of it runs in an engine space (ambient air of 50 °C)
    bundled_conductors: current-carrying conductors that lie together, this one counted
    metric_table: the edition a yard holds; without it the table as recalled
    Returns the figure with all that was weighed [A]. Raises OutOfTable where no table covers it.
    Source: 33 CFR 183.425 Table 5; ISO 10133 and ISO 13297 Annex A as recalled.
    """
    if bundled_conductors < 1:
        raise OutOfRange("the number of bundled conductors", str(bundled_conductors), "1 and more")
    metric_table = metric_table or MetricAmpacityTable(
        recalled_metric_ampacities(), recalled_metric_engine_space_factors()
    )
    bundling = _bundling(bundled_conductors)
    considered: list[AmpacityFigure] = []
    not_covered: list[OutOfTable] = []
    try:
        considered.append(_awg_figure(size, insulation_c, in_engine_space, bundling))
    except OutOfTable as problem:
        not_covered.append(problem)
    if size.system is SizeSystem.METRIC:
        try:
            considered.append(
                _metric_figure(size, insulation_c, in_engine_space, bundling, metric_table)
            )
        except OutOfTable as problem:
            not_covered.append(problem)
    if not considered:
        raise not_covered[0]
    if all(figure.mark is Mark.MEMORY for figure in considered):
        raise OutOfTable(
            "ampacity",
            f"{size} of {insulation_c:g} °C insulation except from memory",
            "figures that can be confirmed",
        )
    governing = min(considered, key=lambda figure: figure.current_a)
    return Ampacity(
        governing,
        tuple(considered),
        tuple(str(problem) for problem in not_covered),
        tuple(_cautions(governing, insulation_c, in_engine_space, bool(not_covered))),
    )


def largest_awg_within(copper_mm2: float) -> ConductorSize:
    """The largest AWG size of not more copper than a given area.

    copper_mm2: [mm²]
    Returns an AWG size. Raises OutOfTable below 18 AWG.
    Source: ASTM B258 for the areas.
    """
    sizes = [awg(name) for name in dict.fromkeys(row.awg for row in awg_ampacities().rows)]
    fitting = [size for size in sizes if area_mm2(size) <= copper_mm2 * (1 + 1e-9)]
    if not fitting:
        raise OutOfTable(
            awg_ampacities().title, f"a conductor of {copper_mm2:.3g} mm²", f"{sizes[0]} and more"
        )
    return max(fitting, key=area_mm2)


def _cautions(
    governing: AmpacityFigure, insulation_c: float, in_engine_space: bool, one_table_only: bool
) -> Iterator[AmpacityCaution]:
    if in_engine_space and governing.column_c <= 60:
        yield AmpacityCaution.COOL_INSULATION_IN_ENGINE_SPACE
    # The metric table heads one column "85 to 90 °C"; it stands as 85 and is right for 90.
    if governing.column_c < insulation_c and not 85 <= governing.column_c < insulation_c <= 90:
        yield AmpacityCaution.LOWER_COLUMN
    if governing.mark is Mark.MEMORY:
        yield AmpacityCaution.FROM_MEMORY
    if one_table_only:
        yield AmpacityCaution.ONE_TABLE_ONLY


def _awg_figure(
    size: ConductorSize, insulation_c: float, in_engine_space: bool, bundling: BundlingFactor
) -> AmpacityFigure:
    read_as = size if size.system is SizeSystem.AWG else largest_awg_within(area_mm2(size))
    row = awg_ampacities().at_most("insulation_c", insulation_c, awg=read_as.designation)
    factors = awg_engine_space_factors() if in_engine_space else None
    return _figure(str(read_as), row.insulation_c, row.ampacity_a, row, factors, bundling)


def _metric_figure(
    size: ConductorSize,
    insulation_c: float,
    in_engine_space: bool,
    bundling: BundlingFactor,
    table: MetricAmpacityTable,
) -> AmpacityFigure:
    row = table.ampacities.at_most("insulation_c", insulation_c, area_mm2=area_mm2(size))
    factors = table.engine_space_factors if in_engine_space else None
    return _figure(str(size), row.insulation_c, row.ampacity_a, row, factors, bundling)


def _figure(
    read_as: str,
    column_c: int,
    base_a: float,
    row: MetricAmpacity | AwgAmpacity,
    factors: Table[EngineSpaceFactor] | None,
    bundling: BundlingFactor,
) -> AmpacityFigure:
    used: list[TableRow] = [row]
    ratio = 1.0
    if factors is not None:
        factor = factors.row(insulation_c=column_c)
        ratio = factor.factor_ratio
        used.append(factor)
    if bundling.factor_ratio != 1:
        used.append(bundling)
    return AmpacityFigure(
        read_as,
        column_c,
        base_a,
        ratio,
        bundling.factor_ratio,
        tuple(dict.fromkeys(item.source for item in used)),
        weakest(*(item.mark for item in used)),
    )


def _bundling(conductors: int) -> BundlingFactor:
    return bundling_factors().at_most("conductors_from", conductors)
