"""Relays and plungers step by step, on a starting and stopping circuit of common practice.

The stop solenoid (energised to run) lifts with about 10 A from the start relay and holds with
about 1 A from the ignition. All figures are test values.
"""

from dataclasses import dataclass

import pytest

from installgen.calc.actuators import (
    Actuator,
    common_plunger_solenoid,
    relay,
    separate_windings_solenoid,
)
from installgen.calc.dc_elements import (
    BadNetwork,
    Coil,
    Contact,
    Element,
    Resistor,
    Source,
    Winding,
)
from installgen.calc.dc_network import Network, Variation
from installgen.calc.relay_logic import (
    AT_REST,
    LogicState,
    Move,
    Start,
    chatter_onset_ohm,
    closed_contacts,
    settle,
    settle_many,
    stable_states,
)
from installgen.errors import OutOfRange

IGNITION = frozenset({"key ignition"})
CRANK = frozenset({"key ignition", "key start"})

PULL_IN = Winding("pull-in winding", "starter S", "starter M", 0.25)
HOLD_IN = Winding("hold-in winding", "starter S", "block", 1.2)
LIFTING = Winding("lifting winding", "stop lift", "stop common", 1.2)
HOLDING = Winding("holding winding", "stop hold", "stop common", 12.0)
START_COIL = Coil("start relay coil", "key start out", "block", 80.0, 8.0, 3.0)


def starting_circuit(motor_ohm: float = 0.02) -> Network:
    elements: tuple[Element, ...] = (
        Source("bank", "bank+", "bank-", 12.6, 0.008),
        Resistor("starter cable", "bank+", "starter B", 0.001),
        Resistor("negative cable", "block", "bank-", 0.001),
        Resistor("motor", "starter M", "block", motor_ohm),
        Contact("solenoid contact", "starter B", "starter M", 0.0005),
        PULL_IN,
        HOLD_IN,
        Resistor("ignition fuse", "starter B", "key battery", 0.02),
        Contact("key ignition", "key battery", "key ignition out", 0.01),
        Contact("key start", "key battery", "key start out", 0.01),
        START_COIL,
        Contact("start relay contact", "starter B", "start relay out", 0.005),
        Resistor("start lead", "start relay out", "starter S", 0.01),
        Resistor("lift lead", "start relay out", "stop lift", 0.05),
        Resistor("ignition lead", "key ignition out", "stop hold", 0.05),
        LIFTING,
        HOLDING,
        Resistor("stop common lead", "stop common", "block", 0.02),
    )
    actuators = (
        relay(
            "start relay",
            START_COIL,
            closes=["start relay contact"],
            operate_s=0.01,
            release_s=0.008,
        ),
        common_plunger_solenoid(
            "starter solenoid",
            {"pull-in winding": 100.0, "hold-in winding": 100.0},
            lifts_at_ampere_turns=2400.0,
            holds_at_ampere_turns=500.0,
            closes=["solenoid contact"],
            operate_s=0.04,
            release_s=0.03,
        ),
        separate_windings_solenoid(
            "stop solenoid",
            lifts_at_v={LIFTING: 6.0},
            holds_at_v={LIFTING: 2.0, HOLDING: 4.0},
            operate_s=0.05,
            release_s=0.05,
        ),
    )
    return Network(elements, "bank-", actuators)


def broken(*names: str) -> Variation:
    return Variation(broken=frozenset(names))


