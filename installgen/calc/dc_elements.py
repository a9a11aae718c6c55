"""The electrical elements of a direct-current network.

Every element lies between two nodes. Its current is counted from its first end, through the
element, to its second end. The first end of whatever delivers power (source, battery, alternator)
is its negative terminal, so its current is positive while it delivers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from installgen.calc.constants import BOLTZMANN_J_PER_K, ELEMENTARY_CHARGE_C, ZERO_CELSIUS_K
from installgen.calc.ranges import more_than_zero, within, zero_or_more
from installgen.errors import InstallgenError

METER_RESISTANCE_OHM = 10e6
"""Input resistance of an ordinary digital meter on a voltage range (common practice)."""


class BadNetwork(InstallgenError):
    """A network contradicts itself, or was asked about something it does not have."""


def _check_resistance(element: str, ohm: float, *, zero_allowed: bool = False) -> None:
    """Raise OutOfRange unless in range; infinite is an open circuit."""
    if ohm != math.inf:
        check = zero_or_more if zero_allowed else more_than_zero
        check(f"the resistance of {element}", ohm, "ohm")


@dataclass(frozen=True)
class Resistor:
    """Conductor, joint, lug, pin, fuse, sender or resistive load.

    start, end: nodes
    resistance_ohm: 0 is a plain link, infinite is an open circuit [ohm]
    """

    id: str
    start: str
    end: str
    resistance_ohm: float

    def __post_init__(self) -> None:
        _check_resistance(self.id, self.resistance_ohm, zero_allowed=True)

    @property
    def ends(self) -> tuple[str, str]:
        return self.start, self.end


@dataclass(frozen=True)
class Contact:
    """Switch or relay contact: absent while open, a small resistance while closed.

    start, end: nodes
    resistance_ohm: while closed [ohm]
    """

    id: str
    start: str
    end: str
    resistance_ohm: float

    def __post_init__(self) -> None:
        _check_resistance(self.id, self.resistance_ohm)

    @property
    def ends(self) -> tuple[str, str]:
        return self.start, self.end


@dataclass(frozen=True)
class Coil:
    """Coil of a relay with its voltages.

    A coil works by its current, so both voltages hold at the stated resistance; at another
    (a hot coil) they scale with it.

    start, end: nodes
    resistance_ohm: at the temperature at which the voltages were measured [ohm]
    pull_in_v: least voltage that operates the relay [V]
    drop_out_v: voltage below which the relay releases [V]
    """

    id: str
    start: str
    end: str
    resistance_ohm: float
    pull_in_v: float
    drop_out_v: float

    def __post_init__(self) -> None:
        _check_resistance(self.id, self.resistance_ohm)
        more_than_zero(f"the pull-in voltage of {self.id}", self.pull_in_v, "V")
        within(f"the drop-out voltage of {self.id}", self.drop_out_v, 0.0, self.pull_in_v, "V")

    @property
    def ends(self) -> tuple[str, str]:
        return self.start, self.end


@dataclass(frozen=True)
class Winding:
    """One winding of a plunger; what it moves is stated by the plunger's `Actuator`.

    start, end: nodes; the sense of the winding counts where ampere-turns add or cancel
    resistance_ohm: at its working temperature [ohm]
    """

    id: str
    start: str
    end: str
    resistance_ohm: float

    def __post_init__(self) -> None:
        _check_resistance(self.id, self.resistance_ohm)

    @property
    def ends(self) -> tuple[str, str]:
        return self.start, self.end


@dataclass(frozen=True)
class Voltmeter:
    """A meter on a voltage range.

    positive, negative: nodes under its leads
    resistance_ohm: of its input [ohm]
    """

    id: str
    positive: str
    negative: str
    resistance_ohm: float = METER_RESISTANCE_OHM

    def __post_init__(self) -> None:
        _check_resistance(self.id, self.resistance_ohm)

    @property
    def ends(self) -> tuple[str, str]:
        return self.positive, self.negative


@dataclass(frozen=True)
class Source:
    """EMF behind a resistance: a battery that discharges, a shore supply.

    positive, negative: nodes; a negative EMF is a reversed battery
    emf_v: voltage without load [V]
    resistance_ohm: 0 is an ideal source [ohm]
    """

    id: str
    positive: str
    negative: str
    emf_v: float
    resistance_ohm: float

    def __post_init__(self) -> None:
        _check_resistance(self.id, self.resistance_ohm, zero_allowed=True)
        zero_or_more(f"the size of the EMF of {self.id}", abs(self.emf_v), "V")

    @property
    def ends(self) -> tuple[str, str]:
        return self.negative, self.positive


@dataclass(frozen=True)
class Battery:
    """Battery with one resistance while it discharges and another while it is charged.

    V = EMF - R_discharge * I (delivers);  V = EMF + R_charge * I (accepts)

    positive, negative: nodes
    emf_v: voltage at rest [V]
    resistance_ohm: internal, while it discharges [ohm]
    charge_resistance_ohm: rise of voltage per ampere accepted, see `battery.charge_resistance_ohm`
        [ohm]
    """

    id: str
    positive: str
    negative: str
    emf_v: float
    resistance_ohm: float
    charge_resistance_ohm: float

    def __post_init__(self) -> None:
        more_than_zero(f"the EMF of {self.id}", self.emf_v, "V")
        _check_resistance(self.id, self.resistance_ohm)
        more_than_zero(f"the charge resistance of {self.id}", self.charge_resistance_ohm, "ohm")

    @property
    def ends(self) -> tuple[str, str]:
        return self.negative, self.positive


@dataclass(frozen=True)
class CurrentLoad:
    """Load that draws a constant current down to a stated voltage, below it a resistance.

    I = I0 for V >= Vmin;  I = I0 * V / Vmin below (and for a reversed supply)

    positive, negative: nodes
    load_current_a: drawn at and above the least voltage [A]
    min_voltage_v: least voltage at which it still draws that [V]
    """

    id: str
    positive: str
    negative: str
    load_current_a: float
    min_voltage_v: float

    def __post_init__(self) -> None:
        more_than_zero(f"the current of {self.id}", self.load_current_a, "A")
        more_than_zero(f"the least voltage of {self.id}", self.min_voltage_v, "V")

    @property
    def ends(self) -> tuple[str, str]:
        return self.positive, self.negative


@dataclass(frozen=True)
class ConstantPowerLoad:
    """Load that draws a constant power down to a stated voltage, below it a resistance.

    I = P / V for V >= Vmin;  I = V * P / Vmin^2 below (and for a reversed supply)

    positive, negative: nodes
    power_w: drawn at and above the least voltage [W]
    min_voltage_v: least voltage at which it still draws that [V]
    """

    id: str
    positive: str
    negative: str
    power_w: float
    min_voltage_v: float

    def __post_init__(self) -> None:
        more_than_zero(f"the power of {self.id}", self.power_w, "W")
        more_than_zero(f"the least voltage of {self.id}", self.min_voltage_v, "V")

    @property
    def ends(self) -> tuple[str, str]:
        return self.positive, self.negative


@dataclass(frozen=True)
class Diode:
    """Junction diode, exponential, with a leakage in parallel; put a bulk resistance in series.

    I = Is * (exp(V / (n * k * T / q)) - 1) + G_leak * V

    anode, cathode: nodes
    saturation_current_a: Is, see `saturation_current_a` [A]
    ideality_ratio: n [-]
    junction_temperature_c: T [degC]
    leakage_s: G_leak [S]
    Source: Shockley's equation, as in the diode model of Berkeley SPICE without its breakdown.
    """

    id: str
    anode: str
    cathode: str
    saturation_current_a: float
    ideality_ratio: float
    junction_temperature_c: float
    leakage_s: float = 1e-12

    def __post_init__(self) -> None:
        more_than_zero(f"the saturation current of {self.id}", self.saturation_current_a, "A")
        more_than_zero(f"the ideality of {self.id}", self.ideality_ratio, "")
        zero_or_more(f"the leakage of {self.id}", self.leakage_s, "S")
        kelvin = self.junction_temperature_c + ZERO_CELSIUS_K
        more_than_zero(f"the junction temperature of {self.id}", kelvin, "K")

    @property
    def ends(self) -> tuple[str, str]:
        return self.anode, self.cathode

    @property
    def slope_v(self) -> float:
        """n * k * T / q, the voltage per e-fold of current [V]."""
        return slope_v(self.ideality_ratio, self.junction_temperature_c)


def slope_v(ideality_ratio: float, junction_temperature_c: float) -> float:
    """Voltage over which a junction's current grows e-fold.

    n * k * T / q

    ideality_ratio: n [-]
    junction_temperature_c: T [degC]
    Returns the slope [V].
    Source: Shockley's equation.
    """
    temperature_k = junction_temperature_c + ZERO_CELSIUS_K
    return ideality_ratio * BOLTZMANN_J_PER_K * temperature_k / ELEMENTARY_CHARGE_C


def saturation_current_a(
    forward_voltage_v: float,
    forward_current_a: float,
    ideality_ratio: float,
    junction_temperature_c: float,
) -> float:
    """Saturation current of the diode that has a stated drop at a stated current.

    Is = I / (exp(V / (n * k * T / q)) - 1)

    forward_voltage_v: drop at the stated current [V]
    forward_current_a: the stated current [A]
    ideality_ratio: n [-]
    junction_temperature_c: at which the drop was measured [degC]
    Returns Is [A].
    Source: Shockley's equation.
    """
    exponent = forward_voltage_v / slope_v(ideality_ratio, junction_temperature_c)
    return forward_current_a / math.expm1(exponent)


@dataclass(frozen=True)
class TurningStarter:
    """Starter that turns the engine; below the voltage that turns it, a stalled resistance.

    V = V_brush + R * I + k * N,  I = I0 + m * N  for V >= V_brush + R * I0 (then N >= 0)
    I = I0 * V / (V_brush + R * I0) below

    positive, negative: nodes (motor terminal behind the solenoid's contacts; the motor's frame)
    resistance_ohm: R, armature and field [ohm]
    brush_drop_v: V_brush, over both brushes [V]
    back_emf_v_per_rpm: k, per engine rpm at this flux [V/rpm]
    turning_current_a: I0, that overcomes the engine's cold torque at the start of turning [A]
    current_rise_a_per_rpm: m, where the engine's torque grows with its speed [A/rpm]
    """

    id: str
    positive: str
    negative: str
    resistance_ohm: float
    brush_drop_v: float
    back_emf_v_per_rpm: float
    turning_current_a: float
    current_rise_a_per_rpm: float = 0.0

    def __post_init__(self) -> None:
        _check_resistance(self.id, self.resistance_ohm)
        zero_or_more(f"the brush drop of {self.id}", self.brush_drop_v, "V")
        more_than_zero(f"the back-EMF of {self.id}", self.back_emf_v_per_rpm, "V/rpm")
        more_than_zero(f"the turning current of {self.id}", self.turning_current_a, "A")
        zero_or_more(f"the rise of current of {self.id}", self.current_rise_a_per_rpm, "A/rpm")

    @property
    def ends(self) -> tuple[str, str]:
        return self.positive, self.negative

    @property
    def stall_voltage_v(self) -> float:
        """Voltage at which it begins to turn [V]."""
        return self.brush_drop_v + self.resistance_ohm * self.turning_current_a

    def speed_rpm(self, voltage_v: float) -> float:
        """Engine speed while cranking.

        N = (V - V_brush - R * I0) / (k + R * m), and 0 while stalled

        voltage_v: across the motor [V]
        Returns the engine's speed [rpm].
        Source: voltage balance of a direct-current motor.
        """
        spare_v = voltage_v - self.stall_voltage_v
        rise_ohm_a_per_rpm = self.resistance_ohm * self.current_rise_a_per_rpm
        return max(spare_v, 0.0) / (self.back_emf_v_per_rpm + rise_ohm_a_per_rpm)


SenseLoss = Literal["full field", "own stud", "no output"]


@dataclass(frozen=True)
class Alternator:
    """Regulated alternator: the most current that keeps its sense point at the set voltage.

    0 <= I <= I_limit;  V_sense <= V_set - droop * I;  V_stud <= V_ceiling

    Its own field feed, where a fault of it matters, is a relay whose coil is the field or the lamp
    circuit and whose contact lies between this element and the stud.

    positive, negative: stud and case (nodes)
    set_voltage_v: held at the sense point against the case [V]
    current_limit_a: at this speed and temperature, see `alternator.output_limit_a` [A]
    ceiling_v: highest voltage at its stud whatever the regulator does [V]
    sense: node of the sense lead; none means its own stud
    droop_ohm: fall of the set voltage per ampere [ohm]
    when_sense_lost: what the regulator does without its sense lead
    sense_lost_below_v: reading at which the regulator takes the lead for lost; with 0 it never
        notices and goes to full field [V]
    """

    id: str
    positive: str
    negative: str
    set_voltage_v: float
    current_limit_a: float
    ceiling_v: float
    sense: str | None = None
    droop_ohm: float = 0.0
    when_sense_lost: SenseLoss = "full field"
    sense_lost_below_v: float = 0.0

    def __post_init__(self) -> None:
        more_than_zero(f"the set voltage of {self.id}", self.set_voltage_v, "V")
        zero_or_more(f"the current limit of {self.id}", self.current_limit_a, "A")
        within(f"the set voltage of {self.id}", self.set_voltage_v, 0.0, self.ceiling_v, "V")
        zero_or_more(f"the ceiling of {self.id}", self.ceiling_v, "V")
        zero_or_more(f"the droop of {self.id}", self.droop_ohm, "ohm")
        threshold = f"the threshold of the lost sense lead of {self.id}"
        zero_or_more(threshold, self.sense_lost_below_v, "V")

    @property
    def ends(self) -> tuple[str, str]:
        return self.negative, self.positive


Element = (
    Resistor
    | Contact
    | Coil
    | Winding
    | Voltmeter
    | Source
    | Battery
    | CurrentLoad
    | ConstantPowerLoad
    | Diode
    | TurningStarter
    | Alternator
)
