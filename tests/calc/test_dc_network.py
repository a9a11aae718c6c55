"""Operating points against hand calculation; the arithmetic is beside each."""

import math

import pytest

from installgen.calc.dc_elements import (
    BadNetwork,
    Battery,
    Coil,
    ConstantPowerLoad,
    Contact,
    CurrentLoad,
    Diode,
    Element,
    Resistor,
    Source,
    TurningStarter,
    Voltmeter,
    saturation_current_a,
    slope_v,
)
from installgen.calc.dc_network import Network, Point, Variation
from installgen.calc.dc_solver import solve, solve_many
from installgen.errors import NotSolved, OutOfRange


def network(*elements: Element, reference: str = "neg") -> Network:
    return Network(elements, reference)


BANK = Source("bank", "pos", "neg", 12.0, 0.01)


def test_divider() -> None:
    """12 V over 0.01 + 1.99 + 4 ohm is 2 A; 8 V stay across the 4 ohm."""
    point = solve(
        network(BANK, Resistor("upper", "pos", "mid", 1.99), Resistor("lower", "mid", "neg", 4.0))
    )
    assert point.current_a["bank"] == pytest.approx(2.0, rel=1e-14)
    assert point.voltage_v["mid"] == pytest.approx(8.0, rel=1e-14)
    assert point.drop_v("pos", "mid") == pytest.approx(3.98, rel=1e-12)
    assert point.power_w("lower") == pytest.approx(16.0, rel=1e-14)
    assert point.power_w("bank") == pytest.approx(-2.0 * 11.98, rel=1e-14)


def test_milliohms_beside_megohms_lose_no_digit() -> None:
    """0.1 mohm in series with 10 Mohm: 12 V * 1e-4 / (1e7 + 1e-4), and 1.2 uA through both."""
    point = solve(
        network(
            Source("bank", "pos", "neg", 12.0, 0.0),
            Resistor("joint", "pos", "far", 1e-4),
            Voltmeter("meter", "far", "neg"),
        )
    )
    assert point.voltage_v["far"] == pytest.approx(12.0 * 1e7 / (1e7 + 1e-4), rel=1e-14)
    assert point.current_a["meter"] == pytest.approx(12.0 / (1e7 + 1e-4), rel=1e-14)


def test_a_node_without_any_path_is_undefined_and_not_nil() -> None:
    dead = network(
        BANK,
        Contact("switch", "pos", "panel", 0.001),
        Resistor("lead", "panel", "lamp", 0.02),
        Resistor("stub", "lamp", "spare terminal", 0.1),
    )
    opened = solve(dead)
    assert opened.voltage_v["panel"] is None
    assert opened.voltage_v["spare terminal"] is None
    assert opened.floating == {"panel", "lamp", "spare terminal"}
    assert opened.drop_v("pos", "panel") is None
    assert opened.drop_v("panel", "lamp") == 0.0
    assert opened.across_v("switch") is None
    assert opened.current_a["lead"] == 0.0
    closed = solve(dead, ["switch"])
    assert closed.voltage_v["spare terminal"] == pytest.approx(12.0, rel=1e-14)
    assert closed.floating == frozenset()


def test_an_island_with_a_battery_of_its_own_works_but_has_no_voltage_here() -> None:
    """6 V over 1 + 2 ohm is 2 A, 4 V across the 2 ohm, whatever the rest of the boat does."""
    point = solve(
        network(
            BANK,
            Source("torch cell", "tp", "tn", 6.0, 1.0),
            Resistor("bulb", "tp", "tn", 2.0),
        )
    )
    assert point.voltage_v["tp"] is None
    assert point.voltage_v["tn"] is None
    assert point.current_a["bulb"] == pytest.approx(2.0, rel=1e-14)
    assert point.drop_v("tp", "tn") == pytest.approx(4.0, rel=1e-14)
    assert point.drop_v("tp", "neg") is None


def test_a_part_on_the_negative_only_reads_nil() -> None:
    point = solve(
        network(BANK, Contact("switch", "pos", "lamp", 0.001), Resistor("bulb", "lamp", "neg", 3.0))
    )
    assert point.voltage_v["lamp"] == 0.0


