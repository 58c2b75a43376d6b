"""A burned area in an attempt: held against the parts, corrected, taken back."""

from __future__ import annotations

import pytest
from bench_session import Run, run_with_step
from bench_skill import TEXT, bench_skill

from coach.core.units import Quantity
from coach.report.attempt import Way

BURNED = """steps:
  - id: area
    name: the area
    say: Say how much is burned.
    why: Where to go hangs on it.
    how: Count the parts.
    heard-as: {phrases: [partial thickness], keys: [partial thickness]}
    readings:
      - name: area
        quantity: burned-area
        unit: "%"
        low: "{no-fact.1}"
        high: "{no-fact.100}"
        burned: {age-years: "{no-fact.30}"}
        ask: How many percent?
        sources: [common]
"""


def run(*words: str, way: Way = Way.ASSESSED) -> Run:
    return run_with_step(BURNED, *words, way=way)


@pytest.mark.parametrize(
    ("words", "in_range"),
    [
        # an arm is 9 percent by the rule of nines, of an adult 9.5 by Lund and Browder's table
        # (the sources are named in coach/trade/burns.py), and half of one half of that
        (("half of his right arm, nine percent",), False),
        (("half of his right arm, five percent",), True),
        (("partial thickness, the whole arm", "nine percent"), True),
        (("partial thickness, the whole arm", "eighteen percent"), False),
        (("partial thickness on the arm", "eighteen percent"), True),
        (("half of his right arm, nine percent", "no, five percent"), True),
        (("my gloves are on his whole arm", "nine percent, partial thickness"), True),
    ],
)
def test_a_quiet_coach_holds_it_against_the_parts(words: tuple[str, ...], in_range: bool) -> None:
    played = run(*words)
    [standing] = played.state.readings
    assert (standing.quantity, standing.in_range) == (Quantity.BURNED_AREA, in_range)
    assert "area" in played.done


FIRST = """steps:
  - id: look
    name: the look around
    say: Look around.
    why: It may burn still.
    how: All around.
    heard-as: {phrases: [i look around], keys: [look around]}
"""

OXIMETER = """
  - id: oximeter
    name: the saturation
    say: Read the oximeter.
    why: Smoke takes oxygen away.
    how: Clip it on.
    heard-as: {phrases: [the clip is on], keys: [clip on]}
    readings:
      - name: saturation
        quantity: saturation
        unit: "%"
        low: "{no-fact.50}"
        high: "{no-fact.100}"
        ask: What does it show?
        sources: [common]
"""


def both(*words: str, way: Way = Way.ASSESSED) -> Run:
    return run_with_step(FIRST + BURNED.removeprefix("steps:\n") + OXIMETER, *words, way=way)


@pytest.mark.parametrize("way", [Way.RECALL, Way.ASSESSED])
def test_a_saturation_is_no_burned_area(way: Way) -> None:
    played = run("partial thickness", "his sats are ninety four percent", way=way)
    assert played.state.readings == ()
    assert "area" not in played.done


def test_each_percentage_finds_its_own_step() -> None:
    played = both("sats are ninety four percent, clip is on", "nine percent of the body is burned")
    found = {standing.name: standing.values for standing in played.state.readings}
    assert found == {"saturation": (94.0,), "area": (9.0,)}


@pytest.mark.parametrize(
    ("answer", "quantity", "value"),
    [
        ("percent burned", Quantity.BURNED_AREA, 60.0),
        ("the saturation", Quantity.SATURATION, 60.0),
    ],
)
def test_a_percentage_that_may_be_either_is_asked_about(
    answer: str, quantity: Quantity, value: float
) -> None:
    # the look around is due, so that neither is asked for
    played = both("sixty percent", answer, "yes", way=Way.LED)
    assert "sixty percent saturation, or sixty percent burned?" in played.reply_to(1).lower()
    assert [(r.quantity, r.values) for r in played.state.readings] == [(quantity, (value,))]
    quietly = both("I look around, sixty percent")
    assert quietly.state.readings == ()


def test_taken_back_the_parts_are_forgotten() -> None:
    told = ("partial thickness, the whole arm", "nine percent", "yes")
    played = run(*told, "I didn't do that", way=Way.LED)
    assert played.state.burned is None
    assert "area" not in played.done


@pytest.mark.parametrize(
    ("words", "questioned"),
    [
        # by the rule of nines an arm is 9 percent, the back 18, a leg 18
        ("partial thickness of both arms, thirty percent", True),
        ("partial thickness, his back is burned, forty percent", True),
        ("partial thickness, the head and one arm, forty percent", True),
        ("partial thickness of both legs, ten percent", False),
        ("partial thickness of both arms, eighteen percent", False),
        ("partial thickness of the arm and more, forty percent", False),
    ],
)
def test_more_than_the_parts_that_were_named_can_hold_is_questioned(
    words: str, questioned: bool
) -> None:
    played = run(words, "yes", way=Way.LED)
    assert ("That is more than all of it" in played.reply_to(2)) == questioned
    assert ("area" in played.done) != questioned


def test_an_area_of_before_is_not_held_against_parts_told_without_how_much() -> None:
    skill_file = bench_skill(TEXT.replace("steps:\n", BURNED, 1))
    words = ("I'm ready", "partial thickness of both arms, thirty percent", "yes")
    played = Run(*words, skill_file=skill_file, started={"conversation": 3})
    assert "area" in played.done


def test_a_yes_to_how_many_percent_asks_again_and_a_bare_number_answers() -> None:
    words = ("partial thickness, nine percent", "yes", "a hundred and twenty percent", "yes", "ten")
    played = run(*words, "yes", way=Way.LED)
    assert played.reply_to(4).startswith("How many percent?")
    assert played.done == ("area",)
    assert played.state.readings[-1].values == (10.0,)
