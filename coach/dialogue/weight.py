"""A pull told as a share of the body's weight: once that is known, the limits in pounds apply."""

from __future__ import annotations

from dataclasses import replace

from coach.core.meaning import Meaning, Reading
from coach.core.units import Unit
from coach.dialogue import lines
from coach.dialogue.oxygen import forget_numbers
from coach.dialogue.state import State
from coach.dialogue.turn import Turn
from coach.language.number_ranges import converted_to
from coach.language.numbers import find_numbers
from coach.procedure.model import ReadingSpec, Step
from coach.trade.liquid_oxygen import KILOGRAMS_PER_POUND
from coach.trade.wording import number_words, unit_words

LIGHTEST_KG, HEAVIEST_KG = 2.0, 350.0
"""Kilograms that a patient may weigh (from memory)."""

_KILOGRAMS_PER_UNIT = {
    **dict.fromkeys(("kilo", "kilos", "kilogram", "kilograms", "kg"), 1.0),
    **dict.fromkeys(("pound", "pounds", "lb", "lbs"), KILOGRAMS_PER_POUND),
}
_WEIGHING = frozenset("weigh weighs weighed weighing weight".split())
_WEIGHED = frozenset("heavy patient man woman boy girl child person".split())
_WORDS_BETWEEN = 4
"""Words between "weighs" and its number (our own choice): "he weighs I think about ninety"."""


def weight_told(text: str) -> float | None:
    """What a sentence says that somebody weighs, in kilograms; the most of what it may mean."""
    words = text.split()
    if "if" in words:
        return None
    for number in find_numbers(words):
        per_unit = _KILOGRAMS_PER_UNIT.get(words[number.end] if number.end < len(words) else "")
        if per_unit is None:
            continue
        before = words[max(0, number.start - _WORDS_BETWEEN) : number.start]
        after = words[number.end + 1 : number.end + 2]
        if _WEIGHING.isdisjoint(before) and _WEIGHED.isdisjoint(after):
            continue
        weights = [value * per_unit for value in (*number.values, *number.sound_alikes)]
        weights = [each for each in weights if LIGHTEST_KG <= each <= HEAVIEST_KG]
        if weights:
            return max(weights)
    return None


def note_weight(turn: Turn, meaning: Meaning) -> bool:
    """Keep what the patient weighs, where a number of the skill may be a share of it.

    A share that stands already and is too much of that weight does not stand any more. True where
    a weight was told.
    """
    steps = [step for step in turn.state.skill.steps if any(map(_shares, step.readings))]
    weight = weight_told(meaning.text) if steps else None
    if weight is None:
        return False
    turn.note("weight-told", kilograms=round(weight, 1))
    turn.state = replace(turn.state, weight_kg=weight)
    for step in steps:
        for spec in step.readings:
            _hold_again(turn, step, spec)
    return True


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


def _shares(spec: ReadingSpec) -> bool:
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
