"""Friction, fittings, pump power and whole pipelines against handbooks and textbooks.

TP-410 stands for Crane, Flow of Fluids through Valves, Fittings and Pipe; its answers are those
quoted in the solved problems that the `fluids` project keeps. Moody's roughness of cast iron and
Crane's of steel are given with each problem.
"""

import math

import pytest

from installgen.calc.constants import STANDARD_GRAVITY_M_PER_S2
from installgen.calc.exhaust import dry_run_loss_pa
from installgen.calc.fittings import (
    bend_loss_coefficient,
    contraction_loss_coefficient,
    enlargement_loss_coefficient,
    fitting_loss_coefficient,
    flow_coefficient_loss,
    mitre_loss_coefficient,
    on_other_bore,
    rough_friction_factor,
)
from installgen.calc.friction import (
    Friction,
    friction_factor,
    friction_loss_pa,
    reynolds_number,
    velocity_m_per_s,
)
from installgen.calc.pipe_network import (
    Fitting,
    FixedFlow,
    Network,
    Node,
    OperatingPoint,
    Pipe,
    solve_network,
)
from installgen.calc.pump import hydraulic_power_w, pump_shaft_power_w
from installgen.calc.water import Liquid, fresh_water

FOOT_M = 0.3048
INCH_M = 0.0254
US_GALLON_M3 = 231 * INCH_M**3
LITRE_PER_MIN = 1e-3 / 60.0
HORSEPOWER_W = 745.69987
PSI_PA = 6894.757
STEEL_M = 0.0018 * INCH_M  # TP-410, clean commercial steel
G = STANDARD_GRAVITY_M_PER_S2

# Inside diameters of schedule 40 pipe, ASME B36.10M.
SCHEDULE_40_M = {
    "1": 26.64e-3, "2": 52.48e-3, "3": 77.92e-3, "4": 102.26e-3, "5": 128.2e-3,
}  # fmt: skip


def liquid(density: float, viscosity: float) -> Liquid:
    return Liquid(density, viscosity, 4180.0, 0.6)


def solved(network: Network) -> OperatingPoint:
    point = solve_network(network)
    assert isinstance(point, OperatingPoint)
    return point


def test_tp_410_example_7_1_smooth_plastic_pipe() -> None:
    # Water at 30 C, 200 l/min in a smooth 50 mm pipe: Re 100 600, f 0.0179.
    water, bore = fresh_water(30.0), SCHEDULE_40_M["2"]
    velocity = velocity_m_per_s(200 * LITRE_PER_MIN, bore)
    reynolds = reynolds_number(velocity, bore, water.density_kg_per_m3, water.viscosity_pa_s)
    assert reynolds == pytest.approx(100_600, rel=0.005)
    assert friction_factor(reynolds, 0.0) == pytest.approx(0.0179, rel=0.005)


def test_tp_410_example_7_2_flow_coefficient_of_a_valve() -> None:
    # Kv 500 m3/h in a bore of 154 mm: K 3.6.
    assert flow_coefficient_loss(500.0, 0.154) == pytest.approx(3.6, rel=0.005)


def test_tp_410_example_7_6_tank_that_empties_through_a_pipe() -> None:
    # 7 m of head, 60 m of 80 mm pipe, 6 threaded elbows, ball valve with reduced seat, entrance,
    # exit: 781 l/min, 2.74 m/s, with f 0.017 throughout.
    bore = SCHEDULE_40_M["3"]
    valve = on_other_bore(
        3 * 0.017
        + contraction_loss_coefficient(bore, 0.06, 16.0)
        + enlargement_loss_coefficient(0.06, bore, 30.0),
        0.06,
        bore,
    )
    k = 0.017 * 60 / bore + 6 * 30 * 0.017 + valve + 0.5 + 1.0
    network = Network(
        (Node("tank", 7.0, 0.0), Node("open", 0.0, 0.0)),
        (Fitting("line", "tank", "open", bore, k),),
        fresh_water(15.0),
    )
    line = solved(network).pieces["line"]
    assert line.start_velocity_m_per_s == pytest.approx(2.74, rel=0.01)
    assert line.flow_m3_per_s == pytest.approx(781 * LITRE_PER_MIN, rel=0.01)


