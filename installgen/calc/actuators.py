"""What a coil or a plunger moves, and when: the relays and solenoids of a network.

All of them work by current: a winding pulls with its turns times its current, so a hot winding
needs more voltage and a broken one does nothing, without any special case.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from installgen.calc.dc_elements import BadNetwork, Coil, Winding
from installgen.errors import OutOfRange


@dataclass(frozen=True)
class Pull:
    """A pull that suffices by itself.

    |sum(turns * current)| >= least

    turns: of each winding that takes part, by its id; the sign is its sense [-]
    least_ampere_turns: that moves or holds the plunger [A]
    """

    turns: tuple[tuple[str, float], ...]
    least_ampere_turns: float

    def __post_init__(self) -> None:
        if not self.turns:
            raise BadNetwork("a pull needs at least one winding")
        if not self.least_ampere_turns >= 0.0:
            raise OutOfRange(
                f"least_ampere_turns of {self.turns[0][0]}",
                f"{self.least_ampere_turns:g}",
                "at least 0",
            )


@dataclass(frozen=True)
class Actuator:
    """Armature or plunger with two positions, released and operated, and the contacts it moves.

    lift: any of these pulls moves it from released to operated
    hold: without all of these it falls back; a pull of 0 latches it
    closes: contacts that are closed while it is operated
    opens: contacts that are closed while it is released
    operate_s: from a sufficient pull to the move; a timer's delay [s]
    release_s: from the loss of the pull to the move [s]
    """

    id: str
    lift: tuple[Pull, ...]
    hold: tuple[Pull, ...]
    closes: tuple[str, ...]
    opens: tuple[str, ...]
    operate_s: float
    release_s: float

    def __post_init__(self) -> None:
        for name, value in (("operate_s", self.operate_s), ("release_s", self.release_s)):
            if not 0.0 < value < float("inf"):
                raise OutOfRange(f"{name} of {self.id}", f"{value:g}", "above 0")
        if set(self.closes) & set(self.opens):
            raise BadNetwork(f"{self.id} both closes and opens {self.closes} {self.opens}")

    @property
    def windings(self) -> tuple[str, ...]:
        """Every winding it feels, in order."""
        pulls = (*self.lift, *self.hold)
        return tuple(dict.fromkeys(name for pull in pulls for name, _ in pull.turns))


def relay(
    id: str,
    coil: Coil,
    *,
    closes: Sequence[str] = (),
    opens: Sequence[str] = (),
    operate_s: float,
    release_s: float,
) -> Actuator:
    """A relay, contactor or timer with one coil.

    coil: with its pull-in and drop-out voltage
    closes: normally open contacts
    opens: normally closed contacts
    operate_s: from pull-in to the contacts; a timer's delay [s]
    release_s: from drop-out to the contacts [s]
    Returns the actuator.
    """
    return Actuator(
        id,
        lift=(_by_voltage(coil, coil.pull_in_v),),
        hold=(_by_voltage(coil, coil.drop_out_v),),
        closes=tuple(closes),
        opens=tuple(opens),
        operate_s=operate_s,
        release_s=release_s,
    )


def separate_windings_solenoid(
    id: str,
    *,
    lifts_at_v: Mapping[Winding, float],
    holds_at_v: Mapping[Winding, float],
    closes: Sequence[str] = (),
    opens: Sequence[str] = (),
    operate_s: float,
    release_s: float,
) -> Actuator:
    """A solenoid whose windings are each judged alone, by the voltage on them.

    A winding that is only in `holds_at_v` keeps a lifted plunger and never lifts a dropped one.

    lifts_at_v: least voltage of each winding that lifts alone, at the winding's resistance [V]
    holds_at_v: least voltage of each winding that holds alone, at the winding's resistance [V]
    closes, opens: contacts, as of `Actuator`
    operate_s: time to lift [s]
    release_s: time to drop [s]
    Returns the actuator.
    """
    return Actuator(
        id,
        lift=tuple(_by_voltage(winding, volts) for winding, volts in lifts_at_v.items()),
        hold=tuple(_by_voltage(winding, volts) for winding, volts in holds_at_v.items()),
        closes=tuple(closes),
        opens=tuple(opens),
        operate_s=operate_s,
        release_s=release_s,
    )


def common_plunger_solenoid(
    id: str,
    turns: Mapping[str, float],
    *,
    lifts_at_ampere_turns: float,
    holds_at_ampere_turns: float,
    closes: Sequence[str] = (),
    opens: Sequence[str] = (),
    operate_s: float,
    release_s: float,
) -> Actuator:
    """A solenoid whose windings pull together on one plunger, such as a starter's.

    turns: of each winding by id; windings that help each other have the same sign [-]
    lifts_at_ampere_turns: least sum that lifts [A]
    holds_at_ampere_turns: least sum that keeps it lifted [A]
    closes, opens: contacts, as of `Actuator`
    operate_s: time to lift [s]
    release_s: time to drop [s]
    Returns the actuator.
    """
    pairs = tuple(turns.items())
    return Actuator(
        id,
        lift=(Pull(pairs, lifts_at_ampere_turns),),
        hold=(Pull(pairs, holds_at_ampere_turns),),
        closes=tuple(closes),
        opens=tuple(opens),
        operate_s=operate_s,
        release_s=release_s,
    )


def _by_voltage(winding: Coil | Winding, voltage_v: float) -> Pull:
    return Pull(((winding.id, 1.0),), voltage_v / winding.resistance_ohm)
