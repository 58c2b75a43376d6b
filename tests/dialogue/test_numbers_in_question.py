"""Numbers read back: which step they are for, corrected, contradicted, and standing."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_session import Run
from bench_skill import bench_skill

from coach.core.meaning import Command, Doubt, Kind, Meaning, Reading
from coach.core.units import Quantity, Unit
from coach.dialogue.effects import CancelTimer, Say, StartTimer
from coach.dialogue.engine import advance
from coach.dialogue.events import Event, Heard, SpeechEnded, SpeechStarted, TimerFired
from coach.dialogue.state import Mode, Proposal, ReadBack, State
from coach.dialogue.turn import NUDGE, STAND, STAND_SECONDS

MOUNTED = ("gloves on, washer fine, regulator on",)
SURE = Reading(Quantity.PRESSURE, (1600.0,), Unit.PSI)
HEDGED = replace(SURE, doubt=Doubt.HEDGED)
FLOW = Reading(Quantity.FLOW, (12.0,), Unit.LITRES_PER_MINUTE)
YES = Meaning("yes", Kind.ANSWER, answer="yes")
NO = Meaning("no", Kind.ANSWER, answer="no")


def mounted(*pending: tuple[str, str, Reading]) -> State:
    """A session in which the gauge is due, with these numbers in question."""
    state = replace(Run(*MOUNTED).state, mode=Mode.RUNNING, at_s=10.0, speaking=False)
    proposals = tuple(Proposal(step, name, reading) for step, name, reading in pending)
    return replace(state, pending=ReadBack(proposals) if proposals else None)


def after(state: State, event: Event) -> tuple[State, str, tuple[object, ...]]:
    state, effects = advance(state, event)
    said = " ".join(effect.text for effect in effects if isinstance(effect, Say))
    return state, said, effects


def number(reading: Reading, **also: object) -> Meaning:
    return replace(Meaning("a number", Kind.READING, readings=(reading,)), **also)  # type: ignore[arg-type]  # any field


def test_a_sure_number_starts_the_silence_that_lets_it_stand_a_doubtful_one_does_not() -> None:
    _, said, effects = after(mounted(), Heard(11.0, number(SURE)))
    assert said == "One six zero zero, sixteen hundred P S I, right?"
    assert StartTimer(STAND, 2.0) in effects
    state, said, effects = after(mounted(), Heard(11.0, number(HEDGED)))
    assert said.endswith("is that right?")
    assert CancelTimer(STAND) in effects
    state, _, _ = after(state, TimerFired(14.0, STAND))
    assert isinstance(state.pending, ReadBack), "a late timer lets nothing stand"


def test_a_dose_never_stands_by_silence_however_sure() -> None:
    dose = Reading(Quantity.DOSE, (4.0,), Unit.MILLIGRAMS)
    assert not ReadBack((Proposal("give", "dose", dose),)).sure
    assert ReadBack((Proposal("gauge", "pressure", SURE),)).sure


def test_of_two_numbers_one_doubtful_both_wait_for_the_yes() -> None:
    doubtful = mounted(("gauge", "pressure", HEDGED), ("flow", "flow", FLOW))
    state, _, _ = after(doubtful, TimerFired(14.0, STAND))
    assert state.readings == ()
    state, _, _ = after(doubtful, Heard(14.0, YES))
    assert [reading.name for reading in state.readings] == ["pressure", "flow"]


def test_speech_stops_the_silence_and_noise_lets_it_begin_again() -> None:
    sure = mounted(("gauge", "pressure", SURE))
    state, _, effects = after(sure, SpeechStarted(11.0))
    assert effects == (CancelTimer(NUDGE), CancelTimer(STAND))
    _, said, effects = after(state, SpeechEnded(12.0))
    nudge = StartTimer(NUDGE, state.nudge_seconds)
    assert (said, effects) == ("", (nudge, StartTimer(STAND, STAND_SECONDS)))
    _, _, effects = after(mounted(("gauge", "pressure", HEDGED)), SpeechEnded(12.0))
    assert effects == (nudge,)
    nudged = replace(mounted(), nudged=True)
    _, _, effects = after(nudged, SpeechEnded(12.0))
    assert effects == (), "once is enough"
    _, _, effects = after(mounted(), SpeechStarted(11.0))
    assert effects == (CancelTimer(NUDGE),)


def test_an_idle_word_lets_the_silence_begin_again() -> None:
    _, said, effects = after(
        mounted(("gauge", "pressure", SURE)), Heard(11.0, Meaning("um", idle=True))
    )
    assert (said, effects) == ("", (StartTimer(STAND, STAND_SECONDS),))


@pytest.mark.parametrize("also", ["said alone", "with a yes"])
def test_another_number_replaces_the_one_in_question(also: str) -> None:
    other = replace(SURE, values=(1500.0,), doubt=Doubt.SOUND_ALIKE)
    meaning = number(other, answer="yes") if also == "with a yes" else number(other)
    state, said, _ = after(mounted(("gauge", "pressure", SURE)), Heard(11.0, meaning))
    assert state.pending == ReadBack((Proposal("gauge", "pressure", other),))
    assert state.readings == ()
    assert "fifteen hundred" in said


def test_a_no_with_a_number_corrects_and_a_no_alone_asks_digit_by_digit() -> None:
    other = replace(SURE, values=(1700.0,))
    asked = mounted(("gauge", "pressure", SURE))
    state, said, _ = after(asked, Heard(11.0, number(other, answer="no")))
    assert isinstance(state.pending, ReadBack)
    assert "seventeen hundred" in said and "digit" not in said
    state, said, _ = after(asked, Heard(11.0, NO))
    assert (state.pending, state.asked) == (None, "gauge")
    assert said == "What does it read? Say it digit by digit."


def test_a_yes_that_repeats_the_number_lets_it_stand() -> None:
    state, _, _ = after(
        mounted(("gauge", "pressure", HEDGED)), Heard(11.0, number(SURE, answer="yes"))
    )
    assert "gauge" in state.done


def test_a_yes_with_a_command_does_both() -> None:
    meaning = replace(YES, command=Command.LEFT)
    state, said, _ = after(mounted(("gauge", "pressure", SURE)), Heard(11.0, meaning))
    assert "gauge" in state.done
    assert said.startswith("Still to do: the flow")


def test_no_number_is_taken_for_a_step_that_may_not_be_done_yet() -> None:
    run = Run("my gloves are on", "sixteen hundred psi", 5.0)
    assert run.summary.readings == ()
    assert "First the regulator" in run.reply_to(1) or "First the washer" in run.reply_to(1)


def test_a_bare_number_of_a_done_step_is_not_taken_anew_one_with_its_unit_is() -> None:
    done = (*MOUNTED, "1600 psi", "yes", "12 liters a minute", "yes")
    assert Run(*done, "1500 psi", "yes").summary.readings[-1].value == 1500
    assert [r.value for r in Run(*done, "seven", 5.0).summary.readings] == [1600, 12]


def test_a_number_taken_anew_replaces_the_old_one_and_credits_nothing_twice() -> None:
    run = Run(*MOUNTED, "1600 psi", "yes", "1500 psi", "yes")
    assert [reading.value for reading in run.summary.readings] == [1500]
    assert run.done.count("gauge") == 1


def test_a_contradicted_number_of_a_done_step_leaves_the_step_done() -> None:
    run = Run(*MOUNTED, "1600 psi", "yes", "1500 psi", "no", "next")
    assert "gauge" in run.done
    assert [reading.value for reading in run.summary.readings] == [1600]
    assert run.state.asked is None


def test_no_answer_to_the_number_is_asked_for_once_by_the_nudge() -> None:
    run = Run(*MOUNTED, "about sixteen hundred psi", 200.0, "yes")
    assert len(run.events("nudged")) == 1
    assert run.reply_to(1).count("is that right?") == 2


def test_what_is_not_understood_while_a_number_is_in_question_asks_for_the_number() -> None:
    state, said, _ = after(
        mounted(("gauge", "pressure", HEDGED)), Heard(11.0, Meaning("purple monkey"))
    )
    assert said.endswith("is that right?")
    assert isinstance(state.pending, ReadBack)


def test_a_length_is_taken_for_a_size_in_the_same_unit_only() -> None:
    spec = bench_skill().chosen({}).step("gauge").readings[0]
    assert spec.quantity is Quantity.PRESSURE
    wrong = Reading(Quantity.LENGTH, (90.0,), Unit.MILLIMETRES)
    state, _, _ = after(mounted(), Heard(11.0, number(wrong)))
    assert state.pending is None
    assert state.misses == 1
