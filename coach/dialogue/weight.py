"""A pull told as a share of the body's weight: once that is known, the limits in pounds apply."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coach.core.meaning import Meaning, Reading
from coach.core.units import Quantity, Unit
from coach.dialogue import lines
from coach.dialogue.earlier_sessions import told_besides
from coach.dialogue.oxygen import forget_numbers
from coach.dialogue.state import State
from coach.dialogue.turn import Turn
from coach.procedure.model import ReadingSpec, Step
from coach.trade.lawful_numbers import HEAVIEST_KG, LIGHTEST_KG
from coach.trade.unit_conversions import converted_to
from coach.trade.wording import number_words, unit_words


def weight_of(readings: Sequence[Reading]) -> float | None:
    """The weight among readings, in kilograms; the most of what it may be; None where there is
    none that anybody has."""
    for reading in readings:
        said = (*reading.values, *reading.alternatives)
        weights = [converted_to(value, reading.unit, Unit.KILOGRAMS) for value in said]
        possible = [w for w in weights if w is not None and LIGHTEST_KG <= w <= HEAVIEST_KG]
        if possible:
            return max(possible)
    return None


def take_weight(turn: Turn, meaning: Meaning) -> Meaning | None:
    """The meaning without the weight of the patient that was told in it, which is kept where a
    number of the skill may be a share of it; None where none was told, or has no use.

    A share that stands already and is too much of that weight does not stand any more.
    """
    steps = [step for step in turn.state.skill.steps if any(map(is_share, step.readings))]
    told = told_besides(turn.state, meaning, Quantity.WEIGHT) if steps else ()
    others = tuple(r for r in meaning.readings if r.quantity is not Quantity.WEIGHT)
    rest = replace(meaning, readings=others)
    weight = weight_of(told)
    if weight is None:
        return rest if len(others) < len(meaning.readings) else None
    turn.note("weight-told", kilograms=round(weight, 1))
    turn.state = replace(turn.state, weight_kg=weight)
    for step in steps:
        for spec in step.readings:
            _hold_again(turn, step, spec)
    return rest


def _hold_again(turn: Turn, step: Step, spec: ReadingSpec) -> None:
    standing = turn.state.standing(step.id, spec.name)
    if standing is None or not standing.in_range or standing.unit is not Unit.PERCENT_OF_WEIGHT:
        return
    told = beyond_by_weight(
        turn.state, spec, Reading(standing.quantity, standing.values, standing.unit)
    )
    if not told:
        return
    turn.note("too-much-by-weight", step=step.id, reading=spec.name)
    turn.say(lines.sentence(told))
    if turn.state.quiet:
        outside = replace(standing, in_range=False)
        others = tuple(r for r in turn.state.readings if r is not standing)
        turn.state = replace(turn.state, readings=(*others, outside))
        return
    forget_numbers(turn, (step.id,))
    turn.state = replace(
        turn.state,
        credits=tuple(credit for credit in turn.state.credits if credit.step != step.id),
        asked=step.id,
        focus=None,
    )
    turn.note("taken-back", step=step.id)


def is_share(spec: ReadingSpec) -> bool:
    """Whether its number may be told as a share of the body's weight."""
    return any(also.unit is Unit.PERCENT_OF_WEIGHT for also in spec.also)


def beyond_by_weight(state: State, spec: ReadingSpec, reading: Reading) -> str:
    """What is said of a share of the weight that is more than the most in pounds; "" of any other
    number, and where nobody has told the weight."""
    if reading.unit is not Unit.PERCENT_OF_WEIGHT or state.weight_kg is None:
        return ""
    kilograms = state.weight_kg * reading.values[0] / 100
    pull = converted_to(kilograms, Unit.KILOGRAMS_FORCE, spec.unit)
    if pull is None or pull <= spec.high * (1 + 1e-3):
        return ""
    said = f"{number_words(round(pull, 1))} {unit_words(spec.unit, pull)}"
    return f"of that weight it is about {said}, and {number_words(spec.high)} are the most"
