"""An utterance that is, word for word, a phrase of a step: whoever wrote it said what it means."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

from coach.language.clause import Clause, Word
from coach.language.clauses import without_call
from coach.language.commands import bare
from coach.language.context import StepWords
from coach.language.normal import Token, tokens
from coach.language.spelling import joined, meant
from coach.language.word_forms import stem

DOUBTED = frozenset("maybe perhaps possibly probably presumably apparently supposedly".split())
"""With such a word a phrase is a slip of whoever wrote it: `coach check` tells of it."""


def written_phrases(steps: Sequence[StepWords]) -> frozenset[str]:
    """All phrases of steps, in the words by which they are heard."""
    return frozenset(_words_of(phrase) for step in steps for phrase in _phrases(step))


def as_written(said: Sequence[Token], steps: Sequence[StepWords]) -> Clause | None:
    """The utterance as one plain clause if it is a phrase of a step and nothing more.

    Whether its words would be a plan, a guess or talk in another sentence ("I believe the number",
    "a burst away from everybody") does not matter then.
    """
    heard = " ".join(token.word for token in joined(said))
    written = written_phrases(steps)
    plain = heard if heard in written else without_call(heard)
    text = next((form for form in (heard, plain, bare(plain)) if form in written), None)
    if text is None or DOUBTED & set(text.split()):
        return None
    words = tuple(Word(word, stem(word), place) for place, word in enumerate(text.split()))
    ands = tuple(word.place for word in words if word.text in {"and", "plus"})
    return Clause(words, ands=ands)


def _phrases(step: StepWords) -> Iterator[str]:
    for words in (step.done, step.clock_start, step.clock_end, *step.choices.values()):
        yield from words.phrases


@lru_cache(maxsize=8192)
def _words_of(phrase: str) -> str:
    return " ".join(token.word for token in joined(meant(tokens(phrase))))
