"""Random direct-current networks for comparison with the simulator; the same seed, the same one."""

from __future__ import annotations

from random import Random

from installgen.calc.dc_elements import (
    Alternator,
    Battery,
    ConstantPowerLoad,
    Contact,
    CurrentLoad,
    Diode,
    Element,
    Resistor,
    Source,
    TurningStarter,
    Voltmeter,
)
from installgen.calc.dc_network import ContactState, Network

# A path past each junction: a node that hangs on nothing but the leakage of a blocking junction
# is defined to a picoampere only, and the simulator's own formula there is an approximation.
PAST_JUNCTION_S = 2e-5


def random_network(
    seed: int, *, alternator: bool = False, nodes: int | None = None
) -> tuple[Network, ContactState]:
    """A harness-like tree with loads, loops, junctions and contacts, and which contacts are closed.

    seed: of everything that is random
    alternator: with a regulated alternator
    nodes: count on the positive side
    Returns the network, against its battery negative, and its closed contacts.
    """
    random = Random(seed)
    count = nodes or random.randint(6, 70)
    emf_v = random.choice([12.4, 12.8, 25.2])
    positive = ["p0"]
    elements: list[Element] = [Source("bank", "p0", "neg", emf_v, random.uniform(0.004, 0.02))]
    for index in range(1, count):
        near, far = random.choice(positive[-8:]), f"p{index}"
        elements.append(_run(random, index, near, far))
        positive.append(far)
    for index in range(count // 3):
        elements += _load(random, index, emf_v, positive)
    second_v = emf_v * random.uniform(0.95, 1.02)
    elements += [
        Resistor("return", "neg", "block", random.uniform(0.0005, 0.01)),
        Battery("second bank", random.choice(positive), "block", second_v, 0.01, 0.15),
        TurningStarter(
            "starter",
            random.choice(positive),
            "block",
            resistance_ohm=0.01,
            brush_drop_v=1.5,
            back_emf_v_per_rpm=0.02,
            turning_current_a=random.uniform(20, 100),
            current_rise_a_per_rpm=random.choice([0.0, 0.1]),
        ),
    ]
    if alternator:
        elements.append(
            Alternator(
                "alternator",
                random.choice(positive),
                "block",
                set_voltage_v=emf_v * 1.13,
                current_limit_a=random.uniform(10, 90),
                ceiling_v=emf_v * 2,
                sense=random.choice([None, random.choice(positive)]),
            )
        )
    network = Network(tuple(elements), "neg")
    return network, frozenset(name for name in network.contacts if random.random() < 0.75)


def _run(random: Random, index: int, near: str, far: str) -> Element:
    kind = random.random()
    if kind < 0.15:
        return Contact(f"contact {index}", near, far, random.uniform(5e-4, 5e-3))
    if kind < 0.2:
        return Resistor(f"link {index}", near, far, 0.0)
    return Resistor(f"conductor {index}", near, far, 10 ** random.uniform(-4, -1))


def _load(random: Random, index: int, emf_v: float, positive: list[str]) -> list[Element]:
    at, to = random.choice(positive), random.choice(["neg", "block"])
    kind = random.random()
    if kind < 0.25:
        return [Resistor(f"lamp {index}", at, to, random.uniform(1, 50))]
    if kind < 0.55:
        return [ConstantPowerLoad(f"power {index}", at, to, random.uniform(2, 40), emf_v * 0.6)]
    if kind < 0.65:
        return [CurrentLoad(f"current {index}", at, to, random.uniform(0.2, 5), emf_v * 0.5)]
    if kind < 0.85:
        cathode = f"d{index}"
        forward: list[Element] = [
            _diode(f"diode {index}", at, cathode, 10 ** random.uniform(-12, -7), random),
            Resistor(f"behind diode {index}", cathode, to, random.uniform(1, 20)),
        ]
        if random.random() < 0.4:
            back = random.choice(positive)
            forward.append(_diode(f"back diode {index}", cathode, back, 1e-9, random))
        return forward
    if kind < 0.9:
        return [Voltmeter(f"meter {index}", at, to)]
    other = random.choice(positive)
    if other == at:
        return []
    return [Resistor(f"tie {index}", at, other, random.uniform(0.01, 1))]


def _diode(name: str, anode: str, cathode: str, saturation_a: float, random: Random) -> Diode:
    return Diode(name, anode, cathode, saturation_a, random.uniform(1, 2), 27.0, PAST_JUNCTION_S)
