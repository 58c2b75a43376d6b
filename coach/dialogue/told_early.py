"""A step told while another has to come before it: kept, and asked about once that one is done.

What comes first may have been done and not heard. The learner then need not say all of it again,
and nothing counts without a yes.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from coach.core.meaning import Part, StepMention
from coach.dialogue import lines
from coach.dialogue.progress import missing_first
from coach.dialogue.state import ConfirmStep, ToldEarly
from coach.dialogue.turn import Turn
from coach.procedure.model import Step

ASKED_ABOUT_FROM = 2
"""The way of talking in which it is asked about."""


def keep(turn: Turn, step: Step, mention: StepMention, said: str, first: Step) -> None:
    """Keep what was told of a step for which `first` is missing.

    What is timed is done anew, and so is what a complication has to be seen to for: it was told
    of a patient who is another by then.
    """
    timed = step.clock or step.pace or step.count or first.complication
    whole = mention.part in {Part.DONE, Part.PARTNER} and not mention.denied
    if turn.state.conversation < ASKED_ABOUT_FROM or timed or not whole:
        return
    forget(turn, {step.id})
    told = ToldEarly(mention, said, first.id)
    turn.state = replace(turn.state, told_early=(*turn.state.told_early, told))
    turn.note("told-early", step=step.id, needs=first.id)


def forget(turn: Turn, steps: Collection[str]) -> None:
    """These steps were done, denied or left out: nothing is to be asked about them."""
    if turn.state.told_early:
        kept = tuple(told for told in turn.state.told_early if told.mention.step not in steps)
        turn.state = replace(turn.state, told_early=kept)


def ask_about(turn: Turn, step: Step) -> bool:
    """Ask once whether a step told of before is done; false where none was, or it has to wait."""
    state = turn.state
    told = next((told for told in state.told_early if told.mention.step == step.id), None)
    if told is None or missing_first(state, step) is not None:
        return False
    first = state.step(told.first)
    forget(turn, {step.id})
    if first is None:
        return False
    turn.state = replace(turn.state, pending=ConfirmStep(step.id, told))
    turn.say(lines.told_early(lines.prompt(step, state.short), first))
    turn.note("asked-about-told", step=step.id)
    return True
