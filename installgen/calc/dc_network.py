"""A direct-current network: elements between named nodes, prepared once and solved many times.

`dc_solver` solves it with its contacts as given, `relay_logic` lets its relays move them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from installgen.calc.actuators import Actuator
from installgen.calc.dc_assembly import Assembly, assemble
from installgen.calc.dc_elements import (
    BadNetwork,
    Battery,
    Coil,
    Contact,
    Element,
    Resistor,
    Source,
    Voltmeter,
    Winding,
)
from installgen.errors import OutOfRange

ContactState = frozenset[str]
"""The contacts that are closed, by id."""


@dataclass(frozen=True)
class Variation:
    """How an operating point departs from the network as built: a fault, a measured joint.

    broken: elements that carry nothing, or contacts that never make
    welded: contacts that are closed whatever moves them
    resistance_ohm: of a resistor, contact, coil, winding, source or battery, in place of its own;
        infinite is broken [ohm]
    """

    broken: frozenset[str] = frozenset()
    welded: frozenset[str] = frozenset()
    resistance_ohm: Mapping[str, float] = field(default_factory=dict)


AS_BUILT = Variation()


@dataclass(frozen=True)
class Point:
    """What to solve for.

    closed: contacts that are closed
    variation: departure from the network as built
    """

    closed: ContactState = frozenset()
    variation: Variation = AS_BUILT


@dataclass(frozen=True)
class Network:
    """Elements between named nodes, and what their windings move.

    elements: in any order, ids distinct
    reference: node at 0 V, such as a battery negative or the engine block
    actuators: relays and plungers, used by `relay_logic`; each contact is moved by one at most
    """

    elements: tuple[Element, ...]
    reference: str
    actuators: tuple[Actuator, ...] = ()

    def __post_init__(self) -> None:
        seen: set[str] = set()
        for part in (*self.elements, *self.actuators):
            if part.id in seen:
                raise BadNetwork(f"two parts of the network are called {part.id}")
            seen.add(part.id)
        for element in self.elements:
            if element.ends[0] == element.ends[1]:
                raise BadNetwork(f"both ends of {element.id} are on {element.ends[0]}")
        self._check_actuators()
        self._assemblies[frozenset()] = assemble(self.elements, self.reference, frozenset())

    def _check_actuators(self) -> None:
        moved: set[str] = set()
        for actuator in self.actuators:
            for name in actuator.windings:
                if name not in self.positions:
                    raise BadNetwork(f"{actuator.id} has a winding {name} that is no element")
            for name in (*actuator.closes, *actuator.opens):
                if not isinstance(self._element(name), Contact):
                    raise BadNetwork(f"{actuator.id} moves {name}, which is no contact")
                if name in moved:
                    raise BadNetwork(f"two actuators move the contact {name}")
                moved.add(name)

    @cached_property
    def _assemblies(self) -> dict[frozenset[str], Assembly]:
        return {}

    @cached_property
    def positions(self) -> dict[str, int]:
        """Index of each element, by its id."""
        return {element.id: index for index, element in enumerate(self.elements)}

    @cached_property
    def contacts(self) -> tuple[str, ...]:
        """Ids of all contacts, in order."""
        return tuple(e.id for e in self.elements if isinstance(e, Contact))

    @property
    def nodes(self) -> tuple[str, ...]:
        """Names of all nodes, sorted."""
        return self._assemblies[frozenset()].buses.nodes

    def assembly(self, kept: frozenset[str] = frozenset()) -> Assembly:
        """Index arrays of the network, prepared once.

        kept: ids of the plain links and ideal sources that are branches, see `branches_for`
        Returns the arrays.
        """
        if kept not in self._assemblies:
            self._assemblies[kept] = assemble(self.elements, self.reference, kept)
        return self._assemblies[kept]

    def _element(self, name: str) -> Element:
        if name not in self.positions:
            raise BadNetwork(f"the network has no element {name}")
        return self.elements[self.positions[name]]

    def branches_for(self, variation: Variation) -> frozenset[str]:
        """Plain links and ideal sources that must be branches for a variation; checks it too.

        All plain links become branches as soon as one of them varies, so that points that vary
        different ones are solved together.
        """
        for name in variation.welded:
            if not isinstance(self._element(name), Contact):
                raise BadNetwork(f"{name} cannot be welded, it is no contact")
        for name, ohm in variation.resistance_ohm.items():
            element = self._element(name)
            if not isinstance(element, _VARIABLE):
                raise BadNetwork(f"{name} has no single resistance to vary")
            if not ohm > 0.0:
                raise OutOfRange(f"varied resistance of {name}", f"{ohm:g} ohm", "above 0")
        for name in variation.broken:
            self._element(name)
        varied = {*variation.resistance_ohm, *variation.broken}
        sources = self._ideal_sources & varied
        return sources if varied.isdisjoint(self.plain_links) else sources | self.plain_links

    @cached_property
    def plain_links(self) -> frozenset[str]:
        """Resistors of 0 ohm."""
        return frozenset(
            element.id
            for element in self.elements
            if isinstance(element, Resistor) and element.resistance_ohm == 0.0
        )

    @cached_property
    def _ideal_sources(self) -> frozenset[str]:
        return frozenset(
            element.id
            for element in self.elements
            if isinstance(element, Source) and element.resistance_ohm == 0.0
        )


_VARIABLE = (Resistor, Contact, Coil, Winding, Voltmeter, Source, Battery)
