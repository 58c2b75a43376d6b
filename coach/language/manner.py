"""Acts told as done in a wrong manner: too fast, upside down, on the wrong side, not far enough."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from coach.language.clause_words import BE, NEGATORS
from coach.language.word_forms import stem

AMISS = frozenset(
    "wrong wrongly incorrectly improperly accidentally mistakenly carelessly sloppily crooked"
    " crookedly".split()
)
"""Words that tell by themselves that something was not done as it should be."""

AMISS_TOGETHER = (
    ("upside", "down"),
    ("inside", "out"),
    ("by", "mistake"),
    ("by", "accident"),
    ("the", "other", "way", "around"),
    ("the", "other", "way", "round"),
    ("wrong", "way", "around"),
    ("wrong", "way", "round"),
)

TURNED = frozenset({"backwards", "backward"})
"""Wrong after these words, where a head that is tilted backwards is right."""

_BEFORE_TURNED = frozenset(
    "on in it's is are was were facing went goes go put placed attached connected mounted".split()
)

ASKED_ABOUT = frozenset("what what's whats anything something if".split())
"""Before "wrong" they ask or tell what ails the patient."""

OWN_BODY = frozenset(
    "pulse finger face nose neck leg arm hand wrist thigh mouth head chest knee ear foot toe skin"
    " jaw breath breaths breathing allergies allergy".split()
)
"""Of the speaker himself, nothing of it is the patient's: "I felt my own pulse"."""

DENIED_WITHIN = 3
"""Words before a fault in which a denial takes it away: "not on the wrong side"."""

NOT_TOO = frozenset("not never nor neither".split())
UNSURE = frozenset("sure certain clear good well happy bad much".split())
"""After "not too" they tell of a doubt or of the patient, not of a manner."""

_UNFAULTED = re.compile(
    r" (?:not|never|isn't|aren't|wasn't|weren't|neither|nor|without|don't|doesn't|didn't|won't"
    r"|nothing|nobody)(?: [\w']+){0,3} too \w+"
)
_CARRIES_NOTHING = frozenset(
    "um uh oh okay and but a bit little way much far was were it it's is that so sorry just too"
    " quite i i'm well the on though".split()
)


def without_denied_faults(padded: str) -> str:
    """A padded text without what is said not to be too much: "not pulling too hard"."""
    return _UNFAULTED.sub(" ", padded)


def mild(words: Sequence[str]) -> frozenset[int]:
    """The places of "not too hard" and the like, which say nothing but that all is well."""
    found: set[int] = set()
    for at, word in enumerate(words[:-1]):
        if word == "too" and at and words[at + 1] not in UNSURE:
            before = words[at - 1] in NOT_TOO
            goes_on = words[at - 1] in {"or", "nor", "and"} and at - 2 in found
            if before or goes_on:
                found |= {at - 1, at, at + 1}
    return frozenset(found)


def faults(texts: Sequence[str]) -> frozenset[int]:
    """Where in a clause it is told that an act was done in a wrong manner."""
    found: set[int] = set()
    for at, word in enumerate(texts):
        if NEGATORS & set(texts[max(0, at - DENIED_WITHIN) : at]):
            continue
        asked = bool(ASKED_ABOUT & set(texts[max(0, at - 2) : at]))
        if word in AMISS and not (word == "wrong" and asked):
            found.add(at)
        if word in TURNED and at and texts[at - 1] in _BEFORE_TURNED:
            found.add(at)
        if word == "own" and OWN_BODY & set(texts[at + 1 : at + 2]):
            found.add(at)
        for together in AMISS_TOGETHER:
            if tuple(texts[at : at + len(together)]) == together:
                found |= set(range(at, at + len(together)))
    for at in range(2, len(texts)):
        lacking = texts[at] == "enough" and texts[at - 2] == "not"
        if lacking and not BE & set(texts[max(0, at - 3) : at - 2]):
            found |= {at - 2, at - 1, at}
    return frozenset(found)


def stems_at(texts: Sequence[str], places: Iterable[int]) -> frozenset[str]:
    """The common forms of the words at these places."""
    return frozenset(stem(texts[at]) for at in places)


def tells_only_a_fault(texts: Sequence[str]) -> bool:
    """Whether words are nothing but a fault of what was told before them: "a bit too hard"."""
    too = {at + 1 for at, word in enumerate(texts[:-1]) if word == "too"}
    told = faults(texts) | too
    rest = (word for at, word in enumerate(texts) if at not in told)
    return bool(told) and all(word in _CARRIES_NOTHING for word in rest)
