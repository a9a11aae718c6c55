"""Flexible-impeller raw-water pump: positive displacement, less its slip, less what vacuum costs.

The laws of centrifugal pumps do not hold here: flow follows speed, and pressure only costs slip.
"""

from __future__ import annotations

from dataclasses import dataclass

from installgen.calc.constants import STANDARD_ATMOSPHERE_PA
from installgen.calc.ranges import more_than_zero, zero_or_more
from installgen.errors import OutOfRange


@dataclass(frozen=True, slots=True)
class ImpellerPump:
    """A pump as its sheet describes it.

    displacement_m3_per_rev: swept by one turn [m3/rev]
    slip_ratio: share of it that slips back against no pressure [-]
    loaded_slip_ratio: share that slips at the point given by the next two [-]
    loaded_slip_pressure_pa: pressure rise at which the loaded slip was stated [Pa]
    loaded_slip_speed_rpm: pump speed at which it was stated [rev/min]
    full_flow_vacuum_pa: inlet vacuum up to which the flow is whole [Pa]; None where not known
    no_flow_vacuum_pa: inlet vacuum at which nothing flows any more [Pa]; None where not known
    """

    displacement_m3_per_rev: float
    slip_ratio: float
    loaded_slip_ratio: float
    loaded_slip_pressure_pa: float
    loaded_slip_speed_rpm: float
    full_flow_vacuum_pa: float | None = None
    no_flow_vacuum_pa: float | None = None

    def __post_init__(self) -> None:
        more_than_zero("the displacement of the pump", self.displacement_m3_per_rev, "m3/rev")
        more_than_zero("the pressure of the loaded slip", self.loaded_slip_pressure_pa, "Pa")
        more_than_zero("the speed of the loaded slip", self.loaded_slip_speed_rpm, "rpm")
        if not 0.0 <= self.slip_ratio < 1.0:
            raise OutOfRange("slip of the pump", f"{self.slip_ratio:g}", "0 to below 1")
        if not self.slip_ratio <= self.loaded_slip_ratio < 1.0:
            raise OutOfRange(
                "loaded slip of the pump",
                f"{self.loaded_slip_ratio:g}",
                f"{self.slip_ratio:g} (its slip against no pressure) to below 1",
            )
        full, none = self.full_flow_vacuum_pa, self.no_flow_vacuum_pa
        if (full is None) != (none is None):
            raise OutOfRange(
                "inlet vacuum of the pump", "given once", "given for whole and no flow"
            )
        if full is not None and none is not None and not 0.0 <= full < none:
            raise OutOfRange(
                "inlet vacuum for whole flow", f"{full:g} Pa", f"0 to below {none:g} Pa (no flow)"
            )
        if none is not None and none > STANDARD_ATMOSPHERE_PA:
            raise OutOfRange(
                "inlet vacuum for no flow", f"{none:g} Pa", f"up to {STANDARD_ATMOSPHERE_PA:g} Pa"
            )

    @property
    def leakage_m3_per_s_pa(self) -> float:
        """Flow that leaks back per pressure rise, the same at every speed [m3/(s Pa)]."""
        rated = self.displacement_m3_per_rev * self.loaded_slip_speed_rpm / 60.0
        return rated * (self.loaded_slip_ratio - self.slip_ratio) / self.loaded_slip_pressure_pa


def pump_speed_rpm(engine_speed_rpm: float, drive_ratio: float) -> float:
    """Speed of a pump driven from the engine.

    n = n_engine * ratio

    engine_speed_rpm: [rev/min]
    drive_ratio: turns of the pump per turn of the engine [-]
    Returns the pump's speed [rev/min].
    Source: definition.
    """
    return engine_speed_rpm * drive_ratio


def vacuum_flow_ratio(pump: ImpellerPump, inlet_pressure_pa: float) -> float:
    """Share of the swept flow that an inlet vacuum leaves.

    1 up to the vacuum for whole flow, 0 from the vacuum for no flow, a straight line between

    pump: its two vacuum figures; without them the share is 1
    inlet_pressure_pa: gauge, negative under vacuum [Pa]
    Returns the share [-].
    Source: common practice: a straight line between two points of the sheet.
    """
    full, none = pump.full_flow_vacuum_pa, pump.no_flow_vacuum_pa
    if full is None or none is None:
        return 1.0
    vacuum = -inlet_pressure_pa
    if vacuum <= full:
        return 1.0
    if vacuum >= none:
        return 0.0
    return (none - vacuum) / (none - full)