def test_an_open_coil_ground_shows_full_voltage_on_both_coil_terminals() -> None:
    """86 ohm before 10 Mohm: the far terminal reads 12 V less 0.1 mV."""
    point = solve(
        network(
            BANK,
            Coil("coil", "pos", "coil ground", 86.0, 8.0, 3.0),
            Voltmeter("meter", "coil ground", "neg"),
        )
    )
    assert point.voltage_v["coil ground"] == pytest.approx(12.0 * 1e7 / (1e7 + 86.01), rel=1e-12)


def test_a_corroded_joint_reads_perfect_unloaded() -> None:
    """2 ohm of corrosion: 12 V at a meter of 10 Mohm, 12 * 4 / 6.01 V under a lamp of 4 ohm."""
    corroded = network(
        BANK,
        Resistor("joint", "pos", "lamp", 2.0),
        Voltmeter("meter", "lamp", "neg"),
        Contact("lamp switch", "lamp", "lit", 1e-9),
        Resistor("bulb", "lit", "neg", 4.0),
    )
    assert solve(corroded).voltage_v["lamp"] == pytest.approx(12.0, rel=1e-6)
    under_load = solve(corroded, ["lamp switch"]).voltage_v["lamp"]
    assert under_load == pytest.approx(12.0 * 4.0 / 6.01, rel=1e-6)


def test_plain_links_join_nodes_and_carry_what_their_nodes_pass_on() -> None:
    point = solve(
        network(
            BANK,
            Resistor("busbar a", "pos", "a", 0.0),
            Resistor("busbar b", "a", "b", 0.0),
            Resistor("lamp a", "a", "neg", 6.0),
            Resistor("lamp b", "b", "neg", 3.0),
        )
    )
    volts = 12.0 * 2.0 / 2.01  # 6 || 3 = 2 ohm
    assert point.voltage_v["b"] == pytest.approx(volts, rel=1e-14)
    assert point.current_a["busbar a"] == pytest.approx(volts / 2.0, rel=1e-12)
    assert point.current_a["busbar b"] == pytest.approx(volts / 3.0, rel=1e-12)


def test_a_plain_link_can_be_broken_or_corroded() -> None:
    lamp = network(BANK, Resistor("lug", "pos", "lamp", 0.0), Resistor("bulb", "lamp", "neg", 2.99))
    assert solve(lamp).current_a["bulb"] == pytest.approx(4.0, rel=1e-14)
    broken = solve(lamp, variation=Variation(broken=frozenset({"lug"})))
    assert broken.current_a["bulb"] == 0.0
    corroded = solve(lamp, variation=Variation(resistance_ohm={"lug": 1.0}))
    assert corroded.current_a["lug"] == pytest.approx(3.0, rel=1e-13)


def test_ideal_sources_in_series_and_in_contradiction() -> None:
    first = Source("first", "mid", "neg", 12.0, 0.0)
    second = Source("second", "pos", "mid", 12.0, 0.0)
    point = solve(network(first, second, Resistor("bulb", "pos", "neg", 8.0)))
    assert point.voltage_v["pos"] == 24.0
    assert point.current_a["first"] == pytest.approx(3.0, rel=1e-14)
    assert point.current_a["second"] == pytest.approx(3.0, rel=1e-14)
    with pytest.raises(BadNetwork, match=r"do not add up: 0\.5 V"):
        network(first, Source("other", "mid", "neg", 11.5, 0.0))


def test_the_reference_is_the_callers_choice() -> None:
    elements = (
        BANK,
        Resistor("bulb", "pos", "block", 1.98),
        Resistor("return", "block", "neg", 0.01),
    )
    by_negative = solve(Network(elements, "neg"))
    by_block = solve(Network(elements, "block"))
    assert by_negative.voltage_v["block"] == pytest.approx(0.06, rel=1e-13)
    assert by_block.voltage_v["neg"] == pytest.approx(-0.06, rel=1e-13)
    assert by_block.current_a["bulb"] == pytest.approx(6.0, rel=1e-13)


