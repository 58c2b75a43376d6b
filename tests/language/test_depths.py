"""Depths and faults in the words in which they are told."""

from __future__ import annotations

import pint
import pytest

from coach.core.meaning import Doubt
from coach.core.units import Quantity, Unit
from coach.dialogue.moment import asked_context
from coach.edges.skill_files import load_skill
from coach.language.understand import understand
from coach.trade.unit_conversions import converted_to


def test_an_inch_is_what_pint_makes_of_it() -> None:
    inch: float = pint.UnitRegistry()("1 inch").to("millimeter").magnitude
    assert converted_to(1, Unit.INCHES, Unit.MILLIMETRES) == pytest.approx(inch)
    assert converted_to(inch, Unit.MILLIMETRES, Unit.INCHES) == pytest.approx(1)


@pytest.mark.parametrize("measure", ["inches", "centimeters"])
@pytest.mark.parametrize(
    ("says", "right"),
    [
        ("two inches", True),
        ("two point four inches", True),
        ("five centimeters", True),
        ("six centimeters", True),
        ("one and a half inches", False),
        ("two and a half inches", False),
        ("four centimeters", False),
        ("seven centimeters", False),
    ],
)
def test_a_depth_is_held_against_both_published_ranges(
    measure: str, says: str, right: bool
) -> None:
    skill = load_skill("cpr").chosen({"measure": measure})
    context = asked_context(skill, "depth", Quantity.LENGTH)
    [reading] = understand(says, context).readings
    assert (reading.doubt is not Doubt.OUT_OF_RANGE) is right


def test_inches_tell_nothing_where_no_depth_is_asked_for() -> None:
    context = asked_context(load_skill("suction").chosen({}), None, None)
    assert not understand("two inches further", context).readings


@pytest.mark.parametrize("skill", ["bag-valve-mask", "pocket-mask"])
@pytest.mark.parametrize(
    ("step", "says"),
    [
        ("breath", "the chest isn't rising"),
        ("breath", "chest does not rise"),
        ("breath", "the chest won't go up"),
        ("mouth", "his mouth is full of blood"),
        ("mouth", "full of blood"),
    ],
)
def test_what_goes_wrong_with_a_breath_is_a_finding(skill: str, step: str, says: str) -> None:
    context = asked_context(load_skill(skill).chosen({}), step, None)
    [mention] = understand(says, context).steps
    assert (mention.step, mention.denied, mention.found) == (step, True, True)


def test_a_mask_of_the_wrong_size_is_a_finding_and_another_thing_is_none() -> None:
    context = asked_context(load_skill("bag-valve-mask").chosen({}), "mask", None)
    assert [m.found for m in understand("the mask is too small", context).steps] == [True]
    assert not understand("this room is too small", context).steps
    assert not understand("the bag is full of books", context).steps


def test_every_one_second_is_a_number() -> None:
    context = asked_context(load_skill("bag-valve-mask").chosen({}), "interval", Quantity.TIME)
    [reading] = understand("every one second", context).readings
    assert reading.values == (1.0,)