def test_tp_410_example_7_9_laminar_oil_line() -> None:
    # SAE 30 oil (0.87, 130 cP), 400 US gal/min in 300 ft of 5 in pipe, rise 50 ft, gate valve,
    # angle valve, elbow. The handbook's answers were not to be had: v 6.41 ft/s, Re 1676 and
    # f 0.0382 are those of the solved problem that `fluids` keeps.
    bore = SCHEDULE_40_M["5"]
    velocity = velocity_m_per_s(400 * US_GALLON_M3 / 60, bore)
    assert velocity / FOOT_M == pytest.approx(6.41, rel=0.002)
    reynolds = reynolds_number(velocity, bore, 0.87 * 62.364 * 16.01846, 0.130)
    assert reynolds == pytest.approx(1676, rel=0.002)
    assert friction_factor(reynolds, STEEL_M / bore) == pytest.approx(0.0382, rel=0.002)


def test_tp_410_example_7_11_heating_coil() -> None:
    # 60 l/min of water at 80 C, 25 mm pipe, 9 m straight, 7 return bends of r/d 4: f 0.024,
    # 19 609 Pa, with that f for the bends too, where ours are on fully rough flow.
    water, bore = fresh_water(80.0), SCHEDULE_40_M["1"]
    velocity = velocity_m_per_s(60 * LITRE_PER_MIN, bore)
    reynolds = reynolds_number(velocity, bore, water.density_kg_per_m3, water.viscosity_pa_s)
    assert friction_factor(reynolds, STEEL_M / bore) == pytest.approx(0.024, rel=0.01)
    straight = friction_loss_pa(
        60 * LITRE_PER_MIN, bore, 9.0, STEEL_M, water.density_kg_per_m3, water.viscosity_pa_s
    )
    bends = 7 * bend_loss_coefficient(bore, 180.0, 4.0)
    loss = straight + bends * water.density_kg_per_m3 * velocity**2 / 2
    assert loss == pytest.approx(19_609, rel=0.06)


def test_tp_410_example_7_13_oil_in_a_2_inch_pipe() -> None:
    # 0.815 relative density, 2.7 cSt, 2 US gal/s, 100 ft: 66 500 Pa with f read as 0.0230.
    loss = friction_loss_pa(
        2 * US_GALLON_M3, SCHEDULE_40_M["2"], 100 * FOOT_M, STEEL_M,
        0.815 * 999.1, 2.7e-6 * 0.815 * 999.1,
    )  # fmt: skip
    assert loss == pytest.approx(66_500, rel=0.015)


def test_tp_410_example_7_14_pipeline_with_a_rise_and_two_bores() -> None:
    # 1500 l/min at 15 C, 34 m of 100 mm, 67 m of 125 mm, rise 22 m, 2 elbows of r/d 1.5, the one
    # that widens: 2.6 bar (8th edition; the metric edition leaves the lift out).
    small, large = SCHEDULE_40_M["4"], SCHEDULE_40_M["5"]
    widening = enlargement_loss_coefficient(small, large, 30.0)
    network = Network(
        (Node("in", 0.0), Node("source", 0.0, 0.0), Node("joint", 0.0), Node("out", 22.0, 0.0)),
        (
            FixedFlow("supply", "source", "in", 1500 * LITRE_PER_MIN),
            Pipe("100", "in", "joint", small, 34.0, STEEL_M,
                 bend_loss_coefficient(small, 90.0, 1.5) + widening),
            Pipe("125", "joint", "out", large, 67.0, STEEL_M,
                 bend_loss_coefficient(large, 90.0, 1.5)),
        ),
        fresh_water(15.0),
    )  # fmt: skip
    pressure = solved(network).nodes["in"].pressure_pa
    assert pressure == pytest.approx(2.6e5, rel=0.02)


