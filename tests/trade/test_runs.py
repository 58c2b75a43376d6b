"""Several flows from one cylinder, and margins of safety."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from known_cylinders import KEPT
from known_numbers import known_oxygen_numbers
from speakable import assert_speakable, question_of, value_of

from coach.core.units import Duration, Flow, Pressure, Unit, Volume
from coach.trade.account import OxygenAccount
from coach.trade.margins import NO_MARGIN, Margin, margin_of
from coach.trade.oxygen import Supply
from coach.trade.planned_amounts import parse_margin
from coach.trade.questions import Question
from coach.trade.runs import Run, drawn_together, minimum_pressure_for_runs, plan_runs
from coach.trade.spoken import rounded_up_in
from coach.trade.spoken_sums import margin_words, plan_minimum_words, plan_words

D = Supply(0.16, KEPT)
HABITS = known_oxygen_numbers().margins


def margin(written: str) -> Margin:
    """A margin as it is written."""
    return value_of(parse_margin(written, "--margin", HABITS))


KEEP_A_FIFTH, KEEP_A_THIRD, KEEP_A_HALF = margin("a fifth"), margin("third"), margin("half")
HALF_AS_MUCH_AGAIN, TWICE = margin("1.5"), margin("2 times")
MARGINS = [NO_MARGIN, KEEP_A_FIFTH, HALF_AS_MUCH_AGAIN, KEEP_A_THIRD, TWICE, KEEP_A_HALF]

a_run = st.builds(Run, st.floats(0.1, 25).map(Flow), st.floats(0.5, 120).map(Duration))
some_runs = st.lists(a_run, min_size=1, max_size=6)
gauges = st.floats(0, 2400).map(Pressure)
margins = st.sampled_from(MARGINS)
units = st.sampled_from([Unit.PSI, Unit.BAR, Unit.KILOPASCAL, Unit.MEGAPASCAL])


def run(flow: float, minutes: float) -> Run:
    return Run(Flow(flow), Duration(minutes))


def test_three_runs_by_hand() -> None:
    # constructed: (2000 - 200) x 0.16 = 288 L; 10 min at 15, 20 at 4 and 10 at 2 use 250 L
    plan = value_of(plan_runs(D, Pressure(2000), [run(15, 10), run(4, 20), run(2, 10)]))
    assert [leg.gauge_after.psi for leg in plan.legs] == pytest.approx([1062.5, 562.5, 437.5])
    assert plan.short_in is None
    assert plan.left.litres == pytest.approx(38)
    assert plan.lasting.minutes == pytest.approx(40)
    assert plan_words(plan, Unit.PSI) == (
        "All three runs, forty minutes: the gauge ends at about four hundred thirty-seven P S I."
    )


def test_the_run_that_falls_short_is_named() -> None:
    # constructed: 240 L; 10 min at 15 use 150, the next 90 L are nine minutes at 10
    plan = value_of(plan_runs(D, Pressure(1700), [run(15, 10), run(10, 30), run(2, 5)]))
    assert plan.short_in == 2
    assert plan.legs[1].had.minutes == pytest.approx(9)
    assert plan.legs[2].had.minutes == 0
    assert plan.legs[2].gauge_after.psi == pytest.approx(KEPT.psi)
    assert plan.lasting.minutes == pytest.approx(19)
    assert plan_words(plan, Unit.PSI) == (
        "Run two falls short: nineteen minutes in all, then change the cylinder."
    )


@pytest.mark.parametrize(
    ("flow", "minutes", "factor", "reserve", "printed"),
    [
        # Oxygen Cylinder Guidance, October 2010 (Virginia 12VAC5-31-860), O08 and O09 of the worked
        # examples: one run is the plain formula
        (10, 15, 0.16, 200, 1138),
        (10, 30, 1.56, 200, 393),
    ],
)
def test_one_run_is_the_formula(
    flow: float, minutes: float, factor: float, reserve: float, printed: float
) -> None:
    supply = Supply(factor, Pressure(reserve))
    assert value_of(minimum_pressure_for_runs(supply, [run(flow, minutes)])).psi == printed


@given(a_run, gauges)
def test_one_run_lasts_as_the_formula_says(one: Run, gauge: Pressure) -> None:
    leg = value_of(plan_runs(D, gauge, [one])).legs[0]
    whole = D.minutes_left(gauge, one.flow).minutes
    assert leg.had.minutes == pytest.approx(min(whole, one.minutes.minutes))


@given(some_runs, gauges)
def test_a_plan_ends_where_the_running_account_ends(runs: list[Run], gauge: Pressure) -> None:
    plan = value_of(plan_runs(D, gauge, runs))
    if plan.short_in:
        return
    account, now = OxygenAccount(D).with_pressure(0, gauge), 0.0
    for leg in plan.legs:
        account = account.with_flow(now, leg.run.flow)
        now += leg.run.minutes.minutes * 60
        reached = account.pressure_at(now)
        assert reached is not None
        assert leg.gauge_after.psi == pytest.approx(reached.psi, abs=1e-6)


@given(some_runs, gauges, margins, units)
def test_the_oxygen_is_used_once(
    runs: list[Run], gauge: Pressure, margin: Margin, unit: Unit
) -> None:
    plan = value_of(plan_runs(D, gauge, runs, margin))
    used = sum(leg.run.flow.litres_per_minute * leg.had.minutes for leg in plan.legs)
    assert used + plan.left.litres == pytest.approx(margin.usable(D.usable(gauge)).litres)
    ends = [gauge.psi, *(leg.gauge_after.psi for leg in plan.legs)]
    assert ends == sorted(ends, reverse=True)
    assert ends[-1] >= min(gauge.psi, KEPT.psi) - 1e-6
    assert_speakable(plan_words(plan, unit))


@given(some_runs, margins)
def test_the_least_pressure_carries_all_runs_and_a_little_less_does_not(
    runs: list[Run], margin: Margin
) -> None:
    supply = Supply(3.4, KEPT)
    least = value_of(minimum_pressure_for_runs(supply, runs, margin))
    if least.psi > 4800:
        return
    assert value_of(plan_runs(supply, least, runs, margin)).short_in is None
    assert value_of(plan_runs(supply, Pressure(least.psi - 1.001), runs, margin)).short_in


@given(some_runs)
def test_the_order_of_runs_changes_nothing_in_the_sum(runs: list[Run]) -> None:
    turned = list(reversed(runs))
    one = value_of(plan_runs(Supply(3.4, KEPT), Pressure(4000), runs))
    other = value_of(plan_runs(Supply(3.4, KEPT), Pressure(4000), turned))
    assert one.left.litres == pytest.approx(other.left.litres, abs=1e-6)


@given(some_runs, gauges, gauges)
def test_more_pressure_never_falls_short_sooner(
    runs: list[Run], one: Pressure, other: Pressure
) -> None:
    low, high = sorted((one, other))
    shorter, longer = (value_of(plan_runs(D, gauge, runs)) for gauge in (low, high))
    assert shorter.lasting.minutes <= longer.lasting.minutes + 1e-9


@given(some_runs, units)
def test_the_least_pressure_can_be_said(runs: list[Run], unit: Unit) -> None:
    least = value_of(minimum_pressure_for_runs(Supply(3.4, KEPT), runs))
    words = plan_minimum_words(runs, rounded_up_in(least, unit))
    assert_speakable(words)
    assert ("needs" in words) == (len(runs) == 1)


@pytest.mark.parametrize(
    ("runs", "asked"),
    [
        ([], "Which flow"),
        ([run(15, 10), run(0, 10)], "what is the flow?"),
        ([run(-2, 10)], "The flow"),
        ([run(500, 10)], "The flow"),
        ([run(math.nan, 10)], "The flow"),
        ([run(15, 0)], "no time"),
        ([run(15, -1)], "The minutes"),
        ([run(15, 5000)], "The minutes"),
    ],
)
def test_what_no_run_can_be_is_asked_about(runs: list[Run], asked: str) -> None:
    assert asked in question_of(plan_runs(D, Pressure(2000), runs))
    assert asked in question_of(minimum_pressure_for_runs(D, runs))


@pytest.mark.parametrize("psi", [-1, 9000, math.nan, math.inf])
def test_a_gauge_that_cannot_be_is_asked_about(psi: float) -> None:
    assert "The gauge" in question_of(plan_runs(D, Pressure(psi), [run(15, 10)]))


def test_outlets_open_together_add_up() -> None:
    assert value_of(drawn_together([Flow(15), Flow(4)])) == Flow(19)
    assert "Which flow" in question_of(drawn_together([]))
    assert "what is the flow?" in question_of(drawn_together([Flow(15), Flow(0)]))


def test_doubling_a_transfer() -> None:
    # frcemexam.com, Oxygen requirements for patient transfer (O07): 2 x 10 L/min x 16 min = 320 L
    need = run(10, 16).litres
    assert TWICE.planned(need) == Volume(320)
    assert margin_words(TWICE, need) == ("Times two for safety: three hundred twenty liters.",)


def test_times_point_eight() -> None:
    # classicanesthesia.com, Oxygen cylinder calculation: contents x 0.8
    assert KEEP_A_FIFTH.usable(Volume(1000)).litres == pytest.approx(800)


@given(st.floats(0, 10_000).map(Volume), margins)
def test_what_is_planned_is_just_usable_again(need: Volume, margin: Margin) -> None:
    contents = margin.planned(need)
    assert contents.litres >= need.litres
    assert margin.usable(contents).litres == pytest.approx(need.litres)
    left = contents.litres - need.litres
    assert left == pytest.approx(contents.litres * margin.left_share, abs=1e-6)
    for words in margin_words(margin, need):
        assert_speakable(words)


def test_a_margin_is_told() -> None:
    assert margin_words(TWICE, None) == ("Planned for two times the need.",)
    assert margin_words(NO_MARGIN, None) == ()


def test_thirds_and_halves_are_multipliers() -> None:
    assert KEEP_A_THIRD.left_share == pytest.approx(1 / 3)
    assert KEEP_A_HALF.left_share == pytest.approx(1 / 2)
    assert KEEP_A_THIRD.multiplier == HALF_AS_MUCH_AGAIN.multiplier
    assert KEEP_A_HALF.multiplier == TWICE.multiplier
    assert NO_MARGIN.left_share == 0
    assert KEEP_A_FIFTH.left_share == pytest.approx(1 / 5)
    assert all(margin.source for margin in MARGINS)
    assert "frcemexam.com" in TWICE.source
    assert "Classic Anesthesia" in KEEP_A_FIFTH.source
    assert "from memory" in KEEP_A_THIRD.source
    assert value_of(margin_of(3, HABITS)).source == "no published text has it"


@pytest.mark.parametrize("multiplier", [0, 0.5, 15, math.nan, -1, math.inf])
def test_a_multiplier_that_plans_too_little_or_too_much_is_asked_about(multiplier: float) -> None:
    assert "The multiplier" in question_of(margin_of(multiplier, HABITS))


def test_a_margin_of_a_programs_own() -> None:
    assert value_of(margin_of(1.5, HABITS)).multiplier == 1.5
    assert margin_words(HALF_AS_MUCH_AGAIN, Volume(7)) == (
        "Times one point five for safety: eleven liters.",
    )
    assert margin_words(NO_MARGIN, Volume(1)) == ()


@given(st.floats(allow_nan=True), st.floats(allow_nan=True), st.floats(allow_nan=True))
def test_any_numbers_give_a_plan_or_a_question(flow: float, minutes: float, psi: float) -> None:
    answer = plan_runs(D, Pressure(psi), [run(flow, minutes)])
    if isinstance(answer, Question):
        assert_speakable(answer.words)
