"""Hints in recall: the smallest first, a larger one each time more help is needed."""

from __future__ import annotations

from dataclasses import replace

from coach.dialogue import lines
from coach.dialogue.progress import open_steps, suggested
from coach.dialogue.state import State
from coach.dialogue.turn import About, Turn
from coach.procedure.model import Step
from coach.trade.wording import cardinal

LARGEST = 4
"""Hints for a step: what it is good for, its name, the whole sentence, how it is done."""


def hint(turn: Turn) -> bool:
    """Give the next larger hint for the step that is due; false when there is none to give."""
    step = suggested(turn.state)
    if step is None:
        return False
    level = min(turn.state.hints.get(step.id, 0) + 1, LARGEST)
    turn.state = replace(turn.state, hints={**turn.state.hints, step.id: level})
    turn.note("hint", step=step.id, level=level)
    turn.say(hint_words(step, level), About.HINT)
    return True


def more_to_give(state: State) -> bool:
    """Whether the largest hint for the step that is due has not been given yet."""
    step = suggested(state)
    return step is not None and state.hints.get(step.id, 0) < LARGEST


def how_many_left(turn: Turn) -> None:
    """The number of open steps, which names none of them."""
    left = len(open_steps(turn.state))
    turn.note("left-asked", left=left)
    turn.say(
        lines.sentence(f"{cardinal(left)} {'step' if left == 1 else 'steps'} to go"), About.HINT
    )


def hint_words(step: Step, level: int) -> str:
    """The hint for a step: 1 is what it is good for, 2 its name, 3 what to do, 4 how."""
    if level == 1:
        return lines.sentence(step.why)
    if level == 2:
        return lines.sentence(f"think of {step.name}")
    return lines.sentence(step.say if level == 3 else step.how)
