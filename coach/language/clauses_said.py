"""The clauses of what was said, its contractions written out."""

from __future__ import annotations

from collections.abc import Sequence

from coach.language.as_written import written_phrases
from coach.language.clause import Clause
from coach.language.clause_words import DETERMINERS, PLACING_WORDS, QUESTION_HEADS
from coach.language.clauses import clauses
from coach.language.context import StepWords
from coach.language.everyday import EVERYDAY
from coach.language.normal import Token
from coach.language.numbers import find_numbers
from coach.language.spelling import joined
from coach.language.step_matches import own_stems
from coach.language.word_forms import CONTRACTED, stem

NOT_SO = frozenset("isn't aren't wasn't weren't".split())

STATES = frozenset(
    "in on off out up down full empty open closed clear not now at all back good fine set"
    " right ready still been tight snug there here".split()
)
"""Words before which 's is a verb: "the bag's full"."""

_AFTER_HEADS = {"d": "did", "re": "are"}
"""What is left of a verb after the head of a question: "when'd", "what're"."""


def clauses_said(said: Sequence[Token], text: str, steps: Sequence[StepWords]) -> list[Clause]:
    """The clauses of an utterance; `text` is it as it was written, "" where no mark ends it."""
    whole = joined(said)
    following = [*(token.word for token in whole[1:]), ""]
    parted = [p for token, word in zip(whole, following, strict=True) for p in _parted(token, word)]
    return clauses(
        [token.word for token in parted],
        [token.break_after for token in parted],
        asked=text.rstrip().endswith("?"),
        everyday=_everyday(said, steps),
        written=written_phrases(steps),
    )


def _everyday(said: Sequence[Token], steps: Sequence[StepWords]) -> frozenset[str]:
    """The everyday words of an utterance that no open step has for its own.

    "The car hit a tree" is no small talk where it is asked what happened.
    """
    found = EVERYDAY & {token.word for token in said}
    if not found:
        return frozenset()
    own = frozenset[str]().union(*map(own_stems, steps))
    return frozenset(word for word in found if stem(word) not in own)


def _parted(token: Token, following: str) -> tuple[Token, ...]:
    """ "Isn't" as "is not", the opposite of "is"; "the bag's full" as "the bag is full"."""
    word, pause = token.word, token.break_after
    if word in NOT_SO:
        return Token(word[:-3]), Token("not", pause)
    if word == "nonrebreather":
        return Token("non"), Token("rebreather", pause)
    head, _, ending = word.partition("'")
    if head in QUESTION_HEADS and ending in _AFTER_HEADS:
        return Token(head), Token(_AFTER_HEADS[ending], pause)
    owner = word[:-2]
    if word == "nobody's":
        return Token(owner), Token("has" if following == "got" else "is", pause)
    said_of = owner.endswith("ing") or _is_state(following)
    if word.endswith("'s") and word not in CONTRACTED and owner and said_of:
        return Token(owner), Token("is", pause)
    return (token,)


def _is_state(word: str) -> bool:
    if word in STATES | PLACING_WORDS | DETERMINERS or word.endswith(("ed", "ing")):
        return True
    return bool(find_numbers([word]))
