"""Findings in a row, of which each tells of no step by itself."""

from __future__ import annotations

from collections.abc import Sequence

from coach.language.clause import Clause, Mood
from coach.language.clause_words import BE, DOINGS, NEGATORS, OMISSIONS, OWN
from coach.language.context import StepWords
from coach.language.match import Match
from coach.language.step_matches import matches_in

MOST_FINDINGS = 4
"""Clauses that one list of findings may have: airway, breathing, pulse, skin."""

LONGEST_FINDING = 6
"""Words of a finding in such a list: "a strong pulse at the wrist"."""


def over_findings(steps: Sequence[StepWords], row: Sequence[Clause]) -> list[Match]:
    """Matches over a list of findings each of which tells of no step by itself: "airway is patent,
    breathing is fine, pulse is good"."""
    from_last = list(reversed(row))
    count = next((n for n, clause in enumerate(from_last) if not _is_finding(clause)), len(row))
    for length in range(2, count + 1):
        parts = row[-length:]
        words = tuple(word for part in parts for word in part.words)
        together = Clause(words, Mood.PLAIN, tuple(at for part in parts for at in part.ands))
        starts = [part.words[0].place for part in parts]
        found = [match for step in steps for match in matches_in(step, together)]
        if found := [m for m in found if not m.found and _in_each(m, starts)]:
            return found
    return []


def _in_each(match: Match, starts: Sequence[int]) -> bool:
    """Whether a match has words of every clause of a row, which begin at these places."""
    return {max(start for start in starts if start <= at) for at in match.places} == {*starts}


def _is_finding(clause: Clause) -> bool:
    """Whether a clause tells shortly how something is, and of nobody's doing."""
    texts = clause.texts
    return (
        clause.mood is Mood.PLAIN
        and clause.head in {"", "and"}
        and len(texts) <= LONGEST_FINDING
        and OWN.isdisjoint(texts)
        and not any(word in NEGATORS | OMISSIONS for word in texts)
        and not _begins_with_an_act(texts)
    )


def _begins_with_an_act(texts: Sequence[str]) -> bool:
    """Whether something done is told: "opening it", not "breathing is fine"."""
    acts = texts[0] in DOINGS or texts[0].endswith(("ed", "ing"))
    return acts and BE.isdisjoint(texts[1:2])
