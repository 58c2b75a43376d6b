"""Of what a percentage is told: of the oxygen in the blood, or of the body that is burned."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coach.core.units import PERCENTAGES, Quantity
from coach.language.number_ranges import Moment

TELLING: dict[str, Quantity] = {
    **dict.fromkeys(
        "saturation saturations saturating sat sats satting spo2 oximeter oxygen o2".split(),
        Quantity.SATURATION,
    ),
    **dict.fromkeys(
        "burned burnt burn burns scalded scald charred blistered tbsa surface".split(),
        Quantity.BURNED_AREA,
    ),
}
"""Words that tell of what a percentage is."""

NAMES = {
    Quantity.SATURATION: "percent saturation",
    Quantity.BURNED_AREA: "percent burned",
}
"""What a percentage is called where it has to be asked which one it is."""

REACH = 6
"""Words from a number within which it is told what it is of (common practice, no source)."""

_OF_THE_BODY = (
    *("of the body", "of his body", "of her body", "of the skin", "of his skin"),
    *("of her skin", "of the patient's body", "of body surface", "of the total body"),
)


def percentage_of(
    words: Sequence[str], said: range, around: range, moment: Moment
) -> Quantity | None:
    """What the percentage at the places `said` is of; None where nobody can tell.

    `around` are the places between the numbers before and after it.
    """
    after = words[said.stop : min(around.stop, said.stop + REACH)]
    before = words[max(around.start, said.start - REACH) : said.start]
    behind = " ".join(after)
    if behind.startswith(_OF_THE_BODY):
        return Quantity.BURNED_AREA
    if after and after[0] in TELLING:
        return TELLING[after[0]]
    told = {found for found in (_nearest(reversed(before)), _nearest(after)) if found}
    if len(told) == 1:
        return told.pop()
    if told and moment.awaits(Quantity.BURNED_AREA):
        return None
    if moment.quantity in PERCENTAGES:
        return moment.quantity
    if len(PERCENTAGES & moment.step_ranges.keys()) > 1:
        return None
    area = moment.awaits(Quantity.BURNED_AREA) and not told
    return Quantity.BURNED_AREA if area else Quantity.SATURATION


def names_percentage(words: Sequence[str]) -> bool:
    """Whether words without a number tell of one percentage: "the saturation"."""
    return len({TELLING[word] for word in words if word in TELLING}) == 1


def _nearest(words: Iterable[str]) -> Quantity | None:
    return next((TELLING[word] for word in words if word in TELLING), None)
