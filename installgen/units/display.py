"""Prints quantities in both systems with sensible rounding; the same value always the same way.

Rounding: at least three significant figures, whole units never rounded away, halves away from
zero, trailing zeros dropped.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from installgen.units import registry
from installgen.units.conductor import ConductorSize
from installgen.units.pressure import Pressure
from installgen.units.quantity import QUANTITIES, Quantity, pretty
from installgen.units.ratio import GearRatio
from installgen.units.shape import Length
from installgen.units.thread import ThreadSize

System = Literal["metric", "us"]

NBSP = "\N{NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"
FIGURES = 3
MOST_DECIMALS = 4


@dataclass(frozen=True)
class _Step:
    """Up to which size, in base units, which pair of units is printed."""

    below: float
    metric: str
    us: str


_ANY = float("inf")


def _both(*steps: tuple[float, str]) -> tuple[_Step, ...]:
    return tuple(_Step(below, unit, unit) for below, unit in steps)


_STEPS: dict[str, tuple[_Step, ...]] = {
    "Length": (_Step(1.0, "mm", "in"), _Step(_ANY, "m", "ft")),
    "Distance": _both((_ANY, "nmi")),  # at sea in either system
    "Displacement": (_Step(_ANY, "l", "in3"),),
    "Area": (_Step(0.01, "mm2", "in2"), _Step(0.5, "cm2", "in2"), _Step(_ANY, "m2", "ft2")),
    "Volume": (
        _Step(0.001, "ml", "fl oz US"),
        _Step(10.0, "l", "gal US"),
        _Step(_ANY, "m3", "ft3"),
    ),
    "Mass": (_Step(1.0, "g", "oz"), _Step(_ANY, "kg", "lb")),
    "Time": _both((1.0, "ms"), (120.0, "s"), (7200.0, "min"), (_ANY, "h")),
    "RotationalSpeed": _both((_ANY, "rpm")),
    "Velocity": (_Step(_ANY, "m/s", "ft/s"),),
    "BoatSpeed": _both((_ANY, "kn")),
    "VolumeFlow": (
        _Step(1 / 60_000, "ml/min", "gal US/h"),
        _Step(2 / 60, "l/min", "gpm US"),
        _Step(_ANY, "m3/min", "ft3/min"),
    ),
    "FuelFlow": (_Step(_ANY, "l/h", "gal US/h"),),
    "AirFlow": (_Step(_ANY, "m3/min", "ft3/min"),),
    "MassFlow": (_Step(0.1, "kg/h", "lb/h"), _Step(_ANY, "kg/s", "lb/min")),
    "Torque": (_Step(_ANY, "N m", "lbf ft"),),
    "Angle": _both((_ANY, "°")),
    "Viscosity": _both((_ANY, "mm2/s")),
    "Density": (_Step(_ANY, "kg/m3", "lb/ft3"),),
    "Voltage": _both((0.1, "mV"), (_ANY, "V")),
    "Current": _both((1.0, "mA"), (_ANY, "A")),
    "Resistance": _both(
        (0.001, "uohm"), (1.0, "mohm"), (1000.0, "ohm"), (1e6, "kohm"), (_ANY, "Mohm")
    ),
    "Power": (_Step(1.0, "mW", "mW"), _Step(1000.0, "W", "W"), _Step(_ANY, "kW", "hp")),
    "ElectricPower": _both((1.0, "mW"), (1000.0, "W"), (_ANY, "kW")),
    "HeatFlow": (_Step(1000.0, "W", "Btu/h"), _Step(_ANY, "kW", "Btu/min")),
    "Charge": _both((_ANY, "Ah")),
    "Energy": (
        _Step(1000.0, "J", "J"),
        _Step(1e6, "kJ", "Btu"),
        _Step(_ANY, "MJ", "Btu"),
    ),
    "Pressure": (_Step(1e7, "kPa", "psi"), _Step(_ANY, "MPa", "psi")),
    "PressureDifference": (_Step(1e7, "kPa", "psi"), _Step(_ANY, "MPa", "psi")),
    "Temperature": (_Step(_ANY, "°C", "°F"),),
    "TemperatureDifference": (_Step(_ANY, "K", "°F"),),
    "Frequency": _both((_ANY, "Hz")),
    "SpecificFuel": (_Step(_ANY, "g/kWh", "lb/hp h"),),
    "Fraction": _both((_ANY, "%")),
}

Printable = Quantity | ConductorSize | ThreadSize


def kind_of(name: str) -> type[Quantity]:
    """The class of a quantity by its name, such as `Length`; KeyError when there is none."""
    return QUANTITIES[name]


def show(quantity: Printable, first: System, figures: int = FIGURES) -> str:
    """Both systems, the leading one first: `44.5 mm (1-3/4 in)`; one where both are the same."""
    other: System = "us" if first == "metric" else "metric"
    leading = format_one(quantity, first, figures=figures)
    following = format_one(quantity, other, figures=figures)
    return leading if leading == following else f"{leading} ({following})"


def format_one(
    quantity: Printable, system: System, size: float | None = None, figures: int = FIGURES
) -> str:
    """One system only, such as `44.5 mm` or `1-3/4 in`.

    size: in the base unit, the largest of several values that stand side by side, so that all of
        them get one unit
    figures: more than the usual ones tell apart two values that would print alike
    """
    return _formatted(quantity, system, size, figures)


@lru_cache(maxsize=100_000)
def _formatted(quantity: Printable, system: System, size: float | None, figures: int) -> str:
    if isinstance(quantity, ConductorSize | ThreadSize):
        return str(quantity)
    if isinstance(quantity, GearRatio):
        return f"{rounded(quantity.value, figures=4)}:1"
    magnitude = abs(quantity.value if size is None else size)
    step = next(
        (one for one in _STEPS[type(quantity).__name__] if magnitude < one.below),
        _STEPS[type(quantity).__name__][-1],
    )
    symbol = step.metric if system == "metric" else step.us
    if figures > FIGURES:
        text = _with_unit(quantity, symbol, lambda number: rounded(number, figures, figures))
        return f"{text} {quantity.reference}" if isinstance(quantity, Pressure) else text
    if isinstance(quantity, Length):
        return _length(quantity, symbol)
    text = _with_unit(quantity, symbol, rounded)
    if type(quantity).__name__ == "Temperature":
        text = _with_unit(quantity, symbol, lambda number: rounded(number, most_decimals=1))
    return f"{text} {quantity.reference}" if isinstance(quantity, Pressure) else text


def rounded(number: float, figures: int = FIGURES, most_decimals: int = MOST_DECIMALS) -> str:
    """A number as it is printed: at least `figures` significant ones, no whole unit lost."""
    exact = _clean(number)
    if not exact:
        return "0"
    decimals = min(max(figures - 1 - exact.adjusted(), 0), most_decimals)
    text = f"{_to_decimals(number, decimals):f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "0") else text.replace("-", MINUS)


def _clean(number: float) -> Decimal:
    """The number without the dust of binary arithmetic, which would tip a half the wrong way."""
    return Decimal(f"{number:.12g}")


def _to_decimals(number: float, decimals: int) -> Decimal:
    step = Decimal(1).scaleb(-decimals)
    return _clean(number).quantize(step, ROUND_HALF_UP, Context(prec=330))


def _with_unit(quantity: Quantity, symbol: str, printed: Callable[[float], str]) -> str:
    return printed(_in_unit(quantity, symbol)) + _unit_text(symbol)


def _in_unit(quantity: Quantity, symbol: str) -> float:
    unit = quantity.unit_of(symbol)
    if unit is None:
        raise KeyError(symbol)
    return registry.from_base(quantity.value, unit, quantity.BASE)


def _unit_text(symbol: str) -> str:
    return symbol if symbol == "°" else NBSP + pretty(symbol).replace(" ", NBSP)


def _length(length: Length, symbol: str) -> str:
    number = _in_unit(length, symbol)
    if symbol == "ft":
        return _feet_and_inches(length)
    if symbol == "in":
        return _inches(length)
    if symbol == "m":
        return _with_unit(length, symbol, lambda _: _metres(number))
    return _with_unit(length, symbol, rounded)


def _metres(number: float) -> str:
    """Metres keep two decimals below ten, one below a hundred: `1.80`."""
    decimals = 2 if abs(number) < 9.995 else 1 if abs(number) < 99.95 else 0
    return f"{_to_decimals(number, decimals):f}".replace("-", MINUS)


def _inches(length: Length) -> str:
    """A fraction where a sixteenth prints as the same millimetres; else decimal."""
    sixteenths = round(length.mm / 25.4 * 16)
    nearest = Fraction(sixteenths, 16)
    if not nearest or rounded(float(nearest) * 25.4) != rounded(length.mm):
        return _with_unit(length, "in", rounded)
    sign, size = (MINUS if nearest < 0 else ""), abs(nearest)
    whole, part = divmod(size, 1)
    pieces = [str(int(whole))] if whole or not part else []
    if part:
        pieces.append(f"{part.numerator}/{part.denominator}")
    return f"{sign}{'-'.join(pieces)}{NBSP}in"


def _feet_and_inches(length: Length) -> str:
    total = int(_to_decimals(abs(length.mm) / 25.4, 0))
    feet, inches = divmod(total, 12)
    sign = MINUS if length.value < 0 else ""
    tail = f"{NBSP}{inches}{NBSP}in" if inches else ""
    return f"{sign}{feet}{NBSP}ft{tail}"
