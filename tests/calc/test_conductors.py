"""Resistance, drop, ampacity and the mechanical minimum: their rules, and where they refuse."""

import math
from dataclasses import replace

import pytest

from installgen.calc.ampacity import (
    AmpacityCaution,
    MetricAmpacityTable,
    ampacity,
    largest_awg_within,
)
from installgen.calc.conductors import (
    ConductorSize,
    Finish,
    SizeSystem,
    area_cmil,
    area_mm2,
    awg,
    awg_diameter_mm,
    circular_mils_for_drop,
    conductor_resistance_ohm,
    mechanical_minimum,
    metric,
    sae,
    size_resistance,
    small_craft_drop_v,
    temperature_ratio,
    voltage_drop_v,
)
from installgen.errors import OutOfRange, OutOfTable
from installgen.tables.electrical import (
    MetricAmpacity,
    recalled_metric_ampacities,
    recalled_metric_engine_space_factors,
)
from installgen.tables.loader import Mark, Table

AWG_SIZES = ("18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")


def test_sizes_print_as_the_trade_names_them() -> None:
    assert [str(size) for size in (awg("2/0"), sae("2/0"), metric(70), metric(2.5))] == [
        "2/0 AWG",
        "2/0 SAE",
        "70 mm²",
        "2.5 mm²",
    ]


def test_the_three_systems_stay_apart() -> None:
    """2/0 is 67.4 mm² in AWG (B258), 63.4 mm² in SAE (125 100 circular mils), never 70 mm²."""
    assert area_mm2(awg("2/0")) == pytest.approx(67.43, abs=0.005)
    assert area_mm2(sae("2/0")) == pytest.approx(63.39, abs=0.005)
    assert area_mm2(metric(70)) == 70
    # 0.0967 ohm/kft at 75 °C; 17.241 · 1.02 / 63.39 ohm/km; 0.272 ohm/km: three figures, by hand.
    ohm = [size_resistance(s).ohm_per_m_20c for s in (awg("2/0"), sae("2/0"), metric(70))]
    assert ohm == pytest.approx([0.2609e-3, 0.2774e-3, 0.272e-3], rel=1e-3)


@pytest.mark.parametrize(
    "size",
    [
        awg("00"),
        awg("5/0"),
        awg("012"),
        awg("-1"),
        awg("0"),
        awg("41"),
        awg(""),
        awg("ten"),
        awg("²"),
        sae("3"),
        sae("0"),
        metric(5),
        metric(300),
        ConductorSize(SizeSystem.METRIC, "thick"),
        ConductorSize(SizeSystem.METRIC, "nan"),
    ],
    ids=str,
)
def test_a_size_that_does_not_exist(size: ConductorSize) -> None:
    with pytest.raises(OutOfTable):
        area_mm2(size)


def test_a_size_without_a_resistance() -> None:
    """5 AWG exists; nobody prints its stranded resistance, so none is made up."""
    assert area_cmil(awg("5")) == pytest.approx(33100, rel=1e-3)
    with pytest.raises(OutOfTable, match="awg 5"):
        size_resistance(awg("5"))
    with pytest.raises(OutOfTable, match="4 SAE, tinned"):
        size_resistance(sae("4"), Finish.TINNED)


def test_every_resistance_tells_its_source() -> None:
    assert size_resistance(metric(35)).mark is Mark.SEEN
    assert "IEC 60228" in size_resistance(metric(35)).source
    assert size_resistance(awg("2")).mark is Mark.SEEN_2ND
    assert "NFPA 70" in size_resistance(awg("2")).source


@pytest.mark.parametrize("finish", list(Finish))
def test_resistance_falls_with_size(finish: Finish) -> None:
    ohms = [size_resistance(awg(size), finish).ohm_per_m_20c for size in AWG_SIZES]
    assert ohms == sorted(ohms, reverse=True)


