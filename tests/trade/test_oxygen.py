"""Cylinder arithmetic by its properties, and unit conversions against the open library pint."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from known_cylinders import KEPT

from coach.core.errors import InputError
from coach.core.units import Duration, Flow, Pressure, Unit, Volume
from coach.trade.oxygen import (
    Supply,
    checked_flow,
    lasts,
    minimum_pressure,
    minutes_left,
    minutes_of_contents,
)

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
PINT_NAMES = {
    Unit.PSI: "psi",
    Unit.BAR: "bar",
    Unit.KILOPASCAL: "kilopascal",
    Unit.MEGAPASCAL: "megapascal",
}

pressures = st.floats(0, 5000).map(Pressure)
reserves = st.floats(0, 1000).map(Pressure)
factors = st.floats(0.05, 4)
flows = st.floats(0.1, 60).map(Flow)
supplies = st.builds(Supply, factors, reserves)


@given(st.sampled_from(list(PINT_NAMES)), st.sampled_from(list(PINT_NAMES)), st.floats(0.001, 5000))
def test_pressures_convert_as_pint_converts_them(start: Unit, end: Unit, value: float) -> None:
    expected = REGISTRY.Quantity(value, PINT_NAMES[start]).to(PINT_NAMES[end]).magnitude
    assert Pressure.of(value, start).in_unit(end) == pytest.approx(expected, rel=1e-8)


@given(st.sampled_from(list(PINT_NAMES)), st.floats(0, 5000))
def test_a_pressure_comes_back_from_its_unit(unit: Unit, value: float) -> None:
    assert Pressure.of(value, unit).in_unit(unit) == pytest.approx(value, rel=1e-12)


@given(st.floats(0.5, 50), st.floats(1, 300))
def test_water_litres_times_bar_is_the_gas_by_boyles_law(capacity: float, bar: float) -> None:
    left = Supply.of_water(capacity, Pressure(0)).usable(Pressure.of(bar, Unit.BAR))
    at_one_bar = REGISTRY.Quantity(capacity, "liter") * REGISTRY.Quantity(bar, "bar")
    expected = (at_one_bar / REGISTRY.Quantity(1, "bar")).to("liter").magnitude
    assert left.litres == pytest.approx(expected, rel=1e-9)


@given(supplies, pressures, flows)
def test_a_time_is_never_negative(supply: Supply, pressure: Pressure, flow: Flow) -> None:
    left = supply.minutes_left(pressure, flow)
    assert left.minutes >= 0
    assert (left.minutes == 0) == (pressure <= supply.reserve)


@given(supplies, pressures, pressures, flows)
def test_more_pressure_never_lasts_shorter(
    supply: Supply, one: Pressure, other: Pressure, flow: Flow
) -> None:
    low, high = sorted((one, other))
    assert supply.minutes_left(low, flow) <= supply.minutes_left(high, flow)


@given(supplies, pressures, flows, flows)
def test_more_flow_never_lasts_longer(
    supply: Supply, pressure: Pressure, one: Flow, other: Flow
) -> None:
    slow, fast = sorted((one, other))
    assert supply.minutes_left(pressure, fast) <= supply.minutes_left(pressure, slow)


@given(supplies, flows, st.floats(0.1, 600).map(Duration))
def test_the_least_pressure_lasts_and_one_psi_less_does_not(
    supply: Supply, flow: Flow, needed: Duration
) -> None:
    least = supply.minimum_pressure(flow, needed)
    assert least.psi == int(least.psi)
    assert lasts(supply.minutes_left(least, flow), needed)
    below = supply.minutes_left(Pressure(least.psi - 1), flow)
    assert below.minutes < needed.minutes


@given(
    st.integers(1, 400),
    st.integers(1, 300),
    st.integers(50, 4000),
    st.integers(0, 10_000),
)
def test_the_least_pressure_is_exact_in_decimal_inputs(
    tenths_of_flow: int, minutes: int, thousandths_of_factor: int, tenths_of_reserve: int
) -> None:
    # Integers throughout: psi = flow * minutes / factor + reserve, over a common denominator.
    numerator = tenths_of_flow * minutes * 1000 + tenths_of_reserve * thousandths_of_factor
    denominator = 10 * thousandths_of_factor
    least = minimum_pressure(
        Flow(tenths_of_flow / 10),
        Duration(minutes),
        thousandths_of_factor / 1000,
        Pressure(tenths_of_reserve / 10),
    )
    assert least.psi == -(-numerator // denominator)


@pytest.mark.parametrize(
    ("flow", "minutes", "factor", "reserve", "psi"),
    [
        (10, 15, 0.16, 200, 1138),
        (10, 16, 0.16, 200, 1200),
        (15, 16, 0.16, 200, 1700),
        (0.1, 3, 0.3, 0, 1),
        (3, 7, 0.07, 0, 300),
    ],
)
def test_whole_psi_stay_and_parts_round_up(
    flow: float, minutes: float, factor: float, reserve: float, psi: int
) -> None:
    assert minimum_pressure(Flow(flow), Duration(minutes), factor, Pressure(reserve)) == Pressure(
        psi
    )


@given(st.floats(50, 9000), st.floats(500, 4500), st.floats(0, 1), flows)
def test_contents_fall_in_proportion_to_the_gauge(
    litres: float, full_psi: float, share: float, flow: Flow
) -> None:
    supply = Supply.in_proportion(Volume(litres), Pressure(full_psi), Pressure(0))
    left = supply.minutes_left(Pressure(full_psi * share), flow)
    assert left.minutes == pytest.approx(
        minutes_of_contents(Volume(litres * share), flow).minutes, rel=1e-9, abs=1e-9
    )


@given(pressures, reserves, factors, flows)
def test_the_formula_of_the_trade(
    pressure: Pressure, reserve: Pressure, factor: float, flow: Flow
) -> None:
    assume(pressure > reserve)
    expected = (pressure.psi - reserve.psi) * factor / flow.litres_per_minute
    assert minutes_left(pressure, reserve, factor, flow).minutes == pytest.approx(expected)


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf, -math.inf])
def test_numbers_that_no_flow_has_are_refused(bad: float) -> None:
    with pytest.raises(InputError, match="flow"):
        checked_flow(Flow(bad))
    with pytest.raises(InputError):
        minimum_pressure(Flow(10), Duration(bad), 0.16, Pressure(200))
    with pytest.raises(InputError, match="factor"):
        Supply(bad, KEPT)
    with pytest.raises(InputError, match="reserve"):
        Supply(0.16, Pressure(bad))
    with pytest.raises(InputError, match="water"):
        Supply.of_water(bad, KEPT)
    with pytest.raises(InputError, match="contents"):
        Supply.in_proportion(Volume(bad), Pressure(2000), KEPT)
    with pytest.raises(InputError, match="pressure of a full"):
        Supply.in_proportion(Volume(360), Pressure(bad), KEPT)
    with pytest.raises(InputError, match="Contents"):
        minutes_of_contents(Volume(bad), Flow(10))


def test_zero_is_a_reserve_but_neither_a_factor_nor_a_time() -> None:
    assert Supply(0.16, Pressure(0)).minutes_left(Pressure(100), Flow(1)).minutes == 16
    with pytest.raises(InputError):
        Supply(0, KEPT)
    with pytest.raises(InputError):
        minimum_pressure(Flow(10), Duration(0), 0.16, Pressure(200))
