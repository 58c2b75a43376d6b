"""Said with a doubt ("I think the pins match"), or taken back in the same breath."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

_HEDGE = re.compile(
    r" (?:"
    r"(?:i|we) (?:don't |do not )?(?:think|guess|believe|suppose|assume|reckon)(?: so)?"
    r"|(?:i'm |i am |we're )?(?:pretty|fairly|almost|nearly) (?:much )?(?:sure|certain)"
    r"|(?:i'm |i am )?not (?:entirely|completely|totally|absolutely|quite|too|so|really) sure"
    r"|(?:i'm |i am |just )?guessing|probably|perhaps|possibly|presumably|supposedly|apparently"
    r"|seems?(?: to be| like)?"
    r"|(?:clean|good|close|near) enough|looked (?:\w+ )?to me"
    r"|(?:as far as|if) i (?:can )?(?:remember|recall|know)(?: correctly| right)?"
    r"|(?:kind|sort) of|kinda|sorta|more or less"
    r")(?= )"
)
_CARRIES_NOTHING = frozenset(
    "um uh er ah oh okay ok well so yes yeah and but that it though like just".split()
)

_MARK = (
    r"(?:no|nope|wait|sorry|actually|oops|whoops|hold on|hang on|but|i mean|i meant|um|uh|er|ah|oh"
    r"|well|okay|my mistake|my bad|excuse me)"
)
_STATE = (
    r"(?:open|opened|closed|shut|off|on|out|in|left|right|loose|tight|up|down|empty|full|there"
    r"|ready|connected|clear)"
)
_DENIAL = (
    r"(?:(?:i|we|it|he|she|they|that|this)"
    r" (?:didn't|haven't|hasn't|isn't|aren't|doesn't|don't|wasn't|weren't|won't|can't"
    r"|(?:did|have|has|is|are|does|do|was|were|will|can) not)"
    r"|(?:it's|they're|that's|he's|she's|i'm|we're) not)"
    rf"(?: (?:yet|at all|really|actually|done|do|it|that|this|true|{_STATE}))*"
)
_WITHDRAWAL = (
    r"(?:(?:scratch|strike|forget|cancel|disregard) (?:that|it)|disregard|never mind|nevermind"
    r"|(?:i )?take (?:that|it) back|no wait|wait no|hold on|hang on|not yet"
    r"|that's (?:wrong|not right|not true|a lie)|that is (?:wrong|not right|not true)"
    r"|(?:i'm )?not sure)"
)
_BACK = (
    (re.compile(rf"^(?P<main>.+?)(?: {_MARK})+ {_DENIAL}(?: (?:sorry|yet))?$"), True),
    (re.compile(rf"^(?P<main>.+?)(?: {_MARK})* {_WITHDRAWAL}(?: sorry)?$"), False),
    (
        re.compile(
            rf"^(?P<main>.+?)(?: {_MARK})*? (?:i mean|i meant|or rather|sorry|actually|no"
            rf"|wait)(?: it's| it is| they're)? (?P<state>{_STATE})$"
        ),
        False,
    ),
)

REVISING = frozenset("wait sorry actually now yes correction oops whoops no".split())
"""Between a denial and a confirmation of the same step they make the later one count."""


class TakenBack(StrEnum):
    """What is said of the words before: that they are not so, or only that they do not count."""

    DENIED = "denied"
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True, slots=True)
class Retraction:
    """A tail that takes the words before it back: it begins at the word `start`."""

    start: int
    how: TakenBack


def is_hedged(texts: Sequence[str]) -> bool:
    """Whether the words hold a hedge."""
    return bool(_HEDGE.search(f" {' '.join(texts)} "))


def without_hedges(texts: Sequence[str]) -> tuple[str, bool]:
    """The words without their hedges, and whether there were any."""
    rest, found = _HEDGE.subn("", f" {' '.join(texts)} ")
    return " ".join(rest.split()), bool(found)


def is_only_hedge(texts: Sequence[str]) -> bool:
    """Whether the words are a hedge and nothing else: it then belongs to the words beside it."""
    rest, found = without_hedges(texts)
    return found and all(word in _CARRIES_NOTHING for word in rest.split())


def retraction(words: Sequence[str]) -> Retraction | None:
    """The tail of an utterance that takes back what stands before it.

    "No wait, I didn't" denies it; after "scratch that" or "I mean closed" it only does not count.
    """
    text = " ".join(words)
    for pattern, denies in _BACK:
        found = pattern.match(text)
        if found and found.groupdict().get("state") not in found["main"].split():
            start = len(found["main"].split())
            return Retraction(start, TakenBack.DENIED if denies else TakenBack.WITHDRAWN)
    return None
