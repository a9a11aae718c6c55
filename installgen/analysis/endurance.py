"""Hours the banks carry the essential loads with no engine running."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from installgen.analysis.dc_cases import solved_id
from installgen.analysis.dc_joined import joined_groups
from installgen.analysis.dc_model import DcModel
from installgen.analysis.dc_solved import SolvedCase
from installgen.analysis.results import Book, MissingInput, Working
from installgen.calc.charging import bank_endurance
from installgen.spec.electrical import Battery, Load
from installgen.units import Current, Fraction, Time

USABLE_RATIO = 0.5
"""Share of a lead-acid bank that is drawn (common practice)."""

RATED_HOURS = 20.0


def essential_loads(model: DcModel) -> dict[str, Load]:
    """The loads that must go on with no engine running, by their ids."""
    return {
        device_id: device
        for device_id, device, _ in model.vessel.devices()
        if isinstance(device, Load) and device.essential == "yes"
    }


def engines_stopped(solved: Sequence[SolvedCase]) -> SolvedCase | None:
    """The case that says which bank carries what once the engines have stopped.

    The one with a key on, as it is left when an engine stops by itself; else the one with all off.
    """
    still = [found for found in solved if set(found.case.all_states) <= {"off", "ignition-on"}]
    keyed = [found for found in still if "ignition-on" in found.case.all_states]
    return next(iter((*keyed, *still)), None)


def carrying_banks(
    model: DcModel, solved: Sequence[SolvedCase], loads: Collection[str]
) -> dict[str, tuple[str, ...]]:
    """The banks that carry some loads with no engine running, each with those it is joined to.

    Where a house bank is joined to a load, the start banks beside it do not count. Raises
    MissingInput where nothing joins a load to a bank, or no such case is solved.
    """
    found = engines_stopped(solved)
    if found is None:
        raise MissingInput("there is no case with the engines stopped")
    if found.settled is None:
        raise MissingInput(found.reason, found.missing)
    devices = {name: device for name, device, _ in model.vessel.devices()}
    house = {
        name
        for name, device in devices.items()
        if isinstance(device, Battery) and device.purpose in ("house", "both")
    }
    carried: dict[str, tuple[str, ...]] = {}
    left = set(loads)
    for joined in joined_groups(model, found):
        here = tuple(name for name in joined.loads if name in left)
        banks = [name for name in joined.banks if name in house] or joined.banks
        if here and banks:
            left -= set(here)
            carried |= dict.fromkeys(banks, here)
    if left:
        apart = ", ".join(devices[name].title for name in sorted(left))
        raise MissingInput(f"nothing joins a battery to: {apart} ({found.case.name})")
    return carried


def analyse_endurance(book: Book, model: DcModel, solved: Sequence[SolvedCase]) -> None:
    """Enter the essential loads, and the hours that the banks joined to them carry them."""
    essential = essential_loads(model)
    if not essential:
        return
    with book.working(
        "dc.essential-load",
        "Essential loads, mean",
        "dc-power",
        formula="sum of current · share of the time it is on",
        source="load table",
        subject="loads",
    ) as w:
        w.value = Current(sum(_mean_a(w, model, device) for device in essential.values()))
    with book.working(
        "dc.hours-on-bank",
        "Hours the bank carries the essential loads",
        "dc-power",
        formula="t = capacity · share drawn / mean current; of banks that nothing joins, the least",
        source="common practice: half of a lead-acid bank is drawn",
        subject="loads",
    ) as w:
        w.result("dc.essential-load")
        carried = carrying_banks(model, solved, essential)
        found = engines_stopped(solved)
        assert found is not None
        w.result(solved_id(found.case), "the case: what it joins")
        w.method("share drawn", Fraction(USABLE_RATIO), "common practice")
        w.value = Time(min(_hours(w, model, essential, carried)) * 3600.0)
        w.note("A straight line: at heavy currents a bank gives less.")
        banks = [d for n, d, _ in model.vessel.devices() if n in carried and isinstance(d, Battery)]
        if all(bank.purpose == "starting" for bank in banks):
            w.note("She has no house bank: these hours come out of the start bank.")


def _hours(
    w: Working,
    model: DcModel,
    essential: Mapping[str, Load],
    carried: Mapping[str, tuple[str, ...]],
) -> list[float]:
    """Hours of each set of banks that carries loads together."""
    devices = {name: device for name, device, _ in model.vessel.devices()}
    hours = []
    for loads in dict.fromkeys(carried.values()):
        banks = [device for name, device in devices.items() if carried.get(name) == loads]
        ah = sum(w.spec(bank, "capacity", f"capacity of {bank.title}").ah for bank in banks)
        amps = sum(_mean_a(w, model, essential[name]) for name in loads)
        hours.append(bank_endurance(amps, ah, RATED_HOURS, USABLE_RATIO).hours)
    return hours


def _mean_a(w: Working, model: DcModel, device: Load) -> float:
    """Mean current of a load at the nominal voltage [A]."""
    duty = w.optional(device, "duty", f"duty of {device.title}")
    share = 1.0 if duty is None else duty.ratio
    if device.current is not None:
        amps = w.spec(device, "current", f"current of {device.title}").a
    else:
        nominal = w.spec(model.vessel.spec.electrical, "system", "nominal voltage").v
        if device.power is not None:
            amps = w.spec(device, "power", f"power of {device.title}").w / nominal
        else:
            amps = nominal / w.spec(device, "resistance", f"resistance of {device.title}").ohm
    return float(amps * share)