def test_tp_410_example_7_15_power_of_a_pump() -> None:
    # 100 US gal/min at 70 F, 500 ft of 3 in pipe, lift 400 ft, 4 threaded elbows, gate valve, lift
    # check valve in 2-1/2 in, exit; efficiency 0.70; f read as 0.021, which takes a roughness of
    # 0.0022 in: 421 ft, 15.2 hp.
    bore, density = SCHEDULE_40_M["3"], 62.298 * 16.01846
    flow = 100 * US_GALLON_M3 / 60
    b2 = (62.71e-3 / bore) ** 2
    seat = 600 * rough_friction_factor(bore) + b2**0.5 * (0.5 * (1 - b2) + (1 - b2) ** 2)
    check = seat / b2**2
    k = (
        4 * fitting_loss_coefficient("elbow 90 threaded", bore)
        + fitting_loss_coefficient("gate valve", bore)
        + fitting_loss_coefficient("exit", bore)
        + check
    )
    network = Network(
        (Node("suction", 0.0, 0.0), Node("pump", 0.0), Node("tank", 400 * FOOT_M, 0.0)),
        (
            FixedFlow("supply", "suction", "pump", flow),
            Pipe("line", "pump", "tank", bore, 500 * FOOT_M, 0.0022 * INCH_M, k),
        ),
        liquid(density, 0.95e-3),
    )
    pressure = solved(network).nodes["pump"].pressure_pa
    assert pressure is not None
    assert pressure / (density * G) / FOOT_M == pytest.approx(421, rel=0.003)
    power = pump_shaft_power_w(hydraulic_power_w(flow, pressure), 0.70)
    assert power / HORSEPOWER_W == pytest.approx(15.2, rel=0.005)


def test_tp_410_example_7_16_air_line() -> None:
    # 100 ft3/min of standard air at 65 psig, 115 F in 75 ft of 1 in pipe: 2.61 psi by their
    # tables of limited accuracy (2.71 by the isothermal formula).
    mass_flow = 100 * FOOT_M**3 / 60 * 1.225
    loss = dry_run_loss_pa(
        mass_flow, (115 - 32) / 1.8, SCHEDULE_40_M["1"], 75 * FOOT_M, STEEL_M, 0.0,
        65 * PSI_PA + 101_325,
    )  # fmt: skip
    assert loss / PSI_PA == pytest.approx(2.61, rel=0.04)


def test_tp_410_example_7_19_reservoir_with_a_contraction() -> None:
    # 11.5 ft of head, entrance, mitre bend, gate valve, 10 ft of 3 in, step to 2 in, 20 ft of
    # 2 in, exit; 60 F: 137 US gal/min.
    large, small = SCHEDULE_40_M["3"], SCHEDULE_40_M["2"]
    first = (
        fitting_loss_coefficient("entrance flush", large)
        + mitre_loss_coefficient(large, 90.0)
        + fitting_loss_coefficient("gate valve", large)
    )
    second = contraction_loss_coefficient(large, small) + fitting_loss_coefficient("exit", small)
    network = Network(
        (Node("tank", 11.5 * FOOT_M, 0.0), Node("step", 0.0), Node("open", 0.0, 0.0)),
        (
            Pipe("3 in", "tank", "step", large, 10 * FOOT_M, STEEL_M, first),
            Pipe("2 in", "step", "open", small, 20 * FOOT_M, STEEL_M, second),
        ),
        liquid(62.364 * 16.01846, 1.1e-3),
    )
    flow = solved(network).pieces["2 in"].flow_m3_per_s
    assert flow * 60 / US_GALLON_M3 == pytest.approx(137, rel=0.02)


def test_tp_410_example_7_34_power_of_a_pump() -> None:
    # 428 ft, 700 US gal/min at 60 F, efficiencies 0.707, 0.95, 0.96, 8000 h at 0.12 $/kWh: $83 970.
    flow, head = 700 * US_GALLON_M3 / 60, 428 * FOOT_M
    hydraulic = hydraulic_power_w(flow, 62.364 * 16.01846 * G * head)
    electric = pump_shaft_power_w(hydraulic, 0.707) / (0.95 * 0.96)
    assert electric / 1000 * 8000 * 0.12 == pytest.approx(83_970, rel=0.002)


