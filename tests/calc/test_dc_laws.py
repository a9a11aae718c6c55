"""Laws that every direct-current network obeys, on networks that nobody chose."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from installgen.calc.dc_elements import (
    Battery,
    ConstantPowerLoad,
    CurrentLoad,
    Diode,
    Element,
    Resistor,
    Source,
)
from installgen.calc.dc_network import Network, Variation
from installgen.calc.dc_solver import solve

OHMS = st.floats(1e-4, 1e3)
quick = settings(max_examples=60, deadline=None, derandomize=True)


@st.composite
def resistive_networks(draw: st.DrawFn) -> tuple[Network, int]:
    """A connected network of resistors with a source; and its count of nodes n0, n1, ..."""
    count = draw(st.integers(3, 12))
    elements: list[Element] = [Source("bank", "n1", "n0", draw(st.floats(6, 30)), draw(OHMS))]
    for index in range(2, count):
        near = draw(st.integers(0, index - 1))
        elements.append(Resistor(f"r{index}", f"n{near}", f"n{index}", draw(OHMS)))
    for index in range(draw(st.integers(1, 8))):
        start = draw(st.integers(0, count - 1))
        end = (start + draw(st.integers(1, count - 1))) % count
        elements.append(Resistor(f"x{index}", f"n{start}", f"n{end}", draw(OHMS)))
    return Network(tuple(elements), "n0"), count


@st.composite
def loaded_networks(draw: st.DrawFn) -> Network:
    """A harness with two batteries and every kind of load, some of it possibly collapsed."""
    network, count = draw(resistive_networks())
    elements = list(network.elements)

    def node() -> str:
        return f"n{draw(st.integers(1, count - 1))}"

    for index in range(draw(st.integers(1, 6))):
        at = node()
        kind = draw(st.sampled_from(["power", "current", "diode", "battery"]))
        match kind:
            case "power":
                watts = draw(st.floats(0.5, 60))
                load: Element = ConstantPowerLoad(f"p{index}", at, "n0", watts, 5.0)
            case "current":
                load = CurrentLoad(f"i{index}", at, "n0", draw(st.floats(0.1, 20)), 5.0)
            case "diode":
                load = Diode(f"d{index}", at, f"k{index}", 1e-9, 1.5, 40.0)
                elements.append(Resistor(f"k{index} load", f"k{index}", "n0", draw(OHMS)))
            case _:
                load = Battery(f"b{index}", at, "n0", draw(st.floats(10, 14)), 0.01, 0.3)
        elements.append(load)
    return Network(tuple(elements), "n0")


@quick
@given(resistive_networks())
def test_linear_networks_as_a_dense_system_of_nodal_equations(case: tuple[Network, int]) -> None:
    network, count = case
    matrix, fed_a = np.zeros((count, count)), np.zeros(count)
    for element in network.elements:
        start, end = (int(node[1:]) for node in element.ends)
        assert isinstance(element, Resistor | Source)
        siemens = 1.0 / element.resistance_ohm
        matrix[[start, end], [start, end]] += siemens
        matrix[[start, end], [end, start]] -= siemens
        if isinstance(element, Source):
            fed_a[end] += element.emf_v * siemens
    expected = np.linalg.solve(matrix[1:, 1:], fed_a[1:])
    point = solve(network)
    # The dense solution loses digits where conductances differ by many orders; ours does not.
    lost = np.linalg.cond(matrix[1:, 1:]) * 1e-14
    for index, volts in enumerate(expected, start=1):
        if f"n{index}" in point.voltage_v:
            assert point.voltage_v[f"n{index}"] == pytest.approx(volts, rel=1e-9 + lost, abs=1e-9)


@quick
@given(resistive_networks(), st.data())
def test_reciprocity(case: tuple[Network, int], data: st.DataObject) -> None:
    """A source in one branch drives in another the current it would drive here from there."""
    network, _ = case
    resistors = [e for e in network.elements if isinstance(e, Resistor)]
    other = data.draw(st.sampled_from(resistors))
    bank = network.elements[0]
    assert isinstance(bank, Source)
    there = solve(network).current_a[other.id]
    moved = [
        Resistor("bank", "n0", "n1", bank.resistance_ohm),
        *(e for e in network.elements[1:] if e.id != other.id),
        Source(other.id, other.end, other.start, bank.emf_v, other.resistance_ohm),
    ]
    here = solve(Network(tuple(moved), "n0")).current_a["bank"]
    scale_a = bank.emf_v / bank.resistance_ohm
    assert here == pytest.approx(there, rel=1e-9, abs=1e-11 * scale_a)


@quick
@given(loaded_networks())
def test_currents_balance_at_each_node_and_powers_in_all(network: Network) -> None:
    point = solve(network)
    currents_a = [abs(amperes) for amperes in point.current_a.values()]
    for node, left_over_a in point.current_balance_a().items():
        # A current is a small difference of voltages over a resistance down to 0.1 mohm.
        assert left_over_a == pytest.approx(0.0, abs=1e-9 + 1e-9 * max(currents_a)), node
    powers_w = [abs(point.power_w(element.id)) for element in network.elements]
    assert point.power_balance_w() == pytest.approx(0.0, abs=1e-8 + 1e-9 * sum(powers_w))


@quick
@given(resistive_networks(), st.data())
def test_more_resistance_anywhere_never_raises_the_batterys_current(
    case: tuple[Network, int], data: st.DataObject
) -> None:
    """Rayleigh's monotonicity law."""
    network, _ = case
    resistor = data.draw(st.sampled_from([e for e in network.elements if isinstance(e, Resistor)]))
    more_ohm = resistor.resistance_ohm * data.draw(st.floats(1.0, 1e3))
    before = solve(network).current_a["bank"]
    after = solve(network, variation=Variation(resistance_ohm={resistor.id: more_ohm}))
    assert after.current_a["bank"] <= before * (1 + 1e-12) + 1e-12
    gone = solve(network, variation=Variation(broken=frozenset({resistor.id})))
    assert gone.current_a["bank"] <= after.current_a["bank"] * (1 + 1e-12) + 1e-12


