"""What the learner said, and what the coach does about it: running, paused, silenced."""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Command, CylinderTold, Kind, Meaning
from coach.dialogue import lines
from coach.dialogue.answers import answered, ask_again
from coach.dialogue.burned import note_burned_parts
from coach.dialogue.crediting import after_credits, finish, lead_on
from coach.dialogue.dose_asked import answer_dose_question
from coach.dialogue.earlier_sessions import as_heard_now
from coach.dialogue.effects import StartTimer
from coach.dialogue.events import Heard
from coach.dialogue.forbidden import warn
from coach.dialogue.interval import without_begun
from coach.dialogue.mentions import take_mentions
from coach.dialogue.meter_range import shown_without_number, take_finding_of_meter
from coach.dialogue.misses import choose_between, not_understood
from coach.dialogue.numbers import ask_for_another, take_corrections, take_readings
from coach.dialogue.points_in_a_row import (
    named_and_impossible,
    read_back_row,
    told_in_a_row,
    without_choice,
)
from coach.dialogue.quietly import commanded_quietly, heard_quietly
from coach.dialogue.state import (
    ChooseStep,
    ConfirmStep,
    ConfirmStop,
    ConfirmTraining,
    DoubtScore,
    Mode,
    ReadBack,
    WhichUnit,
)
from coach.dialogue.talk import HANDLERS, WHILE_PAUSED, begin, go_on, silence
from coach.dialogue.temperature import take_temperature
from coach.dialogue.told_total import contradict_total, unlike_the_points
from coach.dialogue.training import act_on, told_of_cylinder
from coach.dialogue.turn import STAND, STAND_SECONDS, About, Turn
from coach.dialogue.weight import take_weight
from coach.language.counting import counted_in, told_among_numbers

AS_OUTSIDE_A_PAUSE_FROM = 2
"""The way of talking in which a quiet coach answers commands in a pause as outside of it."""


def heard(turn: Turn, event: Heard) -> None:
    """Act on what was understood, as the mode of the session has it."""
    meaning = as_heard_now(turn.state, event.meaning)
    if meaning.command is Command.QUIET:
        silence(turn)
        turn.finish_line()
        return
    if turn.state.mode is Mode.SILENCED:
        if meaning.command is Command.STOP:
            turn.state = replace(turn.state, mode=Mode.ENDED)
            turn.note("ended-silently")
        return
    if not meaning.text or meaning.idle:
        again_to_stand(turn)
        return
    turn.state = replace(turn.state, nudged=False, cut_short=False, said_again=False)
    anew = turn.state.asked_anew
    if counted_in(meaning.text):
        turn.state = replace(turn.state, spoken_since_s=None)  # counted on into the words
    if answer_dose_question(turn, meaning):
        pass
    elif turn.state.mode is Mode.PAUSED:
        _heard_paused(turn, meaning)
    else:
        _heard_running(turn, meaning)
    if turn.state.asked_anew is anew and meaning.command is None:
        turn.state = replace(turn.state, asked_anew=None)  # it was answered, or passed over
    if turn.state.mode is not Mode.ENDED:
        turn.listen()


def again_to_stand(turn: Turn) -> None:
    """Noise interrupted the silence in which a sure number would have stood."""
    pending = turn.state.pending
    if isinstance(pending, ReadBack) and pending.sure:
        turn.do(StartTimer(STAND, STAND_SECONDS))


def _heard_paused(turn: Turn, meaning: Meaning) -> None:
    stopping = isinstance(turn.state.pending, ConfirmStop)
    if stopping and (meaning.answer == "yes" or meaning.command is Command.STOP):
        finish(turn)
        return
    if stopping and (meaning.answer == "no" or meaning.command is Command.UNDO):
        go_on(turn)
        return
    clock = turn.state.clock
    counted = [mention for mention in meaning.steps if clock and mention.step == clock.step]
    if counted:
        take_mentions(turn, counted)
    elif meaning.command in WHILE_PAUSED and meaning.command is not None:
        turn.note("asked", command=str(meaning.command))
        if turn.state.quiet and turn.state.conversation >= AS_OUTSIDE_A_PAUSE_FROM:
            commanded_quietly(turn, meaning.command)
        else:
            HANDLERS[meaning.command](turn)
    elif meaning.kind is not Kind.NONE and not stopping:
        turn.say(lines.STILL_PAUSED, About.FRAME)


