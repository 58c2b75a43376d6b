"""Of what a number is a rate: "he breathes, eighteen a minute" is no pulse."""

from __future__ import annotations

from collections.abc import Sequence

from coach.core.units import RATES, Quantity
from coach.language.number_ranges import Moment

COUNTED: dict[str, Quantity] = {
    **dict.fromkeys("pulse pulses heart heartbeat heartbeats beats".split(), Quantity.PULSE_RATE),
    **dict.fromkeys(
        "breath breaths breathe breathes breathing respiration respirations respiratory"
        " resps".split(),
        Quantity.BREATHING_RATE,
    ),
}
"""What is counted, by the words that tell it."""

REACH = 6
"""Words from a number within which what is counted is told (common practice, no source)."""

_BELONGING = frozenset("for of".split())
_DETERMINERS = frozenset("the his her their a".split())


def rate_of(
    quantity: Quantity, words: Sequence[str], said: range, around: range, moment: Moment
) -> Quantity:
    """The rate that is meant by the number at the places `said`; other quantities as they are.

    `around` are the places between the numbers before and after it. What no step asks for so
    exactly stays a rate of whatever is asked for.
    """
    if quantity not in RATES and quantity is not Quantity.FLOW:
        return quantity
    named = _named(words, said, around)
    if quantity is Quantity.FLOW or (named is None and quantity is not Quantity.RATE):
        return quantity if named is None else named
    wanted = RATES & {moment.quantity, *moment.step_ranges}
    if named is not None:
        return Quantity.RATE if Quantity.RATE in wanted and named not in wanted else named
    if moment.quantity in RATES:
        return moment.quantity
    return next(iter(wanted)) if len(wanted) == 1 else Quantity.RATE


def _named(words: Sequence[str], said: range, around: range) -> Quantity | None:
    """What the nearest word tells that was counted; those before a number go before those after."""
    after = [words[place] for place in range(said.stop, min(around.stop, said.stop + REACH))]
    before = [words[place] for place in range(max(around.start, said.start - REACH), said.start)]
    if after[:1] and after[0] in _BELONGING:  # "ninety for the pulse"
        after = [word for word in after[1:] if word not in _DETERMINERS]
        if after and after[0] in COUNTED:
            return COUNTED[after[0]]
    own = [words[place] for place in said]
    return next((COUNTED[w] for w in (*own, *reversed(before), *after) if w in COUNTED), None)
