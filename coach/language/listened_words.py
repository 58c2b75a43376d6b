"""The single words that steps are listened for by, which a recogniser has to know as words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from coach.language.context import StepWords, Words


def listened_for(steps: Iterable[StepWords]) -> tuple[str, ...]:
    """Every word of the steps' lines of keys and findings, sorted, each once; of things also with
    the "is" that is drawn to them ("the mask's on").

    A word that a recogniser does not know comes back as it sounded, and makes the sentence around
    it unsure.
    """
    found = {word for step in steps for words in _all(step) for word in _keys(words)}
    return tuple(sorted(found | {f"{word}'s" for word in found if _may_be_a_thing(word)}))


_DOING = ("ed", "ing", "ly", "s")
"""Ends of words to which no "is" is drawn, or cannot be heard to be."""


def _may_be_a_thing(word: str) -> bool:
    return len(word) > 2 and word.isalpha() and not word.endswith(_DOING)


def _all(step: StepWords) -> Iterator[Words]:
    yield from (step.done, step.clock_start, step.clock_end, step.partner)
    yield from step.choices.values()


@lru_cache(maxsize=4096)
def _keys(words: Words) -> frozenset[str]:
    lines = (*words.keys, *words.absent, *words.wrong, *words.signs)
    return frozenset(word for line in lines for word in line.lower().replace("/", " ").split())
