"""Regulated alternators in a network, by hand."""

import pytest

from installgen.calc.dc_elements import Alternator, Battery, Contact, Resistor, SenseLoss, Source
from installgen.calc.dc_network import Network, Variation
from installgen.calc.dc_solver import solve

BANK = Battery("bank", "bank+", "block", 12.7, 0.005, 0.75)
CHARGE_LEAD = Resistor("charge lead", "stud", "bank+", 0.01)


def alternator(
    name: str = "alternator",
    *,
    set_voltage_v: float = 14.2,
    limit_a: float = 90.0,
    sense: str | None = None,
    lost: SenseLoss = "full field",
    lost_below_v: float = 0.0,
    positive: str = "stud",
    droop_ohm: float = 0.0,
) -> Alternator:
    return Alternator(
        name,
        positive,
        "block",
        set_voltage_v,
        limit_a,
        ceiling_v=45.0,
        sense=sense,
        droop_ohm=droop_ohm,
        when_sense_lost=lost,
        sense_lost_below_v=lost_below_v,
    )


def test_a_full_bank_sits_at_the_set_voltage_far_from_the_limit() -> None:
    """Sensed at the bank: (14.2 - 12.7) / 0.75 = 2 A; the stud stands 20 mV above."""
    point = solve(Network((alternator(sense="bank+"), CHARGE_LEAD, BANK), "block"))
    assert point.voltage_v["bank+"] == pytest.approx(14.2, rel=1e-12)
    assert point.current_a["alternator"] == pytest.approx(2.0, rel=1e-10)
    assert point.voltage_v["stud"] == pytest.approx(14.22, rel=1e-12)
    assert point.alternators["alternator"].mode == "regulating"


def test_sensed_at_its_stud_it_loses_the_leads_drop() -> None:
    """1.5 V over 0.75 + 0.01 ohm."""
    point = solve(Network((alternator(), CHARGE_LEAD, BANK), "block"))
    assert point.voltage_v["stud"] == pytest.approx(14.2, rel=1e-12)
    assert point.current_a["alternator"] == pytest.approx(1.5 / 0.76, rel=1e-10)


def test_at_its_limit_the_bank_makes_up_the_rest() -> None:
    """A load of 0.1 ohm and 50 A: (12.7 - 0.005 I) * 10 = 50 + I, I = 77 / 1.05 A."""
    load = Resistor("thruster", "bank+", "block", 0.1)
    point = solve(Network((alternator(limit_a=50.0), CHARGE_LEAD, BANK, load), "block"))
    assert point.alternators["alternator"].mode == "at its limit"
    assert point.current_a["alternator"] == 50.0
    assert point.current_a["bank"] == pytest.approx(77.0 / 1.05, rel=1e-12)


def test_it_takes_nothing_back_while_it_stands() -> None:
    point = solve(Network((alternator(limit_a=0.0), CHARGE_LEAD, BANK), "block"))
    assert point.current_a["charge lead"] == pytest.approx(0.0, abs=1e-12)
    higher = Source("shore charger", "bank+", "block", 14.6, 0.01)
    point = solve(Network((alternator(), CHARGE_LEAD, BANK, higher), "block"))
    assert point.alternators["alternator"].mode == "idle"
    assert point.current_a["alternator"] == 0.0


@pytest.mark.parametrize(
    ("lost", "current_a", "mode"),
    [
        ("full field", 40.0, "at its limit"),  # 12.7 + 40 * 0.75 = 42.7 V at the bank
        ("own stud", 1.5 / 0.76, "regulating"),
        ("no output", 0.0, "idle"),
    ],
)
@pytest.mark.parametrize("corrosion_ohm", [None, 1e6])
def test_a_lost_sense_lead_has_its_stated_consequence(
    lost: SenseLoss, current_a: float, mode: str, corrosion_ohm: float | None
) -> None:
    """Broken outright, or leaking so little that 100 kohm of the regulator hold it near nil."""
    network = Network(
        (
            alternator(limit_a=40.0, sense="sense", lost=lost, lost_below_v=6.0),
            CHARGE_LEAD,
            BANK,
            Resistor("sense lead", "sense", "bank+", 0.1),
            Contact("regulator input", "sense", "block", 1e5),
        ),
        "block",
    )
    if corrosion_ohm is None:
        variation, closed = Variation(broken=frozenset({"sense lead"})), frozenset[str]()
    else:
        variation = Variation(resistance_ohm={"sense lead": corrosion_ohm})
        closed = frozenset({"regulator input"})
    point = solve(network, closed, variation)
    assert point.alternators["alternator"].sense_lost
    assert point.alternators["alternator"].mode == mode
    assert point.current_a["alternator"] == pytest.approx(current_a, rel=1e-5)
    intact = solve(network)
    assert not intact.alternators["alternator"].sense_lost


def test_an_opened_isolator_leaves_the_stud_at_the_ceiling() -> None:
    """Sensed beyond the isolator, 30 A into 2 ohm would be 60 V; the ceiling is 45 V."""
    network = Network(
        (
            alternator(limit_a=30.0, sense="bank+"),
            Contact("isolator", "stud", "bank+", 0.001),
            Resistor("instruments", "stud", "block", 2.0),
            BANK,
        ),
        "block",
    )
    assert solve(network, ["isolator"]).voltage_v["bank+"] == pytest.approx(14.2, rel=1e-12)
    dumped = solve(network)
    assert dumped.alternators["alternator"].mode == "at its ceiling"
    assert dumped.voltage_v["stud"] == pytest.approx(45.0, rel=1e-12)
    assert dumped.current_a["alternator"] == pytest.approx(22.5, rel=1e-12)


def test_a_broken_charge_lead_leaves_nothing_to_deliver_to() -> None:
    network = Network((alternator(sense="bank+"), CHARGE_LEAD, BANK), "block")
    point = solve(network, variation=Variation(broken=frozenset({"charge lead"})))
    assert point.current_a["alternator"] == 0.0
    assert point.voltage_v["stud"] is None


def test_of_two_alternators_the_higher_set_one_carries_the_load() -> None:
    """14.4 against 14.2 V on one stud: 1.7 V over 0.76 ohm, all of it from the higher."""
    network = Network(
        (
            alternator("port", set_voltage_v=14.2),
            alternator("starboard", set_voltage_v=14.4),
            CHARGE_LEAD,
            BANK,
        ),
        "block",
    )
    point = solve(network)
    assert point.current_a["port"] == 0.0
    assert point.current_a["starboard"] == pytest.approx(1.7 / 0.76, rel=1e-10)
    assert point.alternators["port"].mode == "idle"


def test_two_alike_share_by_their_droop() -> None:
    """With 10 mohm of droop each, both give I: 14.2 - 0.01 I = 12.7 + 0.76 * 2 I."""
    port, starboard = (alternator(name, droop_ohm=0.01) for name in ("port", "starboard"))
    network = Network((port, starboard, CHARGE_LEAD, BANK), "block")
    point = solve(network)
    expected = 1.5 / (2 * 0.76 + 0.01)
    assert point.current_a["port"] == pytest.approx(expected, rel=1e-9)
    assert point.current_a["starboard"] == pytest.approx(expected, rel=1e-9)


def test_two_alike_without_droop_are_taken_in_order() -> None:
    network = Network((alternator("port"), alternator("starboard"), CHARGE_LEAD, BANK), "block")
    point = solve(network)
    total = point.current_a["port"] + point.current_a["starboard"]
    assert total == pytest.approx(1.5 / 0.76, rel=1e-9)
    assert point.voltage_v["stud"] == pytest.approx(14.2, rel=1e-12)
