"""The single words that steps are listened for by, which a recogniser has to know as words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from coach.language.context import StepWords, Words


def listened_for(steps: Iterable[StepWords]) -> tuple[str, ...]:
    """Every word of the steps' lines of keys and findings, sorted, each once.

    A word that a recogniser does not know comes back as it sounded, and makes the sentence around
    it unsure.
    """
    return tuple(sorted({word for step in steps for words in _all(step) for word in _keys(words)}))


def _all(step: StepWords) -> Iterator[Words]:
    yield from (step.done, step.clock_start, step.clock_end, step.partner)
    yield from step.choices.values()


@lru_cache(maxsize=4096)
def _keys(words: Words) -> frozenset[str]:
    lines = (*words.keys, *words.absent, *words.wrong, *words.signs)
    return frozenset(word for line in lines for word in line.lower().replace("/", " ").split())
