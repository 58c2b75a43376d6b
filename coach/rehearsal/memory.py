"""How well a skill is remembered, by the memory model FSRS 6 (package `fsrs`, by its authors).

Its weights are those that come with the package, fitted to the recall of many people's cards, as
no such collection of attempts at skills exists; `tests/benchmarks/rehearsal` shows what the plan
is worth for learners who forget otherwise. Nothing is left to chance: the same attempts always
give the same memory.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta, tzinfo

from fsrs import Card, Scheduler, State

from coach.rehearsal.evidence import evidence_of, shows_recall
from coach.rehearsal.practised import Practised, in_order
from coach.report.attempt import Verdict

AIM = 0.9
"""The chance of doing a skill right that a plan aims at unless it is told another: the model's own
usual aim, around which it was fitted. A higher one costs time out of proportion."""

AIMS = (0.7, 0.97)
"""Lowest and highest aim: below, the model was hardly tried (from memory of its authors' advice);
above, skills would be due nearly every day."""

LONGEST_DAYS = 180
"""Longest time until the next rehearsal, whatever the model says. Reviewers found most decay in
the first year, and that short refreshers every 6 to 12 months help (ACFASP 2009): the safer end."""

AT_MOST_AFTER_A_MISS = 0.5
"""Highest chance that is told until a skill has been done alone since it last was not, or ever.

The model takes what was just told for known, which holds for one answer and not for a skill; even
odds are our own choice (no source)."""

_MODEL = Scheduler(learning_steps=(), relearning_steps=(), enable_fuzzing=False)


@dataclass(frozen=True, slots=True)
class Memory:
    """The memory of one skill after the last attempt at it.

    `stability_days`: days until the chance has fallen to 90 %. `difficulty`: 1 to 10. `last`: the
    instant of the last attempt (UTC). `shown`: of the attempts alone that were judged, the last
    was ready.
    """

    stability_days: float
    difficulty: float
    last: datetime
    shown: bool

    def chance(self, at: datetime) -> float:
        """The chance of doing the skill right at that instant, 0 to 1.

        At a time before the last attempt (a clock was set back) it is that of the last attempt.
        """
        recalled = _MODEL.get_card_retrievability(_card(self), at.astimezone(UTC))
        return recalled if self.shown else min(recalled, AT_MOST_AFTER_A_MISS)

    def days_above(self, aim: float) -> int:
        """Whole days, at least one, until the model's chance falls below the aim."""
        card, low, high = _card(self), 1, LONGEST_DAYS
        while low < high:
            middle = (low + high + 1) // 2
            at = self.last + timedelta(days=middle)
            if _MODEL.get_card_retrievability(card, at) >= aim:
                low = middle
            else:
                high = middle - 1
        return low

    def due(self, aim: float, zone: tzinfo) -> date:
        """The day to rehearse next, in the learner's time zone.

        It is counted in days of the calendar: a change of the clocks in between moves nothing.
        """
        return self.last.astimezone(zone).date() + timedelta(days=self.days_above(aim))


def memory_after(attempts: Iterable[Practised]) -> Memory | None:
    """The memory of one skill after all attempts at it, in whatever order they come; None if there
    are none."""
    memory: Memory | None = None
    for attempt in in_order(attempts):
        memory = remembered(memory, attempt)
    return memory


def remembered(memory: Memory | None, attempt: Practised) -> Memory:
    """The memory after one more attempt, which is not earlier than those before."""
    evidence = evidence_of(attempt)
    before = _card(memory) if memory else _new_card(attempt.instant)
    after, _ = _MODEL.review_card(before, evidence.rating, attempt.instant)
    new = _memory(after, attempt)
    shown = memory is not None and memory.shown
    if shows_recall(attempt):
        shown = attempt.verdict is Verdict.READY
    if memory is None or evidence.weight == 1.0:
        return replace(new, shown=shown)
    return Memory(
        math.exp(
            _between(math.log(memory.stability_days), math.log(new.stability_days), evidence.weight)
        ),
        _between(memory.difficulty, new.difficulty, evidence.weight),
        new.last,
        shown,
    )


def _between(before: float, after: float, weight: float) -> float:
    return before + weight * (after - before)


def _memory(card: Card, attempt: Practised) -> Memory:
    if card.stability is None or card.difficulty is None:
        raise ValueError("the model rated an attempt and remembers nothing")
    return Memory(card.stability, card.difficulty, attempt.instant, shown=False)


def _card(memory: Memory) -> Card:
    # The package reads the clock for an id or a date that it is not given.
    return Card(
        card_id=0,
        state=State.Review,
        stability=memory.stability_days,
        difficulty=memory.difficulty,
        due=memory.last,
        last_review=memory.last,
    )


def _new_card(at: datetime) -> Card:
    return Card(card_id=0, due=at)
