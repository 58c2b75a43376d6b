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
from coach.trade.lawful_numbers import is_lawful
from coach.trade.unit_conversions import converted_to
from coach.trade.wording import number_words, unit_words

SLACK = 1 + 1e-3
"""Forgives what is lost between units."""

POUNDS_TOO_FROM = 3
"""The way of talking in which a pull in pounds is held against a known weight too."""


def weight_of(readings: Sequence[Reading]) -> tuple[Reading, float] | None:
    """The weight among readings and the most, in kilograms, of what it may be; None where there is
    none that anybody has."""
    for reading in readings:
        said = (*reading.values, *reading.alternatives)
        weights = [value for value in said if is_lawful(Quantity.WEIGHT, reading.unit, value)]
        kilograms = converted_to(max(weights, default=0.0), reading.unit, Unit.KILOGRAMS)
        if kilograms:
            return reading, kilograms
    return None


def take_weight(turn: Turn, meaning: Meaning) -> Meaning | None:
    """The meaning without the weight of the patient that was told in it, which is kept where a
    number of the skill may be a share of it; None where none was told, or has no use.

    One that the scenario has shown is kept instead of what the learner makes of it.
    """
    steps = [step for step in turn.state.skill.steps if any(map(is_share, step.readings))]
    told = told_besides(turn.state, meaning, Quantity.WEIGHT) if steps else ()
    others = tuple(r for r in meaning.readings if r.quantity is not Quantity.WEIGHT)
    rest = replace(meaning, readings=others)
    weight = weight_of(told)
    if weight is None:
        return rest if len(others) < len(meaning.readings) else None
    reading, kilograms = weight
    turn.note("weight-told", value=reading.values[0], unit=str(reading.unit))
    if all(shown.quantity is not Quantity.WEIGHT for shown in turn.state.told):
        know_weight(turn, kilograms)
    return rest


def know_weight(turn: Turn, kilograms: float | None) -> None:
    """The patient weighs so much: a pull that stands already and is too much for it does not
    stand any more."""
    turn.state = replace(turn.state, weight_kg=kilograms)
    for step in turn.state.skill.steps:
        for spec in filter(is_share, step.readings):
            _hold_again(turn, step, spec)


def _hold_again(turn: Turn, step: Step, spec: ReadingSpec) -> None:
    standing = turn.state.standing(step.id, spec.name)
    if standing is None or not standing.in_range:
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
    """What is said of a share of the weight that is more than the most in pounds, or of pounds that
    are more than the most of the weight; "" of any other number, and where nobody has told the
    weight."""
    if state.weight_kg is None:
        return ""
    if reading.unit is Unit.PERCENT_OF_WEIGHT:
        return _share_beyond(state.weight_kg, spec, reading)
    return _pull_beyond(state.weight_kg, spec, reading) if _holds_pounds(state) else ""


def _share_beyond(weight_kg: float, spec: ReadingSpec, reading: Reading) -> str:
    kilograms = weight_kg * reading.values[0] / 100
    pull = converted_to(kilograms, Unit.KILOGRAMS_FORCE, spec.unit)
    if pull is None or pull <= spec.high * SLACK:
        return ""
    said = _in_words(pull, spec.unit)
    return f"of that weight it is about {said}, and {number_words(spec.high)} are the most"


def _pull_beyond(weight_kg: float, spec: ReadingSpec, reading: Reading) -> str:
    for also in spec.also:
        if also.unit is Unit.PERCENT_OF_WEIGHT:
            kilograms = weight_kg * also.high / 100
            most = converted_to(kilograms, Unit.KILOGRAMS_FORCE, reading.unit)
            if most is not None and reading.values[0] > most * SLACK:
                share = f"{number_words(also.high)} percent of that weight"
                return f"{share} are about {_in_words(most, reading.unit)}, which is the most"
    return ""


def _holds_pounds(state: State) -> bool:
    return state.conversation >= POUNDS_TOO_FROM


def _in_words(pull: float, unit: Unit) -> str:
    return f"{number_words(round(pull, 1))} {unit_words(unit, pull)}"
