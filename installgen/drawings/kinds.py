"""The signs of our drawings: what each kind of thing looks like and is called.

A kind is told by its symbol, by the outline of its box and by a short word, never by colour.
"""

from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """What a node stands for."""

    SEA = "sea"
    SEACOCK = "seacock"
    STRAINER = "strainer"
    VALVE = "valve"
    HOSE = "hose"
    PIPE = "pipe"
    JOINT = "joint"
    PUMP = "pump"
    COOLER = "cooler"
    HEAT_EXCHANGER = "heat-exchanger"
    TANK = "tank"
    FILTER = "filter"
    VENTED_LOOP = "vented-loop"
    THERMOSTAT = "thermostat"
    ENGINE = "engine"
    TURBOCHARGER = "turbocharger"
    INJECTION = "injection"
    MUFFLER = "muffler"
    OUTLET = "outlet"
    INJECTOR = "injector"
    GEARBOX = "gearbox"
    SEAL = "seal"
    BATTERY = "battery"
    ISOLATOR = "isolator"
    FUSE = "fuse"
    BREAKER = "breaker"
    BUSBAR = "busbar"
    SWITCH = "switch"
    COIL = "coil"
    CONTACT = "contact"
    SOLENOID = "solenoid"
    STARTER = "starter"
    ALTERNATOR = "alternator"
    HEATER = "heater"
    LAMP = "lamp"
    GAUGE = "gauge"
    SENDER = "sender"
    BUZZER = "buzzer"
    DIODE = "diode"
    RESISTOR = "resistor"
    CONTROLLER = "controller"
    LOAD = "load"
    DEVICE = "device"
    PLUG = "plug"
    STUD = "stud"
    NEGATIVE = "negative"
    POINT = "point"
    NOTE = "note"
    CONTINUES = "continues"
    SUMP = "sump"
    BREATHER = "breather"
    READING = "reading"
    SUSPECT = "suspect"


class Line(StrEnum):
    """What an edge stands for."""

    FLOW = "flow"
    RETURN = "return"
    VENT = "vent"
    CABLE = "cable"
    CONDUCTOR = "conductor"
    SIGNAL = "signal"
    LINKAGE = "linkage"
    OVERLOADED = "overloaded"


class Status(StrEnum):
    """How a thing stands against the standard or, of two builds, against the other one."""

    NORMAL = "normal"
    NOT_ASSESSED = "not-assessed"
    CAUTION = "caution"
    FAIL = "fail"
    DIFFERS = "differs"
    ONLY_HERE = "only-here"


@dataclass(frozen=True)
class KindLook:
    """A kind's short word and the outline of its box.

    word: printed in the box unless the name already says it
    sides: which sides of the outline are drawn, of L, T, R, B
    weight: width of the outline [px]
    rounded: corners rounded (only with all four sides)
    """

    word: str
    sides: str = "LTRB"
    weight: int = 1
    rounded: bool = False


OPEN_TOP = "LRB"
WALLS = "LR"
CEILING = "T"

