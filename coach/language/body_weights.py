"""What somebody weighs, told in pounds or kilograms, which are else of a pressure or a pull."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coach.core.units import Quantity, Unit
from coach.language.mention import Mention
from coach.language.number_ranges import Moment
from coach.language.number_units import KILOGRAMS, POUNDS

_WEIGHING = frozenset("weigh weighs weighed weighing weight heavy".split())
_WEIGHED = frozenset("heavy patient man woman boy girl child baby person".split())
_WORDS_BETWEEN = 4
"""Words between "weighs" and its number (our own choice): "he weighs I think about ninety"."""


def as_weight(words: Sequence[str], mention: Mention, earliest: int, moment: Moment) -> Mention:
    """The number as a weight where it is one; any other as it is.

    `earliest` is where the words after the last number begin. Kilograms are a weight unless a
    pull is waited for.
    """
    pounds = mention.unit in {Unit.PSI, Unit.POUNDS_FORCE} and said_in_pounds(words, mention)
    kilograms = mention.unit is Unit.KILOGRAMS_FORCE and words[mention.end - 1] in KILOGRAMS
    if not pounds and not kilograms:
        return mention
    before = words[max(earliest, mention.start - _WORDS_BETWEEN) : mention.start]
    after = words[mention.end : mention.end + 1]
    weighed = not _WEIGHING.isdisjoint(before) or not _WEIGHED.isdisjoint(after)
    pulled = kilograms and moment.awaits(Quantity.PULL)
    asked = moment.quantity is Quantity.WEIGHT
    if not (weighed or asked or (kilograms and not pulled)):
        return mention
    unit = Unit.POUNDS if pounds else Unit.KILOGRAMS
    return replace(mention, unit=unit, quantity=Quantity.WEIGHT)


def said_in_pounds(words: Sequence[str], mention: Mention) -> bool:
    """Whether its unit was said as "pounds"."""
    return (words[mention.end - 1],) in POUNDS
