"""How long an engine may crank before raw water fills its water-lift muffler."""

from __future__ import annotations

from installgen.calc.ranges import more_than_zero


def free_muffler_volume_m3(below_inlet_m3: float, drained_back_m3: float) -> float:
    """Room left in a water-lift muffler at rest, below its inlet.

    V = V_below_inlet - V_drained_back

    below_inlet_m3: volume below the inlet, heeled [m3]
    drained_back_m3: water that stood in the riser and ran back, see `volumes.hose_volume_m3` [m3]
    Returns the room, negative when the water already stands above the inlet [m3].
    Source: geometry.
    """
    return below_inlet_m3 - drained_back_m3


def cranking_flood_s(
    free_volume_m3: float, displacement_m3_per_rev: float, pump_speed_rpm: float
) -> float:
    """Seconds of cranking, all attempts together, until raw water reaches the muffler's inlet.

    t = V_free / (D n)

    The pump fills the muffler and no exhaust gas lifts the water out. Slip is left out, to be safe.

    free_volume_m3: see `free_muffler_volume_m3` [m3]
    displacement_m3_per_rev: of the pump [m3/rev]
    pump_speed_rpm: of the pump while the engine cranks, more than 0 [rev/min]
    Returns the time [s], 0 when there is no room. Raises OutOfRange outside.
    Source: mass balance.
    """
    more_than_zero("the displacement of the pump", displacement_m3_per_rev, "m3/rev")
    more_than_zero("the cranking speed of the pump", pump_speed_rpm, "rpm")
    return max(0.0, free_volume_m3) / (displacement_m3_per_rev * pump_speed_rpm / 60.0)
