"""What counts of a conversation when a turn is judged."""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.meaning import (
    Expectation,
)
from coach.core.units import Quantity
from coach.dialogue.state import ChooseStep, Mode, ReadBack, State
from coach.dialogue.turn import expectation


@dataclass(frozen=True, slots=True)
class Moment:
    """What counts of the conversation when a turn is judged.

    `expect` is what was asked, `in_question` the quantity of a number that was read back.
    `silence_agrees`: it would stand by silence. `choosing`: one of two steps is to be named.
    `counting_aloud`: the learner may be counting, so numbers are not for the coach.
    """

    expect: Expectation | None = None
    in_question: Quantity | None = None
    silence_agrees: bool = False
    choosing: bool = False
    counting_aloud: bool = False
    mode: Mode = Mode.RUNNING


ANY_MOMENT = Moment()
"""Nothing was asked."""


def moment_of(state: State) -> Moment:
    """The moment of a conversation."""
    pending = state.pending
    asked = pending.proposals[0].reading.quantity if isinstance(pending, ReadBack) else None
    return Moment(
        expect=expectation(state),
        in_question=asked,
        silence_agrees=isinstance(pending, ReadBack) and pending.sure,
        choosing=isinstance(pending, ChooseStep),
        counting_aloud=state.counting_aloud,
        mode=state.mode,
    )
