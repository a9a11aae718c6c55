"""Direct-current networks against the circuit simulator ngspice, node by node."""

import os
from pathlib import Path

import pytest

from installgen.calc.dc_elements import (
    Alternator,
    Battery,
    ConstantPowerLoad,
    CurrentLoad,
    Diode,
    Resistor,
    SenseLoss,
    Source,
    TurningStarter,
)
from installgen.calc.dc_network import AS_BUILT, ContactState, Network, Variation
from installgen.calc.dc_solver import solve
from tests.published.ngspice import (
    ngspice_is_missing,
    ngspice_voltages,
    ngspice_voltages_many,
)
from tests.published.random_dc import random_network

pytestmark = pytest.mark.skipif(
    ngspice_is_missing() and not os.environ.get("CI"), reason="ngspice is not installed"
)

# Below 10 mV the simulator's own tolerances (1e-12 A over what a node hangs on) come through.
FLOOR_V = 0.01


def assert_same_voltages(
    network: Network, closed: ContactState, variation: Variation | None = None
) -> None:
    """The same nodes float, and all others agree to 1e-6."""
    varied = variation or Variation()
    compare(network, closed, ngspice_voltages(network, closed, varied), varied)


def compare(
    network: Network, closed: ContactState, theirs: dict[str, float], varied: Variation = AS_BUILT
) -> None:
    """Our voltages against theirs, node by node."""
    ours = solve(network, closed, varied).voltage_v
    assert {node for node, volts in ours.items() if volts is not None} == set(theirs)
    for node, volts in theirs.items():
        allowed_v = 1e-6 * max(abs(volts), FLOOR_V)
        assert ours[node] == pytest.approx(volts, rel=0, abs=allowed_v), node


def test_the_bench_circuit_of_a_battery_two_legs_and_a_load() -> None:
    """12.8 V, 8 mohm; 1.5 mohm each leg; 0.08 ohm: 12.8 V / 91 mohm."""
    network = Network(
        (
            Source("bank", "bat", "0", 12.8, 0.008),
            Resistor("positive leg", "bat", "load", 0.0015),
            Resistor("load", "load", "neg", 0.08),
            Resistor("negative leg", "neg", "0", 0.0015),
        ),
        "0",
    )
    point = solve(network)
    assert point.current_a["bank"] == pytest.approx(12.8 / 0.091, rel=1e-12)
    # As printed by ngspice 39 for this netlist.
    assert point.voltage_v["bat"] == pytest.approx(11.67473, rel=1e-6)
    assert point.voltage_v["load"] == pytest.approx(11.46374, rel=1e-6)
    assert point.voltage_v["neg"] == pytest.approx(0.210989, rel=1e-6)
    assert point.current_a["bank"] == pytest.approx(140.659, rel=5e-6)
    assert_same_voltages(network, frozenset())


BATCH = 25
NO_ANSWER = frozenset({23})
"""Seeds for which the simulator's own search ends in "nan"."""


@pytest.mark.parametrize("first", range(0, 10 * BATCH, BATCH))
def test_random_networks_with_constant_powers_and_diodes(first: int, tmp_path: Path) -> None:
    """250 networks in ten processes, contacts frozen."""
    seeds = [seed for seed in range(first, first + BATCH) if seed not in NO_ANSWER]
    networks = [random_network(seed) for seed in seeds]
    kinds = {type(e) for network, _ in networks for e in network.elements}
    assert {ConstantPowerLoad, Diode, CurrentLoad} <= kinds
    found = ngspice_voltages_many(networks, tmp_path)
    for (network, closed), theirs in zip(networks, found, strict=True):
        compare(network, closed, theirs)


@pytest.mark.parametrize("seed", range(100, 125))
def test_random_networks_with_a_regulated_alternator(seed: int) -> None:
    assert_same_voltages(*random_network(seed, alternator=True))


@pytest.mark.parametrize("seed", range(200, 215))
def test_random_networks_with_a_broken_and_a_corroded_conductor(seed: int) -> None:
    network, closed = random_network(seed, nodes=40)
    names = sorted(e.id for e in network.elements if e.id.startswith(("conductor", "contact")))
    variation = Variation(
        broken=frozenset({names[seed % len(names)]}),
        resistance_ohm={names[(7 * seed + 3) % len(names)]: 0.35},
    )
    assert_same_voltages(network, closed, variation)


@pytest.mark.parametrize("current_limit_a", [0.5, 40.0, 120.0])
@pytest.mark.parametrize("sense", [None, "bank"])
@pytest.mark.parametrize("droop_ohm", [0.0, 0.002])
def test_an_alternator_charges_two_batteries_over_a_long_lead(
    current_limit_a: float, sense: str | None, droop_ohm: float
) -> None:
    network = Network(
        (
            Alternator(
                "alternator",
                "stud",
                "block",
                set_voltage_v=14.2,
                current_limit_a=current_limit_a,
                ceiling_v=60.0,
                sense=sense,
                droop_ohm=droop_ohm,
            ),
            Resistor("charge lead", "stud", "bank", 0.012),
            Battery("start bank", "bank", "block", 12.7, 0.006, 0.8),
            Resistor("paralleling lead", "bank", "house", 0.004),
            Battery("house bank", "house", "block", 12.2, 0.004, 0.05),
            TurningStarter("pump", "house", "block", 0.2, 1.0, 0.002, 6.0, 0.001),
        ),
        "block",
    )
    assert_same_voltages(network, frozenset())


@pytest.mark.parametrize("lost", ["full field", "own stud", "no output"])
def test_an_alternator_without_its_sense_lead(lost: SenseLoss) -> None:
    network = Network(
        (
            Alternator(
                "alternator",
                "stud",
                "block",
                set_voltage_v=14.2,
                current_limit_a=60.0,
                ceiling_v=40.0,
                sense="sense",
                when_sense_lost=lost,
            ),
            Resistor("charge lead", "stud", "bank", 0.012),
            Resistor("sense lead", "sense", "bank", 0.2),
            Battery("bank", "bank", "block", 12.7, 0.006, 0.3),
        ),
        "block",
    )
    assert_same_voltages(network, frozenset())
    assert_same_voltages(network, frozenset(), Variation(broken=frozenset({"sense lead"})))
    assert_same_voltages(network, frozenset(), Variation(broken=frozenset({"charge lead"})))
