"""Invented drawings, as large as a real vessel's, on which the layout is judged."""

from collections.abc import Callable

from installgen.drawings.graph import (
    Arrow,
    Drawing,
    Edge,
    Group,
    Node,
    Row,
    Terminal,
)
from installgen.drawings.kinds import Kind, Line, Status
from installgen.drawings.plan import ConnectionPoint, Place, engine_plan
from installgen.drawings.render import Rendered
from installgen.drawings.sheets import serving

Maker = Callable[[], Drawing]


def raw_water() -> Drawing:
    """A route of twenty-two pieces, hoses as lines, with a shaft-seal branch."""
    pieces = [
        ("sea", Kind.SEA, "Sea", "", ("20 °C (68 °F), 450 mm deep",)),
        ("seacock", Kind.SEACOCK, "Intake seacock", "SC1", ("2 in, bronze, −450 mm",)),
        ("strainer", Kind.STRAINER, "Raw-water strainer", "RW2", ("2 in ports",)),
        ("pump", Kind.PUMP, "Raw-water pump", "RW3", ("288 l/min at 2600 rpm",)),
        ("aftercooler", Kind.COOLER, "Aftercooler", "RW4", ("74 kW taken up",)),
        ("fuel-cooler", Kind.COOLER, "Fuel cooler", "RW5", ("1-7/8 in ends, reducers",)),
        ("gear-cooler", Kind.COOLER, "Gear-oil cooler", "RW6", ("9 kW taken up",)),
        ("exchanger", Kind.HEAT_EXCHANGER, "Heat exchanger", "RW7", ("188 kW taken up",)),
        ("loop", Kind.VENTED_LOOP, "Vented loop", "RW8", ("+420 mm above waterline",)),
        ("injection", Kind.INJECTION, "Exhaust injection", "EX1", ("−60 mm",)),
        ("muffler", Kind.MUFFLER, "Water-lift muffler", "EX2", ("41 l below the inlet",)),
        ("outlet", Kind.OUTLET, "Exhaust outlet", "EX3", ("6 in, +180 mm",)),
    ]
    status = {"strainer": (Status.NOT_ASSESSED, "no loss figure")}
    nodes = [
        Node(
            identifier,
            kind,
            name,
            code,
            lines,
            href=f"register.html#{identifier}",
            status=status.get(identifier, (Status.NORMAL, ""))[0],
            note=status.get(identifier, (Status.NORMAL, ""))[1],
        )
        for identifier, kind, name, code, lines in pieces
    ]
    pressure_kpa = [4.5, 4.1, -3.2, -9.8, 121.0, 96.4, 90.2, 71.7, 40.3, 31.0, 12.2, 3.0]
    temperature_c = [20.0, 20.0, 20.0, 20.0, 20.0, 23.8, 24.1, 24.6, 34.1, 34.1, 55.0, 54.0]
    edges = []
    for number in range(len(pieces) - 1):
        tail, head = pieces[number][0], pieces[number + 1][0]
        hose = number not in (0, 8)
        lines = ("2 in × 1.8 m",) if hose else ()
        lines += (
            f"{pressure_kpa[number]:.1f} → {pressure_kpa[number + 1]:.1f} kPa",
            f"{temperature_c[number + 1]:.1f} °C · 1.9 m/s",
        )
        fails = number == 2
        edges.append(
            Edge(
                tail,
                head,
                Line.FLOW,
                code=f"H{number}" if hose else "",
                lines=lines,
                href=f"schedule.html#h{number}",
                status=Status.CAUTION if fails else Status.NORMAL,
                note="2.3 m/s, 2.0 m/s allowed" if fails else "",
            )
        )
    nodes.append(Node("seal", Kind.SEAL, "Shaft seal", "DS1", ("6 l/min",)))
    edges.append(Edge("exchanger", "seal", Line.FLOW, code="H14", lines=("3/8 in × 2.2 m",)))
    return Drawing(
        "raw-water",
        "Raw water, cruise at 2200 rpm",
        "Sea to exhaust outlet in the order the water takes, with pressure and temperature at "
        "each joint.",
        tuple(nodes),
        tuple(edges),
        line_words={Line.FLOW: "raw water"},
    )


