"""Air that keeps the hydrogen of lead-acid batteries thin."""

from __future__ import annotations

from installgen.calc.ranges import more_than_zero

M3_PER_H_PER_A = 0.05
"""0.42 l of hydrogen for each ampere-hour and cell, thinned 24 times, with a factor of 5."""
CM2_PER_M3_PER_H = 28.0


def hydrogen_airflow_m3_per_s(cells: int, gassing_a_per_100_ah: float, capacity_ah: float) -> float:
    """Air that a lead-acid battery needs while it is charged.

    Q = 0.05 n I_gas C / 100 [m3/h]

    cells: in series [-]
    gassing_a_per_100_ah: current that makes gas, from table `battery_gassing` [A for each 100 Ah]
    capacity_ah: [Ah]
    Returns the flow [m3/s]. Raises OutOfRange.
    Source: EN 50272-3 (now EN IEC 62485-3), as a battery maker quotes it.
    """
    more_than_zero("the number of cells", float(cells), "")
    more_than_zero("the capacity", capacity_ah, "Ah")
    more_than_zero("the gassing current", gassing_a_per_100_ah, "A")
    return M3_PER_H_PER_A * cells * gassing_a_per_100_ah * capacity_ah / 100.0 / 3600.0


def vent_area_m2(airflow_m3_per_s: float) -> float:
    """Clear area of the inlet, and of the outlet, with natural ventilation.

    A = 28 Q [cm2, m3/h]

    airflow_m3_per_s: see `hydrogen_airflow_m3_per_s` [m3/s]
    Returns the area of each of the two openings [m2].
    Source: EN 50272-3, as a battery maker quotes it; air at 0.1 m/s.
    """
    return CM2_PER_M3_PER_H * airflow_m3_per_s * 3600.0 / 1e4
