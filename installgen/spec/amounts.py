"""Quantities as spec fields take them: with the sign that makes sense for each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, TypeAlias

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from installgen import units


@dataclass(frozen=True)
class Above:
    """Refuses values at or below a limit (in SI), or below it where the limit itself may stand."""

    limit: float = 0.0
    allowed: bool = False
    words: str = "a figure above zero"

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        def check(value: Any) -> Any:
            if value.value > self.limit or (self.allowed and value.value == self.limit):
                return value
            raise PydanticCustomError(
                "installgen_range",
                "{found}{expected}{instead}",
                {"found": f"`{value.text}`", "expected": self.words, "instead": ""},
            )

        return core_schema.no_info_after_validator_function(check, handler(source))


_POSITIVE = Above()
_NOT_NEGATIVE = Above(allowed=True, words="zero or more, not a negative figure")

AirFlow: TypeAlias = Annotated[units.AirFlow, _POSITIVE]
Angle: TypeAlias = Annotated[units.Angle, _NOT_NEGATIVE]
Area: TypeAlias = Annotated[units.Area, _POSITIVE]
BoatSpeed: TypeAlias = Annotated[units.BoatSpeed, _POSITIVE]
Charge: TypeAlias = Annotated[units.Charge, _POSITIVE]
ConductorSize = units.ConductorSize
Coordinate = units.Length
Current: TypeAlias = Annotated[units.Current, _POSITIVE]
Displacement: TypeAlias = Annotated[units.Displacement, _POSITIVE]
ElectricPower: TypeAlias = Annotated[units.ElectricPower, _POSITIVE]
Fraction: TypeAlias = Annotated[units.Fraction, _NOT_NEGATIVE]
FuelFlow: TypeAlias = Annotated[units.FuelFlow, _NOT_NEGATIVE]
GearRatio: TypeAlias = Annotated[units.GearRatio, _POSITIVE]
HeatRate: TypeAlias = Annotated[units.HeatFlow, _NOT_NEGATIVE]
Length: TypeAlias = Annotated[units.Length, _POSITIVE]
Mass: TypeAlias = Annotated[units.Mass, _POSITIVE]
MassFlow: TypeAlias = Annotated[units.MassFlow, _POSITIVE]
Power: TypeAlias = Annotated[units.Power, _POSITIVE]
Pressure = units.Pressure
PressureDifference: TypeAlias = Annotated[units.PressureDifference, _NOT_NEGATIVE]
Resistance: TypeAlias = Annotated[units.Resistance, _NOT_NEGATIVE]
RotationalSpeed: TypeAlias = Annotated[units.RotationalSpeed, _POSITIVE]
Temperature = units.Temperature
TemperatureDifference: TypeAlias = Annotated[units.TemperatureDifference, _NOT_NEGATIVE]
ThreadSize = units.ThreadSize
Time: TypeAlias = Annotated[units.Time, _POSITIVE]
Torque: TypeAlias = Annotated[units.Torque, _POSITIVE]
Velocity: TypeAlias = Annotated[units.Velocity, _POSITIVE]
Viscosity: TypeAlias = Annotated[units.Viscosity, _POSITIVE]
Voltage: TypeAlias = Annotated[units.Voltage, _POSITIVE]
Volume: TypeAlias = Annotated[units.Volume, _POSITIVE]
VolumeFlow: TypeAlias = Annotated[units.VolumeFlow, _NOT_NEGATIVE]
