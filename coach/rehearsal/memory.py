"""How well a skill is remembered, by the memory model FSRS 6 (package `fsrs`, by its authors).

Several sets of weights (`coach.rehearsal.weights`) are kept side by side, and each counts as far as
it foretold the attempts (Bayes' rule, alike at the beginning); `tests/benchmarks/rehearsal` shows
what the plan is worth for learners who forget otherwise. Nothing is left to chance: the same
attempts always give the same memory.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, tzinfo

from fsrs import Card, Rating, Scheduler, State

from coach.rehearsal.evidence import Evidence, evidence_of
from coach.rehearsal.practised import Practised, in_order
from coach.rehearsal.weights import weight_sets
from coach.report.attempt import Verdict, Way

LONGEST_DAYS = 180
"""Longest time until the next rehearsal, whatever the model says. Reviewers found most decay in
the first year, and that short refreshers every 6 to 12 months help (ACFASP 2009): the safer end."""

AT_MOST_AFTER_A_MISS = 0.5
"""Highest chance that is told until a skill has been done alone since it last was not, or ever.

The model takes what was just told for known, which holds for one answer and not for a skill; even
odds are our own choice (no source)."""

SURE = 45 / 52
"""The part of attempts that are clean where the skill is remembered; the rest are slips. Kovacs (84
students) found 45 of 52 points right after the course."""

_MODELS = tuple(
    Scheduler(parameters=weights, learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    for weights in weight_sets()
)


@dataclass(frozen=True, slots=True)
class Trace:
    """What one set of weights makes of the attempts: `stability_days` until the chance is 90 %,
    `difficulty` 1 to 10, and the logarithm of how likely the attempts were by it."""

    stability_days: float
    difficulty: float
    log_likelihood: float


@dataclass(frozen=True, slots=True)
class Memory:
    """The memory of one skill after the last attempt at it.

    `traces` are those of the sets of weights. `last`: the instant of the last attempt (UTC).
    `shown`: of the attempts alone that were judged, the last was ready.
    """

    traces: tuple[Trace, ...]
    last: datetime
    shown: bool

    def chance(self, at: datetime) -> float:
        """The chance of doing the skill right at that instant, 0 to 1.

        At a time before the last attempt (a clock was set back) it is that of the last attempt.
        """
        kept = self.kept(at)
        return kept if self.shown else min(kept, AT_MOST_AFTER_A_MISS)

    def kept(self, at: datetime) -> float:
        """The chance that the skill is still remembered at that instant, as the model has it."""
        return sum(
            weight * chance for weight, chance in zip(self._weights(), self._each(at), strict=True)
        )

    @property
    def stability_days(self) -> float:
        """Days until the chance has fallen to 90 %: the middle of the sets, by how far they
        count, on a logarithmic scale."""
        logarithms = (math.log(trace.stability_days) for trace in self.traces)
        weighted = zip(self._weights(), logarithms, strict=True)
        return math.exp(sum(weight * logarithm for weight, logarithm in weighted))

    def days_above(self, aim: float) -> int:
        """Whole days, at least one, until the model's chance falls below the aim."""
        low, high = 1, LONGEST_DAYS
        while low < high:
            middle = (low + high + 1) // 2
            if self.kept(self.last + timedelta(days=middle)) >= aim:
                low = middle
            else:
                high = middle - 1
        return low

    def due(self, aim: float, zone: tzinfo) -> date:
        """The day to rehearse next, in the learner's time zone.

        It is counted in days of the calendar: a change of the clocks in between moves nothing.
        """
        return self.last.astimezone(zone).date() + timedelta(days=self.days_above(aim))

    def _each(self, at: datetime) -> tuple[float, ...]:
        instant = at.astimezone(UTC)
        return tuple(
            model.get_card_retrievability(_card(trace, self.last), instant)
            for model, trace in zip(_MODELS, self.traces, strict=True)
        )

    def _weights(self) -> tuple[float, ...]:
        most = max(trace.log_likelihood for trace in self.traces)
        likely = [math.exp(trace.log_likelihood - most) for trace in self.traces]
        return tuple(each / sum(likely) for each in likely)


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
    if memory is None:
        traces = tuple(_first(model, evidence.rating, attempt.instant) for model in _MODELS)
        return Memory(traces, attempt.instant, evidence.recalled is True)
    before = memory._each(attempt.instant)
    traces = tuple(
        _next(model, trace, memory.last, evidence, attempt.instant, kept)
        for model, trace, kept in zip(_MODELS, memory.traces, before, strict=True)
    )
    return Memory(traces, attempt.instant, _shown(memory.shown, attempt, evidence))


def _shown(before: bool, attempt: Practised, evidence: Evidence) -> bool:
    if evidence.recalled is not None:
        return evidence.recalled
    # A hint or two: it was done, which ends a time in which it was not.
    return before or (attempt.way is not Way.LED and attempt.verdict is Verdict.READY)


def _first(model: Scheduler, rating: Rating, at: datetime) -> Trace:
    # The package reads the clock for an id or a date that it is not given.
    card, _ = model.review_card(Card(card_id=0, due=at), rating, at)
    return Trace(*_state(card), 0.0)


def _next(
    model: Scheduler, trace: Trace, last: datetime, evidence: Evidence, at: datetime, kept: float
) -> Trace:
    likelihood = trace.log_likelihood
    if evidence.recalled is not None:
        clean = SURE * kept
        likelihood += math.log(clean if evidence.recalled else 1 - clean)
    if evidence.moves == 0:
        return Trace(trace.stability_days, trace.difficulty, likelihood)
    card, _ = model.review_card(_card(trace, last), evidence.rating, at)
    stability_days, difficulty = _state(card)
    grown = math.log(stability_days / trace.stability_days)
    return Trace(
        trace.stability_days * math.exp(evidence.moves * grown),
        trace.difficulty + evidence.moves * (difficulty - trace.difficulty),
        likelihood,
    )


def _state(card: Card) -> tuple[float, float]:
    if card.stability is None or card.difficulty is None:
        raise ValueError("the model rated an attempt and remembers nothing")
    return card.stability, card.difficulty


def _card(trace: Trace, last: datetime) -> Card:
    return Card(
        card_id=0,
        state=State.Review,
        stability=trace.stability_days,
        difficulty=trace.difficulty,
        due=last,
        last_review=last,
    )
