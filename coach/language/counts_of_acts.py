"""Numbers that tell how often an act was done, or what a sign scored: "five back blows"."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from coach.core.units import Quantity, Unit
from coach.language.mention import Mention
from coach.language.number_words import FILLERS, SCORED
from coach.language.numbers import SpokenNumber

THINGS = frozenset("blows slaps thrusts compressions breaths ventilations point points".split())
"""What a step does, or gives, a number of times."""

LONGEST_THING = 3
"""Words of such a thing with what is said of it ("firm back blows")."""


def as_row(mention: Mention, known: Iterable[SpokenNumber]) -> Mention:
    if not any(number in mention.numbers for number in known):
        return mention
    return replace(mention, unit=Unit.COUNTED, quantity=Quantity.COUNT)


def tells_how_often(words: Sequence[str], start: int, end: int) -> bool:
    """Whether a number counts what a step does ("five firm back blows"), or scores ("motor six").

    A score's number ends what is said, or another part follows it.
    """
    scores = start > 0 and words[start - 1] in SCORED
    ends = end == len(words) or words[end] in SCORED or words[end] in FILLERS
    return (scores and ends) or not THINGS.isdisjoint(words[end : end + LONGEST_THING])


def is_count(words: Sequence[str], mention: Mention) -> bool:
    """Whether "eight breaths" is a count; "eight breaths a minute" is a rate."""
    said = words[mention.start : mention.end]
    return mention.unit is Unit.PER_MINUTE and not {"minute", "minutes", "min", "bpm"} & set(said)
