"""The running account against the closed formula, however the time is cut."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from known_cylinders import KEPT

from coach.core.errors import InputError
from coach.core.units import Flow, Pressure
from coach.trade.account import OxygenAccount
from coach.trade.oxygen import Supply

D = Supply(0.16, KEPT)
flows = st.floats(0.1, 25)
seconds = st.floats(0, 7200)


@given(st.floats(0, 2400), flows, seconds)
def test_at_one_flow_it_is_the_closed_formula(psi: float, flow: float, at_s: float) -> None:
    account = OxygenAccount(D).with_pressure(0, Pressure(psi)).with_flow(0, Flow(flow))
    left = account.minutes_at(at_s)
    assert left is not None
    expected = max(0.0, (psi - 200) * 0.16 / flow - at_s / 60)
    assert left.minutes == pytest.approx(expected, abs=1e-6)


@given(st.floats(0, 2400), flows, st.lists(seconds, max_size=8), seconds)
def test_cutting_the_time_changes_nothing(
    psi: float, flow: float, cuts: list[float], end_s: float
) -> None:
    account = OxygenAccount(D).with_pressure(0, Pressure(psi)).with_flow(0, Flow(flow))
    cut = account
    for at_s in sorted(moment for moment in cuts if moment <= end_s):
        cut = cut.with_flow(at_s, Flow(flow))
    whole_pressure, cut_pressure = account.pressure_at(end_s), cut.pressure_at(end_s)
    assert whole_pressure is not None
    assert cut_pressure is not None
    assert cut_pressure.psi == pytest.approx(whole_pressure.psi, abs=1e-6)


@given(st.lists(st.tuples(st.floats(0, 600), st.floats(0, 25)), max_size=6))
def test_each_flow_uses_its_own_share(parts: list[tuple[float, float]]) -> None:
    account = OxygenAccount(Supply(1.56, KEPT)).with_pressure(0, Pressure(2200))
    now, used = 0.0, 0.0
    for lasting_s, flow in parts:
        account = account.with_flow(now, Flow(flow))
        now += lasting_s
        used += flow * lasting_s / 60
    pressure = account.pressure_at(now)
    assert pressure is not None
    assert pressure.psi == pytest.approx(max(0.0, 2200 - used / 1.56), abs=1e-6)


def test_a_change_of_flow_by_hand() -> None:
    # constructed: (1700 - 200) x 0.16 = 240 L; 4 min at 15 use 60 L, and 180 L last 18 min at 10
    account = OxygenAccount(D).with_pressure(0, Pressure(1700)).with_flow(0, Flow(15))
    changed = account.with_flow(240, Flow(10)).minutes_at(240)
    assert changed is not None
    assert changed.minutes == pytest.approx(18)
    left = account.minutes_at(0)
    assert left is not None and left.minutes == pytest.approx(16)


def test_a_reading_replaces_what_was_worked_out() -> None:
    account = OxygenAccount(D).with_pressure(0, Pressure(1700)).with_flow(0, Flow(15))
    read = account.with_pressure(300, Pressure(1300))
    assert read.pressure_at(300) == Pressure(1300)
    left = read.minutes_at(300)
    assert left is not None
    assert left.minutes == pytest.approx(1100 * 0.16 / 15)
    assert account.gauge == Pressure(1700)


def test_a_flow_set_before_the_reading_counts_from_the_reading() -> None:
    account = OxygenAccount(D).with_flow(0, Flow(15)).with_pressure(100, Pressure(1700))
    left = account.minutes_at(160)
    assert left is not None
    assert left.minutes == pytest.approx(15)


def test_nothing_is_said_while_pressure_or_flow_is_unknown_or_closed() -> None:
    empty = OxygenAccount(D)
    read = empty.with_pressure(0, Pressure(1700))
    closed = read.with_flow(0, Flow(15)).with_flow(60, Flow(0))
    for account in (empty, empty.with_flow(0, Flow(15)), read, closed):
        assert account.minutes_at(120) is None
    assert empty.pressure_at(5) is None
    assert read.pressure_at(5) == Pressure(1700)
    assert closed.pressure_at(60) == closed.pressure_at(6000)


@given(st.floats(201, 2400), flows)
def test_the_minutes_end_at_the_reserve(psi: float, flow: float) -> None:
    account = OxygenAccount(D).with_pressure(0, Pressure(psi)).with_flow(0, Flow(flow))
    left = account.minutes_at(0)
    assert left is not None
    reached = account.pressure_at(left.minutes * 60)
    assert reached is not None and reached.psi == pytest.approx(200, abs=1e-6)
    assert account.pressure_at(left.minutes * 60 + 1e6) == Pressure(0)


def test_it_does_not_go_back_in_time() -> None:
    account = OxygenAccount(D).with_pressure(60, Pressure(1700))
    with pytest.raises(ValueError, match="stands at"):
        account.minutes_at(59)
    with pytest.raises(ValueError, match="stands at"):
        account.with_flow(59, Flow(15))
    with pytest.raises(ValueError, match="stands at"):
        account.with_pressure(59, Pressure(1))


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_readings_that_make_no_sense_are_refused(bad: float) -> None:
    with pytest.raises(InputError, match="gauge"):
        OxygenAccount(D).with_pressure(0, Pressure(bad))
    with pytest.raises(InputError, match="flow"):
        OxygenAccount(D).with_flow(0, Flow(bad))
