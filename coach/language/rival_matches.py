"""Which of the matches that lean on the same words stands."""

from __future__ import annotations

from collections.abc import Sequence, Set

from coach.core.meaning import Part
from coach.language.clause import Clause
from coach.language.clause_words import (
    AUXILIARIES,
    BE,
    DETERMINERS,
    LOOKING,
    PLACING_WORDS,
)
from coach.language.match import Match

FOUND = 0.9
"""A finding is as good a word for its step as a line of keys is for another."""


def settled(
    matches: list[Match],
    order: dict[str, int],
    forbidden: frozenset[str],
    done: frozenset[str],
    clause: Clause,
) -> list[Match]:
    """Of matches that lean on the same words, the one that explains most of them.

    Of those that explain as many, an act that must not happen: "forcing the regulator on"; then
    what is still to be done, for who says again "no pulse" tells of the second check. What is done
    wrongly counts besides, unless it is such an act. An act that is only told by contrast takes no
    words from a step: "the tourniquet is on the thigh, not over the joint".
    """
    ranked = sorted(
        matches,
        key=lambda m: (
            -len(m.places),
            m.step not in forbidden,
            m.step in done and not m.denied,
            -max(m.sure, FOUND if m.found else 0.0),
            order[m.step],
            not m.found,
            m.part is not Part.CLOCK_END,
            m.part is not Part.DONE,
        ),
    )
    wrong = [match for match in ranked if match.wrong]
    apart = _contrasts(clause)
    shunned = [
        m
        for m in ranked
        if m.step in forbidden and m.denied and not m.wrong and apart & set(range(max(m.places)))
    ]
    rivals = [m for m in ranked if m not in wrong and m not in shunned]
    kept: list[Match] = []
    used: set[int] = set()
    for match in _without_borrowed(rivals, forbidden | done):
        fresh = match.places - used
        if 2 * len(fresh) > len(match.places) or not kept or _adds(match, used, clause):
            kept.append(match)
            used |= match.places
    acts = [m.places for m in kept if m.step in forbidden and not m.denied]
    kept += shunned
    return kept + [m for m in wrong if not any(m.places & places for places in acts)]


def _contrasts(clause: Clause) -> set[int]:
    """The places of each "not" that tells where or how it is not, after how it is."""
    return {
        word.place
        for before, word, following in zip(
            clause.words, clause.words[1:], clause.words[2:], strict=False
        )
        if word.text == "not"
        and before.text not in BE | AUXILIARIES
        and not before.text.endswith(("'s", "'re", "'m"))
        and following.text in PLACING_WORDS | DETERMINERS
    }


def _adds(match: Match, used: set[int], clause: Clause) -> bool:
    """Whether a match shares only the looking with one before it, and has a thing of its own.

    "I asked about allergies and about bleeding" asks for both.
    """
    looking = {w.place for w in clause.words if w.stem in LOOKING or w.text in {"about", "for"}}
    things, others = match.places - looking, used - looking
    if not match.places & looking & used or not things or not others or things & used:
        return False
    return any(
        max(things) < place < min(others) or max(others) < place < min(things)
        for place in clause.ands
    )


def _without_borrowed(matches: Sequence[Match], apart: frozenset[str]) -> list[Match]:
    """The matches but those that borrow words of another step, while their step has its own.

    "No damage and the washer is whole" tells of the washer by "washer whole", not by "no damage".
    Acts that must not happen and steps done, which are `apart`, neither lend nor borrow.
    """
    open_now = [match for match in matches if match.step not in apart]
    return [m for m in matches if m.step in apart or not _is_borrowing(m, open_now)]


def _is_borrowing(match: Match, matches: Sequence[Match]) -> bool:
    def alike(own: Match) -> bool:
        told = (own.step, own.part, own.denied, own.choice)
        return told == (match.step, match.part, match.denied, match.choice)

    lenders = [
        other
        for other in matches
        if other.step != match.step
        and other.places & match.places
        and match.start <= other.start
        and max(other.places) <= max(match.places)
        and not any(alike(own) and own.places <= other.places for own in matches)
    ]
    return any(
        alike(own)
        and own.sure >= match.sure
        and own.places & match.places
        and (own.start > max(other.places) or max(own.places) < other.start)
        for other in lenders
        for own in matches
    )


def ambiguous(
    match: Match,
    matches: Sequence[Match],
    suggested: str | None,
    done: Set[str],
    due: Set[str],
) -> bool:
    """Whether the very same words fit several open steps, of which none is suggested and more
    than one may be done now."""
    same_words = [m for m in matches if m.places == match.places and m.sure == match.sure]
    rivals = {m.step for m in same_words if m.step not in done}
    if match.step == suggested or len(rivals | {match.step}) < 2:
        return False
    return len(rivals & due) > 1
