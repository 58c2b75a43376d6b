"""How sure the ear must be before a meaning counts."""

from __future__ import annotations

from bench_session import Run

from coach.core.meaning import Command, Doubt, Kind, Meaning, Reading, StepMention
from coach.core.units import Quantity, Unit
from coach.hearing.hypothesis import Hypothesis
from coach.session.loop import judged
from coach.session.ports import TextHeard

ONE_WORD = Meaning("gloves", Kind.STEP, steps=(StepMention("gloves"),), confidence=0.9)
SENTENCE = Meaning("my gloves are on now", Kind.STEP, steps=(StepMention("gloves"),))
READING = Meaning(
    "ten", Kind.READING, readings=(Reading(Quantity.FLOW, (10.0,), Unit.LITRES_PER_MINUTE),)
)


def test_a_faint_word_is_only_likely() -> None:
    heard = judged(ONE_WORD, Hypothesis("gloves", 0.2))
    assert (heard.kind, heard.steps, heard.likely) == (Kind.NONE, (), ("gloves",))


def test_a_faint_sentence_still_counts_and_noise_does_not() -> None:
    assert judged(SENTENCE, Hypothesis(SENTENCE.text, 0.2)).steps
    assert not judged(SENTENCE, Hypothesis(SENTENCE.text, 0.05)).steps


def test_a_number_heard_less_than_surely_needs_the_yes() -> None:
    assert judged(READING, Hypothesis("ten", 0.95)).readings[0].doubt is None
    assert judged(READING, Hypothesis("ten", 0.5)).readings[0].doubt is Doubt.HEDGED


def test_stop_and_the_real_thing_are_obeyed_however_faint() -> None:
    for command in (Command.STOP, Command.QUIET):
        meaning = Meaning("words", Kind.COMMAND, command=command)
        assert judged(meaning, Hypothesis("words", 0.05)).command is command
    other = Meaning("words", Kind.COMMAND, command=Command.RESTART)
    assert judged(other, Hypothesis("words", 0.05)).command is None


def test_a_second_opinion_is_taken_where_the_first_means_nothing() -> None:
    heard = TextHeard(Hypothesis("the regul ator is un", 0.3, second="my gloves are on now"))
    assert Run("I'm ready", heard).done == ("gloves",)
