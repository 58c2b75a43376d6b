"""Invented attempts for the tests of the plan."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from coach.rehearsal.practised import Practised
from coach.report.attempt import Verdict, Way

BEGUN = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)
"""A Monday evening."""


def attempt(
    day: float,
    verdict: Verdict = Verdict.READY,
    *,
    way: Way = Way.RECALL,
    hints: int = 0,
    skill: str = "suction",
    share: float = 0.95,
    seconds: float = 300.0,
) -> Practised:
    """An attempt so many days after BEGUN."""
    when = BEGUN + timedelta(days=day)
    return Practised(skill, when, way, verdict, share, hints, seconds)


def at(day: float) -> datetime:
    """The moment so many days after BEGUN."""
    return BEGUN + timedelta(days=day)
