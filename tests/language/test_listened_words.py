"""A word that a step is listened for by is a word to the recogniser, wherever it stands."""

from __future__ import annotations

import pytest

from coach.dialogue.moment import asked_context, hint_of
from coach.edges.embedded_recogniser import read_lexicon
from coach.edges.skill_files import load_skill
from coach.hearing.calibration import FACTS
from coach.hearing.hypothesis import Hint
from coach.hearing.weighing import Moment
from coach.language.context import StepWords, Words
from coach.language.listened_words import listened_for

NO_WEIGHTS = (1.0, *(0.0 for _ in FACTS[1:]))


def test_every_word_of_keys_and_findings_is_given_once() -> None:
    steps = [
        StepWords(
            "a", Words(keys=("Cut/cutting pants away",), absent=("hole",), wrong=("too deep",))
        ),
        StepWords("b", Words(signs=("he gags",)), clock_start=Words(keys=("pants",))),
        StepWords("c", choices={"mask": Words(keys=("mask",))}, partner=Words(keys=("squeeze",))),
    ]
    found = listened_for(steps)
    plain = "away cut cutting deep gags he hole mask pants squeeze too".split()
    assert [word for word in found if "'" not in word] == plain
    assert list(found) == sorted(set(found))


def test_things_are_words_with_the_is_that_is_drawn_to_them() -> None:
    found = listened_for([StepWords("a", Words(keys=("mask sits", "checking valve")))])
    assert set(found) == {"checking", "mask", "mask's", "sits", "valve", "valve's"}


@pytest.mark.parametrize(
    ("skill", "said"),
    [
        ("trauma-assessment", "i'm cutting his pants away"),
        ("trauma-assessment", "his scalp has a bump the pupils are equal"),
        ("bleeding-control", "i'm exposing the wound and the clothes are off"),
    ],
)
def test_a_sentence_of_such_words_has_no_foreign_word(skill: str, said: str) -> None:
    lexicon = read_lexicon()
    hint = hint_of(asked_context(load_skill(skill).chosen({}), None, None))
    assert not Moment(lexicon, hint, NO_WEIGHTS).is_foreign(said)
    alone = Hint(hint.expect, hint.phrases)
    assert Moment(lexicon, alone, NO_WEIGHTS).is_foreign(said)
