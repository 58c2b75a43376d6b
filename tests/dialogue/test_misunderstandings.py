"""What is not understood: other words, a likely step, two to choose from, then the keys."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_session import Run

from coach.core.meaning import Command, Kind, Meaning, StepMention
from coach.dialogue.effects import Say
from coach.dialogue.engine import advance
from coach.dialogue.events import Heard
from coach.dialogue.state import ChooseStep, ConfirmStep, Mode, State
from coach.language.carelessness import Carelessness
from coach.language.numbers import states_a_number

YES = Meaning("yes", Kind.ANSWER, answer="yes")
NO = Meaning("no", Kind.ANSWER, answer="no")
UNDO = Meaning("scratch that", Kind.COMMAND, command=Command.UNDO)


def running(**changes: object) -> State:
    state = replace(Run("I'm ready").state, mode=Mode.RUNNING, at_s=10.0)
    return replace(state, **changes)  # type: ignore[arg-type]  # any field


def after(state: State, meaning: Meaning) -> tuple[State, str]:
    state, effects = advance(state, Heard(state.at_s + 1, meaning))
    return state, " ".join(effect.text for effect in effects if isinstance(effect, Say))


def likely(*steps: str) -> Meaning:
    return Meaning("mumbling", likely=steps)


def test_one_likely_step_is_asked_about_and_credited_by_a_yes_only() -> None:
    asked, said = after(running(), likely("gloves"))
    assert said == "Is this done: your gloves?"
    assert asked.pending == ConfirmStep("gloves")
    assert asked.done == frozenset()
    state, said = after(asked, YES)
    assert (set(state.done), state.pending) == ({"gloves"}, None)
    state, said = after(asked, NO)
    assert (state.done, state.pending, state.misses) == (frozenset(), None, 0)
    assert said == "Put on your gloves."


@pytest.mark.parametrize("pending", [ConfirmStep("washer"), ChooseStep(("washer", "flow"))])
def test_scratch_that_denies_what_is_asked_about_and_takes_back_nothing_else(
    pending: ConfirmStep | ChooseStep,
) -> None:
    """ "Is this done: the washer?" Nothing of it is credited, so an older step must not go."""
    told, _ = after(running(), Meaning("gloves", Kind.STEP, steps=(StepMention("gloves"),)))
    state, said = after(replace(told, pending=pending), UNDO)
    assert (set(state.done), state.pending) == ({"gloves"}, None)
    assert said == "Look at the washer."
    _, said = after(state, UNDO)
    assert said.startswith("Taken back: your gloves.")


def test_scratch_that_takes_back_the_stop_that_is_asked_about() -> None:
    told, _ = after(running(), Meaning("gloves", Kind.STEP, steps=(StepMention("gloves"),)))
    stopping, _ = after(told, Meaning("stop", Kind.COMMAND, command=Command.STOP))
    state, said = after(stopping, UNDO)
    assert (set(state.done), state.mode) == ({"gloves"}, Mode.RUNNING)
    assert "Taken back" not in said


def test_a_likely_step_that_an_evaluator_must_hear_is_to_be_said_aloud() -> None:
    state, said = after(running(), likely("washer"))
    assert said == "Say aloud for the evaluator: that the washer is whole."
    assert state.pending is None


def test_a_step_that_cannot_be_done_yet_is_not_asked_about_nor_the_one_before_it() -> None:
    """A yes could not count for the gauge, and of the gloves nothing was said."""
    told, _ = after(running(), Meaning("washer", Kind.STEP, steps=(StepMention("washer"),)))
    asked, said = after(told, likely("gauge"))
    assert said == "Sorry, I did not get that. Tell me about your gloves, or say help."
    assert asked.pending is None
    mounted, _ = after(asked, YES)
    asked, said = after(mounted, likely("gauge", "flow"))
    assert said == "Sorry, I did not get that. Tell me about the regulator, or say help."
    _, said = after(replace(mounted, misses=1), likely("gauge"))
    assert said == "Did you mean the gauge or the regulator?"


def test_a_likely_step_that_is_done_is_not_asked_about() -> None:
    done, _ = after(running(), Meaning("gloves", Kind.STEP, steps=(StepMention("gloves"),)))
    _, said = after(done, likely("gloves"))
    assert said == "Sorry, I did not get that. Tell me about the washer, or say help."


def test_the_second_time_two_are_offered_the_likely_one_first() -> None:
    state, said = after(running(misses=1), likely("flow"))
    assert said == "Did you mean the flow or your gloves?"
    assert state.pending == ChooseStep(("flow", "gloves"))
    state, said = after(running(misses=1), likely())
    assert said == "Did you mean your gloves?"
    state, said = after(running(misses=1), likely("gloves"))
    assert state.pending == ChooseStep(("gloves",))


@pytest.mark.parametrize(
    ("words", "done"),
    [("the first one", {"gloves"}), ("the second", {"fit"}), ("the other", {"fit"})]
    + [("neither", set()), ("none of them", set()), ("purple", set())],
)
def test_the_answers_to_did_you_mean(words: str, done: set[str]) -> None:
    offered = running(pending=ChooseStep(("gloves", "fit")), misses=2)
    state, said = after(offered, Meaning(words))
    assert state.done == done
    assert state.pending is None
    assert ("can't make it out" in said) == (words == "purple")


def test_a_yes_to_two_asks_which_a_yes_to_one_takes_it_a_no_takes_neither() -> None:
    two = running(pending=ChooseStep(("gloves", "fit")), misses=2)
    state, said = after(two, YES)
    assert (said, state.pending) == ("Which one: the first or the second?", two.pending)
    one = running(pending=ChooseStep(("gloves",)), misses=2)
    assert after(one, YES)[0].done == {"gloves"}
    for offered in (one, two):
        state, said = after(offered, NO)
        assert (state.done, state.pending, state.misses) == (frozenset(), None, 0)
        assert said == "Put on your gloves."
    assert after(one, Meaning("the second"))[0].done == frozenset()


def test_a_step_said_surely_answers_any_question() -> None:
    meaning = Meaning("the mask is on", Kind.STEP, steps=(StepMention("fit"),))
    for pending in (ChooseStep(("gloves", "washer")), ConfirmStep("gloves")):
        state, _ = after(running(pending=pending, misses=2), meaning)
        assert (set(state.done), state.pending, state.misses) == ({"fit"}, None, 0)


def test_a_yes_that_names_another_step_credits_both() -> None:
    meaning = replace(YES, kind=Kind.STEP, steps=(StepMention("fit"),))
    state, _ = after(running(pending=ConfirmStep("gloves")), meaning)
    assert state.done == {"gloves", "fit"}


def test_after_the_keys_were_named_the_coach_is_quiet() -> None:
    state, said = after(running(misses=2), Meaning("purple"))
    assert "press space or the pedal" in said
    state, said = after(state, Meaning("purple"))
    assert (said, state.misses) == ("", 4)


def test_being_understood_begins_the_count_of_misses_anew() -> None:
    run = Run("I'm ready", "purple", "what's left", "purple")
    assert run.reply_to(1).startswith("Sorry")
    assert run.reply_to(3).startswith("Sorry")


def test_before_the_beginning_it_says_how_to_begin_twice_at_most() -> None:
    run = Run("purple", "purple", "purple", "I'm ready")
    assert [run.reply_to(n) != "" for n in range(3)] == [True, True, False]


def test_what_a_reading_needs_is_asked_where_one_is_due() -> None:
    state = replace(Run("gloves on, washer fine, regulator on").state, mode=Mode.RUNNING, at_s=10.0)
    assert (
        after(state, Meaning("purple"))[1]
        == "Sorry, I did not get that. What does it read, in P S I?"
    )


def test_a_no_to_nothing_is_friendly() -> None:
    _, said = after(running(), NO)
    assert said == "All right, take your time. Put on your gloves."


def test_the_words_that_make_a_step_doubtful_are_named_in_the_question() -> None:
    shrugs = Carelessness({"word grin": 3.0}, -1.0, 0.0)
    played = Run(
        *("I'm ready", "my gloves are on", "the washer is whole, grinning"), careless=shrugs
    )
    assert 'You said "grinning"' in played.reply_to(2)
    assert "washer" not in played.done


@pytest.mark.parametrize("words", ["the breaths are sixteen", "the suction is at eleven"])
def test_a_number_that_nothing_took_leads_to_no_offer_and_no_credit(words: str) -> None:
    played = Run("I'm ready", words, "yes", words, "yes", "yes")
    asked = played.events("not-understood")
    assert len(asked) == 2
    for number in (1, 2, 3, 4):
        assert "Tell me about" in played.reply_to(number)
        assert "Is this done" not in played.reply_to(number)
        assert "Did you mean" not in played.reply_to(number)


def test_what_merely_has_a_number_in_it_may_lead_to_an_offer() -> None:
    # "two straps" is no number of anything that is measured
    assert states_a_number("the pain is eleven now")
    assert states_a_number("the gauge reads seventeen hundred")
    assert not states_a_number("i put on two straps")
    assert not states_a_number("i counted the people")
    assert not states_a_number("it is one of the rings")
