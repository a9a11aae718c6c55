"""Engine coolant: antifreeze strength, concentrate, topping up and expansion."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from installgen.calc.curve import Curve
from installgen.calc.ranges import more_than_zero, within, zero_or_more
from installgen.calc.water import Glycol, glycol_volume_ratio
from installgen.errors import OutOfRange
from installgen.tables.fluids import glycol_solution_freezing


@dataclass(frozen=True)
class Antifreeze:
    """Where an antifreeze in water begins to freeze.

    name: of the product, or of the pure substance
    freezing: strength by volume to freezing point [% to degC]
    optimistic: made from the pure substance, so a bought product protects less
    """

    name: str
    freezing: Curve
    optimistic: bool


@dataclass(frozen=True)
class StrengthNeeded:
    """The antifreeze strength that a lay-up temperature asks for.

    strength_percent: by volume [%]
    freezing_c: where that strength begins to freeze: lay-up temperature less margin [degC]
    ceiling_percent: more than this is not allowed [%]
    optimistic: found from the pure substance, so a bought product may need more
    """

    strength_percent: float
    freezing_c: float
    ceiling_percent: float
    optimistic: bool

    @property
    def within_ceiling(self) -> bool:
        """Whether the strength is allowed."""
        return self.strength_percent <= self.ceiling_percent


def product_antifreeze(name: str, points: Iterable[tuple[float, float]]) -> Antifreeze:
    """An antifreeze by its maker's own table.

    name: of the product
    points: strength by volume and freezing point, weakest first [% and degC]
    Returns the antifreeze. Raises OutOfRange for points out of order.
    """
    curve = Curve(f"the freezing table of {name}", "volume percent", tuple(points))
    return Antifreeze(name, curve, optimistic=False)


def pure_antifreeze(glycol: Glycol) -> Antifreeze:
    """An antifreeze by the curve of its pure glycol, where the maker's own table is missing.

    glycol: which one
    Returns the antifreeze, marked optimistic, its strengths by volume.
    Source: table `glycol_solution_freezing`, turned from mass to volume.
    """
    rows = glycol_solution_freezing().where(glycol=str(glycol))
    points = tuple(
        (100 * glycol_volume_ratio(glycol, row.mass_ratio), row.freezing_c) for row in rows
    )
    curve = Curve(f"the freezing curve of pure {glycol} glycol", "volume percent", points)
    return Antifreeze(f"pure {glycol} glycol", curve, optimistic=True)


def freezing_point_c(antifreeze: Antifreeze, strength_percent: float) -> float:
    """Where a coolant of a known strength begins to freeze.

    antifreeze: product or pure substance
    strength_percent: by volume [%]
    Returns the temperature [degC]. Raises OutOfTable outside the table.
    """
    return antifreeze.freezing.at(strength_percent)


def strength_needed(
    antifreeze: Antifreeze, lay_up_temperature_c: float, margin_k: float, ceiling_percent: float
) -> StrengthNeeded:
    """The weakest mixture that does not freeze at the lay-up temperature, with a margin.

    antifreeze: product, or the pure substance where the maker's table is missing
    lay_up_temperature_c: coldest expected [degC]
    margin_k: how much colder it must stand [K]
    ceiling_percent: strength by volume not to be exceeded [%]
    Returns the strength; whether it keeps the ceiling is for the caller to judge.
    Raises OutOfTable when the table does not reach so low, OutOfRange for a negative margin.
    Source: common practice: 5 K margin, 60 % ceiling.
    """
    zero_or_more("the freezing margin", margin_k, "K")
    within("the strength ceiling", ceiling_percent, 0, 100, "%")
    wanted_c = lay_up_temperature_c - margin_k
    strength = antifreeze.freezing.first_reaching(wanted_c)
    return StrengthNeeded(
        strength, antifreeze.freezing.at(strength), ceiling_percent, antifreeze.optimistic
    )


def concentrate_m3(
    system_volume_m3: float, strength_percent: float, concentrate_percent: float = 100.0
) -> float:
    """Concentrate to pour for a system that is filled from empty.

    V_c = V b / c

    system_volume_m3: whole system, hoses counted [m3]
    strength_percent: wanted, by volume [%]
    concentrate_percent: strength of what is poured, by volume [%]
    Returns the concentrate; the rest is water [m3]. Raises OutOfRange.
    Source: volume balance (the mixture's small loss of volume left out).
    """
    more_than_zero("the system volume", system_volume_m3, "m³")
    within("the concentrate's strength", concentrate_percent, 0, 100, "%")
    more_than_zero("the concentrate's strength", concentrate_percent, "%")
    within("the strength wanted", strength_percent, 0, concentrate_percent, "%")
    return system_volume_m3 * strength_percent / concentrate_percent


def drain_and_replace_m3(
    system_volume_m3: float,
    present_percent: float,
    wanted_percent: float,
    replacement_percent: float = 100.0,
) -> float:
    """How much of a full system to drain and replace to change its strength.

    D = V (b - a) / (c - a); with concentrate c = 1, with water c = 0

    system_volume_m3: whole system, full [m3]
    present_percent: strength now, by volume [%]
    wanted_percent: strength wanted, by volume [%]
    replacement_percent: strength of what is poured in, by volume [%]
    Returns the volume to drain, and to replace [m3].
    Valid: wanted between present and replacement; outside raises OutOfRange.
    Source: volume balance, the drained part well mixed.
    """
    more_than_zero("the system volume", system_volume_m3, "m³")
    for name, value in (
        ("the present strength", present_percent),
        ("the strength wanted", wanted_percent),
        ("the replacement's strength", replacement_percent),
    ):
        within(name, value, 0, 100, "%")
    if wanted_percent == present_percent:
        return 0.0
    low, high = sorted((present_percent, replacement_percent))
    within("the strength wanted", wanted_percent, low, high, "%")
    share = (wanted_percent - present_percent) / (replacement_percent - present_percent)
    return system_volume_m3 * share


def strength_after_topping_up_percent(
    system_volume_m3: float,
    present_percent: float,
    lost_m3: float,
    topped_up_percent: float,
) -> float:
    """Strength after lost coolant was replaced by something else.

    b = (a (V - L) + c L) / V

    system_volume_m3: whole system, full [m3]
    present_percent: strength before the loss, by volume [%]
    lost_m3: coolant lost, and topped up [m3]
    topped_up_percent: strength of what was poured in, 0 for water [%]
    Returns the strength by volume [%]. Raises OutOfRange.
    Source: volume balance.
    """
    more_than_zero("the system volume", system_volume_m3, "m³")
    within("the present strength", present_percent, 0, 100, "%")
    within("the strength topped up", topped_up_percent, 0, 100, "%")
    within("the coolant lost", lost_m3, 0, system_volume_m3, "m³")
    kept_m3 = system_volume_m3 - lost_m3
    return (present_percent * kept_m3 + topped_up_percent * lost_m3) / system_volume_m3


def expansion_m3(
    cold_volume_m3: float, cold_density_kg_per_m3: float, hot_density_kg_per_m3: float
) -> float:
    """By how much a coolant grows from cold to hot.

    dV = V (rho_cold / rho_hot - 1)

    cold_volume_m3: filled cold [m3]
    cold_density_kg_per_m3: at the filling temperature [kg/m3]
    hot_density_kg_per_m3: at the working temperature [kg/m3]
    Returns the growth, for the expansion tank to take [m3]. Raises OutOfRange.
    Source: mass balance.
    """
    more_than_zero("the cold volume", cold_volume_m3, "m³")
    more_than_zero("the hot density", hot_density_kg_per_m3, "kg/m³")
    if not cold_density_kg_per_m3 >= hot_density_kg_per_m3:
        raise OutOfRange(
            "the cold density",
            f"{cold_density_kg_per_m3:g} kg/m³",
            f"{hot_density_kg_per_m3:g} kg/m³ and more, the density when hot",
        )
    return cold_volume_m3 * (cold_density_kg_per_m3 / hot_density_kg_per_m3 - 1)


def thermostat_open_ratio(temperature_c: float, opens_c: float, fully_open_c: float) -> float:
    """How far a thermostat has opened, on a straight line between its two temperatures.

    temperature_c: of the coolant at the thermostat [degC]
    opens_c: where it begins to open [degC]
    fully_open_c: where it is fully open [degC]
    Returns 0 when shut, 1 when fully open. Raises OutOfRange.
    Source: common practice; wax elements are close to linear between the two.
    """
    if not fully_open_c > opens_c:
        raise OutOfRange(
            "the thermostat's fully open temperature",
            f"{fully_open_c:g} °C",
            f"more than {opens_c:g} °C, where it begins to open",
        )
    if temperature_c <= opens_c:
        return 0.0
    if temperature_c >= fully_open_c:
        return 1.0
    return (temperature_c - opens_c) / (fully_open_c - opens_c)
