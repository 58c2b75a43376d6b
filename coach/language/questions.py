"""Whether somebody asks what a patient or a device shows: "what's the saturation"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from coach.language.clause_words import AUXILIARIES, QUESTION_HEADS
from coach.language.clauses import CALLED
from coach.language.leave import without_refusals
from coach.language.normal import plain
from coach.language.word_forms import occurs, stem

ASKS = frozenset(
    "what what's how how's is are does do did can could has have any tell give show where which"
    " whats hows am will describe read report".split()
)
"""Words that begin a question to the evaluator, or ask for a finding."""

BEFORE = frozenset("and so okay ok now well um uh please then coach evaluator just".split())
"""Words that may go before the question itself."""

MOST_BEFORE = 6
"""A question at the end of a longer sentence begins within so many words of its end, or later."""

_SINCE_WHEN = re.compile(
    r"^(?:(?:and|so|okay|ok|now|well|um|uh|coach) )*"
    r"(?:how long(?! did\b| do\b| will\b)|since when)\b"
)


def asks_since_when(text: str) -> bool:
    """Whether plain words ask for how long something has been so: "how long has it been on"."""
    return _SINCE_WHEN.search(text) is not None


def asked_about(text: str, findings: Mapping[str, Sequence[str]]) -> str | None:
    """The finding that a question is about: the one most of whose words are in it; None for none.

    Each finding has lines of keys: a line counts when all its words occur in the text, in any
    form and order; a slash parts words of which one is enough.
    """
    words = plain(text).split()
    if not _asks(words):
        return None
    heard = [stem(word) for word in words]
    found = [
        (len(line.split()), finding)
        for finding, lines in findings.items()
        for line in lines
        if all(occurs(key, heard) for key in line.split())
    ]
    return max(found, key=lambda pair: pair[0])[1] if found else None


def says(text: str, lines: Iterable[str]) -> bool:
    """Whether all words of one of the lines occur in the text, in any form and order.

    Those of a refusal and of agreeing on how things are do not count: "he won't let me help".
    """
    heard = [stem(word) for word in without_refusals(plain(text).split())]
    return any(all(occurs(key, heard) for key in line.split()) for line in lines)


def share_said(text: str, lines: Iterable[str]) -> float:
    """The largest share, 0 to 1, of the words of one of the lines that occur in the text."""
    heard = [stem(word) for word in plain(text).split()]
    shares = (
        sum(occurs(key, heard) for key in line.split()) / len(line.split())
        for line in lines
        if line
    )
    return max(shares, default=0.0)


def only_asks(text: str) -> bool:
    """Whether the whole of it is a question: "is the chest rising" tells of nothing done."""
    words = [word for word in plain(text).split() if word not in BEFORE]
    return bool(words) and words[0] in ASKS


def begins_as_question(text: str) -> bool:
    """Whether its first words make it a question, with or without the mark: "any allergies?"."""
    words = [word for word in plain(text).split() if word not in BEFORE | CALLED]
    return bool(words) and words[0] in ASKS | QUESTION_HEADS | AUXILIARIES


def _asks(words: Sequence[str]) -> bool:
    """Whether a question begins at the beginning, after fillers, or in the last words."""
    rest = list(words)
    while rest and rest[0] in BEFORE:
        rest.pop(0)
    if rest and rest[0] in ASKS:
        return True
    tail = rest[-MOST_BEFORE:]
    return any(word in {"what", "what's", "whats", "how's", "how"} for word in tail)