def test_cranking_lifts_the_stop_solenoid_and_running_holds_it() -> None:
    network = starting_circuit()
    ignition = settle(network, IGNITION)
    assert ignition.state == AT_REST
    assert ignition.moves == ()
    # A holding winding alone cannot lift: 12.6 V over 12 ohm and little else.
    assert ignition.point.current_a["holding winding"] == pytest.approx(1.04, abs=0.01)

    cranking = settle(network, CRANK, ignition.state)
    assert [move.actuator for move in cranking.moves] == [
        "start relay",
        "starter solenoid",
        "stop solenoid",
    ]
    assert [move.at_s for move in cranking.moves] == pytest.approx([0.01, 0.05, 0.06])
    assert cranking.point.current_a["lifting winding"] == pytest.approx(7.0, abs=0.5)
    # Contacts closed: both ends of the pull-in winding are at battery voltage.
    assert cranking.point.across_v("pull-in winding") == pytest.approx(0.0, abs=0.3)

    running = settle(network, IGNITION, cranking.state)
    assert running.state.operated == {"stop solenoid"}
    assert running.point.current_a["holding winding"] == pytest.approx(1.04, abs=0.01)
    off = settle(network, [], running.state)
    assert off.state == AT_REST


def test_with_a_broken_ignition_lead_it_lifts_and_drops_when_the_key_returns() -> None:
    network = starting_circuit()
    cranking = settle(network, CRANK, variation=broken("ignition lead"))
    assert "stop solenoid" in cranking.state.operated
    running = settle(network, IGNITION, cranking.state, broken("ignition lead"))
    assert running.state.operated == frozenset()
    # The motor terminal feeds S, and so the lift lead, until the starter's contacts open.
    last = running.moves[-1]
    assert (last.actuator, last.operated) == ("stop solenoid", False)
    assert last.at_s == pytest.approx(0.008 + 0.030 + 0.050)


def test_when_the_key_is_released_the_two_windings_of_a_starter_cancel() -> None:
    """Fed backwards over the closed contacts they carry one current in opposite senses.

    With equal turns nothing is left to hold, whatever the voltage.
    """
    network = starting_circuit()
    no_lift = broken("lift lead")
    cranking = settle(network, CRANK, variation=no_lift)
    released = settle(network, IGNITION, cranking.state, no_lift)
    assert released.state.operated == frozenset()
    closed = closed_contacts(network, IGNITION, frozenset({"starter solenoid"}))
    states = settle_many(network, [Start(IGNITION, LogicState(frozenset({"starter solenoid"})))])
    assert "solenoid contact" in closed
    assert [move.actuator for move in states[0].moves] == ["starter solenoid"]  # type: ignore[union-attr]


def test_a_broken_common_negative_feeds_the_starter_through_the_stop_solenoid() -> None:
    """The holding current goes on through lifting winding and lift lead into the starter.

    From bank+: 0.008 + 0.001 + 0.02 + 0.01 + 0.05 + 12 + 1.2 + 0.05 + 0.01 ohm, then the starter's
    windings: 1.2 || (0.25 + 0.02), and 0.001 ohm back.
    """
    network = starting_circuit()
    point = settle(network, IGNITION, variation=broken("stop common lead")).point
    windings_ohm = 1.2 * 0.27 / (1.2 + 0.27)
    sneak_a = 12.6 / (
        0.008 + 0.001 + 0.02 + 0.01 + 0.05 + 13.2 + 0.05 + 0.01 + windings_ohm + 0.001
    )
    assert point.current_a["start lead"] == pytest.approx(sneak_a, rel=1e-9)
    assert point.current_a["lifting winding"] == pytest.approx(-sneak_a, rel=1e-9)
    # Cranking, both leads of the solenoid stand near battery voltage and nothing lifts it.
    cranking = settle(network, CRANK, variation=broken("stop common lead"))
    assert "stop solenoid" not in cranking.state.operated
    assert cranking.point.voltage_v["stop common"] == pytest.approx(
        cranking.point.voltage_v["stop lift"], abs=0.3
    )


def test_a_hot_lifting_winding_needs_more_voltage() -> None:
    """It lifts at 5 A (6 V over 1.2 ohm); 2.4 ohm let through less while cranking."""
    hot = Variation(resistance_ohm={"lifting winding": 2.4})
    cranking = settle(starting_circuit(), CRANK, variation=hot)
    assert "stop solenoid" not in cranking.state.operated


