"""Effectiveness, part load and the thermostat."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installgen.calc.exchanger import (
    Arrangement,
    coolant_temperature,
    effectiveness_ratio,
    exchange,
    part_load_ua_w_per_k,
    transfer_units,
    ua_from_design_w_per_k,
)
from installgen.errors import OutOfRange

ARRANGEMENTS = st.sampled_from(Arrangement)
RATIOS = st.floats(0.0, 1.0)


@given(st.floats(0.0, 50.0), RATIOS, ARRANGEMENTS)
def test_effectiveness_is_a_share_and_counter_flow_is_best(
    ntu: float, ratio: float, arrangement: Arrangement
) -> None:
    share = effectiveness_ratio(ntu, ratio, arrangement)
    assert 0.0 <= share <= 1.0
    # The formula for cross flow is an approximation, good to 1 %.
    assert share <= effectiveness_ratio(ntu, ratio, Arrangement.COUNTER) + 0.01


@given(st.floats(0.01, 4.0), RATIOS, ARRANGEMENTS)
def test_transfer_units_is_the_inverse(ntu: float, ratio: float, arrangement: Arrangement) -> None:
    share = effectiveness_ratio(ntu, ratio, arrangement)
    back = transfer_units(share, ratio, arrangement)
    assert effectiveness_ratio(back, ratio, arrangement) == pytest.approx(share, rel=1e-9)
    assert back == pytest.approx(ntu, rel=1e-4)


@given(
    st.floats(10.0, 50e3), st.floats(60.0, 120.0), st.floats(0.0, 40.0), st.floats(500.0, 50e3),
    st.floats(500.0, 50e3), ARRANGEMENTS,
)  # fmt: skip
def test_exchange_keeps_energy_and_order(
    ua: float, hot_c: float, cold_c: float, hot: float, cold: float, arrangement: Arrangement
) -> None:
    result = exchange(ua, hot_c, cold_c, hot, cold, arrangement)
    assert hot * (hot_c - result.hot_outlet_c) == pytest.approx(result.duty_w, rel=1e-6)
    assert cold * (result.cold_outlet_c - cold_c) == pytest.approx(result.duty_w, rel=1e-6)
    assert cold_c - 1e-9 <= result.hot_outlet_c <= hot_c
    assert cold_c <= result.cold_outlet_c <= hot_c + 1e-9


def test_design_point_gives_back_its_duty() -> None:
    ua = ua_from_design_w_per_k(150e3, 88.0, 30.0, 12e3, 20e3, Arrangement.SHELL_AND_TUBE)
    result = exchange(ua, 88.0, 30.0, 12e3, 20e3, Arrangement.SHELL_AND_TUBE)
    assert result.duty_w == pytest.approx(150e3)


def test_a_duty_that_no_exchanger_does() -> None:
    # 12 kW/K over 58 K is 696 kW at the very most.
    with pytest.raises(OutOfRange, match="effectiveness"):
        ua_from_design_w_per_k(700e3, 88.0, 30.0, 12e3, 20e3, Arrangement.COUNTER)
    with pytest.raises(OutOfRange, match="effectiveness"):
        ua_from_design_w_per_k(600e3, 88.0, 30.0, 12e3, 20e3, Arrangement.PARALLEL)


def test_part_load() -> None:
    assert part_load_ua_w_per_k(900.0, 1.0, 1.0, 0.4, 0.5, 0.8) == pytest.approx(900.0)
    less = part_load_ua_w_per_k(900.0, 0.5, 0.5, 0.4, 0.5, 0.8)
    assert less < 900.0
    assert part_load_ua_w_per_k(900.0, 0.5, 0.5, 0.4, 0.5, 0.8, 1e-4) < less
    # 1/900 + 1e-3 K/W make 1/473.7.
    assert part_load_ua_w_per_k(900.0, 1.0, 1.0, 0.4, 0.5, 0.8, 1e-3) == pytest.approx(
        473.7, abs=0.1
    )


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((900.0, 0.0, 1.0, 0.4, 0.5, 0.8), "hot flow"),
        ((900.0, 1.0, -1.0, 0.4, 0.5, 0.8), "cold flow"),
        ((900.0, 1.0, 1.0, 0.6, 0.5, 0.8), "shares"),
        ((900.0, 1.0, 1.0, -0.1, 0.5, 0.8), "shares"),
        ((900.0, 1.0, 1.0, 0.4, 0.5, 0.8, -1.0), "fouling"),
    ],
)
def test_part_load_refuses(arguments: tuple[float, ...], message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        part_load_ua_w_per_k(*arguments)


def test_thermostat_holds_at_part_load() -> None:
    state = coolant_temperature(60e3, 20.0, 9e3, 20e3, 8e3, Arrangement.SHELL_AND_TUBE, 71.0, 82.0)
    assert state.held
    assert (state.lowest_c, state.highest_c) == (71.0, 82.0)
    assert state.wide_open_c < 71.0


def test_thermostat_is_beaten_by_hot_sea_and_a_fouled_exchanger() -> None:
    state = coolant_temperature(300e3, 34.0, 9e3, 20e3, 8e3, Arrangement.SHELL_AND_TUBE, 71.0, 82.0)
    assert not state.held
    assert state.lowest_c == state.highest_c == state.wide_open_c > 82.0
    # What the exchanger passes at that temperature is the duty.
    passed = exchange(8e3, state.wide_open_c, 34.0, 9e3, 20e3, Arrangement.SHELL_AND_TUBE)
    assert passed.duty_w == pytest.approx(300e3)
    fouled = coolant_temperature(
        300e3, 34.0, 9e3, 20e3, 6e3, Arrangement.SHELL_AND_TUBE, 71.0, 82.0
    )
    assert fouled.lowest_c > state.lowest_c


@given(st.floats(0.0, 400e3), st.floats(0.0, 36.0))
def test_thermostat_never_says_colder_for_more_heat(duty_w: float, raw_c: float) -> None:
    now, more = (
        coolant_temperature(d, raw_c, 9e3, 20e3, 8e3, Arrangement.COUNTER, 71.0, 82.0)
        for d in (duty_w, duty_w + 1e3)
    )
    assert more.lowest_c >= now.lowest_c
    assert more.highest_c >= now.highest_c


def test_refuses() -> None:
    with pytest.raises(OutOfRange, match="capacity rates"):
        effectiveness_ratio(1.0, 1.5, Arrangement.COUNTER)
    with pytest.raises(OutOfRange, match="transfer units"):
        effectiveness_ratio(-1.0, 0.5, Arrangement.COUNTER)
    with pytest.raises(OutOfRange, match="cold capacity"):
        exchange(1e3, 80.0, 20.0, 1e3, 0.0, Arrangement.COUNTER)
    with pytest.raises(OutOfRange, match="inlet"):
        ua_from_design_w_per_k(1e3, 20.0, 20.0, 1e3, 1e3, Arrangement.COUNTER)
    with pytest.raises(OutOfRange, match="thermostat"):
        coolant_temperature(1e3, 20.0, 1e3, 1e3, 1e3, Arrangement.COUNTER, 82.0, 82.0)
    with pytest.raises(OutOfRange, match="conductance"):
        coolant_temperature(1e3, 20.0, 1e3, 1e3, 0.0, Arrangement.COUNTER, 71.0, 82.0)
