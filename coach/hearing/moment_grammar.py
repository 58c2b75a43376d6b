"""What may be said at a moment, written out as phrases, for recognisers that take a list. Pure.

A recogniser that is given a list learns from it which word follows which, and how often. So an
awaited number stands in it as whole numbers the way they are said, not only as single words.
"""

from __future__ import annotations

from functools import lru_cache

from coach.core.meaning import YES_NO
from coach.core.units import Quantity
from coach.hearing.hypothesis import Hint
from coach.hearing.lexicon import Lexicon
from coach.trade.wording import cardinal, digit_words, number_words

ANY_NUMBER = (0.0, 3000.0)
"""What is written out where nothing is known of an awaited number; the gauges here end below it."""

NUMBERS = 60
"""How many numbers are spread over the range: enough for every word to follow every other one that
it can follow, few enough for a command to stay as likely as a number (judgement)."""


def moment_grammar(hint: Hint, lexicon: Lexicon) -> tuple[str, ...]:
    """Phrases and single words that may be said now, in the recogniser's spelling, sorted.

    The phrases and words of the hint and the single words of the lexicon always; whole answers
    where a yes or no was asked for; numbers in words and digit by digit where one is awaited.
    """
    found = {*(in_words(said) for said in (*hint.phrases, *hint.words)), *lexicon.all_words}
    if hint.expect == YES_NO:
        found |= lexicon.agreeing | lexicon.refusing
    if isinstance(hint.expect, Quantity):
        found |= _numbers(hint.plausible or ANY_NUMBER)
        found |= {f"{first} {second}" for first in lexicon.digits for second in lexicon.digits}
        found |= {f"{word} {unit}" for word in lexicon.numbers for unit in lexicon.units}
    return tuple(sorted(found - {""}))


def in_words(phrase: str) -> str:
    """A phrase in lower case, letters of any language and apostrophes; empty if it has figures."""
    if any(character.isdigit() for character in phrase):
        return ""
    text = phrase.lower().replace("\u2019", "'")
    return " ".join("".join(c if c.isalpha() or c == "'" else " " for c in text).split())


@lru_cache(maxsize=16)
def _numbers(plausible: tuple[float, float]) -> frozenset[str]:
    """Numbers spread over a range, each as it is said, in full, and digit by digit."""
    low, high = plausible
    step = max(1.0, (high - low) / NUMBERS)
    values = {low + step * n for n in range(NUMBERS + 1)}
    whole = {float(round(value, -1) if step > 10.0 else round(value)) for value in values}
    inside = [value for value in whole if low <= value <= high]
    said = {form(value) for value in inside for form in (number_words, digit_words)}
    said |= {cardinal(int(value)) for value in inside}
    return frozenset(number.replace("-", " ") for number in said)