def coolant() -> Drawing:
    """A closed loop with a header tank, a calorifier and vents."""
    nodes = (
        Node("pump", Kind.PUMP, "Coolant pump", "CW1", ("belt driven",)),
        Node("engine", Kind.ENGINE, "Engine jacket", "", ("22 l", "188 kW")),
        Node("thermostat", Kind.THERMOSTAT, "Thermostat", "CW2", ("opens at 71 °C (160 °F)",)),
        Node("exchanger", Kind.HEAT_EXCHANGER, "Heat exchanger", "CW3", ("14 l",)),
        Node("tank", Kind.TANK, "Header tank", "CW4", ("6 l, cap 90 kPa",)),
        Node("bottle", Kind.TANK, "Expansion bottle", "CW5", ("2 l",)),
        Node("heater", Kind.HEATER, "Calorifier coil", "CW6", ("1.1 l",)),
        Node("turbo", Kind.TURBOCHARGER, "Turbocharger", "", ("coolant-jacketed",)),
    )
    edges = (
        Edge("pump", "engine", Line.FLOW),
        Edge("engine", "thermostat", Line.FLOW, lines=("82 °C",)),
        Edge("thermostat", "exchanger", Line.FLOW, code="K2", lines=("1-3/4 in × 0.6 m",)),
        Edge("exchanger", "pump", Line.RETURN, code="K3", lines=("74 °C",)),
        Edge("thermostat", "pump", Line.RETURN, lines=("bypass, until open",)),
        Edge("engine", "heater", Line.FLOW, code="K5", lines=("5/8 in × 4.2 m",)),
        Edge("heater", "pump", Line.RETURN, code="K6", lines=("5/8 in × 4.2 m",)),
        Edge("engine", "turbo", Line.FLOW),
        Edge("turbo", "thermostat", Line.FLOW),
        Edge("tank", "pump", Line.FLOW, code="K7", lines=("make-up, 3/4 in",)),
        Edge("engine", "tank", Line.VENT, code="V1", lines=("vent 1/4 in",)),
        Edge("exchanger", "tank", Line.VENT, code="V2", lines=("vent 1/4 in",)),
        Edge("turbo", "tank", Line.VENT, code="V3", lines=("vent 1/4 in",)),
        Edge("bottle", "tank", Line.FLOW, code="K8", lines=("overflow",), arrow=Arrow.BOTH),
    )
    return Drawing(
        "coolant",
        "Coolant",
        "The closed coolant loop with its vents to the header tank.",
        nodes,
        edges,
        line_words={Line.FLOW: "coolant", Line.RETURN: "back to the pump"},
    )


def distribution() -> Drawing:
    """A one-line of two banks, an isolator each, a panel of twelve branches."""
    branches = [
        ("b1", "10 A", "Instruments", Status.NORMAL),
        ("b2", "15 A", "Bilge pump, fore", Status.NORMAL),
        ("b3", "15 A", "Bilge pump, aft", Status.CAUTION),
        ("b4", "10 A", "Navigation lights", Status.NORMAL),
        ("b5", "5 A", "VHF", Status.NORMAL),
        ("b6", "20 A", "Wiper, port and starboard", Status.NORMAL),
        ("b7", "10 A", "Cabin lights", Status.NORMAL),
        ("b8", "25 A", "Windlass control", Status.NORMAL),
        ("b9", "10 A", "Horn", Status.NOT_ASSESSED),
        ("b10", "15 A", "Fresh-water pump", Status.NORMAL),
        ("b11", "10 A", "Blower", Status.NORMAL),
        ("b12", "5 A", "Gas detector", Status.NORMAL),
    ]
    nodes = (
        Node("start-bank", Kind.BATTERY, "Start bank", "BT1", ("12 V, 200 Ah, 1150 CCA",)),
        Node("service-bank", Kind.BATTERY, "Service bank", "BT2", ("12 V, 440 Ah",)),
        Node("f1", Kind.FUSE, "Start fuse", "F1", ("none: cranking circuit",)),
        Node("f2", Kind.FUSE, "Service fuse", "F2", ("300 A class T",)),
        Node("q1", Kind.ISOLATOR, "Start isolator", "Q1", ("500 A",)),
        Node("q2", Kind.ISOLATOR, "Service isolator", "Q2", ("350 A",)),
        Node("starter", Kind.STARTER, "Starter", "M1", ("4.8 kW, 905 A at breakaway",)),
        Node("alternator", Kind.ALTERNATOR, "Alternator", "G1", ("12 V, 130 A",)),
        Node("splitter", Kind.CONTROLLER, "Charge splitter", "A3"),
        Node(
            "panel",
            Kind.BUSBAR,
            "Distribution panel",
            "X1",
            rows=tuple(
                Row((rating, what), href=f"dc.html#{identifier}", status=status)
                for identifier, rating, what, status in branches
            ),
        ),
        Node("thruster", Kind.LOAD, "Bow thruster", "M7", ("3 kW, 300 A",)),
        Node("block", Kind.NEGATIVE, "Engine block", "NEG"),
    )

    def cable(tail: str, head: str, code: str, *lines: str) -> Edge:
        return Edge(tail, head, Line.CABLE, code=code, lines=lines, arrow=Arrow.NONE)

    edges = (
        cable("start-bank", "q1", "S1", "2/0 AWG × 1.2 m", "red"),
        cable("q1", "starter", "S2", "2/0 AWG × 2.9 m", "red", "drop 0.42 V"),
        cable("service-bank", "f2", "S4", "70 mm² × 0.2 m"),
        cable("f2", "q2", "S5", "70 mm² × 0.9 m"),
        cable("q2", "panel", "S6", "35 mm² × 4.1 m"),
        cable("q2", "thruster", "S7", "95 mm² × 8.8 m"),
        cable("alternator", "splitter", "S9", "35 mm² × 1.7 m"),
        cable("splitter", "q1", "S10", "35 mm² × 2.0 m"),
        cable("splitter", "q2", "S11", "35 mm² × 2.0 m"),
        cable("start-bank", "f1", "S12", "10 mm² × 0.3 m"),
        cable("starter", "block", "S13", "2/0 AWG × 0.4 m", "black"),
    )
    return Drawing(
        "distribution",
        "DC power distribution",
        "From the banks through isolators and fuses to the loads.",
        nodes,
        edges,
        top=("start-bank", "service-bank", "alternator"),
    )


