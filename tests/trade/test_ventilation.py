"""Breaths, minute ventilation and what a device draws, against printed tables and examples."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from known_cylinders import find_cylinder
from known_numbers import known_oxygen_numbers
from speakable import assert_speakable, question_of, value_of

from coach.core.units import Flow, Pressure, Volume
from coach.edges.shared_files import facts_for, program_facts
from coach.trade.cylinders import Region
from coach.trade.margins import margin_of
from coach.trade.oxygen import Supply
from coach.trade.questions import Question
from coach.trade.spoken_sums import (
    breath_words,
    device_words,
    minute_ventilation_words,
)
from coach.trade.ventilation import (
    BreathVolume,
    MinuteVentilation,
    breath_volume,
    device_flow,
    minute_ventilation,
)

KNOWN = known_oxygen_numbers()
LIMITS = KNOWN.device
USAGE_RATES = (12, 14, 16, 18, 20, 22, 24, 26, 28)
USAGE = {
    # Oxygen usage in L/min by mL a breath: instructions for use of a portable ventilator, appendix,
    # manualshive.com 2134381 page 79
    50: (0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4),
    100: (1.2, 1.4, 1.6, 1.8, 2.0, 2.2, 2.4, 2.6, 2.8),
    150: (1.8, 2.1, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.2),
    200: (2.4, 2.8, 3.2, 3.6, 4.0, 4.4, 4.8, 5.2, 5.6),
    250: (3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0, 6.5, 7.0),
    500: (6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0, 14.0),
    750: (9.0, 10.5, 12.0, 13.5, 15.0, 16.5, 18.0, 19.5, 21.0),
}

breaths = st.floats(4, 2000).map(BreathVolume)
rates = st.floats(1, 120)
ventilations = st.floats(0.1, 60).map(MinuteVentilation)
anything = st.floats(allow_nan=True)


@pytest.mark.parametrize("millilitres", USAGE)
def test_the_printed_usage_table(millilitres: int) -> None:
    for rate, printed in zip(USAGE_RATES, USAGE[millilitres], strict=True):
        ventilation = value_of(minute_ventilation(BreathVolume(millilitres), rate, LIMITS))
        assert ventilation.litres_per_minute == pytest.approx(printed)
        assert value_of(device_flow(ventilation, LIMITS)).litres_per_minute == pytest.approx(
            printed
        )


def test_the_usual_textbook_example() -> None:
    # 500 mL x 12 a minute = 6 L/min (wyzant.com, weak; the formula: medicalalgorithms.com)
    ventilation = value_of(minute_ventilation(BreathVolume(500), 12, LIMITS))
    assert ventilation == MinuteVentilation(6)
    assert value_of(breath_volume(ventilation, 12, LIMITS)) == BreathVolume(500)


def test_every_printed_rate_of_given_breaths_is_computed() -> None:
    """Each fact on breaths a minute, with its older and European values, at a breath of its age."""
    facts = facts_for(program_facts().parent).facts
    sizes = {"adult": 500, "child": 150, "infant": 60, "newborn": 25}
    for age, millilitres in sizes.items():
        fact = facts[f"breath-rate-{age}"]
        amounts = [fact.amount, *(other.amount for other in fact.differs.values())]
        ends = {end for one in amounts for end in (one.value, one.low, one.high) if end is not None}
        assert ends
        for rate in ends:
            value_of(minute_ventilation(BreathVolume(millilitres), float(rate), LIMITS))


def test_a_ventilated_transfer() -> None:
    # frcemexam.com, Oxygen requirements for patient transfer: 6 L/min at 60 %, driving gas
    # 0.5 L/min, 60 minutes, doubled: 492 L, one UK E (or ZD) or two D
    flow = value_of(device_flow(MinuteVentilation(6), LIMITS, 60, Flow(0.5)))
    assert flow.litres_per_minute == pytest.approx(4.1)
    needed = (
        value_of(margin_of(2, KNOWN.margins)).planned(Volume(flow.litres_per_minute * 60)).litres
    )
    assert needed == pytest.approx(492)
    full = {letter: find_cylinder(letter, Region.UK).full.litres for letter in ("D", "E", "ZD")}
    assert full["D"] < needed <= min(full["E"], full["ZD"], 2 * full["D"])


def test_a_cylinder_of_9540_litres_drives_a_device_for_14_hours() -> None:
    # Manual of a transport ventilator, manualshive.com 839114 page 19: 9540 L at 2640 psi down to
    # 300 psi are 8456 L; 20 breaths of 500 mL at 100 % are 10 L/min; about 14 hours
    ventilation = value_of(minute_ventilation(BreathVolume(500), 20, LIMITS))
    flow = value_of(device_flow(ventilation, LIMITS, 100))
    supply = Supply.in_proportion(Volume(9540), Pressure(2640), Pressure(300))
    assert supply.usable(Pressure(2640)).litres == pytest.approx(8456, abs=0.5)
    lasting = supply.minutes_left(Pressure(2640), flow)
    assert round(lasting.minutes / 60) == 14


@given(breaths, rates)
def test_a_breath_comes_back_from_its_minute(breath: BreathVolume, rate: float) -> None:
    ventilation = minute_ventilation(breath, rate, LIMITS)
    if isinstance(ventilation, Question):
        return
    assert_speakable(minute_ventilation_words(breath, rate, ventilation))
    back = breath_volume(ventilation, rate, LIMITS)
    if isinstance(back, Question):
        assert_speakable(back.words)
    else:
        assert back.millilitres == pytest.approx(breath.millilitres)
        assert_speakable(breath_words(back))


@given(ventilations, st.floats(21, 100), st.floats(0, 20))
def test_a_device_never_draws_less_for_more(
    ventilation: MinuteVentilation, percent: float, driving: float
) -> None:
    flow = value_of(device_flow(ventilation, LIMITS, percent, Flow(driving)))
    assert flow <= value_of(device_flow(ventilation, LIMITS, 100, Flow(driving)))
    assert flow <= value_of(device_flow(ventilation, LIMITS, percent, Flow(20)))
    # Lutman and Petros, Emerg Med J 2006;23:703: often more than the minute volume itself
    assert value_of(device_flow(ventilation, LIMITS, 100, Flow(driving))).litres_per_minute >= (
        ventilation.litres_per_minute
    )
    assert_speakable(device_words(flow))


@given(ventilations, st.floats(21, 100))
def test_the_published_formula_never_counts_too_little(
    ventilation: MinuteVentilation, percent: float
) -> None:
    # By mixing: oxygen from the cylinder = volume x (share - 0.21) / 0.79, the rest is air
    mixed = ventilation.litres_per_minute * (percent - 21) / 79
    assert value_of(device_flow(ventilation, LIMITS, percent)).litres_per_minute >= mixed - 1e-9


@given(anything, anything, anything)
def test_any_numbers_give_a_volume_or_a_question(one: float, two: float, three: float) -> None:
    for answer in (
        minute_ventilation(BreathVolume(one), two, LIMITS),
        breath_volume(MinuteVentilation(one), two, LIMITS),
        device_flow(MinuteVentilation(one), LIMITS, two, Flow(three)),
    ):
        if isinstance(answer, Question):
            assert_speakable(answer.words)


@pytest.mark.parametrize(
    ("answer", "asked"),
    [
        (minute_ventilation(BreathVolume(0.5), 12, LIMITS), "in liters?"),
        (minute_ventilation(BreathVolume(5000), 12, LIMITS), "breath's volume"),
        (minute_ventilation(BreathVolume(500), 0, LIMITS), "The adult's rate"),
        (minute_ventilation(BreathVolume(500), 120, LIMITS), "The adult's rate"),
        (minute_ventilation(BreathVolume(500), 36, LIMITS), "outside four to thirty-five"),
        (minute_ventilation(BreathVolume(30), 120, LIMITS), "outside four to sixty"),
        (breath_volume(MinuteVentilation(6), 120, LIMITS), "The rate"),
        (breath_volume(MinuteVentilation(20), 40, LIMITS), "The adult's rate"),
        (minute_ventilation(BreathVolume(500), 500, LIMITS), "The adult's rate"),
        (breath_volume(MinuteVentilation(600), 12, LIMITS), "minute volume"),
        (breath_volume(MinuteVentilation(60), 10, LIMITS), "breath's volume"),
        (device_flow(MinuteVentilation(6), LIMITS, 0.6), "share of one"),
        (device_flow(MinuteVentilation(6), LIMITS, 15), "Oxygen percent"),
        (device_flow(MinuteVentilation(6), LIMITS, 101), "Oxygen percent"),
        (device_flow(MinuteVentilation(6), LIMITS, 60, Flow(-1)), "Driving gas"),
        (minute_ventilation(BreathVolume(math.nan), 12, LIMITS), "what I heard"),
    ],
)
def test_what_cannot_be_is_asked_about(answer: object, asked: str) -> None:
    assert asked in question_of(answer)


def test_what_is_said() -> None:
    breath = BreathVolume(500)
    assert minute_ventilation_words(
        breath, 12, value_of(minute_ventilation(breath, 12, LIMITS))
    ) == ("Twelve breaths of five hundred milliliters: six liters a minute.")
    assert breath_words(breath) == "That is about five hundred milliliters a breath."
    assert device_words(Flow(4.1)) == "The device draws about four point one liters a minute."
    assert device_words(Flow(4.01)) == "The device draws about four point one liters a minute."