@dataclass(frozen=True)
class Clicking:
    """One coil from the battery's posts, and a motor that pulls them down.

    Pull-in is fine at 8 V; closed, the motor and coil are 0.021 || 12 ohm at the posts. They fall
    below the 5 V of drop-out where 12 V * Rp / (Rp + r) < 5 V, r > Rp * 1.4.
    """

    motor_ohm: float = 0.02
    contact_ohm: float = 0.001
    coil_ohm: float = 12.0

    @property
    def onset_ohm(self) -> float:
        branch_ohm = self.motor_ohm + self.contact_ohm
        return 1.4 * branch_ohm * self.coil_ohm / (branch_ohm + self.coil_ohm)

    def network(self) -> Network:
        coil = Coil("solenoid coil", "S", "-", self.coil_ohm, 8.0, 5.0)
        return Network(
            (
                Source("bank", "+", "-", 12.0, 0.01),
                Contact("key", "+", "S", 1e-6),
                coil,
                Contact("solenoid contact", "+", "M", self.contact_ohm),
                Resistor("motor", "M", "-", self.motor_ohm),
            ),
            "-",
            (
                relay(
                    "solenoid",
                    coil,
                    closes=["solenoid contact"],
                    operate_s=0.04,
                    release_s=0.025,
                ),
            ),
        )


def test_a_strong_battery_cranks_and_a_weak_one_clicks() -> None:
    network = Clicking().network()
    strong = settle(network, ["key"])
    assert strong.state.operated == {"solenoid"}
    assert strong.chatter == ()
    weak = settle(network, ["key"], variation=Variation(resistance_ohm={"bank": 0.04}))
    assert weak.chatter == ("solenoid",)
    assert weak.chatter_period_s == pytest.approx(0.065)
    assert weak.moves[0] == Move(0.04, "solenoid", operated=True)


def test_the_battery_resistance_at_which_the_clicking_begins() -> None:
    clicking = Clicking()
    onset_ohm = chatter_onset_ohm(
        clicking.network(), "bank", ["key"], lowest_ohm=0.001, highest_ohm=1.0
    )
    assert onset_ohm == pytest.approx(clicking.onset_ohm, rel=2e-6)


def test_no_clicking_in_the_range_and_clicking_from_its_beginning() -> None:
    network = Clicking().network()
    assert chatter_onset_ohm(network, "bank", ["key"], lowest_ohm=1e-4, highest_ohm=0.01) is None
    assert chatter_onset_ohm(network, "bank", ["key"], lowest_ohm=0.05, highest_ohm=0.1) == 0.05
    # From 6 ohm on it does not even pull in: 12 V * 12 / 18 = 8 V.
    assert chatter_onset_ohm(network, "bank", ["key"], lowest_ohm=6.01, highest_ohm=9.0) is None
    with pytest.raises(OutOfRange, match="range of resistance for bank"):
        chatter_onset_ohm(network, "bank", ["key"], lowest_ohm=1.0, highest_ohm=0.1)


def self_holding() -> Network:
    coil = Coil("coil", "coil+", "-", 80.0, 8.0, 3.0)
    return Network(
        (
            Source("bank", "+", "-", 12.0, 0.01),
            Contact("stop button", "+", "fed", 0.01),
            Contact("start button", "fed", "coil+", 0.01),
            Contact("own contact", "fed", "coil+", 0.01),
            coil,
        ),
        "-",
        (relay("holding relay", coil, closes=["own contact"], operate_s=0.01, release_s=0.01),),
    )


def test_a_self_holding_relay_has_two_stable_states_and_remembers() -> None:
    network = self_holding()
    assert stable_states(network, ["stop button"]) == (
        AT_REST,
        LogicState(frozenset({"holding relay"})),
    )
    resting = settle(network, ["stop button"])
    assert resting.state == AT_REST
    assert resting.alternatives == (LogicState(frozenset({"holding relay"})),)
    pressed = settle(network, ["stop button", "start button"], resting.state)
    assert pressed.alternatives == ()
    held = settle(network, ["stop button"], pressed.state)
    assert held.state.operated == {"holding relay"}
    assert held.alternatives == (AT_REST,)
    assert settle(network, [], held.state).state == AT_REST


