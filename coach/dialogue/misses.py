"""What was not understood: asked once in other words, then the two likeliest, then the keys."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coach.core.meaning import Doubt, Meaning, StepMention
from coach.dialogue import lines
from coach.dialogue.crediting import after_credits, lead_on
from coach.dialogue.impossible import BY_NAME_FROM
from coach.dialogue.mentions import take_mentions
from coach.dialogue.numbers import wait_for
from coach.dialogue.progress import (
    asked_anew,
    awaited_reading,
    missing_first,
    open_first,
    suggested,
)
from coach.dialogue.since import since_lines
from coach.dialogue.state import ChooseStep, ConfirmStep, ConfirmTraining, Mode, ReadBack, State
from coach.dialogue.turn import About, Turn
from coach.dialogue.units_asked import pressure_unit, with_unit
from coach.language.commands import is_hedged_answer
from coach.language.dangers import tells_danger
from coach.language.doubted_words import doubted_words
from coach.language.numbers import states_a_number, tells_a_number
from coach.language.questions import asks_since_when
from coach.procedure.model import ReadingSpec, Step

FIRST_ONE = frozenset({"first", "one", "former"})
SECOND_ONE = frozenset({"second", "two", "latter", "last", "other"})
DANGERS_FROM = 4
"""The way of talking since which no step is offered for a danger, nor one that only comes first."""

NEITHER = frozenset({"neither", "none"})


def not_understood(turn: Turn, meaning: Meaning) -> None:
    """Ask in other words, the second time offer two steps, then point to keyboard and pedal."""
    state = turn.state
    if asks_since_when(meaning.text) and (running := since_lines(state)):
        for line in running:
            turn.say(line, About.COUNT)
        return
    misses = state.misses + 1
    turn.state = replace(turn.state, misses=misses)
    turn.note("not-understood", text=meaning.text, likely=list(meaning.likely))
    if state.mode is Mode.READY:
        turn.say("Say I'm ready to begin, or help at any time." if misses < 3 else "")
        return
    hedged = is_hedged_answer(meaning.text.split())
    if hedged and isinstance(state.pending, ReadBack | ConfirmStep | ConfirmTraining):
        turn.say("Please answer with a plain yes or no.")
    if isinstance(state.pending, ConfirmTraining) and misses == 1:
        turn.say(lines.IS_IT_FOR_TRAINING)
        return
    if isinstance(state.pending, ReadBack):
        _doubt(turn, state.pending)
        return
    if hedged and isinstance(state.pending, ConfirmStep):
        asked = next(s for s in state.skill.steps if s.id == state.pending.step)
        turn.say(lines.is_it_done(asked))
        return
    step = suggested(state)
    if step is None or misses > 3:
        return
    likely = [found for s in meaning.likely if (found := state.step(s)) and s not in state.done]
    spec = awaited_reading(state, step) if missing_first(state, step) is None else None
    if (anew := asked_anew(state)) is not None:
        step, spec = anew
        wait_for(turn, step, spec)
    if state.conversation >= DANGERS_FROM and tells_danger(meaning.text):
        turn.state = replace(turn.state, pending=None, no_yes_at=misses)
        turn.say(lines.COMES_FIRST)
        turn.say(lines.sentence(f"in this drill the next is {step.name}"))
    elif spec is not None and (not likely or tells_a_number(meaning.text)):
        _ask_for_number(turn, spec, misses)
    elif misses < 3 and not _may_be_offered(state, meaning, likely):
        turn.state = replace(turn.state, pending=None, no_yes_at=misses)
        _ask_otherwise(turn, step, None, "")
    elif misses == 1:
        meant = open_first(state, likely[0]) if likely else None
        if state.conversation >= DANGERS_FROM and meant not in likely:
            meant = None
        _ask_otherwise(turn, step, meant, doubted_words(meaning, meant.id) if meant else "")
    elif misses == 2:
        offered = [*likely, *([step] if step not in likely else [])][:2]
        turn.state = replace(turn.state, pending=ChooseStep(tuple(offer.id for offer in offered)))
        names = " or ".join(offer.name for offer in offered)
        turn.say(lines.sentence(f"did you mean {names}?"))
    else:
        turn.state = replace(turn.state, pending=None)
        turn.say("I can't make it out: press space or the pedal for yes, or page up to repeat.")


def _may_be_offered(state: State, meaning: Meaning, likely: Sequence[Step]) -> bool:
    """Whether a step may be offered for what was not understood.

    After a number that nothing took ("the pain is eleven") only a step that has one to give: what
    else shares a word with it is not what was told.
    """
    if state.conversation < BY_NAME_FROM or not states_a_number(meaning.text):
        return True
    return bool(likely) and open_first(state, likely[0]) is likely[0] and bool(likely[0].readings)


def _doubt(turn: Turn, pending: ReadBack) -> None:
    """Something was said to the read-back and not made out: from now on only a yes will do."""
    doubtful = tuple(
        replace(p, reading=replace(p.reading, doubt=p.reading.doubt or Doubt.HEDGED))
        for p in pending.proposals
    )
    turn.state = replace(turn.state, pending=ReadBack(doubtful))
    turn.say(lines.question_of_numbers(doubtful))


def _ask_for_number(turn: Turn, spec: ReadingSpec, misses: int) -> None:
    """The number is asked for again, then digit by digit, then from nearer by."""
    turn.state = replace(turn.state, pending=None)
    if misses == 1:
        turn.say("Sorry, I did not get that.")
        turn.say(lines.sentence(with_unit(spec, pressure_unit(turn.state))))
    elif misses == 2:
        turn.say(lines.sentence(with_unit(spec, pressure_unit(turn.state))))
        turn.say("Say it digit by digit.")
    else:
        turn.say("I can't make out the number: say it slowly, close to the microphone.")


def _ask_otherwise(turn: Turn, step: Step, likely: Step | None, doubted: str) -> None:
    """The same in other words, about the step that was perhaps meant, or has to come before it.

    `doubted` are the words for which it is only perhaps meant.
    """
    if likely is not None and likely.aloud:
        turn.say(lines.you_said(doubted))
        turn.say(lines.say_aloud(likely))
    elif likely is not None:
        turn.state = replace(turn.state, pending=ConfirmStep(likely.id))
        turn.say(lines.is_it_done(likely, doubted))
    else:
        turn.say("Sorry, I did not get that.")
        turn.say(lines.tell_me_about(step))


def choose_between(turn: Turn, meaning: Meaning) -> None:
    """The answer to "did you mean this or that"."""
    pending = turn.state.pending
    if not isinstance(pending, ChooseStep):
        return
    words = set(meaning.text.split())
    chosen: str | None = None
    if meaning.answer == "no" or words & NEITHER:
        turn.state = replace(turn.state, pending=None, misses=0)
        lead_on(turn)
        return
    if (len(pending.steps) == 1 and meaning.answer == "yes") or words & FIRST_ONE:
        chosen = pending.steps[0]
    elif words & SECOND_ONE and len(pending.steps) > 1:
        chosen = pending.steps[1]
    if chosen is None:
        if meaning.answer == "yes":
            turn.say("Which one: the first or the second?")
            return
        turn.state = replace(turn.state, pending=None)
        not_understood(turn, meaning)
        return
    turn.state = replace(turn.state, pending=None, misses=0)
    take_mentions(turn, (StepMention(chosen),), done_said=True)
    after_credits(turn)
