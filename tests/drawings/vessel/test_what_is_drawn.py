"""What a technician would follow with a finger, checked against the specs as they are written."""

from installgen.drawings.graph import Drawing, Edge
from installgen.drawings.kinds import Kind, Line
from installgen.drawings.text import clean
from tests.drawings.vessel.fleet import drawn, edge, ends, node, rendered, said


def way(drawing: Drawing, start: str, line: Line) -> list[str]:
    """The names of things along lines of a kind, as long as only one leads on."""
    names = {one.id: one.name for one in drawing.nodes}
    [here] = [one.id for one in drawing.nodes if one.name == start]
    found = [start]
    while True:
        onward = [one.head for one in drawing.edges if one.tail == here and one.line is line]
        if len(onward) != 1:
            return found
        here = onward[0]
        found.append(names[here])


# ---- raw water ---------------------------------------------------------------------------------


def test_raw_water_runs_from_the_sea_through_the_coolers_to_the_exhaust() -> None:
    names = way(drawn("brannock")["raw-water"], "Sea", Line.FLOW)
    wanted = [
        "Sea",
        "Raw-water seacock",
        "Raw-water strainer",
        "Raw-water pump",
        "Fuel cooler",
        "Aftercooler",
        "Gear-oil cooler",
        "Heat exchanger",
        "Exhaust injection elbow",
    ]
    assert [name for name in names if name in wanted] == wanted


def test_a_fuel_cooler_of_another_size_needs_two_reducing_joints() -> None:
    names = way(drawn("brannock")["raw-water"], "Sea", Line.FLOW)
    place = names.index("Fuel cooler")
    assert names[place - 1] == names[place + 1] == "Needs: reducing hose joint 2 in to 1-7/8 in"


def test_left_out_the_cooler_takes_its_reducing_joints_along() -> None:
    drawing = drawn("corrie")["raw-water"]
    names = [one.name for one in drawing.nodes]
    assert not [name for name in names if "Fuel cooler" in name or name.startswith("Needs")]
    joined = node(drawing, "Raw-water pump to aftercooler")
    assert len([line for line in joined.lines if "bore" in line]) == 2


def test_water_leaves_the_engine_and_returns_to_it_by_way_of_the_gear() -> None:
    drawing = drawn("sallow")["port.raw-water"]
    inside = {group.name: group.nodes for group in drawing.groups}
    assert list(inside) == ["Port engine", "Port engine, again"]
    gear = node(drawing, "Port gear-oil cooler")
    assert not any(gear.id in members for members in inside.values())


def test_the_shaft_seal_is_fed_from_a_tee_over_a_vented_loop() -> None:
    drawing = drawn("sallow")["port.raw-water"]
    names = {one.id: one.name for one in drawing.nodes}
    tee = node(drawing, "Tee joint: Port shaft-seal feed")
    leaving = [one for one in drawing.edges if one.tail == tee.id]
    assert sorted(one.code for one in leaving) == ["joint 9", "port-seal-feed 1"]
    assert ends(drawing, "port-seal-feed 2")[1] == "Port shaft-seal vented loop"
    assert node(drawing, "Port shaft-seal vented loop").kind is Kind.VENTED_LOOP
    assert names[edge(drawing, "port-seal-feed 4").head] == "Port shaft seal"


def test_heights_are_said_against_the_waterline() -> None:
    drawing = drawn("brannock")["raw-water"]
    assert "16.5\N{NO-BREAK SPACE}in (420\N{NO-BREAK SPACE}mm) below waterline" in (
        node(drawing, "Raw-water seacock").lines
    )
    assert any(
        line.endswith("above waterline") for line in node(drawing, "Raw-water strainer").lines
    )


def test_what_is_not_assessed_is_said_so_and_never_nought() -> None:
    drawing = drawn("pipit")["raw-water"]
    joints = [one for one in drawing.edges if one.code]
    assert joints
    for joint in joints:
        assert joint.lines == ("pressure not assessed", "temperature not assessed")
    assert "flow not assessed" in node(drawing, "Raw-water pump").lines
    assert any("length unknown" in one.lines[-1] for one in drawing.nodes if one.name == "Hose")
    assert "hottest unknown" in node(drawing, "Sea").lines