KIND_LOOKS: dict[Kind, KindLook] = {
    Kind.SEA: KindLook("sea", sides="B", weight=2),
    Kind.SEACOCK: KindLook("seacock"),
    Kind.STRAINER: KindLook("strainer", rounded=True),
    Kind.VALVE: KindLook("valve"),
    Kind.HOSE: KindLook("hose", sides=WALLS),
    Kind.PIPE: KindLook("pipe", sides=WALLS, weight=2),
    Kind.JOINT: KindLook("joint", sides=WALLS),
    Kind.PUMP: KindLook("pump", weight=2, rounded=True),
    Kind.COOLER: KindLook("cooler", rounded=True),
    Kind.HEAT_EXCHANGER: KindLook("exchanger", rounded=True),
    Kind.TANK: KindLook("tank", sides=OPEN_TOP, weight=2),
    Kind.SUMP: KindLook("sump", sides=OPEN_TOP, weight=2),
    Kind.BREATHER: KindLook("breather"),
    Kind.FILTER: KindLook("filter", rounded=True),
    Kind.VENTED_LOOP: KindLook("vented loop", rounded=True),
    Kind.THERMOSTAT: KindLook("thermostat", rounded=True),
    Kind.ENGINE: KindLook("engine", weight=3),
    Kind.TURBOCHARGER: KindLook("turbocharger", weight=2, rounded=True),
    Kind.INJECTION: KindLook("injection"),
    Kind.MUFFLER: KindLook("muffler", rounded=True),
    Kind.OUTLET: KindLook("outlet", sides="T", weight=2),
    Kind.INJECTOR: KindLook("injector", weight=2),
    Kind.GEARBOX: KindLook("gearbox", weight=2),
    Kind.SEAL: KindLook("seal"),
    Kind.BATTERY: KindLook("battery", weight=2),
    Kind.ISOLATOR: KindLook("isolator"),
    Kind.FUSE: KindLook("fuse"),
    Kind.BREAKER: KindLook("breaker"),
    Kind.BUSBAR: KindLook("busbar", weight=3),
    Kind.SWITCH: KindLook("switch"),
    Kind.COIL: KindLook("coil"),
    Kind.CONTACT: KindLook("contact"),
    Kind.SOLENOID: KindLook("solenoid"),
    Kind.STARTER: KindLook("starter", weight=2, rounded=True),
    Kind.ALTERNATOR: KindLook("alternator", weight=2, rounded=True),
    Kind.HEATER: KindLook("heater", rounded=True),
    Kind.LAMP: KindLook("lamp", rounded=True),
    Kind.GAUGE: KindLook("gauge", rounded=True),
    Kind.SENDER: KindLook("sender", rounded=True),
    Kind.BUZZER: KindLook("buzzer", rounded=True),
    Kind.DIODE: KindLook("diode"),
    Kind.RESISTOR: KindLook("resistor"),
    Kind.CONTROLLER: KindLook("controller"),
    Kind.LOAD: KindLook("load", rounded=True),
    Kind.DEVICE: KindLook(""),
    Kind.PLUG: KindLook("plug", sides=WALLS, weight=2),
    Kind.STUD: KindLook("stud", rounded=True),
    Kind.NEGATIVE: KindLook("negative", sides=CEILING, weight=2),
    Kind.POINT: KindLook(""),
    Kind.READING: KindLook(""),
    Kind.SUSPECT: KindLook("", weight=2, rounded=True),
    Kind.NOTE: KindLook("", sides=""),
    Kind.CONTINUES: KindLook("", sides="L"),
}


@dataclass(frozen=True)
class LineLook:
    """A line's width [px], dash pattern [px] and what the drawing's key calls it."""

    word: str
    width: float
    dashes: str = ""


LINE_LOOKS: dict[Line, LineLook] = {
    Line.FLOW: LineLook("flow", 2.5),
    Line.RETURN: LineLook("return", 2.5, "10 3 2.5 3"),
    Line.VENT: LineLook("vent", 1.25, "6 4"),
    Line.CABLE: LineLook("battery cable", 3.5),
    Line.CONDUCTOR: LineLook("conductor", 1.25),
    Line.SIGNAL: LineLook("signal", 1.25, "1.5 3"),
    Line.LINKAGE: LineLook("linkage", 1.25, "12 3 2 3 2 3"),
    Line.OVERLOADED: LineLook("carries more than it may", 3.5, "2 2"),
}

STATUS_PLAIN_WORDS: dict[Status, str] = {
    Status.NORMAL: "",
    Status.NOT_ASSESSED: "not assessed",
    Status.CAUTION: "caution",
    Status.FAIL: "fails",
    Status.DIFFERS: "differs",
    Status.ONLY_HERE: "only here",
}
STATUS_WORDS: dict[Status, str] = {
    Status.NORMAL: "",
    Status.NOT_ASSESSED: "○ not assessed",
    Status.CAUTION: "▲ caution",
    Status.FAIL: "✗ fails",
    Status.DIFFERS: "≠ differs",
    Status.ONLY_HERE: "+ only here",
}
STATUS_LINES: dict[Status, LineLook] = {
    Status.DIFFERS: LineLook("differs", 4.5),
    Status.ONLY_HERE: LineLook("only here", 3.5, "3 3"),
}
"""How a line is drawn that tells one build from another, whatever it carries."""
