"""Worked examples from books, courses and makers against the mechanical calculations."""

import math

import pytest

from installgen.calc.air import (
    AirGoverns,
    air_demand,
    combustion_air_from_power_kg_per_s,
    combustion_air_kg_per_s,
    cooling_air_m3_per_s,
    proportional_airflow_m3_per_s,
    textbook_airflow_m3_per_s,
    textbook_vent_area_mm2,
    volume_flow_m3_per_s,
)
from installgen.calc.coolant import (
    concentrate_m3,
    drain_and_replace_m3,
    expansion_m3,
    freezing_point_c,
    pure_antifreeze,
    thermostat_open_ratio,
)
from installgen.calc.driveline import apparent_slip_ratio, shaft_speed_rpm, shaft_torque_n_m
from installgen.calc.fuel import burn_from_power_m3_per_s
from installgen.calc.lubrication import slope_deg
from installgen.calc.rating import (
    PowerUnit,
    difference_percent,
    displacement_m3,
    mean_effective_pressure_pa,
    power_in,
    power_w,
    propeller_power_w,
    shaft_power_from_torque_w,
    torque_n_m,
)
from installgen.calc.water import Glycol, glycol_mass_ratio, glycol_mixture, glycol_volume_ratio
from installgen.tables.air import ship_air
from installgen.tables.loader import Mark

CFM = 0.3048**3 / 60
POUND_FOOT = 0.45359237 * 9.80665 * 0.3048
LITRE = 1e-3
US_GALLON = 231 * 0.0254**3


# Definitions: hp = 550 ft lbf/s, metric horsepower = 75 kgf m/s.
@pytest.mark.parametrize(
    ("value", "unit", "kilowatt"),
    [
        (100, PowerUnit.BRAKE_HORSEPOWER, 74.5700),
        (100, PowerUnit.METRIC_HORSEPOWER, 73.5499),
        (1, PowerUnit.BRAKE_HORSEPOWER, 0.74569987),
        (1, PowerUnit.METRIC_HORSEPOWER, 0.73549875),
        (75, PowerUnit.KILOWATT, 75),
    ],
)
def test_power_units(value: float, unit: PowerUnit, kilowatt: float) -> None:
    assert power_w(value, unit) / 1000 == pytest.approx(kilowatt, rel=1e-6)


def test_75_kilowatt_in_both_horsepowers() -> None:
    assert power_in(75_000, PowerUnit.METRIC_HORSEPOWER) == pytest.approx(101.9716, abs=5e-5)
    assert power_in(75_000, PowerUnit.BRAKE_HORSEPOWER) == pytest.approx(100.5767, abs=5e-5)


def test_metric_horsepower_in_brake_horsepower() -> None:
    # A torque and power page prints 1 PS = 0.986320 hp.
    one = power_w(1, PowerUnit.METRIC_HORSEPOWER)
    assert power_in(one, PowerUnit.BRAKE_HORSEPOWER) == pytest.approx(0.986320, abs=5e-7)


def test_a_nameplate_of_450_metric_horsepower() -> None:
    """Common practice: 450 metric is 443.8 bhp and 331 kW; 430 bhp beside it is 3 % off."""
    plate = power_w(450, PowerUnit.METRIC_HORSEPOWER)
    assert power_in(plate, PowerUnit.BRAKE_HORSEPOWER) == pytest.approx(443.8, abs=0.05)
    assert power_in(plate, PowerUnit.KILOWATT) == pytest.approx(331, abs=0.05)
    other = power_w(430, PowerUnit.BRAKE_HORSEPOWER)
    assert difference_percent(plate, other) == pytest.approx(3, abs=0.15)


# hp = torque [lbf ft] x rpm / 5252, worked on three pages for car engines.
@pytest.mark.parametrize(
    ("torque_lbf_ft", "speed_rpm", "horsepower", "digits"),
    [(300, 4000, 228.48, 0.02), (300, 6000, 342.72, 0.02), (161, 4300, 132, 0.5)],
)
def test_power_from_torque(
    torque_lbf_ft: float, speed_rpm: float, horsepower: float, digits: float
) -> None:
    power = shaft_power_from_torque_w(torque_lbf_ft * POUND_FOOT, speed_rpm)
    assert power_in(power, PowerUnit.BRAKE_HORSEPOWER) == pytest.approx(horsepower, abs=digits)