def test_resistance_by_hand() -> None:
    """2.5 m of 35 mm² class 5 at 60 °C: 0.554e-3 · 2.5 · (1 + 0.00393 · 40) ohm."""
    expected = 0.554e-3 * 2.5 * (1 + 0.00393 * 40)
    assert conductor_resistance_ohm(metric(35), 2.5, 60) == pytest.approx(expected, rel=1e-12)
    assert voltage_drop_v(100, expected) == pytest.approx(100 * expected)
    assert temperature_ratio(75) == pytest.approx(1.21615, abs=5e-6)


@pytest.mark.parametrize("length_m", [-1.0, math.nan, math.inf])
def test_lengths_that_are_refused(length_m: float) -> None:
    with pytest.raises(OutOfRange, match="length"):
        conductor_resistance_ohm(metric(35), length_m, 60)


def test_other_refusals() -> None:
    for temperature_c in (-51.0, 251.0, math.nan):
        with pytest.raises(OutOfRange, match="temperature"):
            temperature_ratio(temperature_c)
    for drop_v in (0.0, -1.0, math.nan):
        with pytest.raises(OutOfRange, match="drop"):
            circular_mils_for_drop(10, 6, drop_v)
    with pytest.raises(OutOfRange, match="area"):
        small_craft_drop_v(1, 1, 0)
    with pytest.raises(OutOfTable):
        awg_diameter_mm("1e1")


# Mechanical minimum: 33 CFR 183.425 (d), (e): 16 AWG alone, 18 in a sheath; ISO 10133 7.7: 1 and
# 0.75 mm². SAE cable needs the copper of the AWG rule.
@pytest.mark.parametrize(
    ("size", "in_sheath", "met"),
    [
        (awg("16"), False, True),
        (awg("18"), False, False),
        (awg("18"), True, True),
        (awg("20"), True, False),
        (metric(1), False, True),
        (metric(0.75), False, False),
        (metric(0.75), True, True),
        (metric(0.5), True, False),
        (sae("16"), False, False),
        (sae("14"), False, True),
        (sae("18"), True, False),
        (sae("16"), True, True),
    ],
    ids=str,
)
def test_mechanical_minimum(size: ConductorSize, in_sheath: bool, met: bool) -> None:
    assert mechanical_minimum(size, in_sheath).met is met


def test_metric_ampacity_is_the_lower_of_two() -> None:
    """35 mm²: 2 AWG (33.6 mm²) is the largest AWG of not more copper; the lower figure counts."""
    cool = ampacity(metric(35), 60, in_engine_space=False)
    assert [figure.base_a for figure in cool.considered] == [140, 87]
    assert cool.current_a == 87
    assert cool.governing.mark is Mark.MEMORY
    assert AmpacityCaution.FROM_MEMORY in cool.cautions
    warm = ampacity(metric(16), 105, in_engine_space=False)
    assert [figure.base_a for figure in warm.considered] == [120, 130]
    assert warm.governing.read_as == "6 AWG"
    assert warm.cautions == ()


def test_sae_cable_is_read_as_an_awg_of_not_more_copper() -> None:
    """2/0 SAE has 63.4 mm²: 1/0 AWG (53.5 mm²) counts, 285 A at 105 °C, not the 330 A of 2/0."""
    allowed = ampacity(sae("2/0"), 105, in_engine_space=False)
    assert (allowed.governing.read_as, allowed.current_a) == ("1/0 AWG", 285)


def test_insulation_between_two_columns_takes_the_lower() -> None:
    allowed = ampacity(awg("10"), 70, in_engine_space=False)
    assert (allowed.governing.column_c, allowed.current_a) == (60, 40)
    assert allowed.cautions == (AmpacityCaution.LOWER_COLUMN,)
    metric_90 = ampacity(metric(50), 90, in_engine_space=False)
    assert [figure.column_c for figure in metric_90.considered] == [90, 85]  # "85 to 90 °C"
    assert AmpacityCaution.LOWER_COLUMN not in metric_90.cautions


