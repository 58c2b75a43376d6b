"""Whether a clause tells that a step is done wrongly, or must not be: "on the knee", "he gags"."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from coach.language.clause import Clause, Word
from coach.language.denials import denied
from coach.language.lines import EMPTY_WORDS, LOOKING_FOR, all_said, key_line
from coach.language.word_forms import same, stem

WHERE = frozenset(
    "on over at in into onto under below beneath above behind beside near off from outside inside"
    " across around past to toward towards between against through up down along".split()
)
"""Words that say where; each belongs to the next thing that is named."""

_WIDEST_GAP = 1
"""Words that may stand between two words of a line, besides small ones ("the", "that was")."""

_SMALL = EMPTY_WORDS - {"and", "at", "for", "of", "with", "then", "now", "also"}


def done_wrongly(lines: Sequence[str], clause: Clause) -> list[frozenset[int]]:
    """The places of each of the lines that the clause tells, its words in the order written.

    Neither what is denied ("not on the joint") nor what is only looked for tells it.
    """
    if any(word.stem in LOOKING_FOR for word in clause.words) and _only_seeks(clause):
        return []
    stems = frozenset(word.stem for word in clause.words)
    said = (line for line in map(key_line, lines) if all_said(line, stems))
    found = (_told(line, clause.words) for line in said)
    return [
        places
        for places in found
        if places is not None and not denied(clause, places, max(places), finding=True)
    ]


def _only_seeks(clause: Clause) -> bool:
    """Whether it is only looked for: "I check for gagging"."""
    texts = clause.texts
    return any(text in {"for", "if", "whether"} for text in texts)


def _told(line: Sequence[frozenset[str]], words: Sequence[Word]) -> frozenset[int] | None:
    for start in range(len(words)):
        chain = _chain(line, words, start)
        if chain is not None and not _of_another(chain, words):
            return frozenset(words[at].place for at in chain)
    return None


def _chain(line: Sequence[frozenset[str]], words: Sequence[Word], start: int) -> list[int] | None:
    """Where the words of a line stand one after the other, the first of them at `start`."""
    chain: list[int] = []
    for forms in line:
        at = _next(forms, words, chain[-1] + 1 if chain else start, bool(chain))
        if at is None:
            return None
        chain.append(at)
    return chain


def _next(forms: frozenset[str], words: Sequence[Word], start: int, near: bool) -> int | None:
    """Where the next word of a line stands: at `start`, or `near` after it."""
    passed = 0
    for at in range(start, len(words)):
        if any(same(words[at].stem, form) for form in forms):
            return at
        passed += words[at].text not in _SMALL
        if not near or passed > _WIDEST_GAP or words[at].text == "and":
            return None
    return None


def _of_another(chain: Sequence[int], words: Sequence[Word]) -> bool:
    """Whether a thing belongs to another "on" than that of the line: "put it on above the knee"."""
    where = frozenset(map(stem, WHERE))
    return any(
        words[one].stem in where and any(words[at].stem in where for at in range(one + 1, other))
        for one, other in pairwise(chain)
    )