# A page of engine examples: torque [N m], speed [rpm], power [kW], from a mower to a ship.
@pytest.mark.parametrize(
    ("torque", "speed_rpm", "kilowatt"),
    [
        (9.4, 2500, 2.46),
        (230, 1400, 33.7),
        (542, 4500, 255),
        (7_603_850, 102, 81_220),
    ],
)
def test_torque(torque: float, speed_rpm: float, kilowatt: float) -> None:
    assert shaft_power_from_torque_w(torque, speed_rpm) / 1000 == pytest.approx(kilowatt, rel=2e-3)
    # The pages print three digits.
    assert torque_n_m(kilowatt * 1000, speed_rpm) == pytest.approx(torque, rel=2e-3)


def test_displacement_and_mean_effective_pressure() -> None:
    """A worked example: bore 85 mm, stroke 97 mm, 4 cylinders, 4 strokes, 230 N m.

    It prints 0.0005504 m3 for a cylinder and 1 312 738.6 Pa (13.13 bar).
    """
    volume = displacement_m3(0.085, 0.097, 4)
    assert volume / 4 == pytest.approx(0.0005504, abs=5e-8)
    power = shaft_power_from_torque_w(230, 2000)
    assert mean_effective_pressure_pa(power, 2000, volume, 4) == pytest.approx(
        1_312_738.6, rel=1e-6
    )


def test_mean_pressure_from_displacement_rate() -> None:
    # A power page: 100 hp (74 600 W) at 10 bar wants 0.075 m3/s of displacement.
    speed_rpm, strokes = 3000.0, 4
    volume = 0.0746 / (speed_rpm / 60 / 2)
    pressure = mean_effective_pressure_pa(74_600, speed_rpm, volume, strokes)
    assert pressure == pytest.approx(1_000_000, rel=1e-9)


def test_two_stroke_mean_pressure() -> None:
    """Pulkrabek, chapter 2: two-stroke diesel, 4 x 10.9 cm x 12.6 cm, 88 kW at 2000 rpm.

    By hand: 4 x pi/4 x 0.109^2 x 0.126 = 0.0047030 m3; 88 000 / (0.0047030 x 33.333) = 561 kPa;
    88 000 / (2 pi x 33.333) = 420 N m.
    """
    volume = displacement_m3(0.109, 0.126, 4)
    assert volume == pytest.approx(0.004703, abs=5e-7)
    assert mean_effective_pressure_pa(88_000, 2000, volume, 2) == pytest.approx(561e3, rel=1e-3)
    assert torque_n_m(88_000, 2000) == pytest.approx(420, abs=0.5)


def test_propeller_law() -> None:
    # Deck officers' examination: ten percent more turns take about a third more power (cube).
    assert propeller_power_w(100e3, 2200, 2000, 3) == pytest.approx(100e3 / 1.1**3, rel=1e-9)


def test_shaft_behind_a_two_to_one_gear() -> None:
    # Gear ratio text: two engine turns for one of the shaft; torque goes up as speed goes down.
    assert shaft_speed_rpm(3600, 2) == 1800
    assert shaft_torque_n_m(500, 2, 1) == 1000


# Textbook of boat mechanical systems, formula 16-2 and its example of two 325 hp engines.
def test_textbook_vent_area_and_airflow() -> None:
    power = power_w(650, PowerUnit.BRAKE_HORSEPOWER)
    assert textbook_vent_area_mm2(power) / 25.4**2 == pytest.approx(197, abs=0.5)
    # The book rounds 2.6 cm2/kW to 1260 cm2 for 484 kW; the same power in hp gives 1271.
    assert textbook_vent_area_mm2(484e3) / 100 == pytest.approx(1260, rel=0.01)
    assert textbook_airflow_m3_per_s(power) / CFM == pytest.approx(1697, abs=1)
    # It prints 48 m3/min beside it.
    assert textbook_airflow_m3_per_s(power) * 60 == pytest.approx(48, abs=0.1)


def test_the_other_rule_of_thumb() -> None:
    # A yachting magazine: simply 2.5 cfm for a horsepower.
    power = power_w(650, PowerUnit.BRAKE_HORSEPOWER)
    assert proportional_airflow_m3_per_s(power, 2.5) / CFM == pytest.approx(1625, abs=0.01)


def test_heat_removal_air() -> None:
    # Engine guide quoted in a thesis: Qv = PHI / (rho c dT), rho 1.13, c 1.01 kJ/(kg K), 11 K.
    assert cooling_air_m3_per_s(10e3, 1.13, 1010, 11) == pytest.approx(0.79654, abs=5e-6)


