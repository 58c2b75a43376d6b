"""What an utterance comes to for each step that it tells of more than once."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import replace

from coach.core.meaning import Part, StepMention
from coach.language.clause import Clause
from coach.language.clause_words import DETERMINERS, NEGATORS, NEW_SUBJECTS, SUBJECTS
from coach.language.hedges import REVISING
from coach.language.match import Match


def last_told(
    sure: Sequence[Match], parts: Sequence[Clause], ends_when_told: Container[str] = ()
) -> dict[str, StepMention]:
    """What the matches, in the order of the acts, tell of each step.

    Of a step of `ends_when_told` what is told after its beginning is its end: "checking the pulse,
    there's no pulse".
    """
    told: dict[str, StepMention] = {}
    texts = {word.place: word.text for clause in parts for word in clause.words}
    denials: dict[str, int] = {}
    for match in sure:
        told.pop(match.step, None) if match.denied or match.part is not Part.DONE else None
        earlier = told.get(match.step)
        if match.denied:
            denials[match.step] = max(match.places)
        elif (
            earlier
            and earlier.denied
            and (
                _chosen_instead(earlier, match)
                or _revised(texts, denials[match.step], match, earlier.found)
            )
        ):
            earlier = None
        begun = earlier is not None and earlier.part is Part.CLOCK_START
        if begun and match.part is Part.DONE and match.step in ends_when_told:
            earlier = None
        choice = match.choice or (earlier.choice if earlier else None)
        if earlier is None or match.denied or match.part is not Part.DONE:
            found = match.denied and match.found
            told[match.step] = StepMention(match.step, match.denied, match.part, choice, found)
        elif choice != earlier.choice:
            told[match.step] = replace(earlier, choice=choice)
    return told


def _chosen_instead(denial: StepMention, match: Match) -> bool:
    """Whether one choice is named instead of the one denied: "not awake, she answers to pain"."""
    named = denial.choice is not None and match.choice is not None
    return named and not denial.found and match.choice != denial.choice


def _revised(texts: Mapping[int, str], denial_end: int, match: Match, found: bool) -> bool:
    """Whether a word between a denial and a later confirmation makes the later one count.

    After a bad finding not the "no" of a good one itself: "he has ulcers and no bleeding".
    """
    places = set(range(denial_end + 1, max(match.places))) - (match.places if found else set())
    return any(
        texts.get(place, "") in REVISING
        and (place in match.places or not _names_absence(texts, place))
        for place in places
    )


def _names_absence(texts: Mapping[int, str], place: int) -> bool:
    """Whether a "no" there says of what follows that it is not there: "no clotting problems"."""
    following = texts.get(place + 1, "")
    goes_on = SUBJECTS | NEW_SUBJECTS | DETERMINERS | REVISING | NEGATORS
    return texts[place] == "no" and bool(following) and following not in goes_on
