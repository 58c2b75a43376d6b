"""What sessions of earlier programs heard otherwise, so that their journals come to the same.

In the first way of talking (`SessionStarted.conversation`) a burned area was heard as a saturation,
and no temperature or weight was heard as a number: they stand in the words alone.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from coach.core.meaning import Meaning, Reading
from coach.core.units import PERCENTAGES, Quantity
from coach.dialogue.progress import open_in_their_order
from coach.dialogue.state import State
from coach.language.readings import find_readings

OWN_QUANTITIES_FROM = 2
"""The way of talking in which burned areas, temperatures and weights are heard as what they are."""


def as_heard_now(state: State, meaning: Meaning) -> Meaning:
    """The meaning with each saturation as the burned area that it was the number of."""
    if _is_of_today(state) or not meaning.readings:
        return meaning
    wanted = _percentage_waited_for(state, [mention.step for mention in meaning.steps])
    readings = tuple(
        replace(reading, quantity=wanted) if reading.quantity is Quantity.SATURATION else reading
        for reading in meaning.readings
    )
    return replace(meaning, readings=readings)


def _percentage_waited_for(state: State, mentioned: Collection[str]) -> Quantity:
    """What a percentage said now is of; of a step done already only where no open one waits."""
    done = (step for step in reversed(state.skill.steps) if step.id in state.done)
    for step in (*open_in_their_order(state, mentioned), *done):
        for spec in step.readings:
            standing = state.standing(step.id, spec.name)
            over = step.id not in state.done and standing is not None and standing.accepted
            if spec.quantity in PERCENTAGES and not over:
                return spec.quantity
    return Quantity.SATURATION


def told_besides(state: State, meaning: Meaning, quantity: Quantity) -> tuple[Reading, ...]:
    """The numbers of a quantity that no step waits for, each told as it is."""
    readings = meaning.readings
    if not _is_of_today(state):
        readings = find_readings(meaning.text, None, besides=frozenset({quantity}))
    told = (reading for reading in readings if reading.quantity is quantity)
    return tuple(reading for reading in told if reading.outlook is None)


def _is_of_today(state: State) -> bool:
    return state.conversation >= OWN_QUANTITIES_FROM
