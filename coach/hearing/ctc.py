"""Reading a CTC network's log-probabilities: free text, how well a phrase fits, search over words.

Connectionist temporal classification is that of Graves et al. 2006; the network gives, every 20 ms,
natural-log probabilities of 28 characters and of the blank that parts them.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

VOCABULARY = " abcdefghijklmnopqrstuvwxyz'"
"""Class k + 1 is VOCABULARY[k]; class 0 is the CTC blank."""

_CLASSES = {letter: place + 1 for place, letter in enumerate(VOCABULARY)}

_IMPOSSIBLE = -1e30
_SURE_BLANK = -0.002
LEAST_FREE = -8.0
LEAST_FORCED = -14.0
"""Letters less likely than this (natural log) are not followed; one forced by a word may be very
unlikely."""

_BEHIND = 16.0
"""A text this far (natural log) behind the best one is given up."""


def encode(phrase: str) -> list[int]:
    """Classes of a phrase of a-z, apostrophe and space; ValueError names any other character."""
    unknown = sorted(set(phrase) - set(VOCABULARY))
    if unknown:
        raise ValueError(
            f"the recogniser has no class for {unknown}: write numbers as words, in lower case"
        )
    return [VOCABULARY.index(character) + 1 for character in phrase]


def greedy(log_probs: NDArray[np.float32]) -> str:
    """Text of the best class of every frame of (frames, classes), repeats and blanks dropped."""
    best = log_probs.argmax(axis=1)
    kept = best[(best != 0) & (best != np.concatenate(([0], best[:-1])))]
    return " ".join("".join(VOCABULARY[k - 1] for k in kept).split())


def shortened(log_probs: NDArray[np.float32]) -> NDArray[np.float32]:
    """The same frames without those that follow a sure blank and are sure blanks themselves.

    Texts and differences of scores stay the same; the searches take a third of the time.
    """
    blank = log_probs[:, 0] > _SURE_BLANK
    return log_probs[~(blank & np.concatenate(([False], blank[:-1])))]


def greedy_score(log_probs: NDArray[np.float32]) -> float:
    """Log-likelihood (natural log) of the greedy text, by the same forward sum as `score_phrases`.

    It is what any phrase competes with: a phrase far below it was not what was said.
    """
    return score_phrases(log_probs, [greedy(log_probs)])[0]


def score_phrases(log_probs: NDArray[np.float32], phrases: Sequence[str]) -> list[float]:
    """Log-likelihood (natural log) of each phrase given (frames, classes) log-probabilities.

    The CTC forward sum over all alignments (Graves et al. 2006, section 4.1), all phrases at once.
    An empty phrase scores silence. A phrase too long for the frames scores -1e30.
    """
    if log_probs.ndim != 2 or log_probs.shape[1] != len(VOCABULARY) + 1:
        raise ValueError(
            f"expected (frames, {len(VOCABULARY) + 1}) log-probabilities, got {log_probs.shape}"
        )
    if not phrases:
        return []
    labels = [encode(phrase) for phrase in phrases]
    widest = 2 * max(len(label) for label in labels) + 1
    states = np.zeros((len(labels), widest), dtype=np.int64)
    for row, label in enumerate(labels):
        states[row, 1 : 2 * len(label) : 2] = label
    skip = np.zeros(states.shape, dtype=bool)
    skip[:, 2:] = (states[:, 2:] != 0) & (states[:, 2:] != states[:, :-2])
    frames = log_probs.astype(np.float64)
    alpha = np.full(states.shape, _IMPOSSIBLE)
    alpha[:, :2] = frames[0, states[:, :2]]
    alpha[[not label for label in labels], 1:] = _IMPOSSIBLE
    for frame in frames[1:]:
        one = np.full_like(alpha, _IMPOSSIBLE)
        one[:, 1:] = alpha[:, :-1]
        two = np.full_like(alpha, _IMPOSSIBLE)
        two[:, 2:] = np.where(skip[:, 2:], alpha[:, :-2], _IMPOSSIBLE)
        alpha = np.maximum(np.logaddexp(np.logaddexp(alpha, one), two), _IMPOSSIBLE) + frame[states]
    scores = []
    for row, label in enumerate(labels):
        last = alpha[row, 2 * len(label)]
        before = alpha[row, 2 * len(label) - 1] if label else _IMPOSSIBLE
        scores.append(float(max(np.logaddexp(last, before), _IMPOSSIBLE)))
    return scores


class Language(Protocol):
    """What a search may find and what it costs; every answer depends on the text alone."""

    def allows(self, text: str, letter: str, chance: float) -> bool:
        """Whether `letter`, of that log-likelihood in its frame, may follow `text`."""

    def price(self, text: str) -> float:
        """Nats that the text, perhaps unfinished, is behind others before anything was heard."""

    def complete(self, text: str) -> bool:
        """Whether `text` may end here."""


@dataclass(frozen=True)
class Grammar:
    """A language of whole `entries`; with `repeats`, of any row of them parted by spaces."""

    entries: frozenset[str]
    repeats: bool

    @classmethod
    def of(cls, entries: Iterable[str], repeats: bool) -> Grammar:
        """A grammar of phrases (`repeats` False) or of words in any order."""
        return cls(frozenset(entries), repeats)

    @cached_property
    def prefixes(self) -> frozenset[str]:
        """Every beginning of an entry, the whole entry and nothing included."""
        return prefixes_of(self.entries)

    def allows(self, text: str, letter: str, chance: float = 0.0) -> bool:
        """Whether `letter` may follow `text`, however unlikely it is."""
        if not self.repeats:
            return text + letter in self.prefixes
        word = text.rsplit(" ", 1)[-1]
        return word in self.entries if letter == " " else word + letter in self.prefixes

    def price(self, text: str) -> float:
        """All that it allows costs the same."""
        return 0.0

    def complete(self, text: str) -> bool:
        """Whether `text` may end here."""
        return (text.rsplit(" ", 1)[-1] if self.repeats else text) in self.entries


class _AnyText:
    """The language of every text, each at the same price."""

    def allows(self, text: str, letter: str, chance: float) -> bool:
        return chance > LEAST_FREE

    def price(self, text: str) -> float:
        return 0.0

    def complete(self, text: str) -> bool:
        return True


_ANY = _AnyText()


def prefixes_of(entries: Iterable[str]) -> frozenset[str]:
    """Every beginning of an entry, the whole entry and nothing included."""
    return frozenset(entry[:n] for entry in entries for n in range(len(entry) + 1))


Beams = dict[str, tuple[float, float]]
"""Log-likelihood of each text, ending in a blank and ending in its last letter."""


def _log_sum(one: float, other: float) -> float:
    """Logarithm of the sum of two likelihoods given by their logarithms."""
    high, low = (one, other) if one > other else (other, one)
    return high if high - low > 40.0 else high + math.log1p(math.exp(low - high))


def search(
    log_probs: NDArray[np.float32], language: Language | None, width: int = 24
) -> list[tuple[str, float]]:
    """Best texts of a language (None: any text) with log-likelihoods (natural log), best first.

    A prefix beam search that keeps `width` texts a frame by log-likelihood less price; the
    log-likelihoods it gives are without the price. A grammar repairs letters lost at the edge of a
    word, and takes foreign words by force: compare the score with `greedy_score`.
    """
    language = language or _ANY
    beams: Beams = {"": (0.0, _IMPOSSIBLE)}
    ranks = {"": 0.0}
    for row in log_probs.astype(np.float64):
        frame = row.tolist()
        likely = [
            (k, VOCABULARY[k - 1], frame[k])
            for k in np.flatnonzero(row > LEAST_FORCED).tolist()
            if k
        ]
        floor = max(ranks.values()) + max(frame) - _BEHIND
        grown = _grown(beams, ranks, frame, likely, floor, language)
        ranks = {text: _log_sum(*ends) - language.price(text) for text, ends in grown.items()}
        floor = max(ranks.values()) - _BEHIND
        kept = heapq.nlargest(width, ranks, key=ranks.__getitem__)
        ranks = {text: ranks[text] for text in kept if ranks[text] >= floor}
        beams = {text: grown[text] for text in ranks}
    found = [(text, _log_sum(*ends)) for text, ends in beams.items() if language.complete(text)]
    return sorted(found, key=lambda item: -item[1])


def _grown(
    beams: Beams,
    ranks: Mapping[str, float],
    frame: list[float],
    likely: list[tuple[int, str, float]],
    floor: float,
    language: Language,
) -> Beams:
    """All texts after one more frame that are not below the floor."""
    grown: Beams = {}
    for text, (blank, letter) in beams.items():
        total = _log_sum(blank, letter)
        last = _CLASSES[text[-1]] if text else 0
        same = letter + frame[last] if last else _IMPOSSIBLE
        old = grown.get(text)
        grown[text] = total + frame[0], same if old is None else _log_sum(old[1], same)
        least = floor - ranks[text]
        for k, character, chance in likely:
            if chance < least or not language.allows(text, character, chance):
                continue
            longer = text + character
            added = (blank if k == last else total) + chance
            old = grown.get(longer)
            if old is None:
                grown[longer] = _IMPOSSIBLE, added
            else:
                grown[longer] = old[0], _log_sum(old[1], added)
    return grown


def beam_search(
    log_probs: NDArray[np.float32],
    width: int = 24,
    allowed: Sequence[str] | None = None,
    lexicon: Sequence[str] | None = None,
) -> list[tuple[str, float]]:
    """`search` over whole phrases (`allowed`), over rows of words (`lexicon`), or over any text."""
    if allowed is not None:
        return search(log_probs, Grammar.of(allowed, repeats=False), width)
    if lexicon is not None:
        return search(log_probs, Grammar.of(lexicon, repeats=True), width)
    return search(log_probs, None, width)
