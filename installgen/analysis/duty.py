"""When a device is meant to do its work: what it loses or gets in other cases is no fault."""

from __future__ import annotations

from installgen.analysis.cases import DcCase, EngineState
from installgen.spec.electrical import DeviceBase, Gauge, Heater, Load, StateName
from installgen.spec.vessel import FittedEngine

BUSY: tuple[StateName, ...] = (
    "off",
    "stopping",
    "emergency-stop",
    "ignition-on",
    "preheating",
    "running",
    "breakaway",
    "cranking",
)
"""States by how much goes on: a device of no engine follows the busiest."""

READ_IN: tuple[StateName, ...] = ("ignition-on", "running")
"""An instrument is read with the key on and under way, not while the starter pulls."""


def state_for(case: DcCase, engine: str | None) -> EngineState:
    """The state that matters to a device: of its engine, else of the busiest engine."""
    if engine is not None:
        return case.state(engine)
    return max((state for _, state in case.states), key=lambda one: BUSY.index(one.state))


def at_work(case: DcCase, device: DeviceBase, engine: FittedEngine | None) -> bool:
    """Whether a load, heater or instrument is meant to do its work in a case (common practice).

    A load says so by `on_in`; one that does not is on in every state but while the starter turns
    the engine, when every voltage aboard dips. A heater works while preheating.
    """
    name = engine.name if engine is not None else getattr(device, "engine", None)
    state = state_for(case, name).state
    if isinstance(device, Load):
        starting: tuple[StateName, ...] = ("breakaway", "cranking")
        return state not in starting if device.on_in is None else state in device.on_in
    if isinstance(device, Heater):
        return state == "preheating"
    return not isinstance(device, Gauge) or state in READ_IN
