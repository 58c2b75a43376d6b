"""A yes or a no, to whatever the coach has just asked."""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Meaning, Part, StepMention
from coach.dialogue import lines
from coach.dialogue.clock import ends_by_a_word
from coach.dialogue.crediting import after_credits, lead_on
from coach.dialogue.impossible import BY_NAME_FROM
from coach.dialogue.mentions import take_mentions
from coach.dialogue.misses import choose_between
from coach.dialogue.numbers import contradict, let_stand, wait_for
from coach.dialogue.points_in_a_row import read_back_row, told_in_a_row
from coach.dialogue.progress import asked_anew, in_hand
from coach.dialogue.state import (
    ChooseStep,
    ConfirmStep,
    ConfirmTraining,
    DoubtScore,
    ReadBack,
    State,
    WhichUnit,
)
from coach.dialogue.training import answered_training
from coach.dialogue.turn import About, Turn
from coach.dialogue.units_asked import pressure_unit, which_unit, with_unit


def ask_again(turn: Turn) -> None:
    """A number still in question is asked about again after something else was said."""
    pending = turn.state.pending
    if isinstance(pending, ReadBack) and not turn.says(About.NUMBERS):
        turn.say(lines.question_of_numbers(pending.proposals), About.NUMBERS)


def answered(turn: Turn, meaning: Meaning) -> bool:
    """Act on a yes or no; true when the utterance has been dealt with."""
    pending = turn.state.pending
    rest = bool(meaning.steps or meaning.readings or meaning.command)
    if isinstance(pending, ReadBack):
        return _of_numbers(turn, meaning, pending)
    if isinstance(pending, ConfirmStep):
        _of_step(turn, meaning, pending)
        return not rest
    if isinstance(pending, ConfirmTraining):
        return answered_training(turn, meaning, pending)
    if rest:
        return False
    if isinstance(pending, ChooseStep):
        choose_between(turn, meaning)
    elif isinstance(pending, WhichUnit) and turn.state.conversation >= BY_NAME_FROM:
        _of_unit(turn, meaning, pending)
    elif isinstance(pending, DoubtScore):
        turn.state = replace(turn.state, pending=None)
        turn.say(pending.then)
        lead_on(turn)
    else:
        _unasked(turn, meaning)
    return True


def _of_numbers(turn: Turn, meaning: Meaning, pending: ReadBack) -> bool:
    """A yes lets the numbers stand unless it comes with another; a no drops them."""
    row = told_in_a_row(turn.state, meaning)
    by_name = turn.state.conversation >= BY_NAME_FROM
    said = {(r.quantity, r.values) for r in ([p.reading for p in row] or meaning.readings)}
    same_again = said <= {(p.reading.quantity, p.reading.values) for p in pending.proposals}
    if by_name and row:
        same_again = {(p.step, p.name) for p in row} <= {
            (p.step, p.name) for p in pending.proposals
        } and same_again
    if meaning.answer == "yes" and same_again:
        let_stand(turn, "yes")
        if meaning.steps or meaning.command:
            return False
        after_credits(turn)
        return True
    if meaning.answer == "no" and row:
        read_back_row(turn, row, instead=by_name)
        return True
    if meaning.answer == "no" and not meaning.readings:
        contradict(turn)
        return not (meaning.steps or meaning.command)
    return False


def _of_step(turn: Turn, meaning: Meaning, pending: ConfirmStep) -> None:
    turn.state = replace(turn.state, pending=None)
    if meaning.answer == "yes" and pending.told is not None:
        take_mentions(turn, (pending.told.mention,), said=pending.told.said)
        after_credits(turn)
    elif meaning.answer == "yes":
        part = Part.CLOCK_END if ends_by_a_word(turn.state, pending.step) else Part.DONE
        take_mentions(turn, (StepMention(pending.step, part=part),), done_said=True)
        after_credits(turn)
    else:
        if pending.told is not None:
            turn.note("step-denied", step=pending.step)
        turn.state = replace(turn.state, misses=0)
        lead_on(turn)


def _of_unit(turn: Turn, meaning: Meaning, pending: WhichUnit) -> None:
    """A yes to "this unit or that" tells neither; a no leaves the number."""
    if meaning.answer == "yes":
        turn.say(lines.sentence(which_unit(pending.reading)), About.NUMBERS)
        return
    turn.state = replace(turn.state, pending=None)
    lead_on(turn)


def _answers_nothing(state: State) -> bool:
    """Whether a yes follows what no yes can answer: a number that nothing took, or a danger."""
    return 0 < state.misses == state.no_yes_at


def _unasked(turn: Turn, meaning: Meaning) -> None:
    """Nothing was asked: a yes is about the step the coach waits for."""
    step = in_hand(turn.state)
    anew = asked_anew(turn.state)
    if meaning.answer == "yes" and anew is not None:
        wait_for(turn, *anew)  # a yes is no number
        turn.say(lines.sentence(with_unit(anew[1], pressure_unit(turn.state))))
    elif meaning.answer == "yes" and step is not None and _answers_nothing(turn.state):
        turn.say(lines.tell_me_about(step))
    elif meaning.answer != "yes":
        turn.say("All right, take your time.")
        lead_on(turn)
    elif step is not None and step.id not in turn.state.done:
        take_mentions(turn, (StepMention(step.id),), done_said=True)
        after_credits(turn)
    else:
        turn.state = replace(turn.state, focus=None)
        lead_on(turn)