def pump_flow_m3_per_s(
    pump: ImpellerPump, speed_rpm: float, inlet_pressure_pa: float, outlet_pressure_pa: float
) -> float:
    """Flow that a flexible-impeller pump delivers.

    Q = D n (1 - s0) phi(p_in) - c (p_out - p_in),  c = D n_L (s_L - s0) / p_L

    Leakage depends on the pressure and not on the speed, so that the slip grows linearly with the
    pressure, weighs more at low speed, and a stopped impeller lets water through either way.

    pump: its sheet
    speed_rpm: of the pump [rev/min]
    inlet_pressure_pa, outlet_pressure_pa: gauge [Pa]
    Returns the flow, negative when it leaks back [m3/s]. Raises OutOfRange for a negative speed.
    Source: definition of displacement and slip; linear leakage is common practice.
    """
    swept = swept_flow_m3_per_s(pump, speed_rpm)
    rise = outlet_pressure_pa - inlet_pressure_pa
    through = swept * (1.0 - pump.slip_ratio) * vacuum_flow_ratio(pump, inlet_pressure_pa)
    return through - pump.leakage_m3_per_s_pa * rise


def swept_flow_m3_per_s(pump: ImpellerPump, speed_rpm: float) -> float:
    """Flow that the impeller sweeps, before any slip.

    Q = D n

    pump: its sheet
    speed_rpm: of the pump [rev/min]
    Returns the flow [m3/s]. Raises OutOfRange for a negative speed.
    Source: definition of displacement.
    """
    zero_or_more("the speed of the pump", speed_rpm, "rpm")
    return pump.displacement_m3_per_rev * speed_rpm / 60.0


def slip_ratio(pump: ImpellerPump, speed_rpm: float, flow_m3_per_s: float) -> float:
    """Share of the swept flow that does not arrive.

    s = 1 - Q / (D n)

    pump: its sheet
    speed_rpm: of the pump, more than 0 [rev/min]
    flow_m3_per_s: delivered [m3/s]
    Returns the slip [-]. Raises OutOfRange at standstill.
    Source: definition.
    """
    swept = swept_flow_m3_per_s(pump, speed_rpm)
    more_than_zero("the speed of the pump", speed_rpm, "rpm")
    return 1.0 - flow_m3_per_s / swept


def displacement_m3_per_rev(flow_m3_per_s: float, speed_rpm: float, slip_ratio: float) -> float:
    """Displacement of a pump from one measured flow.

    D = Q / (n (1 - s))

    flow_m3_per_s: delivered [m3/s]
    speed_rpm: of the pump, more than 0 [rev/min]
    slip_ratio: at that measurement, below 1 [-]
    Returns the displacement [m3/rev]. Raises OutOfRange outside.
    Source: definition.
    """
    more_than_zero("the speed of the pump", speed_rpm, "rpm")
    if not 0.0 <= slip_ratio < 1.0:
        raise OutOfRange("slip of the pump", f"{slip_ratio:g}", "0 to below 1")
    return flow_m3_per_s * 60.0 / (speed_rpm * (1.0 - slip_ratio))


def hydraulic_power_w(flow_m3_per_s: float, pressure_rise_pa: float) -> float:
    """Power that a pump gives to the water.

    P = Q dp

    flow_m3_per_s: [m3/s]
    pressure_rise_pa: outlet less inlet, total pressures [Pa]
    Returns the power [W].
    Source: definition.
    """
    return flow_m3_per_s * pressure_rise_pa


def pump_shaft_power_w(hydraulic_power_w: float, efficiency_ratio: float) -> float:
    """Power that a pump takes from its shaft.

    P_shaft = P / eta

    hydraulic_power_w: given to the water [W]
    efficiency_ratio: of the pump, above 0 to 1 [-]
    Returns the power [W]. Raises OutOfRange outside.
    Source: definition.
    """
    if not 0.0 < efficiency_ratio <= 1.0:
        raise OutOfRange("efficiency of the pump", f"{efficiency_ratio:g}", "above 0 to 1")
    return hydraulic_power_w / efficiency_ratio
