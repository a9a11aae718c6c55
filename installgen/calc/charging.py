"""The load table, the alternator's surplus and the hours a bank lasts."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from installgen.errors import OutOfRange


@dataclass(frozen=True)
class LoadEntry:
    """One consumer in the load table.

    name: as the table prints it
    current_a: while it is switched on, by case; a case that is not named draws nothing [A]
    duty_ratio: share of the time it is on, 0 to 1
    essential: must work on the bank alone
    """

    name: str
    current_a: Mapping[str, float]
    duty_ratio: float = 1.0
    essential: bool = False

    def __post_init__(self) -> None:
        if not 0 <= self.duty_ratio <= 1:
            raise OutOfRange(f"the duty of {self.name}", f"{self.duty_ratio:g}", "0 to 1")
        for case, current in self.current_a.items():
            if not (math.isfinite(current) and current >= 0):
                raise OutOfRange(
                    f"the current of {self.name} in {case}", f"{current:g} A", "0 A and more"
                )


@dataclass(frozen=True)
class LoadSum:
    """Loads of one case.

    peak_a: everything on at once [A]; mean_a: with each one's duty [A];
    essential_mean_a: of the essential ones alone [A]
    """

    case: str
    peak_a: float
    mean_a: float
    essential_mean_a: float


def load_sum(loads: Iterable[LoadEntry], case: str) -> LoadSum:
    """Sum of the load table for one case.

    mean = Σ current · duty

    case: as the loads name it
    Returns the sums [A].
    Source: common practice (electrical load analysis).
    """
    entries = tuple(loads)
    means = [(load, load.current_a.get(case, 0.0) * load.duty_ratio) for load in entries]
    return LoadSum(
        case,
        math.fsum(load.current_a.get(case, 0.0) for load in entries),
        math.fsum(mean for _, mean in means),
        math.fsum(mean for load, mean in means if load.essential),
    )


def surplus_a(alternator_output_a: float, load_a: float) -> float:
    """What an alternator has left for the bank.

    surplus = output − load

    alternator_output_a: at this speed and temperature [A]; load_a: mean load of the case [A]
    Returns the surplus; negative when the bank is drained with the engine running [A].
    Source: current balance.
    """
    return alternator_output_a - load_a


class EnduranceMethod(StrEnum):
    """How a bank's hours were found."""

    PEUKERT = "Peukert's law with the maker's exponent"
    LINEAR = "capacity over current: too long for currents above the rated one"


@dataclass(frozen=True)
class BankEndurance:
    """Hours a bank carries a load, and by which method."""

    hours: float
    method: EnduranceMethod


def bank_endurance(
    load_a: float,
    capacity_ah: float,
    rated_hours: float,
    usable_ratio: float,
    peukert_exponent: float | None = None,
) -> BankEndurance:
    """Hours a bank carries a steady load, the engine stopped.

    t = usable · H · (C / (I · H))^p with Peukert's exponent p; without it p = 1, t = usable · C / I

    load_a: steady current [A]
    capacity_ah: C, at the rated time and when new [Ah]
    rated_hours: H, over which the capacity is stated, commonly 20 [h]
    usable_ratio: share of the capacity that may be taken, by the yard's standard
    peukert_exponent: from the battery maker, 1 to 1.5
    Returns the hours [h], infinite without a load, and the method. Raises OutOfRange.
    Source: Peukert's law.
    """
    if not (capacity_ah > 0 and rated_hours > 0):
        raise OutOfRange(
            "the capacity and its time", f"{capacity_ah:g} Ah, {rated_hours:g} h", "more than 0"
        )
    if not 0 < usable_ratio <= 1:
        raise OutOfRange("the usable share of the capacity", f"{usable_ratio:g}", "above 0 to 1")
    if load_a < 0:
        raise OutOfRange("the load on the bank", f"{load_a:g} A", "0 A and more")
    if peukert_exponent is not None and not 1 <= peukert_exponent <= 1.5:
        raise OutOfRange("Peukert's exponent", f"{peukert_exponent:g}", "1 to 1.5")
    method = EnduranceMethod.LINEAR if peukert_exponent is None else EnduranceMethod.PEUKERT
    if load_a == 0:
        return BankEndurance(math.inf, method)
    full_hours = rated_hours * (capacity_ah / (load_a * rated_hours)) ** (peukert_exponent or 1.0)
    return BankEndurance(usable_ratio * full_hours, method)


def recharge_hours(
    taken_ah: float, charging_a: float, accepted_a: float, charge_ratio: float
) -> float:
    """Least time to put back what was taken: the last fifth of a lead-acid bank takes longer.

    t = taken · ratio / min(surplus, acceptance)

    taken_ah: [Ah]
    charging_a: what the alternator has left [A]; accepted_a: what the bank takes [A]
    charge_ratio: charge put in over charge taken out, by the battery's maker; 1 and more
    Returns the hours [h]; infinite when nothing is left to charge with. Raises OutOfRange.
    Source: charge balance; common practice.
    """
    if taken_ah < 0 or charge_ratio < 1:
        raise OutOfRange(
            "the charge", f"{taken_ah:g} Ah, ratio {charge_ratio:g}", "0 Ah and more, 1 and more"
        )
    if taken_ah == 0:
        return 0.0
    current_a = min(charging_a, accepted_a)
    return math.inf if current_a <= 0 else taken_ah * charge_ratio / current_a
