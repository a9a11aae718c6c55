"""Dimensions in the tables against other prints of the same standards, and against thread form.

Each list is from a print other than the one its table was read from, or from a rule of the
standard by which the printed figures can be computed.
"""

import pytest

from installgen.tables.driveline import flywheel_housings, flywheels
from installgen.tables.flanges import four_bolt_flanges, round_flanges
from installgen.tables.hoses import dash_hoses, hose_clearances, inch_hoses, metric_hoses
from installgen.tables.loader import Mark
from installgen.tables.threads import (
    bsp_threads,
    flare_threads,
    metric_ports,
    npt_threads,
    unified_threads,
)


# A fastener dealer's table of ASME B1.20.1 pipe threads: outside diameter, threads per inch.
@pytest.mark.parametrize(
    ("nominal", "outside_in", "per_inch"),
    [
        ("1/16", 0.3125, 27),
        ("1/8", 0.405, 27),
        ("1/4", 0.540, 18),
        ("3/8", 0.675, 18),
        ("1/2", 0.840, 14),
        ("3/4", 1.050, 14),
        ("1", 1.315, 11.5),
        ("1-1/4", 1.660, 11.5),
        ("1-1/2", 1.900, 11.5),
        ("2", 2.375, 11.5),
        ("2-1/2", 2.875, 8),
        ("3", 3.500, 8),
        ("4", 4.500, 8),
    ],
)
def test_npt_outside_diameter(nominal: str, outside_in: float, per_inch: float) -> None:
    row = npt_threads().row(nominal=nominal)
    assert (row.outside_diameter_in, row.threads_per_inch) == (outside_in, per_inch)


@pytest.mark.parametrize("row", npt_threads().rows[1:], ids=lambda row: row.nominal)
def test_npt_pitch_diameter_follows_the_standards_rule(row: object) -> None:
    """ASME B1.20.1, 3.2.1 (from memory): E0 = D - (0.05 D + 1.1)/n, E1 = E0 + L1/16.

    It settles which of two prints of the 1-1/2 engagement is right: 0.420, not 0.402.
    """
    npt = npt_threads().row(nominal=row.nominal)  # type: ignore[attr-defined]
    d, n = npt.outside_diameter_in, npt.threads_per_inch
    expected = d - (0.05 * d + 1.1) / n + npt.hand_tight_length_in / 16
    # The engagement is printed to 0.001 in, so the diameter follows to 0.0001 in.
    assert npt.hand_tight_pitch_diameter_in == pytest.approx(expected, abs=1e-4)


def test_npt_nominal_is_neither_diameter_nor_bore() -> None:
    half = npt_threads().row(nominal="1/2")
    # ASME B36.10, NPS 1/2: outside 21.34 mm, schedule 80 bore 13.87 mm (common metric prints).
    assert half.outside_diameter_mm == pytest.approx(21.34, abs=0.01)
    assert half.typical_bore_mm == pytest.approx(13.87, abs=0.01)
    assert npt_threads().row(nominal="1/16").typical_bore_mm is None


# Two thread charts of ISO 228 threads printed in inches; the table was read in millimetres.
@pytest.mark.parametrize(
    ("nominal", "major_in", "per_inch"),
    [
        ("1/8", 0.383, 28),
        ("1/4", 0.518, 19),
        ("3/8", 0.656, 19),
        ("1/2", 0.825, 14),
        ("5/8", 0.902, 14),
        ("3/4", 1.041, 14),
        ("1", 1.309, 11),
        ("1-1/4", 1.650, 11),
        ("1-1/2", 1.882, 11),
        ("2", 2.347, 11),
        ("2-1/2", 2.960, 11),
        ("3", 3.460, 11),
        ("4", 4.450, 11),
    ],
)
def test_bsp_major_diameter(nominal: str, major_in: float, per_inch: float) -> None:
    row = bsp_threads().row(nominal=nominal)
    assert row.major_diameter_mm / 25.4 == pytest.approx(major_in, abs=0.0006)
    assert row.threads_per_inch == per_inch
    assert row.pitch_mm == pytest.approx(25.4 / per_inch, abs=0.0006)


# Mechanical Engineer's Pocket Book, 4.1.38, table 1: minor diameter of ISO 7 threads.
@pytest.mark.parametrize(
    ("nominal", "minor_mm"), [("1/8", 8.566), ("1/4", 11.445), ("3/8", 14.950)]
)
def test_bsp_minor_diameter_follows_from_the_whitworth_form(nominal: str, minor_mm: float) -> None:
    row = bsp_threads().row(nominal=nominal)
    # Depth of the rounded Whitworth form is 0.640327 P.
    assert row.major_diameter_mm - 2 * 0.640327 * row.pitch_mm == pytest.approx(minor_mm, abs=0.002)