def buzzer(release_s: float) -> Network:
    coil = Coil("coil", "coil+", "-", 80.0, 8.0, 3.0)
    return Network(
        (
            Source("bank", "+", "-", 12.0, 0.01),
            Contact("button", "+", "fed", 0.01),
            Contact("break contact", "fed", "coil+", 0.01),
            coil,
        ),
        "-",
        (relay("buzzer", coil, opens=["break contact"], operate_s=0.004, release_s=release_s),),
    )


def test_a_relay_that_opens_its_own_coil_chatters_with_the_sum_of_its_times() -> None:
    outcome = settle(buzzer(0.003), ["button"])
    assert outcome.chatter == ("buzzer",)
    assert outcome.chatter_period_s == pytest.approx(0.007)
    assert outcome.alternatives == ()


def test_two_buzzers_without_a_common_period_are_still_chatter() -> None:
    one, other = buzzer(0.003), buzzer(0.0031)
    second = tuple(
        type(element)(**{**vars(element), "id": f"second {element.id}"})
        for element in other.elements
        if isinstance(element, Contact | Coil)
    )
    moved: list[Element] = []
    for element in second:
        nodes = {"coil+": "second coil+", "fed": "second fed"}
        start, end = (nodes.get(node, node) for node in element.ends)
        moved.append(type(element)(**{**vars(element), "start": start, "end": end}))
    actuator = relay(
        "second buzzer",
        next(e for e in moved if isinstance(e, Coil)),
        opens=["second break contact"],
        operate_s=0.004123,
        release_s=0.0031,
    )
    network = Network((*one.elements, *moved), "-", (*one.actuators, actuator))
    outcome = settle(network, ["button", "second button"])
    assert outcome.chatter == ("buzzer", "second buzzer")


def timed_lift() -> Network:
    """A timer cuts the lifting winding off 5 s after it is fed."""
    timer_coil = Coil("timer supply", "fed", "-", 1000.0, 6.0, 3.0)
    lifting = Winding("lifting winding", "lift", "-", 1.2)
    return Network(
        (
            Source("bank", "+", "-", 12.0, 0.01),
            Contact("key", "+", "fed", 0.01),
            timer_coil,
            Contact("timer contact", "fed", "lift", 0.01),
            lifting,
        ),
        "-",
        (
            relay("timer", timer_coil, opens=["timer contact"], operate_s=5.0, release_s=0.01),
            separate_windings_solenoid(
                "solenoid",
                lifts_at_v={lifting: 6.0},
                holds_at_v={lifting: 2.0},
                operate_s=0.05,
                release_s=0.05,
            ),
        ),
    )


def test_a_timer_runs_on_over_the_steps() -> None:
    network = timed_lift()
    early = settle(network, ["key"], until_s=2.0)
    assert early.state.operated == {"solenoid"}
    assert early.state.pending == (("timer", 3.0),)
    later = settle(network, ["key"], early.state, until_s=2.0)
    assert later.state.pending == (("timer", 1.0),)
    at_last = settle(network, ["key"], later.state)
    assert at_last.state.operated == {"timer"}
    assert [move.at_s for move in at_last.moves] == pytest.approx([1.0, 1.05])
    # A timer whose supply goes starts anew.
    off = settle(network, [], early.state)
    assert off.state.pending == ()


