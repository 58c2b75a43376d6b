"""The words for which a telling was doubted, as they are named to people. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations_with_replacement

from coach.core.meaning import Meaning
from coach.language.carelessness import SMALL

MOST_NAMED = 5
"""Words of a sentence that are named in a row: more is no longer a word or two."""

GOES_ON = frozenset("but and or".split())
"""A word that says something only with what follows it."""

FOLLOWING = 2
"""Words named after such a one: "but nothing happened"."""


def doubted_words(meaning: Meaning, step: str) -> str:
    """The part of an utterance for which a step was doubted; "" where none was, or no word alone
    says why."""
    found = next((one.words for one in meaning.doubted if one.step == step), ())
    return _stretch(meaning.text.split(), [word for word in found if word not in SMALL])


def _stretch(said: Sequence[str], doubted: Sequence[str]) -> str:
    """The shortest stretch of what was said that holds most of the doubted words."""
    places = [place for place, word in enumerate(said) if word in doubted]
    stretches = [
        (first, last)
        for first, last in combinations_with_replacement(places, 2)
        if last - first < MOST_NAMED
    ]
    if not stretches:
        return ""

    def worth(ends: tuple[int, int]) -> tuple[int, int]:
        held = sum(ends[0] <= place <= ends[1] for place in places)
        return held, ends[0] - ends[1]

    first, last = max(stretches, key=worth)
    more = FOLLOWING if said[last] in GOES_ON else 0
    return " ".join(said[first : last + 1 + more])
