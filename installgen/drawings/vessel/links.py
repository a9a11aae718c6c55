"""Where the things of a drawing are described, relative to its page: one function a target.

The pages and anchors are those of the manual: a page's id and `.html`, and the thing's own id.
"""

from urllib.parse import quote

from installgen.analysis.circuits import CircuitName
from installgen.analysis.results import Result
from installgen.manual import links
from installgen.manual.blocks import Target
from installgen.spec.electrical import (
    Alternator,
    Battery,
    Bus,
    DeviceBase,
    Diode,
    Fuse,
    Isolator,
    Load,
)

POWER_DEVICES = (Alternator, Battery, Bus, Diode, Fuse, Isolator, Load)


def href(target: Target) -> str:
    """The address of a place from any page of the same vessel."""
    anchor = f"#{quote(target.anchor, safe=links.SAFE)}" if target.anchor else ""
    return f"{target.page}.html{anchor}"


def route_part(part_id: str) -> str:
    """A piece or a joint of a raw-water route, or a piece of an exhaust."""
    return href(Target(links.RAW_WATER, part_id))


def circuit_part(system: CircuitName, part_id: str) -> str:
    """A part or a line of a fluid's circuit."""
    return href(Target(links.CIRCUIT_PAGES[system], part_id))


def connection(engine: str, point: str) -> str:
    """A connection point of an engine, in the register."""
    return href(Target(links.CONNECTIONS, f"{engine}.{point}"))


def conductor(element: str) -> str:
    """A conductor, in the schedule."""
    return href(Target(links.CONDUCTORS, element))


def jumper(element: str) -> str:
    """A loop-back link, beside the plugs."""
    return href(Target(links.START_RUN_STOP, element))


def start_run_stop() -> str:
    """The page of the circuits that start, run and stop, and of the instruments."""
    return href(Target(links.START_RUN_STOP))


def device(device_id: str, entry: DeviceBase) -> str:
    """An electrical device, on the page of what it belongs to."""
    power = isinstance(entry, POWER_DEVICES)
    return href(Target(links.DC_POWER if power else links.START_RUN_STOP, device_id))


def result(found: Result) -> str:
    """The working of a result."""
    return href(links.working_of(found))
