"""Burned area: both tables add up at every age, and printed examples, right and wrong ones."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from known_numbers import known_numbers
from speakable import assert_speakable, question_of, value_of

from coach.trade.burns import (
    BurnedArea,
    ChartPart,
    NinesPart,
    burned_by_chart,
    burned_by_nines,
    burned_by_palms,
)
from coach.trade.questions import Question
from coach.trade.spoken_sums import burned_words

N, C = NinesPart, ChartPart
TABLES = known_numbers().burns
nines, lund_browder = TABLES.nines.at, TABLES.chart.at
ages = st.floats(0, 120)
BOTH_ARMS = {N.LEFT_ARM: 1.0, N.RIGHT_ARM: 1.0}
BOTH_LEGS = {N.LEFT_LEG: 1.0, N.RIGHT_LEG: 1.0}


@given(ages)
def test_every_age_adds_up_to_the_whole_body(age: float) -> None:
    assert sum(nines(age).values()) == pytest.approx(100)
    assert sum(lund_browder(age).values()) == pytest.approx(100)


@given(ages, ages)
def test_heads_shrink_and_legs_grow_with_age(one: float, other: float) -> None:
    young, old = sorted((one, other))
    assert nines(young)[N.HEAD] >= nines(old)[N.HEAD]
    assert nines(young)[N.LEFT_LEG] <= nines(old)[N.LEFT_LEG]
    for part in (C.THIGHS, C.LOWER_LEGS):
        assert lund_browder(young)[part] <= lund_browder(old)[part]
    assert lund_browder(young)[C.HEAD] >= lund_browder(old)[C.HEAD]


@pytest.mark.parametrize(
    ("age", "head_side", "thigh_side", "leg_side"),
    [
        # academy2.activheal.com, Burn size: front or back of head, of one thigh, of one lower leg.
        # Its text: one year 8.5 and fifteen years 4.5 for the front of the head.
        (0, 9.5, 2.75, 2.5),
        (1, 8.5, 3.25, 2.5),
        (5, 6.5, 4, 2.75),
        (9.9, 6.5, 4, 2.75),
        (10, 5.5, 4.25, 3),
        (14.9, 5.5, 4.25, 3),
        (15, 4.5, 4.5, 3.25),
        (15.9, 4.5, 4.5, 3.25),
        (16, 3.5, 4.75, 3.5),
        (40, 3.5, 4.75, 3.5),
    ],
)
def test_the_table_by_age(age: float, head_side: float, thigh_side: float, leg_side: float) -> None:
    table = lund_browder(age)
    assert table[C.HEAD] == 2 * head_side
    assert table[C.THIGHS] == 4 * thigh_side
    assert table[C.LOWER_LEGS] == 4 * leg_side
    front_of_face = value_of(burned_by_chart({C.HEAD: 0.5}, age, TABLES.chart))
    assert front_of_face.percent == head_side


def test_both_tables_agree_on_a_grown_body() -> None:
    chart, rule = lund_browder(40), nines(40)
    arm = (chart[C.UPPER_ARMS] + chart[C.FOREARMS] + chart[C.HANDS]) / 2
    assert arm == pytest.approx(rule[N.LEFT_ARM], abs=0.5)
    assert chart[C.HEAD] + chart[C.NECK] == rule[N.HEAD]
    assert chart[C.GENITALS] == rule[N.GENITALS]
    trunk = chart[C.FRONT] + chart[C.BACK] + chart[C.BUTTOCKS]
    legs = chart[C.THIGHS] + chart[C.LOWER_LEGS] + chart[C.FEET]
    assert trunk + legs == pytest.approx(2 * (18 + 18), abs=1.1)


@pytest.mark.parametrize(
    ("shares", "age", "percent"),
    [
        # your-doctor.net, quiz 800: one leg, one arm, front of the trunk: 45 %
        ({N.LEFT_LEG: 1, N.LEFT_ARM: 1, N.FRONT: 1}, 30, 45),
        # members.simplenursing.com, Burns 1: hands and arms, front of the trunk: 36 %
        ({**BOTH_ARMS, N.FRONT: 1}, 30, 36),
        # partnerperformance.uonbi.ac.ke 28233948: both legs, groin, chest and belly: 55 %
        ({**BOTH_LEGS, N.GENITALS: 1, N.FRONT: 1}, 30, 55),
        # GPnotebook, Rule of nines (paediatric): head 18 up to one year, 1 % less a year after it,
        # 9 and 18 by the age of ten; chemsftg.com, burn charts: an infant's leg 13.5
        ({N.HEAD: 1}, 0.5, 18),
        ({N.HEAD: 1}, 1.9, 18),
        ({N.HEAD: 1}, 2, 17),
        ({N.HEAD: 1}, 10, 9),
        ({N.RIGHT_LEG: 1}, 10, 18),
        ({N.RIGHT_LEG: 1}, 0.5, 13.5),
        # slate.com, July 2006: half an arm is 4 or 5 %
        ({N.LEFT_ARM: 0.5}, 30, 4.5),
    ],
)
def test_printed_examples(shares: dict[NinesPart, float], age: float, percent: float) -> None:
    assert value_of(burned_by_nines(shares, age, TABLES.nines)).percent == pytest.approx(percent)


def test_the_other_published_rule_for_children_is_a_percent_away() -> None:
    # 222health.com 16071: at five years 13 for the head and 16 for a leg. The Lund-Browder table
    # has 15 for head and neck there.
    head, leg = nines(5)[N.HEAD], nines(5)[N.LEFT_LEG]
    assert (head, leg) == (13 + 1, 16 - 0.5)
    chart = lund_browder(5)
    assert abs(head - chart[C.HEAD] - chart[C.NECK]) <= abs(13 - chart[C.HEAD] - chart[C.NECK])


@pytest.mark.parametrize(
    ("shares", "printed", "right"),
    [
        # neetpgai.com 2000 counts the front of one leg as 4.5; half of 18 is 9
        ({N.FRONT: 1, **BOTH_ARMS, N.RIGHT_LEG: 0.5}, 40.5, 45),
        # questionai.com: back of the head, upper back, back of both arms; the answer offered there
        # is 36, but each is half of its part
        ({N.HEAD: 0.5, N.BACK: 0.5, N.LEFT_ARM: 0.5, N.RIGHT_ARM: 0.5}, 36, 22.5),
    ],
)
def test_published_slips_are_not_repeated(
    shares: dict[NinesPart, float], printed: float, right: float
) -> None:
    percent = value_of(burned_by_nines(shares, 30, TABLES.nines)).percent
    assert percent == pytest.approx(right)
    assert percent != printed


@given(st.dictionaries(st.sampled_from(NinesPart), st.floats(0, 1), min_size=1), ages)
def test_an_area_is_never_more_than_the_body(shares: dict[NinesPart, float], age: float) -> None:
    area = value_of(burned_by_nines(shares, age, TABLES.nines))
    assert 0 <= area.percent <= 100 + 1e-6
    assert_speakable(burned_words(area))
    more = {**shares, N.GENITALS: 1.0}
    assert value_of(burned_by_nines(more, age, TABLES.nines)).percent >= area.percent - 1e-9


@pytest.mark.parametrize(
    ("shares", "age", "asked"),
    [
        ({}, 30, "Which parts"),
        ({N.HEAD: 1.2}, 30, "No more than all"),
        ({N.HEAD: -0.1}, 30, "No more than all"),
        ({N.HEAD: math.nan}, 30, "No more than all"),
        ({N.HEAD: 1}, 300, "The age"),
        ({N.HEAD: 1}, -1, "The age"),
        ({N.HEAD: 1}, math.nan, "The age"),
    ],
)
def test_what_cannot_be_is_asked_about(
    shares: dict[NinesPart, float], age: float, asked: str
) -> None:
    assert asked in question_of(burned_by_nines(shares, age, TABLES.nines))


def test_the_chart_asks_the_same() -> None:
    assert "Which parts" in question_of(burned_by_chart({}, 30, TABLES.chart))
    assert "The age" in question_of(burned_by_chart({C.NECK: 1}, 130, TABLES.chart))


def test_palms() -> None:
    # forensicmed.co.uk, burn area; your-doctor.net: the palm with its fingers is about 1 %
    area = value_of(burned_by_palms(5, TABLES.palms))
    assert area.percent == 5
    assert area.check is None
    assert burned_words(area) == "About five percent of the body."
    assert "rule of nines" in question_of(value_of(burned_by_palms(20, TABLES.palms)).check)
    for palms in (-1, 101, math.nan, math.inf):
        assert "palms" in question_of(burned_by_palms(palms, TABLES.palms)).lower()


@given(st.floats(allow_nan=True) | st.floats(0, 100))
def test_any_palms_are_said_or_asked_about(palms: float) -> None:
    answer = burned_by_palms(palms, TABLES.palms)
    assert_speakable(answer.words if isinstance(answer, Question) else burned_words(answer))


@pytest.mark.parametrize(
    ("percent", "words"),
    [
        (22.5, "About twenty-two point five percent of the body."),
        (45.1, "About forty-five percent of the body."),
        (0.4, "Less than one percent of the body."),
        (0, "About zero percent of the body."),
    ],
)
def test_what_is_said(percent: float, words: str) -> None:
    assert burned_words(BurnedArea(percent)) == words
