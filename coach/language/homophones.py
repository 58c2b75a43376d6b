"""Small words that sound like digits and may have been digits: "for hundred", "one ate zero"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set

from coach.core.units import Unit
from coach.language.number_grammar import is_digit
from coach.language.number_units import unit_at
from coach.language.number_words import DIGITS, LETTER_ZEROS, SCALES, TEENS, TENS, ZEROS

SOUNDS_LIKE: Mapping[str, str] = {
    "to": "two",
    "too": "two",
    "for": "four",
    "ate": "eight",
    "won": "one",
}
"""A recogniser of free speech writes one for the other; each is the digit's word in sound."""

_RARE = frozenset({"too", "ate", "won"})
"""Those that hardly ever stand right before a number for their own sake."""

_SHORTEST_ROW = 3
"""Digits that must follow one of the rare words for it to be the first of a row."""


def heard_digits(words: Sequence[str], breaks: Set[int], flow_asked: bool) -> Mapping[int, str]:
    """The places of small words that stand where a digit would, each with the digit's word.

    What is read with one of them is never sure. `flow_asked`: a small number of litres was asked
    for, so that "for liters" is one, too.
    """
    return {
        place: SOUNDS_LIKE[word]
        for place, word in enumerate(words)
        if word in SOUNDS_LIKE and _is_digit_here(words, place, breaks, flow_asked)
    }


def _is_digit_here(words: Sequence[str], place: int, breaks: Set[int], flow_asked: bool) -> bool:
    word = words[place]
    before = words[place - 1] if place and place - 1 not in breaks else ""
    after = words[place + 1] if place + 1 < len(words) and place not in breaks else ""
    unit = unit_at(words, place + 1) if after else None
    if after in SCALES:
        return not _is_number(before)
    if before in DIGITS and is_digit(after):
        rest = words[place + 1 : place + 3]
        if word == "to":  # "from one to one five" is no row
            return len(rest) == 2 and all(other in ZEROS | LETTER_ZEROS for other in rest)
        return word in _RARE or (len(rest) == 2 and is_digit(rest[1]))
    if word in _RARE and not before and _row(words, place + 1) >= _SHORTEST_ROW:
        return True
    if before in TENS or (before in DIGITS and word in {"for", "ate", "won"}):
        return not after or unit is not None
    return flow_asked and unit is not None and unit[1] is Unit.LITRES_PER_MINUTE


def _is_number(word: str) -> bool:
    return is_digit(word) or word in TEENS or word in TENS or word in SCALES


def _row(words: Sequence[str], at: int) -> int:
    """How many digits said one by one begin at a place."""
    end = at
    while is_digit(_word(words, end)):
        end += 1
    return end - at


def _word(words: Sequence[str], at: int) -> str:
    return words[at] if at < len(words) else ""