def circuit() -> Drawing:
    """A start, run and stop circuit of thirty-five devices and sixty conductors."""
    nodes: list[Node] = []
    edges: list[Edge] = []
    colours = ("red", "brown", "yellow", "white/red", "purple", "orange", "blue", "grey")

    def port(name: str) -> str:
        return f"t{name.replace('−', 'm')}" if name else ""

    def node(identifier: str, kind: Kind, name: str, top: str, bottom: str, *lines: str) -> None:
        code = identifier.upper()
        nodes.append(
            Node(
                identifier,
                kind,
                name,
                code,
                lines,
                href=f"start.html#{identifier}",
                terminals=tuple(
                    Terminal(port(label), label)
                    for label in dict.fromkeys([*top.split(), *bottom.split()])
                ),
            )
        )

    def wire(start: str, end: str) -> None:
        tail, _, tail_port = start.partition(".")
        head, _, head_port = end.partition(".")
        number = len(edges) + 1
        edges.append(
            Edge(
                tail,
                head,
                Line.CONDUCTOR,
                tail_port=port(tail_port),
                head_port=port(head_port),
                code=f"W{number}",
                lines=(f"{(1, 1.5, 2.5, 4)[number % 4]} mm²", colours[number % len(colours)]),
                href=f"schedule.html#w{number}",
                arrow=Arrow.NONE,
            )
        )

    node("bus", Kind.BUSBAR, "Engine supply stud", "", "1 2 3 4 5", "from start isolator Q1")
    node("f1", Kind.FUSE, "Ignition fuse", "1", "2", "10 A")
    node("f2", Kind.FUSE, "Preheat fuse", "1", "2", "125 A")
    node("f3", Kind.FUSE, "Start fuse", "1", "2", "30 A")
    node("f4", Kind.FUSE, "Stop fuse", "1", "2", "20 A")
    node("f5", Kind.FUSE, "Panel fuse", "1", "2", "15 A")
    node("x1", Kind.PLUG, "Main plug, engine side", "1 2 3 4 5 6 7 8", "1 2 3 4 5 6 7 8")
    node("s1", Kind.SWITCH, "Key switch", "30", "15 19 50 58")
    node("s2", Kind.SWITCH, "Stop button", "1", "2")
    node("s3", Kind.SWITCH, "Neutral switch", "1", "2", "closed in neutral")
    node("s4", Kind.SWITCH, "Oil-pressure switch", "1", "2", "opens at 50 kPa")
    node("s5", Kind.SWITCH, "Temperature switch", "1", "2", "closes at 98 °C")
    node("k1-coil", Kind.COIL, "Start relay K1", "86", "85")
    node("k1", Kind.CONTACT, "Start relay K1", "30", "87")
    node("k2-coil", Kind.COIL, "Preheat relay K2", "86", "85")
    node("k2", Kind.CONTACT, "Preheat relay K2", "30", "87")
    node("k3-coil", Kind.COIL, "Run relay K3", "86", "85")
    node("k3", Kind.CONTACT, "Run relay K3", "30", "87")
    node("m1", Kind.STARTER, "Starter", "B S", "−")
    node("y1", Kind.SOLENOID, "Stop solenoid", "L H", "−", "lifts 10 A, holds 1 A")
    node("e1", Kind.HEATER, "Intake heater", "1", "−", "1.6 kW")
    node("g1", Kind.ALTERNATOR, "Alternator", "D B W", "−")
    node("h1", Kind.LAMP, "Charge lamp", "1", "2", "3 W")
    node("h2", Kind.LAMP, "Oil lamp", "1", "2", "1.2 W")
    node("h3", Kind.LAMP, "Preheat lamp", "1", "2", "1.2 W")
    node("h4", Kind.LAMP, "Temperature lamp", "1", "2", "1.2 W")
    node("b1", Kind.BUZZER, "Alarm buzzer", "1", "2")
    node("p1", Kind.GAUGE, "Tachometer", "I W", "−")
    node("p2", Kind.GAUGE, "Coolant gauge", "I", "S −")
    node("p3", Kind.GAUGE, "Oil gauge", "I", "S −")
    node("r1", Kind.SENDER, "Coolant sender", "1", "−")
    node("r2", Kind.SENDER, "Oil sender", "1", "−")
    node("d1", Kind.DIODE, "Flyback diode", "K", "A")
    for number in range(1, 6):
        nodes.append(Node(f"n{number}", Kind.NEGATIVE, "Engine block", "NEG"))
    nodes.append(Node("n6", Kind.NEGATIVE, "Panel negative", "NEG2"))

    for start, end in [
        ("bus.1", "f1.1"), ("bus.2", "f2.1"), ("bus.3", "f3.1"), ("bus.4", "f4.1"),
        ("bus.5", "f5.1"), ("f1.2", "x1.1"), ("x1.1", "s1.30"), ("s1.15", "k3-coil.86"),
        ("s1.15", "h1.1"), ("s1.15", "h2.1"), ("s1.15", "h4.1"), ("s1.19", "k2-coil.86"),
        ("s1.19", "h3.1"), ("s1.50", "s3.1"), ("s3.2", "k1-coil.86"), ("k1-coil.85", "n1"),
        ("k2-coil.85", "n2"), ("k3-coil.85", "n3"), ("f3.2", "k1.30"), ("k1.87", "m1.S"),
        ("k1.87", "y1.L"), ("f4.2", "k3.30"), ("k3.87", "y1.H"), ("y1.−", "n3"),
        ("m1.−", "n1"), ("f2.2", "k2.30"), ("k2.87", "e1.1"), ("e1.−", "n2"),
        ("h1.2", "g1.D"), ("g1.−", "n4"), ("h2.2", "s4.1"), ("s4.2", "n4"),
        ("h4.2", "s5.1"), ("s5.2", "n5"), ("h3.2", "n6"), ("f5.2", "x1.2"),
        ("x1.2", "s2.1"), ("s2.2", "b1.1"), ("b1.2", "n6"), ("x1.2", "p1.I"),
        ("x1.2", "p2.I"), ("x1.2", "p3.I"), ("p1.−", "n6"), ("p2.−", "n6"),
        ("p3.−", "n6"), ("p2.S", "r1.1"), ("p3.S", "r2.1"), ("r1.−", "n5"),
        ("r2.−", "n5"), ("k1.87", "d1.K"), ("d1.A", "n1"), ("s1.58", "p1.W"),
        ("f3.2", "m1.B"), ("f3.2", "g1.B"), ("x1.3", "h2.1"), ("x1.4", "h4.1"),
        ("x1.5", "h3.1"), ("f1.2", "x1.6"), ("x1.6", "s2.1"), ("x1.7", "p1.W"),
    ]:  # fmt: skip
        wire(start, end)
    return Drawing(
        "start-circuit",
        "Start, run and stop circuit",
        "Supply at the top, engine block at the bottom, one column a current path.",
        tuple(nodes),
        tuple(edges),
        top=("bus",),
        bottom=tuple(f"n{number}" for number in range(1, 7)),
        text_width_px=84,
    )


