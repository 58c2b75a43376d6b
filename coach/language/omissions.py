"""Which step a clause leaves out by naming only its thing: "I forgot the gloves", "no lube"."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from coach.core.meaning import Part
from coach.language.clause import Clause, Word
from coach.language.clause_words import (
    AUXILIARIES,
    NEGATORS,
    OMISSIONS,
    VERB_NEGATORS,
)
from coach.language.context import StepWords
from coach.language.denials import denied, looking_denied
from coach.language.lines import EMPTY_WORDS, LOOKING_FOR, key_line
from coach.language.match import Match
from coach.language.step_matches import asks_for_leave
from coach.language.word_forms import same, stem

ABSENCE = frozenset(map(stem, (*NEGATORS, "absent")))
GONE = frozenset({stem("gone")})
"""It says that a thing is not there, but only beside other such words ("absent/gone")."""

LONGEST_OMISSION = 6
"""Words of a clause that leaves out a thing by naming it; a longer one is about more."""

LONGEST_OF_DUE = 9
"""The same where it is about the step that is due."""

SENSING = frozenset(
    stem(w) for w in "see hear feel find know think understand want like need mean believe".split()
)
"""What is not sensed or wanted is not left out."""

PERSONS = frozenset(map(stem, "i i'm he he's she she's it it's they we you".split()))
"""Words that name nobody's thing: "no, she's not" leaves no step out that begins with "she"."""

PARTICLES = frozenset(map(stem, "in on off out up down away back over".split()))
MOVING = frozenset(map(stem, "go going come coming get getting turn turning all way yet".split()))
ITSELF = frozenset("it it's they they're".split())
"""What stands for the thing of the step that is due."""

SAYS_NOTHING = frozenset({"nothing", "anything"})


def left_out(steps: Sequence[StepWords], clause: Clause, suggested: str | None) -> Match | None:
    """The step of which only the thing is named after a denial: "I forgot the gloves", "no lube".

    Of several the suggested one; otherwise nobody can tell. Leave that is asked for is no thing.
    """
    steps = [step for step in steps if not asks_for_leave(step)]
    due = next((step for step in steps if step.id == suggested), None)
    if due is not None and len(clause.words) <= LONGEST_OF_DUE:
        place = _of_the_due(due, clause)
        if place is not None:
            return _denial(due, place)
    if len(clause.words) > LONGEST_OMISSION:
        return None
    deniers = [word.place for word in clause.words if _leaves_out(clause, word)]
    if len(deniers) != 1 or denied(clause, frozenset(deniers), deniers[0]):
        return None
    if any(word.stem in LOOKING_FOR | SENSING for word in clause.words):
        return None
    things = _things(clause, deniers)
    found = {
        step.id: place for step in steps if (place := _place_of_head(step, things)) is not None
    }
    if due is not None and due.id in found:
        return _denial(due, found[due.id])
    if len(found) != 1:
        return None
    [step] = [step for step in steps if step.id in found]
    return _denial(step, found[step.id])


def _denial(step: StepWords, place: int) -> Match:
    return Match(step.id, Part.DONE, None, frozenset({place}), True, 0.8)


def _things(clause: Clause, deniers: Sequence[int]) -> list[Word]:
    things = [w for w in clause.words if w.text not in EMPTY_WORDS and w.place not in deniers]
    if any(word.text in OMISSIONS for word in clause.words):
        things = [word for word in things if word.place > deniers[0]]
    return things


def _place_of_head(step: StepWords, things: Sequence[Word]) -> int | None:
    """Where the thing of a step is named: the first word of a line, no particle and no finding."""
    heads = frozenset().union(*(key_line(line)[0] for line in step.done.keys))
    findings = [key_line(line) for line in step.done.absent]
    heads -= frozenset().union(*(line[0] for line in findings if len(line) == 1), PARTICLES)
    heads -= PERSONS
    heads -= _good_news(step)
    return _first_of(heads, things)


def _of_the_due(step: StepWords, clause: Clause) -> int | None:
    """Where a clause denies the step that is due without naming it in full.

    "It isn't down to zero", "nothing coming out", "there's no label", "I didn't check for a gag".
    """
    texts = clause.texts
    negated = [word for word in clause.words if word.text in NEGATORS]
    if not negated:
        return None
    lines = [key_line(line) for line in step.done.keys]
    absent = [key_line(line) for line in step.done.absent]
    findings = frozenset().union(*(line[0] for line in absent))
    own = frozenset().union(*(forms for line in lines for forms in line)) - _good_news(step)
    content = [word for word in clause.words if word.text not in EMPTY_WORDS]
    if looking_denied(clause):
        sought = [word for word in content if word.stem not in LOOKING_FOR]
        told = frozenset().union(*(forms for line in absent for forms in line))
        return _first_of((own | told) - PARTICLES, sought)
    if any(word in SAYS_NOTHING for word in texts):
        if step.done.absent or _good_news(step):
            return None  # there nothing is what should be found
        return _first_of(own, content)
    if texts[0] in ITSELF and not any(word in OMISSIONS for word in texts):
        bare = all(
            word.stem in PARTICLES | MOVING or word.text in NEGATORS | AUXILIARIES
            for word in content
        )
        return _first_of(own - findings if bare else own - findings - PARTICLES, content)
    return _after_no(step, clause)


def _after_no(step: StepWords, clause: Clause) -> int | None:
    """Where the thing of the step stands right after a "no": "there's no label on it"."""
    following = [
        word
        for before, word in pairwise(clause.words)
        if before.text == "no" and word.text not in EMPTY_WORDS
    ]
    return _place_of_head(step, following)


def _first_of(forms: frozenset[str], words: Sequence[Word]) -> int | None:
    return next((w.place for w in words if any(same(w.stem, form) for form in forms)), None)


def _good_news(step: StepWords) -> frozenset[str]:
    """The words of the lines that are good news by naming what is not there: "no gag"."""
    lines = (line for line in map(key_line, step.done.keys) if _is_absence(line))
    return frozenset().union(*(forms for line in lines for forms in line))


def _is_absence(line: Sequence[frozenset[str]]) -> bool:
    """Whether a line is good news by naming what is not there: "no gag", "gag absent"."""
    return any(forms <= ABSENCE | GONE and forms & ABSENCE for forms in line)


def _leaves_out(clause: Clause, word: Word) -> bool:
    before = [w.text for w in clause.words if w.place == word.place - 1]
    if word.text == "not":
        return before[:1] != [] and (before[0] in AUXILIARIES or before[0].endswith("'s"))
    return word.text in OMISSIONS or word.text in VERB_NEGATORS
