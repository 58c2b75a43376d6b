"""A meter that shows no number, because there is too much or too little for it: "HI" or "LO"."""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Meaning
from coach.core.units import Quantity
from coach.dialogue import lines
from coach.dialogue.crediting import credit
from coach.dialogue.progress import awaits_a_number
from coach.dialogue.state import ReadBack, State
from coach.dialogue.turn import Turn
from coach.language.meters import Beyond, beyond_the_meter
from coach.language.numbers import tells_a_number
from coach.procedure.model import ReadingSpec, Step
from coach.trade.lawful_numbers import lawful_range

TAKEN_FROM = 4
"""The way of talking in which a meter's HI or LO is a finding, and no number that was not heard."""

_NEARLY = 0.01
"""The share by which the ends of a meter in two units may differ, which are rounded."""

Finding = tuple[Step, ReadingSpec, Beyond]


def shown_without_number(state: State, meaning: Meaning) -> Finding | None:
    """What the meter that is asked for now is said to show in place of a number."""
    if state.conversation < TAKEN_FROM or meaning.readings or isinstance(state.pending, ReadBack):
        return None
    awaited = awaits_a_number(state)
    if awaited is None or awaited[1].quantity is not Quantity.GLUCOSE:
        return None
    beyond = None if tells_a_number(meaning.text) else beyond_the_meter(meaning.text)
    return None if beyond is None else (*awaited, beyond)


def take_finding_of_meter(turn: Turn, finding: Finding) -> None:
    """Let the step stand without a number, for none can be had.

    Where the step asks for a number that is not so high or low, what it says of others comes
    first, and it stands when the learner says the same again.
    """
    step, spec, beyond = finding
    insisted = step.id in turn.state.beyond_meter
    turn.note("beyond-meter", step=step.id, reading=spec.name, side=str(beyond))
    told = (*turn.state.beyond_meter, step.id)
    turn.state = replace(turn.state, beyond_meter=told, pending=None, asked=step.id, misses=0)
    may_be = _may_lie_beyond(spec, beyond)
    if not (insisted or may_be):
        turn.say(lines.sentence(spec.outside))
        turn.led = True
        return
    too_much = lines.TOO_HIGH_TO_SHOW if beyond is Beyond.ABOVE else lines.TOO_LOW_TO_SHOW
    turn.say(too_much if may_be else lines.OUTSIDE_NOTED)
    if step.id not in turn.state.done:
        credit(turn, step)


def _may_lie_beyond(spec: ReadingSpec, beyond: Beyond) -> bool:
    """Whether a reading may be as high, or as low, as its meter goes."""
    lowest, highest = lawful_range(Quantity.GLUCOSE, spec.unit)
    if beyond is Beyond.ABOVE:
        return spec.high >= highest * (1 - _NEARLY)
    return spec.low <= lowest * (1 + 10 * _NEARLY)
