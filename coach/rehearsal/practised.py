"""One attempt as the plan of rehearsals needs it, and attempts in the order they happened."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime

from coach.rehearsal.instants import instant_of
from coach.report.attempt import Result, Verdict, Way


@dataclass(frozen=True, slots=True)
class Practised:
    """A skill was practised: `when` (with its time zone) in which way, and what came of it.

    `share` is the points of all that could be had, 0 to 1, `hints` how often the coach helped,
    `seconds` how long it took. `attempt` is its lasting id, for people alone ("": not known): no
    plan depends on it. ValueError for a time without its zone: such times have no order.
    """

    skill: str
    when: datetime
    way: Way
    verdict: Verdict
    share: float
    hints: int
    seconds: float = 0.0
    attempt: str = field(default="", compare=False)

    def __post_init__(self) -> None:
        if self.when.utcoffset() is None:
            raise ValueError(f"{self.when.isoformat()} has no time zone")

    @property
    def instant(self) -> datetime:
        """When it was, in UTC: the same moment in every time zone and season."""
        return self.when.astimezone(UTC)

    @property
    def clean(self) -> bool:
        """Whether it was ready, not led through it and without a hint."""
        return self.verdict is Verdict.READY and self.way is not Way.LED and self.hints == 0


def practised_from(result: Result) -> Practised:
    """What a scored attempt tells the plan; ValueError if its start is no time at all."""
    return Practised(
        result.skill,
        instant_of(result.started),
        result.way,
        result.verdict,
        result.share,
        result.hints,
        result.seconds,
        result.attempt,
    )


def in_order(attempts: Iterable[Practised]) -> tuple[Practised, ...]:
    """The attempts by the instant they happened, however they came.

    Of two at one instant the order is that of their other fields, so that the same attempts give
    the same plan on every station.
    """
    return tuple(sorted(attempts, key=_order))


def _order(attempt: Practised) -> tuple[datetime, str, str, str, float, int, float]:
    return (
        attempt.instant,
        attempt.skill,
        attempt.way,
        attempt.verdict,
        attempt.share,
        attempt.hints,
        attempt.seconds,
    )
