"""Who is named as the doer: "Maria squeezes the bag" tells of a helper, and not of the speaker.

Nobody knows all names: what begins a clause, does something, and is a word of no step of the skill
is taken for one. Of a step for two it tells who does it; of any other that somebody else did.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coach.core.meaning import Part
from coach.language.clause import Clause
from coach.language.clause_words import (
    AUXILIARIES,
    CROWD,
    DETERMINERS,
    DOINGS,
    NEGATORS,
    NEW_SUBJECTS,
    NOT_THINGS,
    OMISSIONS,
    OTHERS,
    OWN,
    PAST,
    QUESTION_HEADS,
    SENSES,
    SUBJECTS,
)
from coach.language.context import StepWords
from coach.language.lines import EMPTY_WORDS
from coach.language.match import Match
from coach.language.number_words import DIGITS, TEENS, TENS
from coach.language.step_matches import matches_in, own_stems
from coach.language.word_forms import stem

_LEADS = frozenset("and so now okay ok then um uh well while".split())
_NO_NAMES = (
    AUXILIARIES | CROWD | DETERMINERS | DOINGS | NEGATORS | NEW_SUBJECTS | NOT_THINGS | OMISSIONS
) | (OTHERS | OWN | PAST | QUESTION_HEADS | SENSES | SUBJECTS | DIGITS.keys() | TEENS.keys())
_NO_NAMES |= TENS.keys() | frozenset(
    "patient victim casualty somebody someone anybody nobody everybody everyone everything"
    " something nothing anything one both all these those which just still already also".split()
)
"""Words that begin a clause and are nobody's name."""

_ACTS = frozenset(map(stem, DOINGS))
_OBJECTS = frozenset("the it a an my them that this these those both".split())
_PRONOUNS = frozenset({"she", "he"})
_MYSELF = ("i", "i'm")


def by_the_named(
    matches: list[Match], clause: Clause, steps: Sequence[StepWords]
) -> tuple[list[Match], list[str]]:
    """The matches of a clause as its named doer makes them, and the steps it only may tell of."""
    at = _verb_of_the_doer(clause)
    if at is None:
        return matches, []
    told = [*matches, *_told_by_himself(matches, clause, at, steps)]
    if _is_pronoun(clause, at) or stem(_doer(clause, at)) in _words_of(steps):
        return told, []
    for_two = {step.id for step in steps if step.for_two}
    theirs = [replace(m, part=Part.PARTNER) if _does(m, for_two) else m for m in told]
    if not _acts_on_something(clause.texts[at:]):
        return theirs, []
    others = [m.step for m in theirs if m.step not in for_two and not m.denied]
    return [m for m in theirs if m.step not in others], others


def _does(match: Match, for_two: set[str]) -> bool:
    return match.step in for_two and match.part is Part.DONE and not match.denied


def _verb_of_the_doer(clause: Clause) -> int | None:
    """The place in the clause of what "she" or somebody who may be named does; None elsewhere."""
    texts = clause.texts
    at = next((n for n, word in enumerate(texts) if word not in _LEADS), len(texts))
    if len(texts) < at + 2:
        return None
    name, verb = texts[at].removesuffix("'s"), texts[at + 1]
    is_doing = texts[at] != name or verb == "is"
    does = texts[at + 2 : at + 3] if verb == "is" else (verb,)
    if not does or not (does[0].endswith("ing") if is_doing else _is_verb(does[0])):
        return None
    if name not in _PRONOUNS and (not name.isalpha() or name in _NO_NAMES):
        return None
    return at + 1 + (verb == "is")


def _doer(clause: Clause, at: int) -> str:
    """The word that says who does what the clause tells at a place."""
    texts = clause.texts
    return texts[at - 1 - (texts[at - 1] == "is")].removesuffix("'s")


def _is_pronoun(clause: Clause, at: int) -> bool:
    return _doer(clause, at) in _PRONOUNS


def _is_verb(word: str) -> bool:
    return (word.endswith(("s", "ed")) and not word.endswith("ss")) or word in PAST


def _words_of(steps: Sequence[StepWords]) -> frozenset[str]:
    return frozenset[str]().union(*(own_stems(step) | step.texts | step.parts for step in steps))


def _told_by_himself(
    matches: list[Match], clause: Clause, at: int, steps: Sequence[StepWords]
) -> list[Match]:
    """What the words of the other person of a step for two tell where somebody tells them of him:
    "she squeezes" is his "I squeeze".

    "She" may be the patient: then nothing else may be told ("she squeezes my hand").
    """
    said = _MYSELF[clause.texts[at].endswith("ing")]
    before = replace(clause.words[at - 1], text=said, stem=stem(said))
    told = replace(clause, words=(before, *clause.words[at:]))
    content = {word.place for word in clause.words[at:] if word.text not in EMPTY_WORDS}
    return [
        match
        for step in steps
        if step.for_two and not any(m.step == step.id for m in matches)
        for match in matches_in(step, told)
        if match.part is Part.PARTNER and not (_is_pronoun(clause, at) and content - match.places)
    ]


def _acts_on_something(texts: Sequence[str]) -> bool:
    """Whether it is an act of the bench, with a thing that it is done to."""
    return stem(texts[0]) in _ACTS and not _OBJECTS.isdisjoint(texts[1:2])
