"""What a network can feed at all."""

from installgen.calc.actuators import relay
from installgen.calc.dc_elements import (
    Alternator,
    Coil,
    Contact,
    Element,
    Resistor,
    Source,
    Voltmeter,
)
from installgen.calc.dc_network import Network
from installgen.calc.dc_topology import dead_elements, live_elements, never_lifted

BANK = Source("bank", "+", "-", 12.0, 0.01)


def test_dead_by_an_open_contact_is_not_dead_with_every_contact_closed() -> None:
    network = Network(
        (BANK, Contact("switch", "+", "a", 0.01), Resistor("lamp", "a", "-", 4.0)), "-"
    )
    assert live_elements(network, []) == frozenset()
    assert live_elements(network, ["switch"]) == {"bank", "switch", "lamp"}
    assert live_elements(network, ["switch"], broken=["lamp"]) == frozenset()
    assert dead_elements(network) == frozenset()


def test_a_load_without_a_return_a_stub_and_a_loop_without_a_source_are_dead() -> None:
    elements: tuple[Element, ...] = (
        BANK,
        Resistor("lamp", "+", "-", 4.0),
        Resistor("spare lead", "+", "spare", 0.1),
        Resistor("pump", "spare", "pump negative", 2.0),
        Resistor("bonding a", "-", "skin fitting", 0.1),
        Resistor("bonding b", "skin fitting", "anode", 0.1),
        Resistor("bonding c", "anode", "-", 0.1),
        Voltmeter("meter", "pump negative", "-"),
    )
    assert dead_elements(Network(elements, "-")) == {
        "spare lead",
        "pump",
        "bonding a",
        "bonding b",
        "bonding c",
    }


def test_parallel_elements_between_two_nodes_are_a_loop() -> None:
    network = Network((BANK, Resistor("a", "+", "-", 1.0), Resistor("b", "+", "-", 1.0)), "-")
    assert live_elements(network, []) == {"bank", "a", "b"}


def test_a_sense_lead_is_not_dead() -> None:
    alternator = Alternator("alternator", "stud", "-", 14.2, 50.0, 60.0, sense="sense")
    elements = (
        BANK,
        alternator,
        Resistor("charge lead", "stud", "+", 0.01),
        Resistor("sense lead", "sense", "+", 0.1),
    )
    assert dead_elements(Network(elements, "-")) == frozenset()


def test_a_coil_fed_only_by_its_own_contact() -> None:
    coil = Coil("coil", "coil+", "-", 80.0, 8.0, 3.0)
    own = Contact("own contact", "+", "coil+", 0.01)
    button = Contact("button", "+", "coil+", 0.01)
    holding = relay("relay", coil, closes=["own contact"], operate_s=0.01, release_s=0.01)
    assert never_lifted(Network((BANK, coil, own), "-", (holding,))) == ("relay",)
    assert never_lifted(Network((BANK, coil, own, button), "-", (holding,))) == ()


def test_two_relays_that_feed_each_other_are_never_lifted() -> None:
    coils = [Coil(f"coil {n}", f"coil {n}+", "-", 80.0, 8.0, 3.0) for n in "ab"]
    contacts = [
        Contact("a feeds b", "+", "coil b+", 0.01),
        Contact("b feeds a", "+", "coil a+", 0.01),
    ]
    relays = tuple(
        relay(name, coil, closes=[contact.id], operate_s=0.01, release_s=0.01)
        for name, coil, contact in zip("ab", coils, contacts, strict=True)
    )
    network = Network((BANK, *coils, *contacts), "-", relays)
    assert never_lifted(network) == ("a", "b")
    button = Contact("button", "+", "coil a+", 0.01)
    assert never_lifted(Network((*network.elements, button), "-", relays)) == ()