def _heard_running(turn: Turn, meaning: Meaning) -> None:
    if turn.state.counting_aloud and meaning.command is None:
        if not told_among_numbers(meaning):
            turn.note("counted-aloud", text=meaning.text)
            return
        meaning = replace(meaning, steps=told_among_numbers(meaning), readings=(), answer=None)
    if turn.state.mode is Mode.READY and _begins(meaning):
        begin(turn)
        if not meaning.steps and not meaning.readings:
            lead_on(turn)
            return
    rest = _told_besides(turn, without_choice(turn.state, meaning))
    if rest is None:
        ask_again(turn)
        after_credits(turn)
    elif turn.state.quiet:
        heard_quietly(turn, without_begun(turn.state, rest))
    elif rest.answer and not _of_cylinder(turn, rest) and answered(turn, rest):
        return
    elif rest.command is not None:
        turn.note("asked", command=str(rest.command))
        turn.state = replace(turn.state, misses=0)
        HANDLERS[rest.command](turn)
    else:
        _told_while_led(turn, rest)


def _told_besides(turn: Turn, meaning: Meaning) -> Meaning | None:
    """Note what no step waits for: burned parts, a weight, a temperature. The rest, None if none
    is left."""
    note_burned_parts(turn, meaning)
    unweighed = take_weight(turn, meaning)
    meaning = meaning if unweighed is None else unweighed
    rest = take_temperature(turn, meaning) if turn.state.mode is Mode.RUNNING else None
    left = meaning if rest is None else rest
    nothing_left = not (left.steps or left.readings or left.command)
    return None if (unweighed is not None or rest is not None) and nothing_left else left


def _told_while_led(turn: Turn, meaning: Meaning) -> None:
    """Take the steps and numbers of an utterance, then what it tells of the cylinder."""
    turn.state = replace(turn.state, warned=())
    if row := told_in_a_row(turn.state, meaning):
        read_back_row(turn, row)
        return
    if beyond_its_ends := named_and_impossible(turn.state, meaning):
        turn.state = replace(turn.state, pending=None)
        ask_for_another(turn, *beyond_its_ends, only=True)
        return
    if unlike := unlike_the_points(turn.state, meaning):
        contradict_total(turn, unlike)
        return
    if finding := shown_without_number(turn.state, meaning):
        take_finding_of_meter(turn, finding)
        after_credits(turn)
        return
    told, meaning = told_of_cylinder(turn.state, without_begun(turn.state, meaning))
    acted = bool(meaning.steps)
    if meaning.steps:
        _take_steps(turn, meaning)
    left = take_corrections(turn, meaning)
    acted = acted or len(left) < len(meaning.readings)
    if left:
        mentioned = [mention.step for mention in meaning.steps]
        acted = take_readings(turn, left, mentioned) or acted
    if told is not None:
        act_on(turn, told)
        acted = turn.state.mode is not Mode.READY
    if acted:
        ask_again(turn)
        after_credits(turn)
    elif told is None and isinstance(turn.state.pending, ChooseStep):
        choose_between(turn, meaning)
    elif told is None:
        not_understood(turn, meaning)


def _take_steps(turn: Turn, meaning: Meaning) -> None:
    """The steps of an utterance, which are an answer to what was asked about a step."""
    warn(turn, meaning.steps)
    asked_of_a_step = ConfirmStep | ChooseStep | ConfirmTraining | DoubtScore | WhichUnit
    if isinstance(turn.state.pending, asked_of_a_step):
        turn.state = replace(turn.state, pending=None)
    turn.state = replace(turn.state, misses=0)
    take_mentions(turn, meaning.steps, meaning.done_said, meaning.text)


def _of_cylinder(turn: Turn, meaning: Meaning) -> bool:
    """Whether an answer to a number says what the cylinder is, which then decides: "no, it's a
    real one"."""
    told = meaning.cylinder in {CylinderTold.TRAINING, CylinderTold.REAL}
    return told and isinstance(turn.state.pending, ReadBack)


def _begins(meaning: Meaning) -> bool:
    ready = meaning.command in {Command.RESUME, Command.NEXT} or meaning.done_said
    return bool(ready or meaning.answer == "yes" or meaning.steps or meaning.readings)