# A thread chart of ISO 228, in inches: minor diameter, and pitch diameter half way to it.
@pytest.mark.parametrize(
    ("nominal", "pitch_in", "minor_in"),
    [
        ("1/8", 0.3601, 0.3373),
        ("1/4", 0.4843, 0.4506),
        ("3/8", 0.6223, 0.5886),
        ("1/2", 0.7793, 0.7335),
        ("5/8", 0.8563, 0.8105),
        ("3/4", 0.9953, 0.9495),
        ("1", 1.2508, 1.1926),
        ("1-1/4", 1.5918, 1.5336),
        ("1-1/2", 1.8238, 1.7656),
        ("2", 2.2888, 2.2306),
        ("2-1/2", 2.9018, 2.8436),
        ("3", 3.4018, 3.3436),
        ("4", 4.3918, 4.3336),
    ],
)
def test_bsp_pitch_and_minor_diameter(nominal: str, pitch_in: float, minor_in: float) -> None:
    row = bsp_threads().row(nominal=nominal)
    depth_mm = 0.640327 * row.pitch_mm
    assert (row.major_diameter_mm - depth_mm) / 25.4 == pytest.approx(pitch_in, abs=0.0007)
    assert (row.major_diameter_mm - 2 * depth_mm) / 25.4 == pytest.approx(minor_in, abs=0.0007)


def test_bsp_gauge_length_and_pipe() -> None:
    # A fitting maker's sheet prints 9.5 mm as basic gauge length of R 3/4 (ISO 7-1).
    assert bsp_threads().row(nominal="3/4").gauge_length_mm == 9.5
    # EN 10255 medium series, DN 15: 21.3 x 2.6 mm leaves 16.1 mm.
    assert bsp_threads().row(nominal="1/2").typical_bore_mm == pytest.approx(16.1)
    assert bsp_threads().row(nominal="5/8").typical_bore_mm is None


def test_npt_and_bsp_share_the_pitch_at_two_sizes_only() -> None:
    """The trap of the trade: 1/2 and 3/4 have 14 threads to the inch in both systems."""
    shared = {
        row.nominal
        for row in npt_threads().rows
        for other in bsp_threads().where(nominal=row.nominal)
        if row.threads_per_inch == other.threads_per_inch
    }
    assert shared == {"1/2", "3/4"}


# A chart of hydraulic fittings: 37 degree flare threads by dash number.
@pytest.mark.parametrize(
    ("dash", "thread"),
    [
        (4, "7/16-20"),
        (6, "9/16-18"),
        (8, "3/4-16"),
        (10, "7/8-14"),
        (12, "1-1/16-12"),
        (16, "1-5/16-12"),
    ],
)
def test_flare_threads(dash: int, thread: str) -> None:
    row = flare_threads().row(dash=dash)
    assert row.thread == thread
    assert row.tube_outside_diameter_in == dash / 16
    assert row.mark is Mark.SEEN_2ND


def test_recalled_flare_threads_say_so() -> None:
    recalled = {row.dash for row in flare_threads().rows if row.mark is Mark.MEMORY}
    assert recalled == {2, 3, 5, 14, 20, 24, 32}


def test_small_flare_threads_are_unified_fine_threads() -> None:
    fine = {row.thread for row in unified_threads().rows}
    assert {row.thread for row in flare_threads().rows if row.dash <= 10} <= fine


def test_metric_ports() -> None:
    # ISO 261: pitch 1.5 to M22, 2 from M27 (fine series of ISO 6149 ports).
    assert metric_ports().row(thread="M22x1.5").pitch_mm == 1.5
    assert metric_ports().row(thread="M27x2").major_diameter_mm == 27
    for row in metric_ports().rows:
        assert row.thread == f"M{row.major_diameter_mm:g}x{row.pitch_mm:g}"


@pytest.mark.parametrize("row", flywheel_housings().rows, ids=lambda row: row.sae_no)
def test_housing_inches_and_millimetres_agree(row: object) -> None:
    housing = flywheel_housings().row(sae_no=row.sae_no)  # type: ignore[attr-defined]
    assert housing.pilot_bore_mm == pytest.approx(housing.pilot_bore_in * 25.4, abs=0.006)
    assert housing.bolt_circle_mm == pytest.approx(housing.bolt_circle_in * 25.4, abs=0.006)
    assert housing.pilot_bore_in < housing.bolt_circle_in < housing.outside_diameter_in


def test_housing_sae_4() -> None:
    # SAE J617: bolt circle 15.000 in, 12 holes 3/8-16.
    row = flywheel_housings().row(sae_no="4")
    assert (row.bolt_circle_in, row.hole_count, row.inch_thread) == (15.0, 12, "3/8-16")