FUNCTIONS = {
    "start": ("k1-coil", "k1", "m1"),
    "stop": ("y1", "k3-coil", "k3"),
    "preheat": ("k2-coil", "k2", "e1", "h3"),
    "charge-and-alarms": ("g1", "h1", "h2", "h4", "s4", "s5"),
    "gauges": ("p1", "p2", "p3", "r1", "r2"),
    "stop-button": ("b1", "d1"),
}


def functions() -> list[Drawing]:
    """The circuit in parts, each what one function needs."""
    whole = circuit()
    return [
        serving(whole, targets, f"circuit-{name}", f"Circuit: {name}", "What it needs to work.")
        for name, targets in FUNCTIONS.items()
    ]


def grouped() -> Drawing:
    """Three spaces of the boat with devices and a cable between them."""
    nodes = (
        Node("key", Kind.SWITCH, "Key switch", "S1"),
        Node("tacho", Kind.GAUGE, "Tachometer", "P1"),
        Node("plug", Kind.PLUG, "Bulkhead plug", "X4"),
        Node("relay", Kind.COIL, "Start relay", "K1"),
        Node("starter", Kind.STARTER, "Starter", "M1"),
    )
    edges = (
        Edge("key", "plug", Line.CONDUCTOR, code="W1", lines=("2.5 mm²", "white/red")),
        Edge("tacho", "plug", Line.SIGNAL, code="W2", lines=("1 mm²", "grey")),
        Edge("plug", "relay", Line.CONDUCTOR, code="W3", lines=("2.5 mm²", "white/red")),
        Edge("relay", "starter", Line.LINKAGE),
    )
    return Drawing(
        "spaces",
        "Start circuit by space",
        "Which space of the boat holds what.",
        nodes,
        edges,
        (
            Group("helm", "Wheelhouse", ("key", "tacho")),
            Group("engine-space", "Engine space", ("plug", "relay", "starter")),
        ),
    )