def test_a_solenoid_with_an_internal_switch_cuts_its_own_lifting_winding() -> None:
    lifting = Winding("lifting winding", "inside", "-", 1.2)
    holding = Winding("holding winding", "fed", "-", 12.0)
    network = Network(
        (
            Source("bank", "+", "-", 12.0, 0.01),
            Contact("key", "+", "fed", 0.01),
            Contact("internal switch", "fed", "inside", 0.01),
            lifting,
            holding,
        ),
        "-",
        (
            common_plunger_solenoid(
                "solenoid",
                {"lifting winding": 100.0, "holding winding": 600.0},
                lifts_at_ampere_turns=900.0,
                holds_at_ampere_turns=300.0,
                opens=["internal switch"],
                operate_s=0.05,
                release_s=0.05,
            ),
        ),
    )
    outcome = settle(network, ["key"])
    assert outcome.state.operated == {"solenoid"}
    assert outcome.chatter == ()
    assert outcome.point.current_a["lifting winding"] == 0.0
    assert outcome.point.current_a["holding winding"] == pytest.approx(12.0 / 12.02, rel=1e-12)
    # Without its holding winding it hammers.
    hammering = settle(network, ["key"], variation=broken("holding winding"))
    assert hammering.chatter == ("solenoid",)


def test_a_pull_of_nil_latches() -> None:
    coil = Winding("coil", "fed", "-", 10.0)
    latch = separate_windings_solenoid(
        "latch", lifts_at_v={coil: 6.0}, holds_at_v={coil: 0.0}, operate_s=0.02, release_s=0.02
    )
    network = Network(
        (Source("bank", "+", "-", 12.0, 0.01), Contact("key", "+", "fed", 0.01), coil),
        "-",
        (latch,),
    )
    lifted = settle(network, ["key"])
    assert settle(network, [], lifted.state).state.operated == {"latch"}


def test_many_starts_settle_as_each_alone() -> None:
    network = starting_circuit()
    variations = [Variation(), broken("start lead"), broken("key start"), broken("bank")]
    outcomes = settle_many(network, [Start(CRANK, variation=v) for v in variations])
    for variation, outcome in zip(variations, outcomes, strict=True):
        alone = settle(network, CRANK, variation=variation)
        assert not isinstance(outcome, Exception)
        assert outcome.state == alone.state
        assert outcome.moves == alone.moves
    assert [len(o.state.operated) for o in outcomes if not isinstance(o, Exception)] == [3, 2, 0, 0]


def test_welded_and_stuck_contacts() -> None:
    network = starting_circuit()
    welded = Variation(welded=frozenset({"solenoid contact"}))
    outcome = settle(network, [], variation=welded)
    assert outcome.point.current_a["motor"] == pytest.approx(
        12.6 / (0.008 + 0.001 + 0.0005 + 0.02 + 0.001), rel=0.02
    )
    never = settle(network, CRANK, variation=broken("start relay contact"))
    assert never.state.operated == {"start relay"}


def test_what_cannot_be_started() -> None:
    network = starting_circuit()
    with pytest.raises(BadNetwork, match="solenoid contact is moved by a relay"):
        settle(network, ["solenoid contact"])
    with pytest.raises(BadNetwork, match="no actuator blower"):
        settle(network, [], LogicState(frozenset({"blower"})))
    with pytest.raises(BadNetwork, match="no contact kill switch"):
        settle(network, ["kill switch"])


def test_what_cannot_be_an_actuator() -> None:
    coil = Coil("coil", "+", "-", 80.0, 8.0, 3.0)
    elements = (Source("bank", "+", "-", 12.0, 0.01), coil, Contact("k", "+", "x", 0.01))

    def moving(**contacts: tuple[str, ...]) -> Actuator:
        return relay("relay", coil, **contacts, operate_s=0.01, release_s=0.01)

    with pytest.raises(BadNetwork, match="relay moves bank, which is no contact"):
        Network(elements, "-", (moving(closes=("bank",)),))
    with pytest.raises(BadNetwork, match="both closes and opens"):
        moving(closes=("k",), opens=("k",))
    other = relay("other", coil, closes=["k"], operate_s=0.01, release_s=0.01)
    with pytest.raises(BadNetwork, match="two actuators move the contact k"):
        Network(elements, "-", (moving(closes=("k",)), other))
    with pytest.raises(BadNetwork, match="a winding coil that is no element"):
        Network(elements[::2], "-", (moving(closes=("k",)),))
    with pytest.raises(OutOfRange, match="operate_s of relay is 0"):
        relay("relay", coil, operate_s=0.0, release_s=0.01)
