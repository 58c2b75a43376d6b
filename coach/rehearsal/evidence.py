"""What an attempt tells of the memory of a skill.

The memory model knows four ratings of a recall: forgotten, recalled with great difficulty,
recalled, recalled with ease. It was made for cards with one answer; which rating an attempt at a
skill is, and how far it counts, is our own choice, written down here as data with its reason.
"""

from __future__ import annotations

from dataclasses import dataclass

from fsrs import Rating

from coach.rehearsal.practised import Practised
from coach.report.attempt import Verdict, Way

ALONE = (Way.RECALL, Way.ASSESSED, Way.DRILL)
"""Ways in which the coach does not name the steps."""

LED_BY_HINTS = 3
"""Hints from which an attempt counts like one that was led (our own choice, no source)."""

HALF = 0.5
"""How far a rehearsal that asks for no recall lengthens what is remembered, of what a recall does.

Being told again keeps less than recalling it oneself: after a week people who read a text again
knew 42 % of it, people who had to recall it 56 % (Roediger and Karpicke 2006, Psychological
Science 17, 249, experiment 1; from memory). How much less for skills of the hands, no text was
found: a half is our own choice.
"""


@dataclass(frozen=True, slots=True)
class Evidence:
    """A row of the table: attempts of these ways and this verdict, with hints from `least_hints` to
    `most_hints` (None: without limit).

    It lengthens what is remembered as `rating` does, `moves` of it (0 to 1); the first attempt at
    a skill counts as its rating in any case. `recalled`: whether the skill was recalled (None: that
    was not asked, or is not known), by which the model learns how fast this learner forgets it.
    """

    ways: tuple[Way, ...]
    verdict: Verdict
    least_hints: int
    most_hints: int | None
    rating: Rating
    moves: float
    recalled: bool | None
    because: str

    def covers(self, attempt: Practised) -> bool:
        """Whether the attempt is one of this row."""
        return (
            attempt.way in self.ways
            and attempt.verdict is self.verdict
            and self.least_hints <= attempt.hints
            and (self.most_hints is None or attempt.hints <= self.most_hints)
        )


TABLE = (
    Evidence(
        ALONE,
        Verdict.NOT_YET,
        0,
        None,
        Rating.Again,
        0.0,
        False,
        "It could not be done alone. What was wrong was told at once, so nothing counts as lost; "
        "that it was missed tells how fast it fades.",
    ),
    Evidence(
        ALONE,
        Verdict.READY,
        LED_BY_HINTS,
        None,
        Rating.Hard,
        HALF,
        False,
        "With so many hints the coach led through it: alone it would not have been done.",
    ),
    Evidence(
        ALONE,
        Verdict.READY,
        1,
        LED_BY_HINTS - 1,
        Rating.Hard,
        1.0,
        None,
        "It was done, but not without help; whether it would have been is open.",
    ),
    Evidence(
        ALONE,
        Verdict.READY,
        0,
        0,
        Rating.Good,
        1.0,
        True,
        "It was recalled; not rated higher: a rehearsal too late costs more than one too many.",
    ),
    Evidence(
        (Way.LED,),
        Verdict.READY,
        0,
        None,
        Rating.Hard,
        HALF,
        None,
        "Every step was named: it was rehearsed, but nothing shows that it would be recalled.",
    ),
    Evidence(
        (Way.LED,),
        Verdict.NOT_YET,
        0,
        None,
        Rating.Again,
        0.0,
        None,
        "It was not done although every step was named; recalling it was not asked.",
    ),
    Evidence(
        tuple(Way),
        Verdict.UNCLEAR,
        0,
        None,
        Rating.Hard,
        HALF,
        None,
        "It was rehearsed; whether it was recalled is open until a person has judged it.",
    ),
)
"""Every attempt is of one row."""


def evidence_of(attempt: Practised) -> Evidence:
    """The row of the attempt."""
    return next(row for row in TABLE if row.covers(attempt))
