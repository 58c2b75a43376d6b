"""What is looked at again: "afterwards he moves his feet" tells of the second look, not the first.

Where two steps ask for the same (pulse, feeling and movement before and after a splint), only words
of a second time part them. A skill writes them into the later step.
"""

from __future__ import annotations

from collections.abc import Sequence, Set

from coach.core.meaning import Part
from coach.language.clause import Clause
from coach.language.clause_words import OTHERS
from coach.language.context import StepWords
from coach.language.lines import EMPTY_WORDS
from coach.language.match import Match
from coach.language.step_matches import own_stems
from coach.language.word_forms import stem

AGAIN = frozenset(map(stem, "again still afterwards recheck rechecked unchanged".split()))
"""Words of a second time, as stems."""


def without_first_looks(
    matches: Sequence[Match],
    clause: Clause,
    steps: Sequence[StepWords],
    sure: Sequence[Match],
    said_again: Set[int],
    done: Set[str],
) -> list[Match]:
    """The matches of a clause but those of a first look, where the second one is told.

    It is told by a match of its own that leans on a word of a second time: in this clause or in one
    before (`sure`, and the places of such words `said_again`). A first look goes that shares words
    with it, or of which the later step knows all the words, unless it is `done` already.
    """
    again = {word.place for word in clause.words if word.stem in AGAIN}
    second = [m for m in matches if m.places & again and not m.denied]
    before = {m.step for m in sure if m.places & said_again and not m.denied}
    if not second and not before:
        return list(matches)
    told = before | {match.step for match in second}
    later = [own_stems(step) for step in steps if step.id in told]
    shared = frozenset[int]().union(*(m.places for m in second))
    known = {
        word.place: word.stem for word in clause.words if word.text not in EMPTY_WORDS | OTHERS
    }

    def is_first(match: Match) -> bool:
        if match.denied or match.part is not Part.DONE or match.step in told | done:
            return False
        said = {known[place] for place in match.places if place in known}
        return bool(match.places & shared) or any(said <= own for own in later)

    return [match for match in matches if not is_first(match)]