def test_cool_insulation_in_an_engine_space_is_told() -> None:
    allowed = ampacity(awg("10"), 60, in_engine_space=True)
    assert allowed.current_a == pytest.approx(40 * 0.58)
    assert AmpacityCaution.COOL_INSULATION_IN_ENGINE_SPACE in allowed.cautions


def test_factors_multiply() -> None:
    """10 AWG 105 °C, engine space, four together: 60 · 0.85 · 0.60 = 30.6 A (UL 1426 table)."""
    allowed = ampacity(awg("10"), 105, in_engine_space=True, bundled_conductors=4)
    assert allowed.current_a == pytest.approx(30.6)
    assert allowed.governing.mark is Mark.SEEN_2ND
    assert len(allowed.governing.sources) == 3


@pytest.mark.parametrize(
    ("conductors", "ratio"),
    [(1, 1.0), (2, 1.0), (3, 0.7), (4, 0.6), (6, 0.6), (7, 0.5), (24, 0.5), (25, 0.4), (99, 0.4)],
)
def test_bundling(conductors: int, ratio: float) -> None:
    allowed = ampacity(awg("8"), 105, in_engine_space=False, bundled_conductors=conductors)
    assert allowed.current_a == pytest.approx(80 * ratio)


def test_where_no_table_covers() -> None:
    with pytest.raises(OutOfTable, match="insulation_c"):
        ampacity(awg("10"), 55, in_engine_space=False)
    with pytest.raises(OutOfTable, match="awg 5"):
        ampacity(awg("5"), 105, in_engine_space=False)
    with pytest.raises(OutOfTable):
        ampacity(metric(0.5), 105, in_engine_space=False)
    with pytest.raises(OutOfRange, match="bundled"):
        ampacity(awg("10"), 105, in_engine_space=False, bundled_conductors=0)
    with pytest.raises(OutOfTable):
        largest_awg_within(0.8)


def test_a_figure_from_memory_never_stands_alone() -> None:
    with pytest.raises(OutOfTable, match="except from memory"):
        ampacity(metric(0.75), 105, in_engine_space=False)


def test_above_the_metric_table_only_the_awg_figure_is_left_and_told() -> None:
    allowed = ampacity(metric(240), 105, in_engine_space=False)
    assert (allowed.governing.read_as, allowed.current_a) == ("4/0 AWG", 445)
    assert allowed.cautions == (AmpacityCaution.ONE_TABLE_ONLY,)
    assert "area_mm2 240" in allowed.not_covered[0]


def test_a_yard_may_bring_its_own_metric_table() -> None:
    recalled = recalled_metric_ampacities()
    own: Table[MetricAmpacity] = replace(
        recalled,
        rows=tuple(
            replace(row, mark=Mark.SEEN, source="the yard's copy", ampacity_a=row.ampacity_a - 1)
            for row in recalled.rows
        ),
    )
    table = MetricAmpacityTable(own, recalled_metric_engine_space_factors())
    allowed = ampacity(metric(35), 60, in_engine_space=False, metric_table=table)
    assert (allowed.current_a, allowed.governing.sources) == (86, ("the yard's copy",))
    assert allowed.cautions == ()
    # 0.75 mm² is below every AWG size; a confirmed table covers it alone.
    small = ampacity(metric(0.75), 60, in_engine_space=False, metric_table=table)
    assert small.current_a == 5


@pytest.mark.parametrize("insulation_c", [60, 75, 80, 90, 105, 125, 200])
@pytest.mark.parametrize("in_engine_space", [False, True])
def test_more_copper_never_carries_less(insulation_c: int, in_engine_space: bool) -> None:
    systems = (
        [awg(size) for size in AWG_SIZES],
        [metric(area) for area in (1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 150)],
        [sae(size) for size in AWG_SIZES if size not in ("18", "3")],
    )
    for sizes in systems:
        amps = [ampacity(s, insulation_c, in_engine_space=in_engine_space).current_a for s in sizes]
        assert amps == sorted(amps)
