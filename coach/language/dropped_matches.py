"""Matches that do not count after all, for what else the utterance tells."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace

from coach.language.clause import Clause
from coach.language.clause_words import NEGATORS
from coach.language.context import StepWords
from coach.language.hedges import TakenBack
from coach.language.lines import EMPTY_WORDS
from coach.language.match import Match
from coach.language.omissions import SAYS_NOTHING
from coach.language.step_matches import own_stems


def without_answered(
    steps: Sequence[StepWords], sure: list[Match], parts: Sequence[Clause]
) -> list[Match]:
    """The matches but the signs that a step told with them answers: "he gags, I take it out".

    Such a step names the sign in its own words.
    """
    signs = [match for match in sure if match.sign]
    if not signs:
        return sure
    stems = {word.place: word.stem for clause in parts for word in clause.words}
    told = {match.step for match in sure if not match.denied}
    own = {step.id: own_stems(step) for step in steps if step.id in told}
    answered = [
        sign
        for sign in signs
        if sign.step not in told and any(stems[max(sign.places)] in words for words in own.values())
    ]
    return [match for match in sure if match not in answered]


def without_taken_back(
    parts: Sequence[Clause], sure: Sequence[Match], last: Sequence[Match], how: TakenBack
) -> list[Match]:
    """The matches after the last of them were taken back.

    What was told as a denial stays: "it's not leaking, no it isn't" only says so again.
    """
    denying = {
        word.place
        for clause in parts
        if any(word.text in NEGATORS for word in clause.words)
        for word in clause.words
    }
    back = [match for match in last if not match.denied and not match.places & denying]
    kept = [match for match in sure if match not in back]
    if how is TakenBack.DENIED:
        kept += [replace(match, denied=True) for match in back]
    return kept


def lacking_something(
    steps: Sequence[StepWords], sure: Sequence[Match], parts: Sequence[Clause], at: Set[int]
) -> list[Match]:
    """The matches beside a clause (their numbers are `at`) that tells what they lack.

    Not where it is the thing of another step alone that lacks: "I read the label but not the date".
    """
    if not at:
        return []
    own = {step.id: own_stems(step) for step in steps}
    found: list[Match] = []
    for number in at:
        beside = parts[max(0, number - 1) : number + 2]
        places = {word.place for clause in beside for word in clause.words}
        things = {word.stem for word in parts[number].words if word.text not in EMPTY_WORDS}
        others = {step for step, stems in own.items() if things & stems}
        found += [
            match
            for match in sure
            if not match.denied and match.places & places and (match.step in others or not others)
        ]
    return found


def only_adds_nothing(lacking: Match, clause: Clause, last: Sequence[Match]) -> bool:
    """Whether what is not there only goes on with what was told: "it's bare, nothing under it"."""
    told = any(match.step == lacking.step and not match.denied for match in last)
    return told and clause.words[0].text in SAYS_NOTHING
