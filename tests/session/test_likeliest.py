"""What several texts of one meaning come to together, and what they never do."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.app.moment import moment_context
from coach.core.meaning import YES_NO, Command
from coach.hearing.hypothesis import Hypothesis, Shares
from coach.session.costs import LIMITS, among_talk
from coach.session.judgement import judge
from coach.session.likeliest import likeliest, understood
from coach.session.told_chance import LEAST_TOLD
from coach.session.verdict import Decision

CONTEXT, _ = moment_context("oxygen-delivery", None, None)
PRESSURE, _ = moment_context("oxygen-cylinder", "pressure", "pressure")
YES_OR_NO, _ = moment_context("oxygen-cylinder", None, YES_NO)
MASK_ON = "i put the mask over the nose and the mouth"
BAG = "the bag is filled up"


def test_texts_of_one_meaning_are_as_sure_as_all_of_them() -> None:
    said = Hypothesis(
        MASK_ON,
        0.26,
        others=(("i put a mask over the nose and mouth", 0.28), ("mask over nose and mouth", 0.1)),
    )
    heard = likeliest(said, CONTEXT)
    assert heard.text == MASK_ON
    assert heard.confidence == pytest.approx(0.64)
    assert judge(understood(said, CONTEXT), said).decision is not Decision.ACT
    assert judge(understood(heard, CONTEXT), heard).decision is Decision.ACT


def test_a_likelier_meaning_takes_the_place_of_the_likeliest_text() -> None:
    said = Hypothesis(
        MASK_ON, 0.3, others=((BAG, 0.25), ("the bag is full", 0.2)), second="something else"
    )
    heard = likeliest(said, CONTEXT)
    assert (heard.text, heard.second) == (BAG, None)
    assert heard.confidence == pytest.approx(0.45)


def test_what_means_nothing_is_a_meaning_too() -> None:
    said = Hypothesis(
        "my cousin bought a bag", 0.3, others=((BAG, 0.2), ("my cousin got a bag", 0.2))
    )
    assert likeliest(said, CONTEXT) is said


def test_a_slip_of_a_letter_counts_with_the_sentence_it_was_mended_to() -> None:
    said = Hypothesis("the bagg is filed up", 0.3, second=BAG, others=((BAG, 0.3),))
    heard = likeliest(said, CONTEXT)
    assert heard.second == BAG
    assert heard.confidence == pytest.approx(0.6)


def test_done_and_not_done_are_two_meanings() -> None:
    said = Hypothesis(BAG, 0.4, others=(("the bag is not filled up", 0.35),))
    assert likeliest(said, CONTEXT).confidence == 0.4


@pytest.mark.parametrize(
    "said",
    [
        Hypothesis("seventeen hundred psi", 0.3, others=(("seventeen hundred", 0.3),)),
        Hypothesis("yes", 0.3, others=(("yes please", 0.3), ("stop", 0.35))),
        Hypothesis(BAG, 0.9, others=(("the bag is full", 0.05),)),
        Hypothesis(BAG, 0.2),
    ],
)
def test_numbers_answers_and_what_is_sure_stay_as_they_were_heard(said: Hypothesis) -> None:
    for context in (CONTEXT, PRESSURE, YES_OR_NO):
        assert likeliest(said, context) is said


def test_a_number_among_the_others_is_never_taken() -> None:
    said = Hypothesis("the bag", 0.2, others=(("seventeen hundred", 0.5),))
    assert "seventeen" not in likeliest(said, PRESSURE).text


def test_a_command_in_several_wordings_is_one() -> None:
    said = Hypothesis("what is next", 0.35, others=(("what's next", 0.3),))
    heard = likeliest(said, CONTEXT)
    assert heard.confidence == pytest.approx(0.65)
    assert judge(understood(heard, CONTEXT), heard).meaning.command is Command.NEXT


def test_the_larger_ear_is_heard_first() -> None:
    said = Hypothesis("noe bagg", 0.2, second_ear=(BAG, 0.8))
    assert likeliest(said, CONTEXT).text == BAG


OWN_WORDS = "the elastic strap with the mask is over his nose and mouth"


def shared(
    *others: tuple[str, float], text: str = OWN_WORDS, foreign: bool = True, fit: float = -1.0
) -> Hypothesis:
    """A sentence heard at 0.3 with all that its sound may have been."""
    left = 1.0 - sum(share for _, share in others)
    return Hypothesis(text, 0.3, shares=Shares(((text, left), *others), 0.1, fit, foreign))


UNSURE = shared((f"{OWN_WORDS}s", 0.4), ("the elastic strap", 0.2))


def test_a_whole_sentence_counts_where_all_its_texts_tell_the_same_and_nobody_is_led() -> None:
    """A word that is not known makes the spelling unsure, and not what was done."""
    asked = likeliest(UNSURE, CONTEXT)
    assert judge(understood(asked, CONTEXT), asked).decision is not Decision.ACT
    heard = likeliest(UNSURE, CONTEXT, agreeing=True)
    assert judge(understood(heard, CONTEXT), heard).decision is Decision.ACT
    assert heard.confidence >= LEAST_TOLD


def test_a_sentence_of_known_words_counts_even_where_others_talk() -> None:
    heard = likeliest(shared(foreign=False), CONTEXT, agreeing=True)
    assert heard.confidence > among_talk(LIMITS).sentence


@pytest.mark.parametrize(
    "said",
    [
        shared(fit=-9.0),
        shared((f"i didn't put {MASK_ON[5:]}", 0.3)),
        shared((BAG, 0.3)),
        shared(text="mask over mouth"),
        shared(text="the mask with the strap is not over his nose and mouth"),
        shared(text="the flow is at fifteen liters a minute"),
        replace(UNSURE, shares=None),
    ],
    ids=["far off", "denied", "another step", "few words", "a denial", "a number", "not told"],
)
def test_a_sentence_that_may_be_otherwise_stays_as_unsure_as_it_was(said: Hypothesis) -> None:
    assert likeliest(said, CONTEXT, agreeing=True).confidence < LIMITS.sentence


def test_a_sentence_that_counts_by_its_words_is_no_less_sure_for_what_else_it_may_be() -> None:
    said = replace(shared((BAG, 0.4), foreign=False), confidence=0.7)
    assert likeliest(said, CONTEXT, agreeing=True).confidence == pytest.approx(0.7)


def test_words_about_what_is_done_already_are_no_surer_for_it() -> None:
    """They may have told of something else that was not made out."""
    done = replace(CONTEXT, done=frozenset({"fit"}))
    assert likeliest(UNSURE, done, agreeing=True).confidence == pytest.approx(0.3)
