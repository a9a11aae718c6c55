"""What people write, what it means, and what they are told when it means nothing."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installgen import units
from installgen.units import QUANTITIES, Quantity, UnitProblem


def problem(kind: type[Quantity], text: str) -> UnitProblem:
    with pytest.raises(UnitProblem) as raised:
        kind.parse(text)
    return raised.value


# Arithmetic beside each: 1-3/4 in = 1.75 * 25.4 mm = 44.45 mm.
NUMBERS = [
    ("1.8 m", 1.8),
    ("1.8m", 1.8),
    ("450 mm", 0.45),
    (".5 m", 0.5),
    ("1-3/4 in", 0.04445),
    ("1 3/4 in", 0.04445),
    ("1 - 3/4 in", 0.04445),
    ("1-3/4in", 0.04445),
    ('1-3/4"', 0.04445),
    ("1¾ in", 0.04445),
    ("1⁄2 in", 0.0127),
    ("1/2 in", 0.0127),
    ("½ in", 0.0127),
    ("3/2 in", 0.0381),
    ("-450 mm", -0.45),
    ("−450 mm", -0.45),
    ("- 450 mm", -0.45),
    ("+450 mm", 0.45),
    ("-1-3/4 in", -0.04445),
    ("5 ft 11 in", 1.8034),  # 71 * 0.0254
    ("5 ft 10-1/2 in", 1.7907),  # 70.5 * 0.0254
    ("5' 11\"", 1.8034),
    ("0 ft 11 in", 0.2794),
    ("-5 ft 11 in", -1.8034),
    ("1.8\N{NO-BREAK SPACE}m", 1.8),
    ("  1.8   m ", 1.8),
    ("25 µm", 25e-6),
    ("25 μm", 25e-6),
    ("25 um", 25e-6),
    ("0 m", 0.0),
]


@pytest.mark.parametrize(("text", "metres"), NUMBERS)
def test_lengths(text: str, metres: float) -> None:
    length = units.Length.parse(text)
    assert math.isclose(length.m, metres, rel_tol=1e-15)
    assert length.text == text.strip()


SPELLINGS = [
    ("Area", "2.5 mm2", "2.5 mm²"),
    ("Viscosity", "4.5 mm2/s", "4.5 cSt"),
    ("Viscosity", "4.5 mm²/s", "0.0000045 m²/s"),
    ("Area", "2.5 mm^2", "2.5 mm²"),
    ("Volume", "1 US gal", "1 gal US"),
    ("Volume", "1 gallon (US)", "1 gal US"),
    ("Volume", "1 imperial gallon", "1 gal imp"),
    ("Volume", "0.32 L", "320 cm³"),
    ("Volume", "320 cc", "320 ml"),
    ("VolumeFlow", "47 US gpm", "47 gal US/min"),
    ("VolumeFlow", "60 l/min", "3.6 m³/h"),
    ("VolumeFlow", "60 l / min", "1 l/s"),
    ("VolumeFlow", "22 gph US", "22 gal US/h"),
    ("Velocity", "8 knots", "8 kn"),
    ("Resistance", "45 mΩ", "45 mohm"),
    ("Resistance", "45 m\N{OHM SIGN}", "0.045 Ω"),
    ("Resistance", "2 µΩ", "2 uohm"),
    ("Resistance", "1 MΩ", "1000 kohm"),
    ("Power", "450 PS", "450 CV"),
    ("Power", "450 metric hp", "450 PS"),
    ("Power", "430 bhp", "430 hp"),
    ("Temperature", "71 °C", "71 C"),
    ("Temperature", "71 degC", "71 ℃"),
    ("Temperature", "71 º C", "71 deg C"),
    ("Temperature", "160 F", "160°F"),
    ("Torque", "42 N·m", "42 Nm"),
    ("Torque", "42 N m", "42 N*m"),
    ("Torque", "31 ft-lb", "31 lbf·ft"),
    ("Angle", "12°", "12 deg"),
    ("Pressure", "15 psi gauge", "15 psig"),
    ("Pressure", "2 bar abs", "2 bara"),
    ("Pressure", "2 bar(a)", "200 kPa absolute"),
    ("Pressure", "8 inHg vacuum", "-8 inHg gauge"),
    ("Pressure", "8 in Hg vac", "-8 inHg gauge"),
    ("RotationalSpeed", "2600 r/min", "2600 rpm"),
    ("RotationalSpeed", "2600 min⁻¹", "2600 RPM"),
    ("SpecificFuel", "215 g/kWh", "215 g/(kW h)"),
    ("SpecificFuel", "0.353 lb/bhp-h", "0.353 lb/hp·h"),
    ("Fraction", "80 %", "80%"),
    ("Fraction", "80 percent", "80 %"),
    ("GearRatio", "2.53:1", "2.53 : 1"),
    ("GearRatio", "5:2", "2.5:1"),
    ("Time", "1 h 30 min", "90 min"),
    ("Charge", "120 Ah", "120 A·h"),
]


@pytest.mark.parametrize(("name", "one", "other"), SPELLINGS)
def test_spellings_of_the_same_value(name: str, one: str, other: str) -> None:
    kind = QUANTITIES[name]
    assert kind.parse(one) == kind.parse(other)
    assert math.isclose(kind.parse(one).value, kind.parse(other).value, rel_tol=1e-15)


def test_a_value_is_what_its_unit_says_not_what_pint_would_read() -> None:
    assert units.Power.parse("450 PS").w == pytest.approx(330_974.4375, rel=1e-15)
    assert units.Temperature.parse("160 °F").c == pytest.approx(640 / 9, rel=1e-15)
    assert units.Area.parse("2.5 mm2").mm2 == pytest.approx(2.5, rel=1e-15)
    assert units.GearRatio.parse("1:30").ratio == pytest.approx(1 / 30, rel=1e-15)


def test_properties_name_their_units() -> None:
    assert units.Length(1.8).mm == pytest.approx(1800, rel=1e-15)
    assert units.Volume(0.024).l == pytest.approx(24, rel=1e-15)
    assert units.VolumeFlow(0.003).l_per_min == pytest.approx(180, rel=1e-15)
    assert units.VolumeFlow(0.003).l_per_h == pytest.approx(10_800, rel=1e-15)
    assert units.Time(5400).h == pytest.approx(1.5, rel=1e-15)
    assert units.Velocity.parse("8 kn").knots == pytest.approx(8, rel=1e-15)
    assert units.Fraction.parse("80 %").percent == pytest.approx(80, rel=1e-15)
    assert units.Pressure(101_325, "absolute").gauge_pa(101_325) == 0
    assert units.Pressure(1_000, "gauge").absolute_pa(101_325) == 102_325
    assert units.Pressure(1_000, "gauge").gauge_pa(101_325) == 1_000


def test_text_is_kept_and_does_not_count() -> None:
    assert units.Length.parse("1.8 m").text == "1.8 m"
    assert units.Length(1.8).text == ""
    assert units.Length.parse("1.8 m") == units.Length(1.8)
    assert units.Length(1.8) < units.Length(1.9)
    assert units.Pressure(1e3, "gauge") != units.Pressure(1e3, "absolute")
    volume: Quantity = units.Volume(1.0)
    assert volume != units.Length(1.0)


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_numbers_that_are_none_are_refused(bad: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        units.Length(bad)


# text; what the message says was found; what it says to write
MISTAKES = [
    ("Length", "1,5 m", "`1,5 m`, a decimal comma", "`1.5 m`"),
    ("Length", "-1,5 m", "`-1,5 m`, a decimal comma", "`-1.5 m`"),
    (
        "Length",
        "1,200 mm",
        "`1,200 mm`, where the comma may mark decimals or thousands",
        "`1.200 mm` or `1200 mm`",
    ),
    ("Length", "1 200 mm", "`1 200 mm`, digits in groups", "`1200 mm`"),
    ("Length", "1'200 mm", "`1'200 mm`, digits in groups", "`1200 mm`"),
    ("Length", "1.200,5 mm", "`1.200,5 mm`, a number that cannot be read", ""),
    ("Length", "1,200,000 mm", "`1,200,000 mm`, a number with commas", ""),
    ("Length", "1.8", "`1.8`, a number without a unit", ""),
    ("Length", "1-3/4", "`1-3/4`, a number without a unit", ""),
    ("Length", "", "nothing", ""),
    ("Length", "  ", "nothing", ""),
    ("Length", "NO", "`NO`, no number", ""),
    ("Length", "long", "`long`, no number", ""),
    ("Length", "m 1.8", "`m 1.8`, a number that cannot be read", ""),
    ("Length", "1.8.2 m", "`1.8.2 m`, a number that cannot be read", ""),
    ("Length", "1/0 in", "`1/0 in`, a fraction with nothing below its line", ""),
    ("Length", "1-5/4 in", "`1-5/4 in`, a whole number with more than a fraction", ""),
    ("Length", "1e3 m", "`1e3 m`, a power of ten", ""),
    ("Length", "5-6 m", "`5-6 m`, a range or a date", ""),
    ("Length", "5 to 6 m", "`5 to 6 m`, a range or a date", ""),
    ("Length", "2026-05", "`2026-05`, a range or a date", ""),
    ("Length", "1:30", "`1:30`, a ratio or a clock time", ""),
    ("Length", "nan m", "`nan m`, which is not a finite number", ""),
    ("Length", ".inf", "`.inf`, which is not a finite number", ""),
    ("Length", "-Infinity m", "`-Infinity m`, which is not a finite number", ""),
    ("Length", "5 😀", "`5 😀`, whose unit `😀` is not known", ""),
    ("Length", "1.8 M", "`1.8 M`, whose unit `M` is not known", "`1.8 m`"),
    ("Length", "1.8 milimeter", "`1.8 milimeter`, whose unit `milimeter` is not known", ""),
    ("Length", "x" * 10_000, "a text of 10000 characters", ""),
    ("Length", "9" * 70 + " m", f"`{'9' * 59}…`, far too large a number", ""),
    ("Length", "35 A", "`35 A`, a current", ""),
    ("Length", "6 kPa gauge", "`6 kPa gauge`, a pressure", ""),
    ("Length", "2/0 AWG", "`2/0 AWG`, a conductor size", ""),
    ("Length", "70 SAE", "`70 SAE`, whose unit `SAE` is not known", ""),
    ("Length", "M22x1.5", "`M22x1.5`, a thread size", ""),
    ("Length", "1 ft 13 in", "`1 ft 13 in`, two numbers that do not fit together", ""),
    ("Length", "1.5 ft 3 in", "`1.5 ft 3 in`, two numbers that do not fit together", ""),
    ("Length", "5 ft 6", "`5 ft 6`, whose unit `ft 6` is not known", ""),
    ("Length", "١٢ m", "`١٢ m`, no number", ""),
    ("Current", "1.8 m", "`1.8 m`, a length", ""),
    ("Current", "35 Amp", "`35 Amp`, whose unit `Amp` is not known", "`35 A`"),
    ("Power", "331 KW", "`331 KW`, whose unit `KW` is not known", "`331 kW`"),
    ("Temperature", "5 kn", "`5 kn`, a speed", ""),
    (
        "Volume",
        "5 gal",
        "`5 gal`, where `gal` can mean more than one unit",
        "`5 gal US` or `5 gal imp`",
    ),
    (
        "VolumeFlow",
        "47 gpm",
        "`47 gpm`, where `gpm` can mean more than one unit",
        "`47 gpm US` or `47 gpm imp`",
    ),
    ("Area", "5 gal", "`5 gal`, a volume", ""),
    (
        "Pressure",
        "6 kPa",
        "`6 kPa`, a pressure that says neither gauge nor absolute",
        "`6 kPa gauge` or `6 kPa absolute`",
    ),
    ("PressureDifference", "6 kPa gauge", "`6 kPa gauge`, which says gauge", "`6 kPa`"),
    ("Fraction", "0.8", "`0.8`, a number without a unit", ""),
    ("GearRatio", "2.53", "`2.53`, a number that is not written as a ratio", "`2.53:1`"),
    ("GearRatio", "2.53:0", "`2.53:0`", ""),
    ("Time", "1:30", "`1:30`, a ratio or a clock time", ""),
    ("Time", "01:30:00", "`01:30:00`, a ratio or a clock time", ""),
    ("Length", "`rm -rf` <b>", "`'rm -rf' <b>`, no number", ""),
    ("Length", "line\nbreak", "`line break`, no number", ""),
]


@pytest.mark.parametrize(("name", "text", "found", "instead"), MISTAKES)
def test_mistakes(name: str, text: str, found: str, instead: str) -> None:
    told = problem(QUANTITIES[name], text)
    assert told.found == found
    assert told.instead == instead


def test_message_says_what_is_allowed() -> None:
    assert str(problem(units.Current, "1.8 m")) == (
        "found `1.8 m`, a length; expected a current such as 35 A or 20 mA (units: A, mA, kA)"
    )
    assert str(problem(units.Length, "1,5 m")).endswith("; write `1.5 m`")


def test_a_negative_length_is_read_since_ranges_are_the_models_business() -> None:
    assert units.Length.parse("-450 mm").m == pytest.approx(-0.45)


@pytest.mark.parametrize("name", QUANTITIES)
def test_every_unit_of_every_quantity_converts(name: str) -> None:
    """Each symbol, alias and example is of the quantity's own dimension."""
    kind = QUANTITIES[name]
    for example in kind.EXAMPLES:
        assert kind.parse(example).text == example
    for symbol in [*kind.UNITS, *kind.ALIASES]:
        said = " gauge" if name == "Pressure" else ""
        assert math.isfinite(kind.parse(f"1 {symbol}{said}").value)
    for choices in kind.ASK.values():
        for choice in choices:
            assert kind.parse(f"1 {choice}").value > 0


@given(st.text(max_size=120), st.sampled_from(list(QUANTITIES)))
def test_any_text_is_read_or_refused_in_words(text: str, name: str) -> None:
    told, value = "", None
    try:
        value = QUANTITIES[name].parse(text)
    except UnitProblem as problem:
        told = str(problem)
    assert told.startswith("found ") if value is None else math.isfinite(value.value)
    assert "\n" not in told


@given(
    st.integers(0, 10_000), st.integers(1, 63), st.sampled_from(["-", " ", " - "]), st.booleans()
)
def test_mixed_numbers_are_exact(whole: int, part: int, joint: str, negative: bool) -> None:
    sign = "-" if negative else ""
    length = units.Length.parse(f"{sign}{whole}{joint}{part}/64 in")
    inches = -(whole + part / 64) if negative else whole + part / 64
    assert math.isclose(length.m, inches * 0.0254, rel_tol=1e-15)