def test_ship_method() -> None:
    """ISO 8861 with its recalled figures: 100 kW four-stroke draws 0.17699 m3/s."""
    row = ship_air().row(cycle="four-stroke")
    assert row.mark is Mark.MEMORY
    mass = combustion_air_from_power_kg_per_s(100e3, row.combustion_air_kg_per_kw_s)
    combustion = volume_flow_m3_per_s(mass, row.air_density_kg_per_m3)
    assert combustion == pytest.approx(0.17699, abs=5e-6)
    heat_capacity = row.air_heat_capacity_kj_per_kg_k * 1000
    cooling = cooling_air_m3_per_s(
        5e3, row.air_density_kg_per_m3, heat_capacity, row.temperature_rise_k
    )
    demand = air_demand(combustion, cooling, row.heat_carried_ratio, row.least_multiple_ratio)
    # By hand: 0.17699 + 5/(1.13 x 1.01 x 12.5) - 0.4 x 0.17699 = 0.45667; 1.5 x = 0.26549.
    assert demand.total_m3_per_s == pytest.approx(0.45667, abs=2e-5)
    assert demand.governs is AirGoverns.COMBUSTION_AND_COOLING


def test_four_stroke_air() -> None:
    # Carburettor sizing: 250 cubic inches at 6000 rpm swallow 434 cfm.
    swept = combustion_air_kg_per_s(250 * 0.0254**3, 6000, 4, 1, 1)
    assert swept / CFM == pytest.approx(434, abs=0.1)
    # Turbocharger sizing of a 3.856 l diesel: 77.120 l/s at 3000 rpm, filling 0.80.
    assert combustion_air_kg_per_s(3.856e-3, 3000, 4, 0.8, 1) * 1000 == pytest.approx(77.12)


# Drain and replace, from algebra courses: volume, strength now, wanted, poured in, answer.
@pytest.mark.parametrize(
    ("volume_l", "present", "wanted", "poured", "answer_l"),
    [
        (3.6, 60, 50, 0, 0.6),  # Stewart, Precalculus, 6th ed., 1.6 problem 57
        (3.6, 70, 50, 0, 1.029),
        (16, 52, 70, 100, 6),
        (16, 40, 60, 100, 16 / 3),
        (16, 40, 45, 75, 16 * 5 / 35),  # by hand
    ],
)
def test_drain_and_replace(
    volume_l: float, present: float, wanted: float, poured: float, answer_l: float
) -> None:
    drained = drain_and_replace_m3(volume_l * LITRE, present, wanted, poured)
    assert drained / LITRE == pytest.approx(answer_l, abs=5e-4)


def test_volume_percent_is_not_mass_percent() -> None:
    # A heating guide: 1000 gal at 30 % glycol by mass, specific gravity 1.1155, take 277.6 gal.
    strength = 100 * glycol_volume_ratio(Glycol.ETHYLENE, 0.30)
    poured = concentrate_m3(1000 * US_GALLON, strength)
    # Its densities are rounded: allow 0.1 %.
    assert poured / US_GALLON == pytest.approx(277.6, rel=1e-3)


# An engine maker's coolant table: volume percent, where ice slush begins, for 15 to 40 %.
@pytest.mark.parametrize(
    ("volume", "slush_c"), [(15, -6), (20, -9), (25, -12), (30, -16), (40, -27)]
)
def test_freezing_by_volume(volume: float, slush_c: float) -> None:
    glycol = pure_antifreeze(Glycol.ETHYLENE)
    # The maker rounds to 1 K and its product is not pure glycol.
    assert freezing_point_c(glycol, volume) == pytest.approx(slush_c, abs=1.0)
    assert glycol.optimistic


# The same table: concentrate in litres for a system's capacity.
@pytest.mark.parametrize(
    ("capacity_l", "strength", "concentrate_l"),
    [(30, 40, 12), (50, 30, 15), (80, 60, 48), (100, 45, 45), (200, 15, 30)],
)
def test_concentrate(capacity_l: float, strength: float, concentrate_l: float) -> None:
    assert concentrate_m3(capacity_l * LITRE, strength) / LITRE == pytest.approx(concentrate_l)