def connection_points() -> list[ConnectionPoint]:
    """Thirty points, six of each of the four sides, and some on top and below."""
    named = {
        Place.FRONT: ("Belt tensioner", "Raw-water inlet", "Power take-off", "Crank-case vent"),
        Place.PORT: (
            "Fuel supply", "Fuel return", "Oil filter", "Dipstick", "Oil drain pump",
            "Starter stud", "Engine plug", "Heater supply",
        ),
        Place.STARBOARD: (
            "Raw-water outlet", "Turbocharger oil drain", "Exhaust riser", "Coolant drain",
            "Heater return", "Alternator stud", "Aftercooler anode", "Lifting eye, aft",
        ),
        Place.REAR: ("Gear-oil cooler", "Shift cable", "Flywheel housing"),
        Place.TOP: ("Header-tank cap", "Air inlet", "Oil filler", "Vent to tank"),
        Place.BELOW: ("Sump drain", "Feet, port", "Feet, starboard"),
    }  # fmt: skip
    points = []
    for place, names in named.items():
        for name in names:
            number = len(points) + 1
            points.append(
                ConnectionPoint(
                    f"p{number}",
                    place,
                    name,
                    f"C{number}",
                    (("1/2 in NPT", "1-3/4 in hose spigot", "M8 stud")[number % 3],),
                    href=f"register.html#c{number}",
                    status=Status.NOT_ASSESSED if number == 7 else Status.NORMAL,
                    note="size unknown" if number == 7 else "",
                )
            )
    return points


def plan() -> Rendered:
    """The engine with its thirty points."""
    return engine_plan(
        "engine-plan",
        "Connection points",
        "The engine seen from above, front at the top.",
        "Six-cylinder, port engine",
        connection_points(),
    )


def hostile_texts() -> tuple[str, ...]:
    """Names that a spec may bring and that must not break or leave a drawing."""
    return (
        "<script>alert(1)</script>",
        "Pump \"A\" & 'B' | {x} \\N \\l",
        "two\nlines\tand\x07bell",
        "Boat ⛵🔥 \u202egnisrever\u202c",
        "x" * 10_000,
        "word " * 2_000,
        "&lt;b&gt; &amp; &#60;",
        "]]> --> <!-- %s ${x} {{ y }}",
        "",
    )


def hostile() -> Drawing:
    """Every hostile text as name, code, line, terminal, title, group and label."""
    nodes = tuple(
        Node(
            f"h{number}",
            Kind.DEVICE,
            text,
            text,
            (text, text),
            href=f"page.html?q={number}&x=\"'<>#h",
            status=Status.FAIL,
            note=text,
            terminals=(Terminal("a", text), Terminal("b", text)),
            rows=(Row((text, text), href="#r", title=text),),
        )
        for number, text in enumerate(hostile_texts())
    )
    edges = tuple(
        Edge(
            f"h{number}",
            f"h{number + 1}",
            Line.SIGNAL,
            tail_port="a",
            code=text,
            lines=(text,),
            note=text,
            status=Status.NOT_ASSESSED,
        )
        for number, text in enumerate(hostile_texts()[:-1])
    )
    return Drawing(
        "hostile",
        "".join(hostile_texts()[:4]),
        hostile_texts()[6],
        nodes,
        edges,
        (Group("g", hostile_texts()[0], ("h0", "h1")),),
    )


ALL: tuple[Maker, ...] = (raw_water, coolant, distribution, circuit, grouped, hostile)
