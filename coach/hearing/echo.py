"""Tells the coach's own words, heard through the microphone, from the learner's."""

from __future__ import annotations

import re

from rapidfuzz import fuzz

SAME = 75.0
"""Likeness out of 100 from which two texts, or two words, count as the same (from experience with
misheard renderings of our own lines; common practice, no source)."""
MOSTLY = 0.75
"""Share of the heard words that must occur in what was said."""
SHORTEST_PART = 3
"""Letters from which likeness inside a longer text means something: "no" is inside "now"."""

LONGEST_ENDING = 4
"""Letters that a form of a word has more: "stopping"."""

SAME_BEGINNING = 2
"""Letters from which two words may sound alike before the rest is heard (our own choice: "stop"
was heard of "stomach" and of "startles")."""

INTERRUPTIONS = ("this is real", "hold on", "stop", "wait", "pause", "quiet")
"""What a learner may call into the coach's voice; none of them ever moves a practice on."""


def interruption(heard: str, said: str) -> str:
    """The interruption in a mixture of the coach's words and the learner's, or "".

    In such a mixture the other words are worth nothing; one that the coach said itself, or of which
    it said a longer form ("paused"), is not looked for.
    """
    heard_text, said_text = (f" {' '.join(_words(text))} " for text in (heard, said))
    found = (phrase for phrase in INTERRUPTIONS if f" {phrase} " in heard_text)
    return next((phrase for phrase in found if f" {phrase}" not in said_text), "")


def may_be_cut(called: str, heard: str, said: str) -> bool:
    """Whether an interruption at the end of `heard` may be the beginning of a word of the coach's.

    A look into speech that goes on ends amid a word: of "stomach" it has "stop".
    """
    heard_words, last = _words(heard), _words(called)[-1]
    if heard_words[-1:] != [last]:
        return False
    return any(word.startswith(last[:SAME_BEGINNING]) for word in _words(said))


def is_echo(heard: str, said: str) -> bool:
    """Whether `heard` is (part of) `said`, allowing for words the recogniser got wrong.

    A word alone is an echo when it occurs in what was said as a whole word, or a longer form of it
    does: while the coach says "say yes or no", a "yes" proves nothing, nor a "pause" while it says
    "paused". Words that were not said ("stop") never are.
    """
    heard_words, said_words = _words(heard), _words(said)
    if not heard_words or not said_words:
        return False
    if len(heard_words) == 1:
        return any(_is_form(heard_words[0], other) for other in said_words)
    heard_text, said_text = " ".join(heard_words), " ".join(said_words)
    shared = sum(any(_alike(word, other) for other in said_words) for word in heard_words)
    if shared / len(heard_words) >= MOSTLY:
        return True
    # A text longer than what was said holds something else besides.
    if len(heard_text) > len(said_text) * 1.2 or len(heard_text) < SHORTEST_PART:
        return False
    return bool(fuzz.partial_ratio(heard_text, said_text) >= SAME)


def _is_form(word: str, other: str) -> bool:
    ending = len(other) - len(word)
    return word == other or (
        len(word) > SHORTEST_PART and ending <= LONGEST_ENDING and other.startswith(word)
    )


def _alike(word: str, other: str) -> bool:
    if min(len(word), len(other)) < SHORTEST_PART:
        return word == other
    return bool(fuzz.ratio(word, other) >= SAME)


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z0-9']+", text.lower())
