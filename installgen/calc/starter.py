"""Constants of a starter from its tests, and what turning a cold engine asks of it.

The network element is `dc_elements.TurningStarter`; at breakaway the starter is a plain resistor.
"""

from __future__ import annotations

import math

from installgen.calc.ranges import more_than_zero, zero_or_more
from installgen.errors import OutOfRange


def stalled_resistance_ohm(voltage_v: float, current_a: float) -> float:
    """Resistance of the starter before it turns, brushes included.

    R = V / I

    voltage_v: across the motor in the stall test [V]
    current_a: in the stall test [A]
    Returns the resistance [ohm].
    Source: Ohm's law; the maker's stall (locked armature) test.
    """
    more_than_zero("the voltage of the stall test", voltage_v, "V")
    more_than_zero("the current of the stall test", current_a, "A")
    return voltage_v / current_a


def winding_resistance_ohm(voltage_v: float, current_a: float, brush_drop_v: float) -> float:
    """Resistance of armature and field without the brushes.

    R = (V - V_brush) / I

    voltage_v: across the motor in the stall test [V]
    current_a: in the stall test [A]
    brush_drop_v: over both brushes [V]
    Returns the resistance [ohm].
    Raises OutOfRange where the brushes take the whole voltage.
    Source: voltage balance of a direct-current motor at rest.
    """
    zero_or_more("the brush drop", brush_drop_v, "V")
    more_than_zero("the current of the stall test", current_a, "A")
    if not voltage_v > brush_drop_v:
        raise OutOfRange(
            "the voltage of the stall test", f"{voltage_v:g} V", f"above {brush_drop_v:g} V"
        )
    return (voltage_v - brush_drop_v) / current_a


def back_emf_v_per_rpm(
    voltage_v: float,
    current_a: float,
    engine_speed_rpm: float,
    resistance_ohm: float,
    brush_drop_v: float,
) -> float:
    """Back-EMF per engine rpm from one cranking test.

    k = (V - V_brush - R * I) / N

    voltage_v: across the motor [V]
    current_a: [A]
    engine_speed_rpm: while cranking [rpm]
    resistance_ohm: of armature and field [ohm]
    brush_drop_v: over both brushes [V]
    Returns the constant; it holds near that current, whose field it has [V/rpm].
    Raises OutOfRange where nothing is left for the back-EMF.
    Source: voltage balance of a direct-current motor.
    """
    more_than_zero("the cranking speed", engine_speed_rpm, "rpm")
    left_v = voltage_v - brush_drop_v - resistance_ohm * current_a
    more_than_zero("the voltage left for the back-EMF", left_v, "V")
    return left_v / engine_speed_rpm


def back_emf_from_torque_constant_v_per_rpm(
    torque_constant_nm_per_a: float, gear_ratio: float
) -> float:
    """Back-EMF per engine rpm from the motor's torque constant.

    k = k_t * ratio * 2 * pi / 60

    torque_constant_nm_per_a: k_t of the motor's own shaft [N.m/A]
    gear_ratio: motor speed over engine speed, ring gear and reduction [-]
    Returns the constant [V/rpm].
    Source: power balance of a direct-current machine (volts per rad/s equal N.m per ampere).
    """
    more_than_zero("the torque constant", torque_constant_nm_per_a, "N.m/A")
    more_than_zero("the gear ratio", gear_ratio, "")
    return torque_constant_nm_per_a * gear_ratio * 2.0 * math.pi / 60.0


def turning_current_a(
    engine_torque_nm: float,
    torque_constant_nm_per_a: float,
    gear_ratio: float,
    gear_efficiency_ratio: float,
    friction_current_a: float,
) -> float:
    """Current that the engine's cold torque asks for.

    I = T / (ratio * efficiency * k_t) + I_friction

    engine_torque_nm: mean torque at the crankshaft, cold [N.m]
    torque_constant_nm_per_a: k_t of the motor's own shaft [N.m/A]
    gear_ratio: motor speed over engine speed [-]
    gear_efficiency_ratio: of ring gear and reduction, 0 to 1 [-]
    friction_current_a: of the unloaded motor [A]
    Returns the current [A].
    Source: torque balance of a direct-current motor.
    """
    more_than_zero("the cold torque of the engine", engine_torque_nm, "N.m")
    more_than_zero("the torque constant", torque_constant_nm_per_a, "N.m/A")
    more_than_zero("the gear ratio", gear_ratio, "")
    zero_or_more("the friction current", friction_current_a, "A")
    if not 0.0 < gear_efficiency_ratio <= 1.0:
        raise OutOfRange(
            "the efficiency of the gear", f"{gear_efficiency_ratio:g}", "above 0, up to 1"
        )
    motor_torque_nm = engine_torque_nm / (gear_ratio * gear_efficiency_ratio)
    return motor_torque_nm / torque_constant_nm_per_a + friction_current_a