# ---- fluids ------------------------------------------------------------------------------------


def test_fuel_comes_from_the_tank_and_goes_back_to_it() -> None:
    drawing = drawn("brannock")["fuel"]
    assert way(drawing, "Fuel tank", Line.FLOW) == [
        "Fuel tank",
        "Fuel shut-off",
        "Water separator",
        "Fuel supply",
        "Lift pump",
        "Fine fuel filter",
        "Injection pump",
        "Injectors",
    ]
    back = {(names_of(drawing, one.tail), names_of(drawing, one.head)) for one in returns(drawing)}
    assert ("Fuel return", "Fuel tank") in back
    assert ("Injectors", "Injection pump") in back


def returns(drawing: Drawing) -> list[Edge]:
    """The edges that lead back."""
    return [one for one in drawing.edges if one.line is Line.RETURN]


def names_of(drawing: Drawing, identifier: str) -> str:
    """The name of a node by its id."""
    return next(one.name for one in drawing.nodes if one.id == identifier)


def test_vents_of_the_coolant_lead_to_the_header_tank() -> None:
    drawing = drawn("brannock")["coolant"]
    tank = node(drawing, "Header tank with filler cap").id
    vents = [one for one in drawing.edges if one.line is Line.VENT and one.head == tank]
    assert {names_of(drawing, one.tail) for one in vents} == {
        "Thermostats",
        "Cooled turbocharger housing",
    }
    assert "opens at 160\N{NO-BREAK SPACE}°F (71\N{NO-BREAK SPACE}°C)" in (
        node(drawing, "Thermostats").lines
    )


def test_the_turbocharger_is_fed_with_oil_and_drained_to_the_sump() -> None:
    drawing = drawn("brannock")["oil"]
    turbo = node(drawing, "Turbocharger").id
    [feed] = [one for one in drawing.edges if one.head == turbo]
    [drain] = [one for one in drawing.edges if one.tail == turbo]
    assert feed.lines[0] == "feed"
    assert drain.lines[0] == "drain"
    assert any(line.startswith("falls") for line in drain.lines)
    assert names_of(drawing, drain.head) == "Sump"


def test_the_crankcase_vent_is_drawn_as_fitted() -> None:
    opened, returned = drawn("brannock")["crankcase-vent"], drawn("corrie")["crankcase-vent"]
    assert "Drip tray" in [one.name for one in opened.nodes]
    names = [one.name for one in returned.nodes]
    assert "Air intake before the turbocharger" in names
    assert "Drip tray" not in names
    assert "drip tray" in opened.description
    assert "air intake" in returned.description


# ---- start, run and stop -----------------------------------------------------------------------


def test_the_crank_signal_can_be_followed_from_key_to_relay() -> None:
    drawing = drawn("brannock")["start-run-stop"]
    assert ends(drawing, "E1") == ("Plug P1, pin 1", "Key switch")
    assert ends(drawing, "E3") == ("Key switch", "Plug P1, pin 3")
    assert ends(drawing, "W5") == ("Plug P1, pin 3", "Plug P2, pin 1")
    assert ends(drawing, "J1") == ("Plug P2, pin 1", "Plug P2, pin 2")
    assert ends(drawing, "W6") == ("Plug P2, pin 2", "Start relay, coil")
    assert ends(drawing, "W7") == ("Start relay, coil", "Engine block")


def test_contacts_of_the_start_relay_feed_starter_and_lifting_winding_apart() -> None:
    drawing = drawn("brannock")["start-run-stop"]
    starter, lifting = edge(drawing, "W8"), edge(drawing, "W9")
    assert starter.tail == lifting.tail == node(drawing, "Start relay, contacts").id
    assert starter.tail_port != lifting.tail_port
    assert ends(drawing, "W9")[1] == "Stop solenoid"
    assert ends(drawing, "W10") == ("Plug P1, pin 2", "Stop solenoid")
    linked = [one for one in drawing.edges if one.line is Line.LINKAGE]
    assert [(names_of(drawing, one.tail), names_of(drawing, one.head)) for one in linked] == [
        ("Start relay, coil", "Start relay, contacts")
    ]


def test_conductors_say_size_and_colour_by_name() -> None:
    lines = edge(drawn("brannock")["start-run-stop"], "W5").lines
    assert [clean(line) for line in lines] == ["14 AWG", "yellow with red stripe"]


