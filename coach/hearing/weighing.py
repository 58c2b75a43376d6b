"""What may be said now, as a weighted language over rows of words; no word is forbidden. Pure.

A row is made of words of the lexicon, numbers, phrases of the moment, and foreign words, which
are any letters at all, dearer the less they look like English (pairs of letters, counted in the
lexicon). So "none of these" competes with every command and number by a model of its own.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from coach.core.meaning import YES_NO
from coach.core.units import Quantity
from coach.hearing.calibration import FACTS
from coach.hearing.ctc import LEAST_FREE, VOCABULARY, prefixes_of
from coach.hearing.hypothesis import Hint
from coach.hearing.lexicon import Lexicon, spelling
from coach.hearing.spoken_number import (
    DIGITS,
    NUMBER_WORDS,
    ZEROS,
    Place,
    number_spans,
    step,
    value,
)

LEADS = frozenset(
    "about around at is it's it reads read says the just under over set to got i have pressure"
    " flow gauge size length vacuum sats saturation he um uh okay so that's a".split()
)
"""Words said around a number that was asked for."""

_AT = {name: place for place, name in enumerate(FACTS)}
_MOST_KEPT = 20_000
"""Texts whose price is remembered."""

_FEWEST_FIGURES = 3

Counts = tuple[float, ...]
_NO_COUNTS: Counts = (0.0,) * len(FACTS)


def letter_nats(words: frozenset[str]) -> Mapping[tuple[str, str], float]:
    """Nats of each letter after another, counted in `words`, a space before and after each."""
    letters = [*VOCABULARY]
    pairs = Counter(pair for word in words for pair in zip(f" {word}", f"{word} ", strict=True))
    nats = {}
    for first in letters:
        total = sum(pairs[first, second] + 0.5 for second in letters)
        for second in letters:
            nats[first, second] = -math.log((pairs[first, second] + 0.5) / total)
    return nats


@dataclass(frozen=True)
class Moment:
    """The language of one moment. `weights` are those of FACTS, in their order."""

    lexicon: Lexicon
    hint: Hint
    weights: Counts

    @cached_property
    def phrases(self) -> frozenset[str]:
        """The phrases of the moment as the network spells; none with figures in it."""
        return frozenset(s for s in map(spelling, self.hint.phrases) if s)

    @cached_property
    def answers(self) -> frozenset[str]:
        """Whole answers to a yes-or-no question that was asked."""
        asked = self.hint.expect == YES_NO
        return self.lexicon.agreeing | self.lexicon.refusing if asked else frozenset()

    @cached_property
    def number_rows(self) -> tuple[frozenset[str], ...]:
        """Words of which an awaited number may be a row: digits, then all that numbers need."""
        if not isinstance(self.hint.expect, Quantity):
            return ()
        units = self.lexicon.units | self.lexicon.sound_words
        return frozenset({*DIGITS, *ZEROS}), NUMBER_WORDS | units | LEADS

    @cached_property
    def _near(self) -> frozenset[str]:
        return frozenset(word for phrase in self.phrases for word in phrase.split())

    @cached_property
    def _known(self) -> frozenset[str]:
        """Words that a sentence may hold whatever is due."""
        listened_for = {word for words in self.hint.words for word in spelling(words).split()}
        return self.lexicon.all_words | listened_for

    @cached_property
    def _pairs(self) -> frozenset[tuple[str, str]]:
        """Words that follow each other in a phrase of the moment, its beginning as ""."""
        rows = (phrase.split() for phrase in self.phrases | self.answers)
        return frozenset(pair for row in rows for pair in zip(["", *row], row, strict=False))

    @cached_property
    def _entries(self) -> frozenset[str]:
        return self._known | self._near | NUMBER_WORDS | self.lexicon.sound_words

    @cached_property
    def _prefixes(self) -> frozenset[str]:
        return prefixes_of(self._entries)

    @cached_property
    def _nats(self) -> Mapping[tuple[str, str], float]:
        return letter_nats(self.lexicon.words)

    @cached_property
    def _closed(self) -> dict[str, tuple[Counts, Place, float]]:
        return {}

    @cached_property
    def _prices(self) -> dict[str, float]:
        return {}

    @cached_property
    def _number_fact(self) -> str:
        if isinstance(self.hint.expect, Quantity):
            return "number_awaited"
        return "number_asked" if self.hint.expect == YES_NO else "number_elsewhere"

    # as a language to search in

    def allows(self, text: str, letter: str, chance: float) -> bool:
        """Any letter that is likely enough, an unlikely one only within a known word."""
        if letter == " ":
            return bool(text) and text[-1] != " "
        if chance > LEAST_FREE:
            return True
        return text.rsplit(" ", 1)[-1] + letter in self._prefixes

    def complete(self, text: str) -> bool:
        """Wherever a word has ended."""
        return bool(text) and text[-1] != " "

    def price(self, text: str) -> float:
        """Nats (of log-likelihood) for the words of a text, the last perhaps unfinished."""
        known = self._prices.get(text)
        if known is None:
            head, _, word = text.rpartition(" ")
            known = self._after(head)[2]
            if word and word not in self._prefixes:
                known -= self._weighed(self._foreign(word, ended=False))
            if len(self._prices) > _MOST_KEPT:
                self._prices.clear()
            self._prices[text] = known
        return known

    # as counts for a text

    def counts(self, text: str) -> list[float]:
        """FACTS of a whole text, but for `fit` and those of silence."""
        words = text.split()
        facts = list(self._after(text)[0])
        facts[_AT["whole_phrase"]] = float(text in self.phrases)
        facts[_AT["whole_answer"]] = float(text in self.answers)
        if self._number_fact == "number_awaited":
            spans = number_spans(words)
            outside = facts[_AT["known_word"]] + facts[_AT["foreign_word"]]
            whole = len(spans) == 1 and not outside and not facts[_AT["broken_number"]]
            facts[_AT["whole_number"]] = float(whole)
            facts[_AT["whole_number_words"]] = float(whole) * facts[_AT["number_awaited"]]
            if spans:
                said = words[slice(*spans[-1])]
                row = len(said) >= _FEWEST_FIGURES and all(w in DIGITS or w in ZEROS for w in said)
                facts[_AT["figures"]] = float(row)
                facts[_AT["out_of_range"]] = self._outside(value(said))
        return facts

    def is_foreign(self, text: str) -> bool:
        """Whether there is a word in it that is not known."""
        return self._after(text)[0][_AT["foreign_word"]] > 0

    def _outside(self, number: float | None) -> float:
        """How far outside the plausible range a number lies: 0 inside, 1 at double or half."""
        if number is None or self.hint.plausible is None:
            return 0.0
        low, high = self.hint.plausible
        if low <= number <= high:
            return 0.0
        edge = low if number < low else high
        return min(3.0, 0.5 + abs(math.log2(max(number, 0.5) / max(edge, 0.5))))

    def _after(self, text: str) -> tuple[Counts, Place, float]:
        """Counts, place in a number and price after a row of whole words."""
        if not text:
            return _NO_COUNTS, Place.OUTSIDE, 0.0
        known = self._closed.get(text)
        if known is not None:
            return known
        head, _, word = text.rpartition(" ")
        counts, place, price = self._after(head)
        added, place = self._word(word, place, self._ends_number(head))
        if (head.rpartition(" ")[2], word) in self._pairs and "moment_word" in added:
            added["moment_pair"] = 1.0
        total = list(counts)
        for name, much in added.items():
            total[_AT[name]] += much
        result = (tuple(total), place, price - self._weighed(added))
        if len(self._closed) > _MOST_KEPT:
            self._closed.clear()
        self._closed[text] = result
        return result

    def _ends_number(self, head: str) -> bool:
        """Whether a unit may follow: a number, or a part of a unit that follows a number."""
        words = head.split()
        while words and words[-1] in self.lexicon.sound_words | self.lexicon.units:
            words.pop()
        return bool(words) and words[-1] in NUMBER_WORDS

    def _word(self, word: str, place: Place, unit: bool) -> tuple[dict[str, float], Place]:
        following, lawful = step(place, word)
        if word in NUMBER_WORDS:
            broken = {} if lawful else {"broken_number": 1.0}
            return {self._number_fact: 1.0, **broken}, following
        awaited = self._number_fact == "number_awaited"
        if following not in {Place.OUTSIDE, Place.ARTICLE} and awaited:
            return {"number_awaited": 1.0}, following
        if unit and (word in self.lexicon.units or (awaited and word in self.lexicon.sound_words)):
            return {"unit": 1.0}, following
        if word in self.lexicon.letters:
            return {"letter": 1.0}, following
        if awaited and word in LEADS:
            return {"lead_word": 1.0}, following
        if word in self._near:
            return {"moment_word": 1.0}, following
        if word in self._known:
            return {"known_word": 1.0}, following
        return self._foreign(word, ended=True), following

    def _foreign(self, word: str, ended: bool) -> dict[str, float]:
        marked = f"{word} " if ended else word
        nats = sum(self._nats[pair] for pair in zip(f" {marked}", marked, strict=False))
        return {"foreign_word": 1.0, "foreign_nats": nats}

    def _weighed(self, facts: Mapping[str, float]) -> float:
        return sum(self.weights[_AT[name]] * much for name, much in facts.items()) / self.weights[0]


def weight_row(weights: Mapping[str, float]) -> Counts:
    """Weights by name in the order of FACTS."""
    return tuple(weights[name] for name in FACTS)