# Its rows whole, rounded to a litre there: 15, 20, 25, 30, 35, 40, 45, 50 and 60 %.
@pytest.mark.parametrize(
    ("capacity_l", "row"),
    [
        (40, (6, 8, 10, 12, 14, 16, 18, 20, 24)),
        (60, (9, 12, 15, 18, 21, 24, 27, 30, 36)),
        (70, (11, 14, 18, 21, 25, 28, 32, 35, 42)),
        (120, (18, 24, 30, 36, 42, 48, 54, 60, 72)),
        (150, (23, 30, 38, 45, 53, 60, 68, 75, 90)),
    ],
)
def test_rows_of_concentrate(capacity_l: float, row: tuple[float, ...]) -> None:
    for strength, printed_l in zip((15, 20, 25, 30, 35, 40, 45, 50, 60), row, strict=True):
        found_l = concentrate_m3(capacity_l * LITRE, strength) / LITRE
        assert found_l == pytest.approx(printed_l, abs=0.501)


def test_propeller_slip_of_a_training_site() -> None:
    # 24 h at 87 rpm with a pitch of 3.8 m and 10 kn over the ground: 257.054 nmi, slip +6.6 %.
    assert apparent_slip_ratio(10 * 1852 / 3600, 3.8, 87.0) == pytest.approx(0.066, abs=5e-4)
    assert pytest.approx(257.054, abs=5e-4) == 3.8 * 87 * 60 * 24 / 1852


def test_propeller_slip_by_inches_a_turn() -> None:
    # A boaters' forum: a 19 in pitch that moves the boat 18 in slips 5.26 %, 17 in 10.5 %.
    turn_s = 60.0 / 1000.0
    for moved, slip in ((18.0, 0.0526), (17.0, 0.1052)):
        assert apparent_slip_ratio(moved * 0.0254 / turn_s, 19 * 0.0254, 1000.0) == pytest.approx(
            slip, abs=1e-4
        )


def test_expansion() -> None:
    # IAPWS-95: 998.2072 kg/m3 at 20 C, 965.3096 at 90 C; water grows by 3.41 %.
    water = expansion_m3(1, 998.2072, 965.3096)
    assert water == pytest.approx(0.0341, abs=5e-5)


# ASHRAE Handbook Fundamentals, density of inhibited ethylene glycol by volume percent at 60 F and
# 180 F [lb/ft3].
@pytest.mark.parametrize(
    ("volume_percent", "cold", "hot"),
    [(20, 64.45, 62.42), (30, 65.43, 63.28), (40, 66.34, 64.07), (50, 67.20, 64.80)],
)
def test_expansion_of_coolant(volume_percent: float, cold: float, hot: float) -> None:
    mass_ratio = glycol_mass_ratio(Glycol.ETHYLENE, volume_percent / 100)
    ours = [
        glycol_mixture(Glycol.ETHYLENE, mass_ratio, (f - 32) / 1.8).density_kg_per_m3
        for f in (60, 180)
    ]
    growth, printed = expansion_m3(1, *ours), expansion_m3(1, cold, hot)
    # Pure glycol against an inhibited one: the densities agree to 1 %, so their small difference,
    # the growth, only to 15 %; ours is the larger from 20 % up, so a tank gets no less room.
    assert ours[0] == pytest.approx(cold * 0.45359237 / 0.3048**3, rel=0.01)
    assert printed <= growth <= 1.15 * printed


def test_thermostat_of_160_fahrenheit() -> None:
    """Common practice: thermostats begin to open at 160 F, which is 71.1 C."""
    opens_c = (160 - 32) / 1.8
    assert opens_c == pytest.approx(71.1, abs=0.05)
    assert thermostat_open_ratio(71.0, opens_c, opens_c + 12) == 0
    assert thermostat_open_ratio(opens_c + 6, opens_c, opens_c + 12) == pytest.approx(0.5)


def test_fuel_from_specific_consumption() -> None:
    # Engine test example: 18.6 kW at 0.34 kg/kWh burn 6.324 kg an hour.
    burn = burn_from_power_m3_per_s(18.6e3, 340, 840)
    assert burn * 840 * 3600 == pytest.approx(6.324, rel=1e-9)


def test_slopes() -> None:
    # Makers' exhaust rule 1/2 in per foot is 2.39 degrees; 2 degrees is 0.42 in per foot.
    assert slope_deg((0, 0, 0.5), (12, 0, 0)) == pytest.approx(2.39, abs=0.005)
    assert slope_deg((0, 0, 0.42), (0, 12, 0)) == pytest.approx(2, abs=0.01)
    # Turbocharger makers allow the drain 35 degrees from the vertical, 55 below the horizontal.
    run = math.tan(math.radians(35))
    assert slope_deg((0, 0, 1), (run, 0, 0)) == pytest.approx(55)
