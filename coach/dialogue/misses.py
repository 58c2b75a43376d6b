"""What was not understood: asked once in other words, then the two likeliest, then the keys."""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Meaning, StepMention
from coach.dialogue import lines
from coach.dialogue.crediting import after_credits, lead_on, take_mentions
from coach.dialogue.progress import next_reading, suggested
from coach.dialogue.state import ChooseStep, ConfirmStep, Mode, ReadBack
from coach.dialogue.turn import Turn

FIRST_ONE = frozenset({"first", "one", "former"})
SECOND_ONE = frozenset({"second", "two", "latter", "last", "other"})
NEITHER = frozenset({"neither", "none"})


def not_understood(turn: Turn, meaning: Meaning) -> None:
    """Ask in other words, the second time offer two steps, then point to keyboard and pedal."""
    state = turn.state
    misses = state.misses + 1
    turn.state = replace(turn.state, misses=misses)
    turn.note("not-understood", text=meaning.text, likely=list(meaning.likely))
    if state.mode is Mode.READY:
        turn.say("Say I'm ready to begin, or help at any time." if misses < 3 else "")
        return
    if isinstance(state.pending, ReadBack):
        turn.say(lines.question_of_numbers(state.pending.proposals))
        return
    step = suggested(state)
    if step is None or misses > 3:
        return
    likely = [found for s in meaning.likely if (found := state.step(s)) and s not in state.done]
    if misses == 1:
        if likely and likely[0].aloud:
            turn.say(lines.say_aloud(likely[0]))
            return
        if likely:
            turn.state = replace(turn.state, pending=ConfirmStep(likely[0].id))
            turn.say(lines.sentence(f"is this done: {likely[0].name}?"))
            return
        spec = next_reading(state, step)
        turn.say("Sorry, I did not get that.")
        turn.say(lines.sentence(spec.ask if spec else f"tell me about {step.name}, or say help"))
    elif misses == 2:
        offered = [*likely, *([step] if step not in likely else [])][:2]
        turn.state = replace(turn.state, pending=ChooseStep(tuple(offer.id for offer in offered)))
        names = " or ".join(offer.name for offer in offered)
        turn.say(lines.sentence(f"did you mean {names}?"))
    else:
        turn.state = replace(turn.state, pending=None)
        turn.say("I can't make it out: press space or the pedal for yes, or page up to repeat.")


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