def test_housing_sae_2_on_a_transmission_drawing() -> None:
    # A transmission maker's adaptation drawing for SAE 2: 12 bolts 3/8-16 UNC or M10.
    row = flywheel_housings().row(sae_no="2")
    assert (row.hole_count, row.inch_thread, row.metric_thread) == (12, "3/8-16", "M10")


# An extract of SAE J620d in an equipment maker's handbook: B and C in inches, holes.
@pytest.mark.parametrize(
    ("size", "pilot_in", "circle_in", "holes", "thread"),
    [
        ("6-1/2", 8.500, 7.875, 6, "5/16-18"),
        ("7-1/2", 9.500, 8.750, 8, "5/16-18"),
        ("8", 10.375, 9.625, 6, "3/8-16"),
        ("10", 12.375, 11.625, 8, "3/8-16"),
        ("11-1/2", 13.875, 13.125, 8, "3/8-16"),
        ("14", 18.375, 17.250, 8, "1/2-13"),
        ("16", 20.375, 19.250, 8, "1/2-13"),
        ("18", 22.500, 21.375, 6, "5/8-11"),
    ],
)
def test_flywheel(size: str, pilot_in: float, circle_in: float, holes: int, thread: str) -> None:
    row = flywheels().row(size=size)
    assert row.pilot_bore_mm == pytest.approx(pilot_in * 25.4, abs=0.006)
    assert row.bolt_circle_mm == pytest.approx(circle_in * 25.4, abs=0.006)
    assert (row.hole_count, row.inch_thread) == (holes, thread)


# BS 1560 class 150 in a table for the heating trade: outside, bolt circle, holes, inches.
@pytest.mark.parametrize(
    ("nominal", "outside_in", "circle_in", "holes"),
    [
        ("1/2", 3.5, 2.375, 4),
        ("3/4", 3.875, 2.75, 4),
        ("1", 4.25, 3.125, 4),
        ("1-1/4", 4.625, 3.5, 4),
        ("1-1/2", 5, 3.875, 4),
        ("2", 6, 4.75, 4),
        ("2-1/2", 7, 5.5, 4),
        ("3", 7.5, 6, 4),
        ("4", 9, 7.5, 8),
    ],
)
def test_class_150_flange(nominal: str, outside_in: float, circle_in: float, holes: int) -> None:
    row = round_flanges().row(pattern="class 150", nominal=nominal)
    assert row.outside_diameter_mm == pytest.approx(outside_in * 25.4, abs=0.06)
    assert row.bolt_circle_mm == pytest.approx(circle_in * 25.4, abs=0.06)
    assert row.hole_count == holes


def test_recalled_flanges_say_so() -> None:
    marks = {r.nominal: r.mark for r in round_flanges().where(pattern="PN 16")}
    assert marks["50"] is Mark.MEMORY
    assert marks["100"] is Mark.SEEN_2ND


def test_four_bolt_flange_in_inches() -> None:
    # SAE J518 code 61, 1 in and 2 in: 2.062 x 1.031 in and 3.062 x 1.688 in (from memory).
    one, two = (four_bolt_flanges().row(nominal_mm=size) for size in (25.0, 51.0))
    assert (one.bolt_spacing_long_mm, one.bolt_spacing_short_mm) == pytest.approx(
        (2.062 * 25.4, 1.031 * 25.4), abs=0.05
    )
    assert (two.bolt_spacing_long_mm, two.bolt_spacing_short_mm) == pytest.approx(
        (3.062 * 25.4, 1.688 * 25.4), abs=0.05
    )


def test_hose_bores() -> None:
    # A hose dealer's chart of dash sizes: -8 is 1/2 in, but 13/32 in in the series by tube.
    assert dash_hoses().row(dash=8).general_bore_in == 0.5
    assert dash_hoses().row(dash=8).tube_series_bore_in == pytest.approx(10.3 / 25.4, abs=0.002)
    assert dash_hoses().row(dash=32).tube_series_bore_in == pytest.approx(46.0 / 25.4, abs=0.002)
    for row in dash_hoses().rows:
        assert row.general_bore_in == row.dash / 16
    # ISO 1307: a 25 hose measures 25.0 to 26.4, so that it goes over a 1 in spigot.
    metric = metric_hoses().row(size_mm=25.0)
    assert metric.bore_min_mm <= 25.4 <= metric.bore_max_mm
    assert inch_hoses().row(size="1-7/8").bore_mm == pytest.approx(47.625)


def test_hose_clearance_is_recalled_and_says_so() -> None:
    table = hose_clearances()
    assert table.mark is Mark.MEMORY
    assert table.rows[-1].spigot_up_to_mm is None
    assert table.rows[0].clearance_max_mm == pytest.approx(0.508)
