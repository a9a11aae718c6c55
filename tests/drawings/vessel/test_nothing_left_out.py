"""What a vessel has is drawn; what she has not is not."""

import pytest

from installgen.analysis.route import adapters
from installgen.drawings.graph import Drawing
from installgen.drawings.vessel.links import (
    circuit_part,
    conductor,
    connection,
    jumper,
    route_part,
)
from tests.drawings.vessel.fleet import VESSELS, analysed, drawn, rendered


def addresses(drawing: Drawing) -> set[str]:
    """Every address in a drawing and in its tables."""
    found = {node.href for node in drawing.nodes} | {edge.href for edge in drawing.edges}
    found |= {row.href for node in drawing.nodes for row in node.rows}
    return found | {cell.href for t in drawing.tables for row in t.rows for cell in row}


def everything(vessel: str) -> set[str]:
    """Every address in all drawings of a vessel."""
    found = set().union(*(addresses(drawing) for drawing in drawn(vessel).values()))
    plans = [one.drawing for name, one in rendered(vessel).items() if name not in drawn(vessel)]
    return found.union(*(addresses(plan) for plan in plans))


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_conductor_and_every_link_is_drawn(vessel: str) -> None:
    dc = analysed(vessel).dc
    assert dc is not None
    named = labels_in_rows(vessel)
    for wire in dc.model.wires():
        drawn_somewhere = conductor(wire.element) in everything(vessel)
        assert drawn_somewhere or wire.wire.label in named, wire.element
    for element, *_ in dc.model.jumpers():
        assert jumper(element) in everything(vessel), element


def labels_in_rows(vessel: str) -> set[str]:
    """Labels of conductors that stand in rows of what feeds their loads."""
    return {
        cell.split(" ")[0]
        for drawing in drawn(vessel).values()
        for node in drawing.nodes
        for row in node.rows
        for cells in row.cells
        for cell in cells.split(" → ")
    }


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_piece_and_joint_of_the_raw_water_is_drawn(vessel: str) -> None:
    analysis = analysed(vessel)
    assert analysis.routes
    for route in analysis.routes.values():
        ids = [step.id for step in route.all_steps()] + [j.id for j in route.all_joints()]
        for name in ids:
            assert route_part(name) in everything(vessel), name


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_adapter_is_named(vessel: str) -> None:
    for name, route in analysed(vessel).routes.items():
        several = len(analysed(vessel).vessel.engines) > 1
        drawing = drawn(vessel)[f"{name}.raw-water" if several else "raw-water"]
        needed = sorted(node.name for node in drawing.nodes if node.name.startswith("Needs: "))
        joints = {joint.id for joint, _ in adapters(route)}
        assert len(needed) == len(joints)
        for _, adapter in adapters(route):
            assert any(adapter in text for text in needed)


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_part_and_line_of_every_circuit_is_drawn(vessel: str) -> None:
    for system, circuit in analysed(vessel).circuits.items():
        ids = [part.id for part in circuit.parts] + [line.id for line in circuit.lines]
        for name in ids:
            assert circuit_part(circuit.system, name) in everything(vessel), (system, name)


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_connection_point_is_drawn(vessel: str) -> None:
    for engine in analysed(vessel).vessel.engines:
        for point in engine.sheet.connections:
            assert connection(engine.name, point.id) in everything(vessel)


def test_engines_of_a_twin_have_drawings_of_their_own() -> None:
    names = set(rendered("sallow"))
    for kind in ("raw-water", "coolant", "oil", "fuel", "crankcase-vent", "connections"):
        assert {f"port.{kind}", f"starboard.{kind}"} <= names
        assert kind not in names
    assert "dc-power" in names


def test_one_engine_is_not_named() -> None:
    assert not any(name.startswith("engine.") for name in rendered("brannock"))


def test_a_twins_drawings_do_not_mix_the_engines() -> None:
    for name, drawing in drawn("sallow").items():
        side, _, rest = name.partition(".")
        if rest and rest != "returns":  # Those show the way through the other engine.
            other = {"port": "starboard.", "starboard": "port."}[side]
            anchors = {address.partition("#")[2] for address in addresses(drawing)}
            assert not [anchor for anchor in anchors if anchor.startswith(other)], name
