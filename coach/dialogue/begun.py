"""What begins to run with a step that is told as begun, in every way of practising."""

from __future__ import annotations

from coach.dialogue.clock import start_clock
from coach.dialogue.interval import start_interval
from coach.dialogue.pace import start_pace
from coach.dialogue.turn import Turn
from coach.procedure.model import Step


def begin(turn: Turn, step: Step) -> None:
    """Start what the step has: its counting, its pace, or its clock."""
    if step.count is not None:
        start_interval(turn, step)
    elif step.pace is not None:
        start_pace(turn, step)
    else:
        start_clock(turn, step)
