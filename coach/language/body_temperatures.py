"""Body temperatures, told with "degrees", with their scale, or after the word for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coach.core.units import Quantity, Unit
from coach.language.mention import Mention
from coach.language.number_ranges import Moment

_NAMED = frozenset("temperature temp thermometer".split())
_WORDS_BETWEEN = 5
"""Words between "temperature" and its number (our own choice): "his temp by mouth is about"."""

_SCALES = {
    **dict.fromkeys(("celsius", "centigrade", "c"), Unit.DEGREES_CELSIUS),
    **dict.fromkeys(("fahrenheit", "f"), Unit.DEGREES_FAHRENHEIT),
}
"""The scales as they are said after a number; single letters only where one is waited for."""

_NOT_MEASURED = frozenset("if not no isn't wasn't under below over above than normally".split())

_OTHER_THINGS = frozenset("water tap shower room air outside weather".split())
"""What else has a temperature: the water that cools a burn."""


def as_temperature(
    words: Sequence[str], mention: Mention, earliest: int, moment: Moment
) -> Mention | None:
    """The number as a body temperature where it is told as one; None where it is told as one that
    was not measured. `earliest` is where the words after the last number begin."""
    if mention.unit is not None or mention.quantity is not None or len(mention.numbers) != 1:
        return mention
    if not moment.hears(Quantity.TEMPERATURE) or len(mention.numbers[0].values) != 1:
        return mention
    end, degrees = mention.end, words[mention.end : mention.end + 1] in (["degrees"], ["degree"])
    end += degrees
    unit = _SCALES.get(words[end]) if end < len(words) else None
    before = words[max(earliest, mention.start - _WORDS_BETWEEN) : mention.start]
    if not (degrees or unit or not _NAMED.isdisjoint(before)):
        return mention
    end += unit is not None
    of = (*_of(before), *words[end : end + 1])
    if not _NOT_MEASURED.isdisjoint(before) or not _OTHER_THINGS.isdisjoint(of):
        return None
    return replace(mention, end=end, unit=unit, quantity=Quantity.TEMPERATURE)


def _of(before: Sequence[str]) -> Sequence[str]:
    """The words before a number that tell of what it is: those from the one before "temperature"
    on, "stop the water his temperature is" telling of him."""
    named = [place for place, word in enumerate(before) if word in _NAMED]
    return before[max(0, named[-1] - 1) :] if named else before
