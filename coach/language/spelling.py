"""Words as they were typed or heard brought to the words that were meant, before any clause."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coach.language.normal import Token
from coach.language.number_words import GRAMMAR_WORDS

CONTRACTIONS = {
    "didnt": "didn't",
    "dont": "don't",
    "doesnt": "doesn't",
    "isnt": "isn't",
    "arent": "aren't",
    "wasnt": "wasn't",
    "havent": "haven't",
    "hasnt": "hasn't",
    "wont": "won't",
    "cant": "can't",
    "couldnt": "couldn't",
    "im": "i'm",
    "ive": "i've",
    "whats": "what's",
    "thats": "that's",
    "theres": "there's",
    "its": "its",
}
"""Contractions typed without their apostrophe."""

SHORTEST_SPELLED = 3
"""Letters said one by one that are an abbreviation; two may be words ("I", "a")."""

_SITTERS = frozenset("i we he she they patient who and then just".split())
_SAT_HOW = frozenset("up upright down back straight him them there".split())
"""Words beside which "sat" is the past of "sit"."""


def meant(said: Iterable[Token]) -> tuple[Token, ...]:
    """The words with their apostrophes, and "u" as "you" where it is no letter of several."""
    found = [Token(CONTRACTIONS.get(t.word, t.word), t.break_after) for t in said]
    return tuple(
        Token("you", token.break_after) if _is_you(found, place) else token
        for place, token in enumerate(found)
    )


def joined(said: Sequence[Token]) -> tuple[Token, ...]:
    """Letters said one by one as one word: "U S P" is "usp", and "O two" is "o2".

    "C O two" is "carbon dioxide", and "sat" the saturation where nobody sits.
    """
    found: list[Token] = []
    at = 0
    while at < len(said):
        end = _end_of_letters(said, at)
        if end - at >= SHORTEST_SPELLED:
            letters = "".join(token.word for token in said[at:end])
            found.append(Token(letters, said[end - 1].break_after))
            at = end
        elif said[at].word == "co2" or _is_carbon_dioxide(said, at):
            length = 1 if said[at].word == "co2" else 3
            found += [Token("carbon"), Token("dioxide", said[at + length - 1].break_after)]
            at += length
        elif _is_oxygen(said, at):
            found.append(Token("o2", said[at + 1].break_after))
            at += 2
        elif said[at].word == "sat" and not _is_sitting(said, at):
            found.append(Token("saturation", said[at].break_after))
            at += 1
        else:
            found.append(said[at])
            at += 1
    return tuple(found)


def _is_you(said: Sequence[Token], place: int) -> bool:
    beside = (*said[max(0, place - 1) : place], *said[place + 1 : place + 2])
    return said[place].word == "u" and not any(_is_letter(other.word) for other in beside)


def _is_oxygen(said: Sequence[Token], at: int) -> bool:
    """Whether the gas is named; in "one seven o two" it is a number."""
    if [token.word for token in said[at : at + 2]] != ["o", "two"] or said[at].break_after:
        return False
    beside = (*said[max(0, at - 1) : at], *said[at + 2 : at + 3])
    return not any(token.word in GRAMMAR_WORDS - {"a", "and"} for token in beside)


def _is_sitting(said: Sequence[Token], at: int) -> bool:
    """Whether somebody sat up, or was sat up: "I sat him up", but "his sat is up"."""
    before = said[at - 1] if at else None
    if before is not None and not before.break_after and before.word in _SITTERS:
        return True
    return said[at + 1 : at + 2] != () and said[at + 1].word in _SAT_HOW


def _is_carbon_dioxide(said: Sequence[Token], at: int) -> bool:
    words = [token.word for token in said[at : at + 3]]
    return words == ["c", "o", "two"] and not any(t.break_after for t in said[at : at + 2])


def _end_of_letters(said: Sequence[Token], at: int) -> int:
    end = at
    while end < len(said) and _is_letter(said[end].word):
        end += 1
        if said[end - 1].break_after:
            break
    return end


def _is_letter(word: str) -> bool:
    return len(word) == 1 and word.isalpha()
