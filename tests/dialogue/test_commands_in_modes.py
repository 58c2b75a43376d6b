"""Every command in every mode: before the beginning, running, in question, paused, silenced."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_session import Run
from bench_skill import bench_skill

from coach.core.meaning import Command, Kind, Meaning, Reading
from coach.core.units import Quantity, Unit
from coach.dialogue.effects import CancelTimer, CutOff, Listen, Say, SetVoice
from coach.dialogue.engine import advance, new_state
from coach.dialogue.events import Event, Heard, SessionStarted
from coach.dialogue.state import ConfirmStop, Mode, Proposal, ReadBack, State
from coach.dialogue.talk import HANDLERS, WHILE_PAUSED
from coach.dialogue.turn import NUDGE, STAND

READING = Reading(Quantity.PRESSURE, (1600.0,), Unit.PSI)


def asked(command: Command) -> Meaning:
    return Meaning(str(command), Kind.COMMAND, command=command, confidence=1.0)


def state_in(mode: Mode) -> State:
    """A session in that mode at ten seconds; in all but READY the gloves are done."""
    ready, _ = advance(new_state(bench_skill()), SessionStarted(0.0, "bench"))
    if mode is Mode.READY:
        return replace(ready, at_s=10.0)
    run = Run("my gloves are on")
    return replace(run.state, mode=mode, at_s=10.0, pending=None)


def after(state: State, event: Event) -> tuple[State, str, tuple[object, ...]]:
    state, effects = advance(state, event)
    said = " ".join(effect.text for effect in effects if isinstance(effect, Say))
    return state, said, effects


@pytest.mark.parametrize("command", Command)
@pytest.mark.parametrize("mode", [Mode.READY, Mode.RUNNING, Mode.PAUSED])
def test_every_command_is_lawful_credits_nothing_and_leaves_the_coach_listening(
    command: Command, mode: Mode
) -> None:
    before = state_in(mode)
    state, _, effects = after(before, Heard(11.0, asked(command)))
    assert state.at_s == 11.0
    assert state.done <= before.done
    assert state.done == before.done or command in {Command.UNDO, Command.RESTART}
    if command is Command.QUIET:
        assert state.mode is Mode.SILENCED
    else:
        assert isinstance([e for e in effects if isinstance(e, Listen)][-1], Listen)


def test_every_command_has_a_handler() -> None:
    assert set(HANDLERS) == set(Command)


@pytest.mark.parametrize("command", Command)
def test_what_is_not_for_a_pause_is_told_so(command: Command) -> None:
    state, said, _ = after(state_in(Mode.PAUSED), Heard(11.0, asked(command)))
    told = said == "We are paused: say go on when you are ready."
    assert told == (command not in WHILE_PAUSED and command is not Command.QUIET)
    if told:
        assert state.mode is Mode.PAUSED


@pytest.mark.parametrize("command", Command)
def test_after_this_is_real_nothing_is_said_and_only_stop_ends_it(command: Command) -> None:
    silenced, _, _ = after(state_in(Mode.RUNNING), Heard(11.0, asked(Command.QUIET)))
    state, said, _ = after(silenced, Heard(12.0, asked(command)))
    if command is Command.QUIET:
        assert said == "Call for help now."
    else:
        assert said == ""
    assert state.mode is (Mode.ENDED if command is Command.STOP else Mode.SILENCED)


def test_silence_cuts_off_the_voice_and_every_timer() -> None:
    _, said, effects = after(state_in(Mode.RUNNING), Heard(11.0, asked(Command.QUIET)))
    assert said == "Call for help now."
    for effect in (CutOff(), CancelTimer(NUDGE), CancelTimer(STAND)):
        assert effect in effects


@pytest.mark.parametrize(
    ("words", "mode"),
    [("I'm ready", Mode.RUNNING), ("done", Mode.RUNNING), ("yes", Mode.RUNNING)]
    + [("next", Mode.RUNNING), ("my gloves are on", Mode.RUNNING), ("why", Mode.READY)]
    + [("no", Mode.READY), ("purple monkey", Mode.READY), ("wait", Mode.READY)],
)
def test_what_begins_a_session(words: str, mode: Mode) -> None:
    run = Run(words)
    begun = [name for name, _ in run.observer.log].count("begun")
    assert begun == (mode is Mode.RUNNING)


def test_the_seconds_count_from_the_beginning_not_from_the_introduction() -> None:
    run = Run(300.0, "I'm ready", 60.0)
    assert run.summary.seconds == 60.0


def test_a_number_in_question_is_asked_about_again_after_something_else() -> None:
    proposal = Proposal("gauge", "pressure", READING)
    state = replace(state_in(Mode.RUNNING), pending=ReadBack((proposal,)))
    for command in (Command.TIME, Command.LEFT, Command.HELP):
        after_it, _, _ = after(state, Heard(11.0, asked(command)))
        assert after_it.pending == state.pending
    after_it, said, _ = after(state, Heard(11.0, asked(Command.UNDO)))
    assert after_it.pending is None
    assert "digit by digit" in said


def test_pause_and_stop_drop_a_number_in_question() -> None:
    state = replace(
        state_in(Mode.RUNNING), pending=ReadBack((Proposal("gauge", "pressure", READING),))
    )
    paused, _, effects = after(state, Heard(11.0, asked(Command.PAUSE)))
    assert paused.pending is None and CancelTimer(NUDGE) in effects
    stopping, _, effects = after(state, Heard(11.0, asked(Command.STOP)))
    assert stopping.pending == ConfirmStop() and CancelTimer(NUDGE) in effects


@pytest.mark.parametrize(
    ("words", "mode"),
    [("yes", Mode.ENDED), ("stop", Mode.ENDED), ("no", Mode.RUNNING), ("go on", Mode.RUNNING)]
    + [("purple monkey", Mode.PAUSED), ("what's left", Mode.PAUSED)],
)
def test_the_answers_to_shall_i_end_here(words: str, mode: Mode) -> None:
    before = replace(state_in(Mode.PAUSED), pending=ConfirmStop())
    heard = {
        "yes": Meaning("yes", Kind.ANSWER, answer="yes"),
        "no": Meaning("no", Kind.ANSWER, answer="no"),
        "stop": asked(Command.STOP),
        "go on": asked(Command.RESUME),
        "what's left": asked(Command.LEFT),
        "purple monkey": Meaning("purple monkey"),
    }[words]
    state, said, _ = after(before, Heard(11.0, heard))
    assert state.mode is mode
    if words == "purple monkey":
        assert said == "", "the question stands"
        assert state.pending == ConfirmStop()


@pytest.mark.parametrize("answer", ["yes", "no"])
def test_an_answer_while_paused_changes_nothing_unless_it_was_asked(answer: str) -> None:
    state, said, _ = after(
        state_in(Mode.PAUSED), Heard(11.0, Meaning(answer, Kind.ANSWER, answer=answer))
    )
    assert state.mode is Mode.PAUSED
    assert "We are paused" in said


def test_back_goes_one_step_further_each_time_and_next_returns() -> None:
    run = Run("gloves on, washer fine", "go back", "go back", "go back", "next")
    assert "Back to the washer" in run.reply_to(1)
    assert "Back to your gloves" in run.reply_to(2)
    assert run.reply_to(3) == "There is nothing before this."
    assert "Mount the regulator." in run.reply_to(4)
    assert run.done == ("gloves", "washer")


def test_skipping_a_step_gone_back_to_only_leaves_it() -> None:
    run = Run("gloves on, washer fine", "go back", "skip it")
    assert run.done == ("gloves", "washer")
    assert run.state.skipped == ()
    assert "Mount the regulator." in run.reply_to(2)


def test_undoing_a_step_gone_back_to_takes_back_that_one() -> None:
    run = Run("gloves on, washer fine", "go back", "go back", "undo")
    assert run.done == ("washer",)
    assert "Taken back: your gloves." in run.reply_to(3)


def test_undo_again_takes_back_the_one_before() -> None:
    run = Run("my gloves are on", "the washer is whole", "undo", "undo", "undo")
    assert run.done == ()
    assert [data["step"] for data in run.events("taken-back")] == ["washer", "gloves"]
    assert "nothing to take back" in run.reply_to(4)


@pytest.mark.parametrize(("words", "reply"), [("why", "A torn one leaks."), ("how", "Turn it in")])
def test_why_and_how_are_about_the_step_that_is_due(words: str, reply: str) -> None:
    assert reply in Run("my gloves are on", words).reply_to(1)


def test_what_is_left_is_named_and_long_lists_are_shortened() -> None:
    assert "Still to do: your gloves, the washer, the regulator and four more." in Run(
        "I'm ready", "what's left"
    ).reply_to(1)
    state = replace(state_in(Mode.RUNNING), skipped=bench_skill().step_ids)
    assert after(state, Heard(11.0, asked(Command.LEFT)))[1] == "Nothing is left."


def test_the_time_is_none_before_the_beginning_and_counts_from_it() -> None:
    assert "Less than a minute gone" in Run(400.0, "how long have I got").reply_to(0)
    assert "Two minutes gone, about one minute left" in Run(
        "I'm ready", 120.0, "how long have I got"
    ).reply_to(1)
    assert "Four minutes gone; three minutes are usual." in Run(
        "I'm ready", 240.0, "how long have I got"
    ).reply_to(1)


@pytest.mark.parametrize(
    ("command", "low", "high"),
    [(Command.SLOWER, 0.5, 1.0), (Command.FASTER, 1.0, 2.0)]
    + [(Command.SOFTER, 0.3, 1.0), (Command.LOUDER, 1.0, 1.6)],
)
def test_the_voice_changes_within_bounds_and_says_the_line_again(
    command: Command, low: float, high: float
) -> None:
    state = replace(state_in(Mode.RUNNING), last_said="The line.", rate=1.0, volume=1.0)
    for _ in range(20):
        state, said, effects = after(state, Heard(state.at_s + 1, asked(command)))
        assert said == "The line."
        assert CutOff() in effects
        [change] = [effect for effect in effects if isinstance(effect, SetVoice)]
        assert (change.rate, change.volume) == (state.rate, state.volume)
    moved = state.rate if command in {Command.SLOWER, Command.FASTER} else state.volume
    assert moved == (low if low < 1 else high)


def test_help_turns_its_pages_round() -> None:
    run = Run("help", "help", "help", "help", "help", "next")
    pages = [run.reply_to(number) for number in range(5)]
    assert len(set(pages)) == 4
    assert pages[4] == pages[0]


def test_short_words_and_long_ones() -> None:
    run = Run("I'm ready", "shorter", "next", "longer", "next")
    assert run.reply_to(1) == "Short it is. Your gloves."
    assert run.reply_to(2) == "Your gloves."
    assert run.reply_to(3) == "In full again. Put on your gloves."


def test_a_skip_that_is_refused_says_why_and_asks_for_nothing_else() -> None:
    run = Run("my gloves are on", "skip it", "next")
    assert run.events("skip-refused") == [{"step": "washer", "needed_by": "mount"}]
    assert run.reply_to(1).count(".") == 2
    assert run.state.skipped == ()


def test_a_step_left_out_can_still_be_done() -> None:
    run = Run("I'm ready", "skip it", "my gloves are on")
    assert run.done == ("gloves",)
    assert run.state.skipped == ()
