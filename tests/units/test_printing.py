"""Both systems as printed; expected texts are worked out by hand beside the values."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installgen import units
from installgen.units import QUANTITIES, Quantity, format_one, kind_of, rounded, show

NBSP = "\N{NO-BREAK SPACE}"


def plain(text: str) -> str:
    return text.replace(NBSP, " ")


def test_values_side_by_side_share_one_unit() -> None:
    # 300 W are 0.3 kW; 300 * 60 / 1055.056 = 17.06
    small, large = units.HeatFlow(300.0), units.HeatFlow(95_000.0)
    assert plain(format_one(small, "metric", large.value)) == "0.3 kW"
    assert plain(format_one(small, "us", large.value)) == "17.1 Btu/min"
    assert plain(format_one(small, "metric")) == "300 W"


PRINTED: list[tuple[Quantity, str]] = [
    (units.Length(1.8), "1.80 m (5 ft 11 in)"),  # 70.87 in, to the inch 71
    (units.Length(2.9), "2.90 m (9 ft 6 in)"),  # 114.17 in
    (units.Length(3.048), "3.05 m (10 ft)"),
    (units.Length(12.4), "12.4 m (40 ft 8 in)"),  # 488.19 in
    (units.Length(0.04445), "44.5 mm (1-3/4 in)"),
    (units.Length(0.0445), "44.5 mm (1-3/4 in)"),
    (units.Length(0.0508), "50.8 mm (2 in)"),
    (units.Length(0.05), "50 mm (1.97 in)"),  # 1.9685
    (units.Length(0.0127), "12.7 mm (1/2 in)"),
    (units.Length(-0.45), "−450 mm (−17.7 in)"),  # 17.717
    (units.Length(-1.8), "−1.80 m (−5 ft 11 in)"),
    (units.Length(0.0), "0 mm (0 in)"),
    (units.Length(25e-6), "0.025 mm (0.001 in)"),  # 0.00098425, four decimals at most
    (units.Area(2.5e-6), "2.5 mm² (0.0039 in²)"),  # 0.003875
    (units.Volume(0.024), "24 l (6.34 gal US)"),  # 24 / 3.785412
    (units.Volume(0.00032), "320 ml (10.8 fl oz US)"),  # 320 / 29.57353
    (units.Mass(850), "850 kg (1874 lb)"),  # 850 / 0.4535924 = 1873.9
    (units.Power(331_090.7), "331 kW (444 hp)"),
    (units.Power(240), "240 W"),
    (units.ElectricPower(1200), "1.2 kW"),
    (units.HeatFlow(95_000), "95 kW (5403 Btu/min)"),  # 95000 * 60 / 1055.056
    (units.Temperature(640 / 9), "71.1 °C (160 °F)"),
    (units.Temperature(-18), "−18 °C (−0.4 °F)"),
    (units.Temperature(105), "105 °C (221 °F)"),
    (units.TemperatureDifference(5), "5 K (9 °F)"),
    (units.Pressure(110e3), "110 kPa gauge (16 psi gauge)"),  # 15.954 -> 16.0
    (units.Pressure(-27_091.112), "−27.1 kPa gauge (−3.93 psi gauge)"),  # 8 inHg
    (units.Pressure(200e3, "absolute"), "200 kPa absolute (29 psi absolute)"),  # 29.008
    (units.PressureDifference(6e3), "6 kPa (0.87 psi)"),  # 0.8702
    (units.VolumeFlow(0.003), "180 l/min (47.6 gpm US)"),  # 180 / 3.785412 = 47.55
    (units.FuelFlow(85 / 3.6e6), "85 l/h (22.5 gal US/h)"),  # 22.455
    (units.Velocity(2.5), "2.5 m/s (8.2 ft/s)"),  # 8.2021
    (units.Viscosity(17e-6), "17 mm²/s"),
    (units.BoatSpeed(8 * 1852 / 3600), "8 kn"),
    (units.Torque(42), "42 N·m (31 lbf·ft)"),  # 30.978
    (units.Density(840), "840 kg/m³ (52.4 lb/ft³)"),  # 52.44
    (units.SpecificFuel(215), "215 g/kWh (0.353 lb/hp·h)"),  # 215 / 608.277
    (units.Voltage(12), "12 V"),
    (units.Voltage(0.2948), "0.295 V"),
    (units.Current(35), "35 A"),
    (units.Current(0.02), "20 mA"),
    (units.RotationalSpeed(2600), "2600 rpm"),
    (units.Frequency(127 * 2600 / 60), "5503 Hz"),
    (units.Resistance(1.5e-4), "150 µΩ"),
    (units.Fraction(0.0295), "2.95 %"),
    (units.GearRatio(2.53), "2.53:1"),
    (units.Angle(12), "12°"),
    (units.Time(90), "90 s"),
    (units.Time(900_000), "250 h"),
]


@pytest.mark.parametrize(("value", "text"), PRINTED, ids=lambda each: str(each)[:30])
def test_both_systems(value: Quantity, text: str) -> None:
    assert plain(show(value, "metric")) == text


def test_the_leading_system_comes_first() -> None:
    assert plain(show(units.Length(1.8), "us")) == "5 ft 11 in (1.80 m)"
    assert plain(format_one(units.Length(1.8), "us")) == "5 ft 11 in"
    assert plain(format_one(units.Length(1.8), "metric")) == "1.80 m"


def test_number_and_unit_do_not_part() -> None:
    for value, _ in PRINTED:
        for system in ("metric", "us"):
            assert " " not in format_one(value, system).replace(" gauge", "").replace(
                " absolute", ""
            )
    assert show(units.Length(1.8), "metric") == f"1.80{NBSP}m (5{NBSP}ft{NBSP}11{NBSP}in)"


def test_printing_does_not_depend_on_how_it_was_written() -> None:
    assert show(units.Length.parse("1-3/4 in"), "metric") == show(units.Length(0.04445), "metric")


def test_str_is_the_written_text_or_the_metric_one() -> None:
    assert str(units.Length.parse("1-3/4 in")) == "1-3/4 in"
    assert plain(str(units.Length(0.04445))) == "44.5 mm"


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (0.0, "0"),
        (-0.0, "0"),
        (12.0, "12"),
        (44.45, "44.5"),  # a half goes up although 44.45 lies below itself in binary
        (0.125, "0.125"),
        (0.0625, "0.0625"),
        (2.675, "2.68"),
        (-2.675, "−2.68"),
        (999.96, "1000"),
        (1234.5, "1235"),
        (5503.33, "5503"),
        (1e-9, "0"),
        (-1e-9, "0"),
        (0.1 + 0.2, "0.3"),
    ],
)
def test_rounding(number: float, text: str) -> None:
    assert rounded(number) == text


def test_kinds_by_name() -> None:
    assert kind_of("Length") is units.Length
    with pytest.raises(KeyError):
        kind_of("Furlong")


def test_every_quantity_prints() -> None:
    for name, kind in QUANTITIES.items():
        for value in (0.0, 1e-12, 0.7, 1.0, 12_345.678, 1e30):
            assert show(kind(value), "metric"), name


# Prints are rounded to three figures, whole inches and whole sixteenths: the way back lands within
# half a step of what was printed, at the most 0.5 % or half an inch.
@pytest.mark.parametrize("name", [name for name in QUANTITIES if name != "Temperature"])
@given(value=st.floats(1e-3, 1e5), system=st.sampled_from(["metric", "us"]))
def test_what_is_printed_can_be_read_back(name: str, value: float, system: units.System) -> None:
    kind = QUANTITIES[name]
    text = format_one(kind(value), system)
    again = kind.parse(text)
    assert again.text == text
    if "ft" in text.split(NBSP) and name == "Length":
        assert abs(again.value - value) <= 0.0127 * (1 + 1e-9)
    elif "0.0" not in text and not text.startswith("0"):
        assert math.isclose(again.value, value, rel_tol=0.005 * (1 + 1e-9))


@given(value=st.floats(-80, 1500), system=st.sampled_from(["metric", "us"]))
def test_temperatures_can_be_read_back(value: float, system: units.System) -> None:
    again = units.Temperature.parse(format_one(units.Temperature(value), system))
    assert abs(again.c - value) <= 0.5 * (1 + 1e-9)


@given(value=st.floats(-1e6, -1e-3), system=st.sampled_from(["metric", "us"]))
def test_negative_values_print_as_the_positive_ones_with_a_minus(
    value: float, system: units.System
) -> None:
    for kind in (units.Length, units.Voltage, units.PressureDifference):
        below, above = format_one(kind(value), system), format_one(kind(-value), system)
        assert below == ("−" + above if not above.startswith(f"0{NBSP}") else above)


def test_a_range_is_told_in_nautical_miles_in_both_systems() -> None:
    # One nautical mile is 1852 m by definition.
    for first in ("metric", "us"):
        assert show(units.Distance(185_200.0), first).replace("\u00a0", " ") == "100 nmi"