def test_white_example_6_7_oil_in_cast_iron() -> None:
    # White, Fluid Mechanics, example 6.7: 900 kg/m3, 1e-5 m2/s, 0.2 m3/s, 500 m of 200 mm pipe of
    # 0.26 mm roughness: Re 128 000, f 0.0225 by Moody's chart; head loss 117 m; sloping down 10
    # degrees 265 000 Pa (the last two from memory).
    velocity = velocity_m_per_s(0.2, 0.2)
    assert velocity == pytest.approx(6.4, rel=0.006)
    assert reynolds_number(velocity, 0.2, 900.0, 9e-3) == pytest.approx(128_000, rel=0.006)
    assert friction_factor(128_000, 0.0013) == pytest.approx(0.0225, rel=0.01)
    loss = friction_loss_pa(0.2, 0.2, 500.0, 0.26e-3, 900.0, 9e-3)
    assert loss / (900.0 * G) == pytest.approx(117, rel=0.01)
    fall = 900.0 * G * 500.0 * math.sin(math.radians(10.0))
    assert loss - fall == pytest.approx(265_000, rel=0.02)


def test_textbook_pipe_of_given_head_loss() -> None:
    # A hydraulics course: 10 in bore, hf/L 0.008, ks/D 0.0005, 1.14e-5 ft2/s: f 0.018, 4.88 ft/s,
    # 2.66 ft3/s, read from a chart to two digits.
    bore = 10 * INCH_M
    roughness = 0.0005 * bore
    nu = 1.14e-5 * FOOT_M**2
    network = Network(
        (Node("high", 8.0, 0.0), Node("low", 0.0, 0.0)),
        (Pipe("pipe", "high", "low", bore, 1000.0, roughness),),
        liquid(1000.0, nu * 1000.0),
    )
    pipe = solved(network).pieces["pipe"]
    assert pipe.friction_factor == pytest.approx(0.018, rel=0.02)
    assert pipe.start_velocity_m_per_s == pytest.approx(4.88 * FOOT_M, rel=0.01)
    assert pipe.flow_m3_per_s == pytest.approx(2.66 * FOOT_M**3, rel=0.01)


@pytest.mark.parametrize("reynolds", [4e3, 4e4, 1e5, 1e6, 1e8])
@pytest.mark.parametrize("roughness", [0.0, 1e-4, 1e-3, 2e-3, 0.05])
def test_colebrook_equation_is_satisfied(reynolds: float, roughness: float) -> None:
    # Colebrook 1939, the implicit equation itself.
    f = friction_factor(reynolds, roughness)
    inside = roughness / 3.7 + 2.51 / (reynolds * math.sqrt(f))
    assert 1.0 / math.sqrt(f) == pytest.approx(-2.0 * math.log10(inside), rel=1e-9)


@pytest.mark.parametrize(
    ("reynolds", "roughness", "factor"),
    # EPANET 2.2 (Swamee-Jain), 1.5 l/s in 32 mm at 1.022e-6 m2/s, as its engine printed it.
    [(1.8650976 * 0.032 / 1.022e-6, 1.5e-6 / 0.032, 0.02026211),
     (1.8650976 * 0.032 / 1.022e-6, 4.6e-5 / 0.032, 0.02494819)],
)  # fmt: skip
def test_swamee_jain_is_that_of_epanet(reynolds: float, roughness: float, factor: float) -> None:
    found = friction_factor(reynolds, roughness, Friction.SWAMEE_JAIN)
    assert found == pytest.approx(factor, rel=1e-4)


