"""Values with units: the one place that reads them from a text and prints them in two systems."""

from installgen.units.conductor import ConductorSize
from installgen.units.display import FIGURES, System, format_one, kind_of, rounded, show
from installgen.units.electrical import Charge, Current, Resistance, Voltage
from installgen.units.heat import (
    ElectricPower,
    Energy,
    HeatFlow,
    Power,
    SpecificFuel,
    Temperature,
    TemperatureDifference,
)
from installgen.units.motion import (
    AirFlow,
    BoatSpeed,
    Frequency,
    FuelFlow,
    MassFlow,
    RotationalSpeed,
    Time,
    Torque,
    Velocity,
    VolumeFlow,
)
from installgen.units.pressure import Pressure, PressureDifference
from installgen.units.problem import UnitProblem, quoted
from installgen.units.quantity import QUANTITIES, FieldType, Quantity, TradeSize
from installgen.units.ratio import Fraction, GearRatio
from installgen.units.shape import (
    Angle,
    Area,
    Density,
    Displacement,
    Distance,
    Length,
    Mass,
    Viscosity,
    Volume,
)
from installgen.units.thread import ThreadSize

__all__ = [
    "FIGURES",
    "QUANTITIES",
    "AirFlow",
    "Angle",
    "Area",
    "BoatSpeed",
    "Charge",
    "ConductorSize",
    "Current",
    "Density",
    "Displacement",
    "Distance",
    "ElectricPower",
    "Energy",
    "FieldType",
    "Fraction",
    "Frequency",
    "FuelFlow",
    "GearRatio",
    "HeatFlow",
    "Length",
    "Mass",
    "MassFlow",
    "Power",
    "Pressure",
    "PressureDifference",
    "Quantity",
    "Resistance",
    "RotationalSpeed",
    "SpecificFuel",
    "System",
    "Temperature",
    "TemperatureDifference",
    "ThreadSize",
    "Time",
    "Torque",
    "TradeSize",
    "UnitProblem",
    "Velocity",
    "Viscosity",
    "Voltage",
    "Volume",
    "VolumeFlow",
    "format_one",
    "kind_of",
    "quoted",
    "rounded",
    "show",
]
