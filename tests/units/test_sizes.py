"""Conductor and thread sizes: names of lists, never converted."""

import csv
from importlib import resources

import pytest

from installgen.units import ConductorSize, ThreadSize, UnitProblem, show


@pytest.mark.parametrize(
    ("text", "system", "designation", "gauge"),
    [
        ("2/0 AWG", "AWG", "2/0", -1),
        ("00 AWG", "AWG", "2/0", -1),
        ("4/0 awg", "AWG", "4/0", -3),
        ("0 AWG", "AWG", "1/0", 0),
        ("4 AWG", "AWG", "4", 4),
        ("#4 AWG", "AWG", "4", 4),
        ("AWG 4", "AWG", "4", 4),
        ("10 SAE", "SAE", "10", 10),
        ("SAE 2/0", "SAE", "2/0", -1),
        ("70 mm²", "mm2", "70", None),
        ("70 mm2", "mm2", "70", None),
        ("2.5 mm2", "mm2", "2.5", None),
        ("2.50 mm2", "mm2", "2.5", None),
        ("0.75mm^2", "mm2", "0.75", None),
    ],
)
def test_conductors(text: str, system: str, designation: str, gauge: int | None) -> None:
    size = ConductorSize.parse(text)
    assert (size.system, size.designation, size.gauge) == (system, designation, gauge)
    assert size.text == text


def test_the_three_lists_are_never_the_same() -> None:
    assert ConductorSize.parse("4 AWG") != ConductorSize.parse("4 SAE")
    assert ConductorSize.parse("4 AWG") != ConductorSize.parse("4 mm2")
    assert ConductorSize.parse("00 AWG") == ConductorSize.parse("2/0 AWG")


def test_only_a_metric_size_states_its_section() -> None:
    assert ConductorSize.parse("70 mm²").area_mm2 == 70
    assert ConductorSize.parse("2/0 AWG").area_mm2 is None


def test_sizes_print_in_their_own_list_only() -> None:
    assert show(ConductorSize.parse("00 AWG"), "metric") == "2/0\N{NO-BREAK SPACE}AWG"
    assert show(ConductorSize.parse("2.5 mm2"), "us") == "2.5\N{NO-BREAK SPACE}mm²"
    assert show(ThreadSize.parse("3/4 BSPP"), "us") == "G\N{NO-BREAK SPACE}3/4"


@pytest.mark.parametrize(
    ("text", "found", "instead"),
    [
        ("4", "`4`, a size without its list", "`4 AWG` or `4 SAE` or `4 mm²`"),
        ("2/0", "`2/0`, a size without its list", "`2/0 AWG` or `2/0 SAE`"),
        ("4 gauge", "`4 gauge`, a size without its list", "`4 AWG` or `4 SAE` or `4 mm²`"),
        ("2.5", "`2.5`, a size without its list", "`2.5 mm²`"),
        ("2,5 mm2", "`2,5 mm2`, a decimal comma", "`2.5 mm2`"),
        ("5/0 AWG", "`5/0 AWG`, a gauge beyond 4/0", ""),
        ("99 AWG", "`99 AWG`, a gauge beyond 40", ""),
        ("0 mm2", "`0 mm2`", ""),
        ("-4 AWG", "`-4 AWG`", ""),
        ("1.8 m", "`1.8 m`", ""),
        ("", "nothing", ""),
        ("4" * 10_000, "a text of 10000 characters", ""),
    ],
)
def test_conductor_mistakes(text: str, found: str, instead: str) -> None:
    with pytest.raises(UnitProblem) as raised:
        ConductorSize.parse(text)
    assert (raised.value.found, raised.value.instead) == (found, instead)


@pytest.mark.parametrize(
    ("text", "standard", "nominal", "designation"),
    [
        ("1/2 NPT", "NPT", "1/2", "1/2 NPT"),
        ("1/2 in NPT", "NPT", "1/2", "1/2 NPT"),
        ('1/2" npt', "NPT", "1/2", "1/2 NPT"),
        ("1 1/4 NPT", "NPT", "1-1/4", "1-1/4 NPT"),
        ("1-1/4 NPT", "NPT", "1-1/4", "1-1/4 NPT"),
        ("1¼ NPT", "NPT", "1-1/4", "1-1/4 NPT"),
        ("3/4 BSPP", "BSPP", "3/4", "G 3/4"),
        ("G 3/4", "BSPP", "3/4", "G 3/4"),
        ("G3/4", "BSPP", "3/4", "G 3/4"),
        ("R 3/4", "BSPT", "3/4", "R 3/4"),
        ("3/4 BSPT", "BSPT", "3/4", "R 3/4"),
        ("M22x1.5", "metric", "M22x1.5", "M22×1.5"),
        ("M22 × 1.50", "metric", "M22x1.5", "M22×1.5"),
        ("M10", "metric", "M10", "M10"),
        ("1-5/16-12 UN", "UN", "1-5/16-12", "1-5/16-12 UN"),
        ("1 5/16-12 UN", "UN", "1-5/16-12", "1-5/16-12 UN"),
        ("7/8-14 JIC", "JIC", "7/8-14", "7/8-14 JIC"),
        ("1-14 UNS", "UNS", "1-14", "1-14 UNS"),
        ("1/4-20 UNC-2A", "UNC", "1/4-20", "1/4-20 UNC"),
        ("#10-32 UNF", "UNF", "#10-32", "#10-32 UNF"),
    ],
)
def test_threads(text: str, standard: str, nominal: str, designation: str) -> None:
    thread = ThreadSize.parse(text)
    assert (thread.standard, thread.nominal, thread.designation) == (standard, nominal, designation)
    assert ThreadSize.parse(designation) == thread


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("1/2", "`1/2`, a size without its thread standard"),
        ("7/8-14", "`7/8-14`, a size without its thread standard"),
        ("5/8 NPT", "`5/8 NPT`, a size that NPT does not have"),
        ("1/2 mm", "`1/2 mm`"),
        ("", "nothing"),
        ("x" * 10_000, "a text of 10000 characters"),
    ],
)
def test_thread_mistakes(text: str, found: str) -> None:
    with pytest.raises(UnitProblem) as raised:
        ThreadSize.parse(text)
    assert raised.value.found == found
    assert raised.value.expected


def keys_of(table: str) -> list[str]:
    """The first column of a published table: the names by which its rows are looked up."""
    path = resources.files("installgen.tables").joinpath(f"{table}.csv")
    lines = [line for line in path.read_text("utf-8").splitlines() if not line.startswith("#")]
    return [row[0] for row in csv.reader(lines[1:])]


@pytest.mark.parametrize(
    ("table", "unit"),
    [("resistance_awg", "AWG"), ("sae_cable", "SAE"), ("resistance_metric_class5", "mm²")],
)
def test_every_conductor_of_the_tables_can_be_written(table: str, unit: str) -> None:
    for key in keys_of(table):
        assert ConductorSize.parse(f"{key} {unit}").designation == key


@pytest.mark.parametrize(
    ("table", "written"),
    [
        ("pipe_threads_npt", "{} NPT"),
        ("pipe_threads_bsp", "G {}"),
        ("pipe_threads_bsp", "{} BSPT"),
        ("threads_metric_ports", "{}"),
        ("threads_unified_fine", "{} UNF"),
    ],
)
def test_every_thread_of_the_tables_can_be_written(table: str, written: str) -> None:
    for key in keys_of(table):
        assert ThreadSize.parse(written.format(key)).nominal == key