def test_constant_power_by_its_quadratic() -> None:
    """V = (12 + sqrt(144 - 4 * 0.1 * 50)) / 2 with 0.1 ohm in all."""
    point = solve(
        network(
            BANK,
            Resistor("lead", "pos", "set", 0.09),
            ConstantPowerLoad("radio", "set", "neg", 50.0, 9.0),
        )
    )
    expected = (12.0 + math.sqrt(144.0 - 4 * 0.1 * 50.0)) / 2.0
    assert point.voltage_v["set"] == pytest.approx(expected, rel=1e-10)
    assert point.power_w("radio") == pytest.approx(50.0, rel=1e-9)


@pytest.mark.parametrize("lead_ohm", [2.0, 0.99])
def test_constant_power_below_its_least_voltage_is_a_resistance(lead_ohm: float) -> None:
    """9 V * 9 V / 50 W = 1.62 ohm. At 1 ohm in all 144 < 4 * 50: no supply of 50 W is left."""
    point = solve(
        network(
            BANK,
            Resistor("lead", "pos", "set", lead_ohm),
            ConstantPowerLoad("radio", "set", "neg", 50.0, 9.0),
        )
    )
    expected = 12.0 * 1.62 / (1.62 + lead_ohm + 0.01)
    assert point.voltage_v["set"] == pytest.approx(expected, rel=1e-10)


def test_constant_power_close_to_collapse_keeps_the_working_state() -> None:
    """144 - 4 * 0.71 * 50 = 2: V = (12 + sqrt 2) / 2 although a lower state exists."""
    point = solve(
        network(
            BANK,
            Resistor("lead", "pos", "set", 0.70),
            ConstantPowerLoad("radio", "set", "neg", 50.0, 3.0),
        )
    )
    assert point.voltage_v["set"] == pytest.approx((12.0 + math.sqrt(2.0)) / 2.0, rel=1e-9)


def test_constant_current_and_below_its_least_voltage() -> None:
    """2 A over 0.5 + 0.01 ohm; over 4 + 0.01 ohm the load is 8 V / 2 A = 4 ohm."""
    for lead_ohm, expected in ((0.5, 12.0 - 2.0 * 0.51), (4.0, 12.0 * 4.0 / 8.01)):
        point = solve(
            network(
                BANK,
                Resistor("lead", "pos", "set", lead_ohm),
                CurrentLoad("pump", "set", "neg", 2.0, 8.0),
            )
        )
        assert point.voltage_v["set"] == pytest.approx(expected, rel=1e-12)


def test_loads_without_supply_draw_nothing() -> None:
    point = solve(
        network(
            BANK,
            Contact("switch", "pos", "panel", 0.001),
            CurrentLoad("pump", "panel", "neg", 2.0, 8.0),
            ConstantPowerLoad("radio", "panel", "neg", 50.0, 9.0),
        )
    )
    assert point.voltage_v["panel"] == pytest.approx(0.0, abs=1e-12)
    assert point.current_a["pump"] == pytest.approx(0.0, abs=1e-12)


def test_a_diode_has_its_stated_drop_and_blocks() -> None:
    """0.8 V at 11.2 V / 1 ohm, by construction of the saturation current."""
    saturation_a = saturation_current_a(0.8, 11.2, 1.5, 60.0)
    ends = {"start": "k", "end": "neg", "resistance_ohm": 1.0}
    supply = Source("bank", "pos", "neg", 12.0, 0.0)
    forward = Diode("diode", "pos", "k", saturation_a, 1.5, 60.0)
    point = solve(network(supply, forward, Resistor("bulb", **ends)))  # type: ignore[arg-type]
    assert point.across_v("diode") == pytest.approx(0.8, rel=1e-9)
    backward = Diode("diode", "k", "pos", saturation_a, 1.5, 60.0)
    point = solve(network(supply, backward, Resistor("bulb", **ends)))  # type: ignore[arg-type]
    assert point.current_a["bulb"] == pytest.approx(saturation_a + 12e-12, rel=1e-6)


def test_the_thermal_voltage() -> None:
    """kT/q at 300 K is 25.852 mV (any handbook of electronics)."""
    assert slope_v(1.0, 300.0 - 273.15) == pytest.approx(25.852e-3, rel=1e-5)


