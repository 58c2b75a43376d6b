"""From a network's log-probabilities and a hint of the moment to what was heard. Pure.

Several readings of the same sound compete: any row of known words, the numbers of an awaited
reading, the phrases of the open steps, yes and no where they were asked for. The best one counts
only where it fits nearly as well as the free text does; if none does, the free text comes back as
it sounded, so a foreign word is never taken for a command.

Every limit below was chosen on development recordings (the training folders of the speech and
noise recordings, espeak-ng voices unknown to the network), never on the test folders.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from coach.core.meaning import YES_NO
from coach.core.units import Quantity
from coach.hearing.ctc import (
    Grammar,
    greedy,
    greedy_score,
    search,
    shortened,
)
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.hearing.lexicon import Lexicon, spelling

NOISE_PER_LETTER = 1.5
"""Free text this unlikely a letter (in nats) is no speech: 99 of 100 commands stay under 1.4 at a
signal-to-noise ratio of 5 dB; of the noises that gave any text half are over 6."""

MARGIN = 6.0
MARGIN_PER_LETTER = 1.0
"""Nats that a reading may fit worse than the free text: so many a letter, MARGIN at most."""

WORST_PER_LETTER = 1.2
"""Nats a letter that words themselves may be unlikely: of 1,274 right ones clean and in noise 5 are
over it, of 37 wrong ones 13, most of them noise and cut-off foreign words."""

LETTER_COST = 3.0
"""Nats a single letter must fit better than a word would; any noise resembles one."""

DIGITS_COST = -4.0
NUMBER_COST = -2.5
"""Nats that an awaited number is given in advance of any other row of words; single digits more
than mixed numbers ("eighty seven one zero")."""

NUMBER_MARGIN = 12.0
NUMBER_MARGIN_PER_WORD = 3.0
"""As MARGIN, for an awaited number: more where it has more words, for it is read back before it
counts."""

MENDED_WORDS = 4
MENDED_PER_LETTER = 0.6
"""A whole sentence may fit so many nats a letter worse in known words and still be worth reading:
two or three letters in a sentence went wrong."""

AWAITED_COST = -2.0
"""Nats a phrase of the moment is given in advance of any other row of words."""

ANSWER_COST = -3.5
"""The same for a whole yes or no where it was asked for."""

CONFIDENCE_WEIGHTS = (0.57, -0.33, -3.5, -0.12, 1.42)
"""Logistic regression on 3,111 development utterances, clean and with noise at 10 and 5 dB, of:
lead over the next candidate in nats, nats worse than the free text, nats a letter of the free
text, letters, 1. Of those over .97 it is right in 99 of 100, of .8 to .9 in 84, under .2 in 13."""

_FARTHEST = 8.0
_MOST_LETTERS = 12

WIDTH = 16
FRAME = frozenset("about around at is it's reads the just under over set to got".split())
"""Words said around a number."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """One reading of the sound: its log-likelihood and its handicap, both in nats."""

    text: str
    score: float
    cost: float
    is_number: bool = False

    @property
    def rank(self) -> float:
        """What candidates compete by."""
        return self.score - self.cost

    def counts(self, best_fit: float) -> bool:
        """Whether it fits nearly as well as the free text, whose log-likelihood is `best_fit`."""
        letters = len(self.text)
        behind = best_fit - self.score
        if self.is_number:
            words = NUMBER_MARGIN_PER_WORD * len(self.text.split())
            return behind <= min(NUMBER_MARGIN, words, MARGIN_PER_LETTER * letters)
        if -self.score > WORST_PER_LETTER * letters:
            return False
        return behind <= min(MARGIN, MARGIN_PER_LETTER * letters)


def decode(log_probs: NDArray[np.float32], hint: Hint, lexicon: Lexicon) -> Hypothesis:
    """What was heard in (frames, classes) log-probabilities; no text for silence and noise."""
    frames = shortened(log_probs)
    free = greedy(frames)
    if not free:
        return Hypothesis("", 0.0)
    best_fit = greedy_score(frames)
    unsure = -best_fit / len(free)
    if unsure > NOISE_PER_LETTER:
        return Hypothesis("", 0.0)
    ranked = _ranked(frames, hint, lexicon)
    for candidate in ranked:
        if candidate.counts(best_fit):
            return Hypothesis(candidate.text, _confidence(candidate, ranked, best_fit, unsure))
    return Hypothesis(free, _free_confidence(unsure), second=_mended(free, ranked, best_fit))


def _mended(free: str, ranked: Sequence[Candidate], best_fit: float) -> str | None:
    """The row of known words nearest to a sentence in which a few letters went wrong.

    It is only a second opinion: whoever takes it must find a whole meaning in it.
    """
    if len(free.split()) < MENDED_WORDS:
        return None
    for candidate in ranked:
        near = best_fit - candidate.score <= MENDED_PER_LETTER * len(free)
        if near and not candidate.is_number and len(candidate.text.split()) >= MENDED_WORDS:
            return candidate.text
    return None


def joined(parts: Sequence[Hypothesis]) -> Hypothesis:
    """One hypothesis of pieces of sound in order; as sure as its least sure piece."""
    spoken = [part for part in parts if part.text]
    if not spoken:
        return Hypothesis("", 0.0)
    seconds = [part.second or part.text for part in spoken]
    return Hypothesis(
        " ".join(part.text for part in spoken),
        min(part.confidence for part in spoken),
        second=" ".join(seconds) if any(part.second for part in spoken) else None,
    )


def _ranked(frames: NDArray[np.float32], hint: Hint, lexicon: Lexicon) -> list[Candidate]:
    """Candidates of every grammar, each text once, best first."""
    phrases = _spelt(hint.phrases)
    found = _rows(frames, _words(lexicon, phrases), lexicon)
    found += _whole(frames, phrases, AWAITED_COST)
    if hint.expect == YES_NO:
        found += _whole(frames, tuple(lexicon.agreeing | lexicon.refusing), ANSWER_COST)
    if isinstance(hint.expect, Quantity):
        found += _numeric(search(frames, _digits(lexicon), WIDTH), DIGITS_COST)
        found += _numeric(search(frames, _numbers(lexicon), WIDTH), NUMBER_COST)
    best: dict[str, Candidate] = {}
    for candidate in found:
        if candidate.text not in best or candidate.rank > best[candidate.text].rank:
            best[candidate.text] = candidate
    return sorted(best.values(), key=lambda candidate: -candidate.rank)


def _rows(frames: NDArray[np.float32], grammar: Grammar, lexicon: Lexicon) -> list[Candidate]:
    return [
        Candidate(text, score, LETTER_COST * sum(w in lexicon.letters for w in text.split()))
        for text, score in search(frames, grammar, WIDTH)
        if text
    ]


def _whole(frames: NDArray[np.float32], phrases: tuple[str, ...], cost: float) -> list[Candidate]:
    return [
        Candidate(text, score, cost)
        for text, score in search(frames, _phrases(phrases), WIDTH)
        if text
    ]


def _numeric(found: Iterable[tuple[str, float]], cost: float) -> list[Candidate]:
    return [Candidate(text, score, cost, is_number=True) for text, score in found if text]


@lru_cache(maxsize=8)
def _spelt(phrases: tuple[str, ...]) -> tuple[str, ...]:
    """The phrases as the network spells; those with figures in them are left out."""
    spelt = (spelling(phrase) for phrase in phrases)
    return tuple(dict.fromkeys(phrase for phrase in spelt if phrase))


@lru_cache(maxsize=8)
def _phrases(phrases: tuple[str, ...]) -> Grammar:
    return Grammar.of(phrases, repeats=False)


@lru_cache(maxsize=8)
def _words(lexicon: Lexicon, phrases: tuple[str, ...]) -> Grammar:
    return Grammar.of(lexicon.all_words | {w for p in phrases for w in p.split()}, repeats=True)


@lru_cache(maxsize=2)
def _digits(lexicon: Lexicon) -> Grammar:
    return Grammar.of(lexicon.digits, repeats=True)


@lru_cache(maxsize=2)
def _numbers(lexicon: Lexicon) -> Grammar:
    return Grammar.of(lexicon.digits | lexicon.numbers | lexicon.units | FRAME, repeats=True)


def _confidence(
    chosen: Candidate, ranked: Sequence[Candidate], best_fit: float, unsure: float
) -> float:
    """Chance that the text is what was said: how far others are behind, how well it fits."""
    rivals = [other.rank for other in ranked if other.text != chosen.text]
    lead = min(_FARTHEST, chosen.rank - max(rivals)) if rivals else _FARTHEST
    letters = min(_MOST_LETTERS, len(chosen.text))
    facts = (lead, best_fit - chosen.score, unsure, letters, 1)
    return _logistic(sum(w * fact for w, fact in zip(CONFIDENCE_WEIGHTS, facts, strict=True)))


def _free_confidence(unsure: float) -> float:
    return 0.5 * _logistic(-4.0 * unsure)


def _logistic(value: float) -> float:
    return 1.0 / (1.0 + math.exp(-value))