@pytest.mark.parametrize(
    ("reynolds", "roughness"), [(5e3, 1e-3), (1e4, 0.0), (1e5, 1e-3), (1e6, 1e-4)]
)
def test_colebrook_is_near_churchill(reynolds: float, roughness: float) -> None:
    # Churchill 1977, one explicit formula for all regimes, here written out.
    a = (-2.457 * math.log((7.0 / reynolds) ** 0.9 + 0.27 * roughness)) ** 16
    b = (37530.0 / reynolds) ** 16
    churchill = 8.0 * ((8.0 / reynolds) ** 12 + (a + b) ** -1.5) ** (1.0 / 12.0)
    assert friction_factor(reynolds, roughness) == pytest.approx(churchill, rel=0.02)


@pytest.mark.parametrize(
    ("radius_ratio", "multiple"),
    # TP-410, appendix A, 90 degree pipe bends and flanged elbows: equivalent L/D (from memory).
    [(1.0, 20), (1.5, 14), (2.0, 12), (3.0, 12), (4.0, 14), (6.0, 17), (8.0, 24), (10.0, 30),
     (12.0, 34), (14.0, 38), (16.0, 42), (20.0, 50)],
)  # fmt: skip
def test_bends_of_tp_410(radius_ratio: float, multiple: int) -> None:
    k = bend_loss_coefficient(0.05, 90.0, radius_ratio)
    assert k / rough_friction_factor(0.05) == pytest.approx(multiple, rel=0.015)


@pytest.mark.parametrize(
    ("angle_deg", "multiple"),
    # TP-410, appendix A, mitre bends: equivalent L/D (from memory).
    [(15.0, 4), (30.0, 8), (45.0, 15), (60.0, 25), (75.0, 40), (90.0, 60)],
)
def test_mitre_bends_of_tp_410(angle_deg: float, multiple: int) -> None:
    k = mitre_loss_coefficient(0.05, angle_deg)
    assert k / rough_friction_factor(0.05) == pytest.approx(multiple, rel=0.01)


@pytest.mark.parametrize(
    ("nominal_in", "factor"),
    # TP-410, appendix A: friction factor of clean commercial steel pipe in complete turbulence
    # (values from memory of the table of an older edition, two digits, nominal sizes 1 to 5 in).
    [("1", 0.023), ("2", 0.019), ("3", 0.018), ("4", 0.017), ("5", 0.016)],
)
def test_rough_friction_factor_of_tp_410(nominal_in: str, factor: float) -> None:
    assert rough_friction_factor(SCHEDULE_40_M[nominal_in]) == pytest.approx(factor, rel=0.06)


def test_sudden_changes_of_bore() -> None:
    # Borda and Carnot: 38 to 50 mm widening (1 - (38/50)^2)^2 = 0.178422; Crane: narrowing
    # 0.5 (1 - b^2) = 0.2112.
    assert enlargement_loss_coefficient(0.038, 0.050) == pytest.approx(0.178422, abs=5e-7)
    assert contraction_loss_coefficient(0.050, 0.038) == pytest.approx(0.2112, abs=5e-5)


def test_sudden_enlargement_of_a_cone_is_cheaper() -> None:
    # TP-410, eq. 2-12: below 45 degrees K = 2.6 sin(angle/2) (1 - b^2)^2: at 20 degrees 0.0806.
    assert enlargement_loss_coefficient(0.038, 0.050, 20.0) == pytest.approx(0.0806, abs=1e-4)


def test_velocity_of_a_hose() -> None:
    # 60 l/min in 32 mm: 1.2434 m/s, by area.
    assert velocity_m_per_s(60 * LITRE_PER_MIN, 0.032) == pytest.approx(1.2434, abs=5e-5)


def test_power_of_a_pump_in_a_pumping_course() -> None:
    # 130 m3/h of water (1000 kg/m3, 9.81 m/s2) over 85 m, efficiency 0.60: 67.3 hp at the shaft.
    hydraulic = hydraulic_power_w(130 / 3600, 1000.0 * 9.81 * 85)
    assert hydraulic / 1e3 == pytest.approx(108_400_500 / 3_600_000, rel=1e-3)
    assert pump_shaft_power_w(hydraulic, 0.60) / HORSEPOWER_W == pytest.approx(67.3, rel=1e-3)