def test_a_battery_discharges_by_one_resistance_and_charges_by_another() -> None:
    """12.6 V; 12.6 / (0.02 + 1.24) = 10 A out; (14.2 - 12.6) / (0.2 + 0.6) = 2 A in."""
    battery = Battery("house", "pos", "neg", 12.6, 0.02, 0.6)
    out = solve(network(battery, Resistor("bulb", "pos", "neg", 1.24)))
    assert out.current_a["house"] == pytest.approx(10.0, rel=1e-12)
    into = solve(network(battery, Source("charger", "pos", "neg", 14.2, 0.2)))
    assert into.current_a["house"] == pytest.approx(-2.0, rel=1e-12)
    weak = solve(
        network(battery, Resistor("bulb", "pos", "neg", 1.24)),
        variation=Variation(resistance_ohm={"house": 1.28}),
    )
    assert weak.current_a["house"] == pytest.approx(5.0, rel=1e-12)


def test_a_starter_loses_speed_with_voltage_and_stalls() -> None:
    """1.5 + 0.01 * 150 = 3 V to turn; at 12 - 0.02 * 150 = 9 V (9 - 3) / 0.03 = 200 rpm."""
    starter = TurningStarter("starter", "motor", "neg", 0.01, 1.5, 0.03, 150.0)
    turning = solve(network(BANK, Resistor("cable", "pos", "motor", 0.01), starter))
    assert turning.voltage_v["motor"] == pytest.approx(9.0, rel=1e-12)
    assert starter.speed_rpm(9.0) == pytest.approx(200.0, rel=1e-12)
    # 3 V / 150 A = 20 mohm at rest, behind 0.08 ohm: 12 * 0.02 / 0.1 = 2.4 V, 120 A.
    stalled = solve(network(BANK, Resistor("cable", "pos", "motor", 0.07), starter))
    assert stalled.voltage_v["motor"] == pytest.approx(2.4, rel=1e-12)
    assert stalled.current_a["starter"] == pytest.approx(120.0, rel=1e-12)
    assert starter.speed_rpm(2.4) == 0.0


def test_a_starter_whose_torque_grows_with_speed() -> None:
    """9 V = 1.5 + 0.01 I + 0.02 N and I = 150 + 0.5 N: 6 = 0.025 N, N = 240 rpm, I = 270 A."""
    starter = TurningStarter("starter", "motor", "neg", 0.01, 1.5, 0.02, 150.0, 0.5)
    ideal = Source("bank", "motor", "neg", 9.0, 0.0)
    assert solve(network(ideal, starter)).current_a["starter"] == pytest.approx(270.0, rel=1e-12)
    assert starter.speed_rpm(9.0) == pytest.approx(240.0, rel=1e-12)


def test_a_reversed_battery_is_a_negative_emf() -> None:
    point = solve(
        network(
            BANK,
            Source("reversed", "second", "neg", -12.0, 0.01),
            Resistor("link cable", "pos", "second", 0.02),
        )
    )
    assert point.current_a["link cable"] == pytest.approx(24.0 / 0.04, rel=1e-12)


def test_many_points_are_the_points_one_by_one() -> None:
    lamp = network(
        BANK,
        Contact("switch", "pos", "panel", 0.002),
        Resistor("lead", "panel", "lamp", 0.1),
        Resistor("lug", "lamp", "socket", 0.0),
        CurrentLoad("lamp", "socket", "neg", 3.0, 6.0),
        Diode("arrester", "neg", "socket", 1e-9, 1.4, 25.0),
    )
    wanted = [
        Point(),
        Point(frozenset({"switch"})),
        Point(frozenset({"switch"}), Variation(broken=frozenset({"lug"}))),
        Point(frozenset({"switch"}), Variation(resistance_ohm={"lead": 3.0, "lug": 0.5})),
        Point(variation=Variation(welded=frozenset({"switch"}))),
        Point(frozenset({"switch"}), Variation(broken=frozenset({"lamp"}))),
    ]
    together = solve_many(lamp, wanted)
    assert len(together) == len(wanted)
    for point, many in zip(wanted, together, strict=True):
        single = solve(lamp, point.closed, point.variation)
        assert many.voltage_v == pytest.approx(single.voltage_v, rel=1e-9, abs=1e-9)
        assert many.current_a == pytest.approx(single.current_a, rel=1e-9, abs=1e-12)
    assert together[4].voltage_v == together[1].voltage_v


