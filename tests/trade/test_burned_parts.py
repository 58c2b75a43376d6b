"""Parts of a body as they are told of, and what the published tables give for them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from known_numbers import known_numbers
from speakable import assert_speakable, question_of, value_of

from coach.trade.burned_parts import (
    CHART_OF,
    BurnedParts,
    burned_parts,
    parts_at_most,
    published_area,
)
from coach.trade.burns import ChartPart, NinesPart
from coach.trade.spoken_sums import burned_area_words

ADULT = 40
TABLES = known_numbers().burns


@pytest.mark.parametrize(
    ("said", "age", "percent"),
    [
        # your-doctor.net, quiz 800: one leg, one arm, front of the trunk: 45 %
        ("his whole leg his entire arm and the front of the trunk", ADULT, 45),
        # members.simplenursing.com, Burns 1: hands and arms, front of the trunk: 36 %
        ("all of both arms and the front of his torso", ADULT, 36),
        # slate.com, July 2006: half an arm is 4 or 5 %
        ("half of his left arm", ADULT, 4.5),
        # GPnotebook, Rule of nines (paediatric): head 18 up to one year
        ("her whole head", 0.5, 18),
        # chemsftg.com, burn charts: an infant's leg 13.5
        ("the whole of her right leg so", 0.5, 13.5),
        # neetpgai.com 2000, whose own sum slips: the front of one leg is half of 18
        ("the front of the trunk both whole arms and the front of the right leg", ADULT, 45),
        # forensicmed.co.uk, burn area: the palm with its fingers is about 1 %
        ("two of her palms with blisters on the arm", ADULT, 2),
        ("about six palms", 5, 6),
    ],
)
def test_told_areas(said: str, age: float, percent: float) -> None:
    parts = burned_parts(said)
    assert parts is not None
    area = value_of(published_area(parts, age, TABLES))
    assert area.area.percent == pytest.approx(percent)
    assert area.low <= percent <= area.high


@pytest.mark.parametrize(
    "said",
    [
        "second degree on the arm",
        "the whole arm is red half of it has blisters",
        "the whole arm and the hand",
        "the whole arm or the whole leg",
        "not the whole arm",
        "his whole face",
        "most of the whole leg",
        "the whole arm and a leg",
        "nine percent of the body",
        "palms up",
        "two palms and the whole leg",
        "i watch the whole time",
        "",
    ],
)
def test_what_is_half_known_is_summed_up_by_nobody(said: str) -> None:
    assert burned_parts(said) is None


def test_what_follows_the_percentage_is_no_part() -> None:
    said = "it's the whole arm so about nine percent of the body with blisters"
    assert burned_parts(said) == BurnedParts(((NinesPart.LEFT_ARM, 1.0),))


def test_all_parts_are_the_whole_body_in_both_tables() -> None:
    shares: dict[ChartPart, float] = dict.fromkeys(ChartPart, 0.0)
    for small in CHART_OF.values():
        for part, share in small.items():
            shares[part] += share
    assert set(shares.values()) == {1.0}
    everything = BurnedParts(tuple((part, 1.0) for part in NinesPart))
    for age in (0, 1, 5, 10, 15, ADULT):
        area = value_of(published_area(everything, age, TABLES))
        assert (area.low, area.high) == (100, 100)


shares = st.dictionaries(st.sampled_from(NinesPart), st.floats(0.01, 1), min_size=1)


@given(shares, st.floats(0, 120))
def test_the_rule_of_nines_always_lies_in_the_published_range(
    told: dict[NinesPart, float], age: float
) -> None:
    area = value_of(published_area(BurnedParts(tuple(told.items())), age, TABLES))
    assert area.low - 1e-6 <= area.area.percent <= area.high + 1e-6
    assert_speakable(burned_area_words(area.area, by_palms=False))


def test_palms_lie_between_the_rule_and_what_was_measured() -> None:
    # Acute Crit Care 2019;34:276-81: 0.78 % with the fingers, so ten are 7.8
    area = value_of(published_area(BurnedParts(palms=10), ADULT, TABLES))
    assert (area.low, area.high) == (7, 10)
    assert burned_area_words(area.area, by_palms=True) == (
        "By the palms: about ten percent of the body."
    )
    many = value_of(published_area(BurnedParts(palms=20), ADULT, TABLES))
    assert "rule of nines" in burned_area_words(many.area, by_palms=True)


def test_more_than_the_body_is_asked_about() -> None:
    assert "palms" in question_of(published_area(BurnedParts(palms=300), ADULT, TABLES))
    assert "The age" in question_of(
        published_area(BurnedParts(((NinesPart.HEAD, 1.0),)), 130, TABLES)
    )


@pytest.mark.parametrize(
    ("said", "percent"),
    [
        # the shares of the rule of nines of an adult: an arm 9, a leg 18, the back 18, the head 9,
        # the genitals 1 (GPnotebook, Rule of nines)
        ("both legs and the genitals", 37),
        ("the burn is both arms", 18),
        ("his back is burned", 18),
        ("the burn is the head and one arm", 18),
        ("his left hand and his left forearm", 9),
        ("the left leg and the right leg", 36),
        ("part of the back of the trunk", 18),
        ("blisters on the front and back of his torso", 36),
        ("half of the chest", 9),
    ],
)
def test_what_is_named_is_burned_all_over_at_most(said: str, percent: float) -> None:
    parts = parts_at_most(said)
    assert parts is not None
    area = value_of(published_area(parts, ADULT, TABLES))
    assert area.area.percent == pytest.approx(percent)


@pytest.mark.parametrize(
    "said",
    [
        "the arm and more",
        "not the back",
        "the back or the chest",
        "his side and his arm",
        "the arm as well",
        "my gloves are on his arm",
        "twelve percent of the body",
    ],
)
def test_nothing_bounds_what_may_be_more(said: str) -> None:
    assert parts_at_most(said) is None


def test_front_and_back_of_the_trunk_are_both_told() -> None:
    parts = burned_parts("the front and back of the trunk")
    assert parts == BurnedParts(((NinesPart.FRONT, 1.0), (NinesPart.BACK, 1.0)))
