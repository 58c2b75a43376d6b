"""How sure the ear must be before a meaning counts."""

from __future__ import annotations

from dataclasses import replace

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


def test_a_number_that_could_stand_by_silence_is_heard_very_surely() -> None:
    assert judged(READING, Hypothesis("ten", 0.9)).readings[0].doubt is Doubt.HEDGED


def test_a_no_is_obeyed_however_faint_and_a_faint_yes_asked_for_again() -> None:
    no, yes = (Meaning(word, Kind.ANSWER, answer=word, confidence=1.0) for word in ("no", "yes"))
    assert judged(no, Hypothesis("no", 0.05)).answer == "no"
    assert judged(yes, Hypothesis("yes", 0.7)).answer == "yes"
    assert judged(yes, Hypothesis("yes", 0.5)).kind is Kind.NONE


def test_a_faint_yes_with_a_number_does_not_let_it_stand() -> None:
    both = replace(READING, text="yes ten", answer="yes")
    heard = judged(both, Hypothesis("yes ten", 0.4))
    assert (heard.kind, heard.answer, heard.readings[0].values) == (Kind.READING, None, (10.0,))


def test_a_number_out_of_range_is_a_slip_of_the_ear_unless_surely_heard() -> None:
    outside = replace(READING.readings[0], values=(80.0,), doubt=Doubt.OUT_OF_RANGE)
    alone = Meaning("eighty", Kind.READING, readings=(outside,), likely=("gloves",))
    faint = Meaning("ten", Kind.READING, readings=READING.readings, likely=("gloves",))
    assert judged(faint, Hypothesis("ten", 0.1)) == Meaning("ten")
    denied = replace(alone, text="no eighty", answer="no")
    assert judged(alone, Hypothesis("eighty", 0.9)).readings == (outside,)
    assert judged(alone, Hypothesis("eighty", 0.5)) == Meaning("eighty")
    slip = judged(denied, Hypothesis("no eighty", 0.5))
    assert (slip.kind, slip.answer, slip.readings) == (Kind.ANSWER, "no", ())


def test_a_faint_no_drops_the_number_before_silence_lets_it_stand() -> None:
    faint = TextHeard(Hypothesis("no", 0.1))
    run = Run("I'm ready", "my gloves are on", "the washer is whole", "the regulator is on",
              "seventeen hundred", faint, 3.0)  # fmt: skip
    assert run.events("reading-offered") and not run.events("reading-stands")


def test_stop_and_the_real_thing_are_obeyed_however_faint() -> None:
    for command in (Command.STOP, Command.QUIET):
        meaning = Meaning("words", Kind.COMMAND, command=command)
        assert judged(meaning, Hypothesis("words", 0.05)).command is command
    other = Meaning("words", Kind.COMMAND, command=Command.RESTART)
    assert judged(other, Hypothesis("words", 0.05)).command is None


def test_a_second_opinion_is_taken_where_the_first_means_nothing() -> None:
    heard = TextHeard(Hypothesis("the regul ator is un", 0.3, second="my gloves are on now"))
    assert Run("I'm ready", heard).done == ("gloves",)
