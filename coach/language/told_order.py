"""In which order acts were done that a sentence tells otherwise: "I oiled it after I shut it"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from coach.language.clause import Clause, Mood
from coach.language.clause_words import BE
from coach.language.moods import HAD_DONE

_POINTS_ON = frozenset("that this it which them these those then".split())
"""Words after "after" or "before" that point to what was told just before."""

Place = tuple[float, bool, int]
"""When something told at a word was done: its clause, whether before its "after", its word."""


def order_told(parts: Sequence[Clause]) -> Mapping[int, Place]:
    """For each word its place in the order in which things were done; the words alone tell it."""
    moments: list[float] = []
    found: dict[int, Place] = {}
    for number, clause in enumerate(parts):
        moments.append(_moment(clause, parts[:number], moments))
        parted = _place_of_after(clause)
        for word in clause.words:
            told_first = parted is not None and word.place < parted
            found[word.place] = (moments[-1], told_first, word.place)
    return found


def _moment(clause: Clause, before: Sequence[Clause], earlier: Sequence[float]) -> float:
    """When the acts of a clause were done, counted in clauses; `earlier` are those `before` it."""
    number = len(before)
    if not number or clause.mood is not Mood.PLAIN:
        return float(number)
    told = max((n for n, one in enumerate(before) if len(one.words) > 1), default=0)
    goes_on = before[-1].words[-1].text == "and"  # "... and after I shut it I turned it"
    if clause.head == "before" or (clause.head == "after" and not goes_on):
        return earlier[told] - 0.5
    first = clause.head == "but" and clause.words[0].text == "first"
    if first or HAD_DONE.search(" ".join(clause.texts)):
        return min(earlier) - 1.0
    return float(number)


def _place_of_after(clause: Clause) -> int | None:
    """The place of an "after" within a clause, where what follows it was done first."""
    for word, following in zip(clause.words, clause.words[1:], strict=False):
        if word.text != "after" or word is clause.words[0]:
            continue
        beyond = [w.text for w in clause.words if w.place == following.place + 1]
        if following.text not in _POINTS_ON or not BE.isdisjoint(beyond):
            return word.place
    return None