def test_no_points_is_no_result() -> None:
    assert len(solve_many(network(BANK, Resistor("bulb", "pos", "neg", 4.0)), [])) == 0


@pytest.mark.parametrize(
    ("elements", "reference", "message"),
    [
        ((BANK, BANK), "neg", "two parts of the network are called bank"),
        ((Resistor("S1", "a", "a", 1.0),), "a", "both ends of S1 are on a"),
        ((BANK,), "block", "reference node block is on no element"),
    ],
)
def test_a_network_that_contradicts_itself(
    elements: tuple[Element, ...], reference: str, message: str
) -> None:
    with pytest.raises(BadNetwork, match=message):
        Network(elements, reference)


def test_questions_about_what_is_not_there() -> None:
    lamp = network(BANK, Resistor("bulb", "pos", "neg", 4.0), Diode("d", "pos", "neg", 1e-9, 1, 25))
    with pytest.raises(BadNetwork, match="no contact key"):
        solve(lamp, ["key"])
    with pytest.raises(BadNetwork, match="no element fuse"):
        solve(lamp, variation=Variation(broken=frozenset({"fuse"})))
    with pytest.raises(BadNetwork, match="bulb cannot be welded"):
        solve(lamp, variation=Variation(welded=frozenset({"bulb"})))
    with pytest.raises(BadNetwork, match="d has no single resistance"):
        solve(lamp, variation=Variation(resistance_ohm={"d": 1.0}))
    with pytest.raises(OutOfRange, match="varied resistance of bulb is 0 ohm"):
        solve(lamp, variation=Variation(resistance_ohm={"bulb": 0.0}))


def test_what_cannot_be_an_element() -> None:
    with pytest.raises(OutOfRange, match="the resistance of S1 is -1 ohm"):
        Resistor("S1", "a", "b", -1.0)
    with pytest.raises(OutOfRange, match="the resistance of K1 is 0 ohm"):
        Contact("K1", "a", "b", 0.0)
    with pytest.raises(OutOfRange, match="the resistance of S1 is nan ohm"):
        Resistor("S1", "a", "b", math.nan)
    with pytest.raises(OutOfRange, match="the drop-out voltage of coil is 9 V"):
        Coil("coil", "a", "b", 80.0, 8.0, 9.0)
    with pytest.raises(OutOfRange, match="the power of radio is 0 W"):
        ConstantPowerLoad("radio", "a", "b", 0.0, 9.0)


def test_a_point_that_did_not_converge_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("installgen.calc.dc_newton.MOST_ITERATIONS", 1)
    radio = network(
        BANK,
        Resistor("lead", "pos", "set", 0.09),
        ConstantPowerLoad("radio", "set", "neg", 50.0, 9.0),
    )
    points = solve_many(radio, [Point()])
    assert not points.solved[0]
    with pytest.raises(NotSolved, match=r"not solved: residual .* after 1 iterations"):
        solve(radio)


def test_faults_of_different_plain_links_are_solved_together_to_the_last_digit() -> None:
    """12 V over 0.01 + 0.09 ohm: 120 A; a fault of one link leaves the other one perfect."""
    starter = network(
        BANK,
        Resistor("lug a", "pos", "a", 0.0),
        Resistor("lug b", "a", "b", 0.0),
        Resistor("lug c", "b", "neg side", 0.0),
        Resistor("motor", "neg side", "neg", 0.09),
    )
    as_built, corroded, broken = solve_many(
        starter,
        [
            Point(),
            Point(variation=Variation(resistance_ohm={"lug a": 0.02})),
            Point(variation=Variation(broken=frozenset({"lug b"}))),
        ],
    )
    assert as_built.current_a["lug c"] == pytest.approx(120.0, rel=1e-12)
    for lug in ("lug a", "lug b", "lug c"):
        assert corroded.current_a[lug] == pytest.approx(100.0, rel=1e-12)
        assert broken.current_a[lug] == pytest.approx(0.0, abs=1e-12)
    assert corroded.voltage_v["b"] == pytest.approx(9.0, rel=1e-12)
    assert corroded.drop_v("a", "neg side") == pytest.approx(0.0, abs=1e-14)
    assert broken.voltage_v["a"] == pytest.approx(12.0, rel=1e-12)
    assert broken.voltage_v["b"] == 0.0