def test_only_what_starts_runs_and_stops_is_on_the_sheet() -> None:
    names = {one.name for one in drawn("brannock")["start-run-stop"].nodes}
    assert not names & {"Oil-pressure gauge", "Alternator", "Navigation lights", "House main fuse"}


def test_a_neutral_switch_takes_the_place_of_the_loop_back_link() -> None:
    drawing = drawn("sallow")["port.start-run-stop"]
    assert ends(drawing, "PE30") == ("Plug P2, pin 1", "Port neutral switch")
    assert ends(drawing, "PE31") == ("Port neutral switch", "Plug P2, pin 2")
    assert not [one for one in drawing.edges if one.code == "J1"]


def test_both_stations_start_and_stop_an_engine() -> None:
    start = {one.name for one in drawn("sallow")["port.start-run-stop"].nodes}
    stop = {one.name for one in drawn("sallow")["port.start-run-stop.stop"].nodes}
    assert {"Port key switch, lower station", "Port key switch, upper station"} <= start
    assert {"Port stop button, lower station", "Port stop button, upper station"} <= stop
    assert not any("Starboard" in name for name in start | stop)


def test_an_intake_heater_that_is_not_connected_is_not_drawn_into_the_circuit() -> None:
    assert not [name for name in drawn("brannock") if name.endswith(".preheat")]
    assert "Intake-air heater" not in {
        one.name for one in drawn("brannock")["start-run-stop"].nodes
    }
    assert "port.start-run-stop.preheat" in drawn("sallow")


# ---- instruments and power ---------------------------------------------------------------------


def test_a_senders_signal_can_be_followed_to_its_gauge() -> None:
    drawing = drawn("brannock")["instruments"]
    assert ends(drawing, "E9") == ("Oil-pressure gauge", "Plug P1, pin 5")
    assert ends(drawing, "W15") == ("Plug P1, pin 5", "Oil-pressure sender")
    assert edge(drawing, "W15").line is Line.SIGNAL


def test_a_sender_that_is_not_connected_is_in_the_table_only() -> None:
    drawing = drawn("pipit")["instruments"]
    names = [one.name for one in drawing.nodes]
    assert "Plug P1, pin 5" in names
    assert "Plug P1, pin 6" not in names
    [idle] = [table for table in drawing.tables if table.caption.startswith("Not connected")]
    assert [row[0].text for row in idle.rows] == ["W19", "W20", "W21", "W22"]


def test_wires_that_are_reserved_are_told_apart() -> None:
    told = said(drawn("sallow")["port.instruments"])
    assert "an electric lift pump" in told
    assert "W27" in told


def test_loads_of_a_breaker_are_rows_with_conductor_and_current() -> None:
    breaker = node(drawn("brannock")["dc-power"], "Panel breaker")
    cells = [row.cells for row in breaker.rows]
    assert [row[1] for row in cells] == ["Navigation lights", "VHF radio", "Bilge pump", "Wipers"]
    assert all(row[0].startswith("L") and row[2].endswith("A") for row in cells)


def test_the_negative_side_is_in_the_table_of_the_distribution() -> None:
    told = said(drawn("brannock")["dc-power"])
    for label in ("S3", "D3", "L3", "L9"):
        assert f"{label} | " in told


def test_a_proposed_size_is_marked() -> None:
    assert "proposed" in edge(drawn("pipit")["dc-power"], "L3").lines[0]


def test_both_ends_of_the_paralleling_link_have_their_fuse() -> None:
    drawing = drawn("sallow")["dc-power"]
    assert "Emergency paralleling switch" in ends(drawing, "PX2")
    assert "Emergency paralleling switch" in ends(drawing, "PX3")
    assert "normally off" in node(drawing, "Emergency paralleling switch").lines


def test_connection_points_stand_on_their_side() -> None:
    plan = rendered("brannock")["connections"].drawing
    [table] = plan.tables
    by_code = {row[0].text: row for row in table.rows}
    assert by_code["FU1"][2].text == "Port side"
    assert by_code["OI1"][2].text == "Below"
    assert by_code["CO2"][5].text == "plugged"
    assert "M16×1.5" in by_code["FU1"][3].text
