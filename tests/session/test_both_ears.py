"""What a second ear's words may count for: steps said, never answers, numbers or commands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.app.moment import moment_context
from coach.core.meaning import YES_NO
from coach.hearing.hypothesis import Hypothesis
from coach.language.context import Context
from coach.session.both_ears import both_ears
from coach.session.judgement import judge
from coach.session.likeliest import understood

ANY_STEP, _ = moment_context("oxygen-cylinder", None, None)
PRESSURE, _ = moment_context("oxygen-cylinder", "pressure", "pressure")
YES_OR_NO, _ = moment_context("oxygen-cylinder", None, YES_NO)
HALF_HEARD = Hypothesis("noe leks bout ther regu later", 0.2, second_ear=("I hear no leaks", 0.8))


def test_where_the_first_ear_is_at_a_loss_the_second_ear_tells_of_a_step() -> None:
    heard = both_ears(HALF_HEARD, ANY_STEP)
    assert (heard.text, heard.confidence) == ("I hear no leaks", 0.8)


def test_with_one_ear_nothing_changes() -> None:
    alone = replace(HALF_HEARD, second_ear=None)
    assert both_ears(alone, ANY_STEP) is alone


@pytest.mark.parametrize(
    "said",
    [
        "yes",
        "no",
        "yes i hear no leaks",
        "the gauge reads 1700 psi",
        "seventeen hundred",
        "there are no leaks and the gauge reads 1700",
        "stop",
        "skip this one please",
        "what is the next step",
        "done with that",
        "nothing of the kind was ever said",
        "",
    ],
)
@pytest.mark.parametrize("context", [ANY_STEP, PRESSURE, YES_OR_NO], ids=["any", "number", "yes"])
def test_answers_numbers_and_commands_never_come_from_the_second_ear(
    said: str, context: Context
) -> None:
    heard = replace(HALF_HEARD, second_ear=(said, 0.8))
    assert both_ears(heard, context) is heard


@pytest.mark.parametrize("said", ["stop", "yes", "seventeen hundred psi", "next"])
def test_what_the_first_ear_heard_of_other_kinds_stands(said: str) -> None:
    heard = replace(HALF_HEARD, text=said, confidence=0.4)
    assert both_ears(heard, PRESSURE) is heard


def test_two_ears_that_tell_the_same_are_as_sure_as_the_surer_one() -> None:
    faint = Hypothesis("i hear no leaks at oul", 0.1, second_ear=("I hear no leaks at all", 0.8))
    heard = both_ears(faint, ANY_STEP)
    assert (heard.text, heard.confidence) == (faint.text, 0.8)
    assert both_ears(replace(faint, confidence=0.9), ANY_STEP).confidence == 0.9


def test_two_ears_that_differ_make_nothing_surer() -> None:
    faint = Hypothesis("i hear no leaks at oul", 0.3, second_ear=("the seal is whole", 0.8))
    assert both_ears(faint, ANY_STEP) is faint


@pytest.mark.parametrize("said", ["I hear no leaks", "I can hear a leak"])
def test_of_two_ears_that_contradict_each_other_neither_is_credited(said: str) -> None:
    other = {"I hear no leaks": "I can hear a leak", "I can hear a leak": "I hear no leaks"}[said]
    heard = both_ears(Hypothesis(said, 0.6, second_ear=(other, 0.8)), ANY_STEP)
    assert heard.text == said
    verdict = judge(understood(heard, ANY_STEP), heard)
    assert verdict.meaning.steps == ()
    assert judge(understood(Hypothesis(said, 0.6), ANY_STEP), Hypothesis(said, 0.6)).meaning.steps
