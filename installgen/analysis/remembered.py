"""What relays and plungers remember: where the cases before left them."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from installgen.analysis.cases import DcCase
from installgen.spec.vessel import Vessel


def remembered(
    vessel: Vessel, case: DcCase, ended: Mapping[str, Collection[str]]
) -> frozenset[str]:
    """The actuators that are lifted as a case begins.

    ended: what each case before left lifted, by case

    An engine's own devices come from that engine's own case where it has one; those of no engine
    are lifted where any of the cases before left them so.
    """
    owners = {
        device_id: engine.name if engine is not None else getattr(device, "engine", None)
        for device_id, device, engine in vessel.devices()
    }
    own = dict(case.own)

    def owner(actuator: str) -> str | None:
        return owners.get(actuator.partition(":")[0])

    lifted = {name for name in ended.get(case.after or "", ()) if owner(name) not in own}
    for engine, before in own.items():
        lifted |= {name for name in ended.get(before, ()) if owner(name) in (None, engine)}
    return frozenset(lifted)


def leading_to(wanted: Collection[str], every: Sequence[DcCase]) -> set[str]:
    """Some cases and all that go before them, by their ids."""
    needed = set(wanted)
    for case in reversed(every):
        if case.id in needed:
            needed |= {case.after or case.id, *(before for _, before in case.own)}
    return needed