@quick
@given(st.floats(0.5, 60), OHMS, OHMS, st.sampled_from(["power", "current", "resistance"]))
def test_more_resistance_in_series_never_raises_the_voltage_at_a_load(
    size: float, lead_ohm: float, more_ohm: float, kind: str
) -> None:
    loads: dict[str, Element] = {
        "power": ConstantPowerLoad("load", "a", "neg", size, 7.0),
        "current": CurrentLoad("load", "a", "neg", size, 7.0),
        "resistance": Resistor("load", "a", "neg", size),
    }
    network = Network(
        (
            Source("bank", "pos", "neg", 12.6, 0.01),
            Resistor("lead", "pos", "a", lead_ohm),
            loads[kind],
        ),
        "neg",
    )
    before = solve(network)
    after = solve(network, variation=Variation(resistance_ohm={"lead": lead_ohm + more_ohm}))
    assert (after.voltage_v["a"] or 0.0) <= (before.voltage_v["a"] or 0.0) * (1 + 1e-9)
    if kind != "power":
        assert after.current_a["load"] <= before.current_a["load"] * (1 + 1e-9)


@quick
@given(resistive_networks(), st.floats(0.1, 10))
def test_voltages_are_proportional_to_the_only_source(
    case: tuple[Network, int], factor: float
) -> None:
    network, _ = case
    bank = network.elements[0]
    assert isinstance(bank, Source)
    scaled = Source(bank.id, bank.positive, bank.negative, bank.emf_v * factor, bank.resistance_ohm)
    before = solve(network).voltage_v
    after = solve(Network((scaled, *network.elements[1:]), "n0")).voltage_v
    for node, volts in before.items():
        if volts is None:
            assert after[node] is None
        else:
            assert after[node] == pytest.approx(volts * factor, rel=1e-12, abs=1e-12)
