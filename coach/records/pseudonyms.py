"""Attempts without names, for others to count: one row a step, nothing that was said.

Learners and attempts are numbered anew by chance for every export, so that two exports cannot be
laid side by side; times are days since a learner's first attempt; whoever judged is not told. Few
learners may still be known by what they did: that is for whoever hands it on to weigh.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

COLUMNS = (
    "learner",
    "attempt",
    "day",
    "skill",
    "way",
    "verdict",
    "share",
    "attempt-hints",
    "seconds",
    "step",
    "mark",
    "coach-mark",
    "step-hints",
    "at-s",
)
"""`day` counts from a learner's first attempt (0); `share` is 0 to 1; `at-s` is empty for a step
that was not done."""


@dataclass(frozen=True, slots=True)
class StepRow:
    """A step of an attempt as the records have it; `started_s` is seconds since 1970."""

    learner: str
    attempt: str
    started_s: float
    skill: str
    way: str
    verdict: str
    share: float
    hints: int
    seconds: float
    step: str
    mark: str
    coach_mark: str
    step_hints: int
    at_s: float | None


def pseudonymous(rows: Iterable[StepRow], secret: bytes) -> Iterator[tuple[str, ...]]:
    """The rows as cells, in an order that tells nothing of who is who."""
    rows = tuple(rows)
    learners = _numbers({row.learner for row in rows}, secret)
    attempts = _numbers({row.attempt for row in rows}, secret)
    first: dict[str, float] = {}
    for row in rows:
        first[row.learner] = min(first.get(row.learner, row.started_s), row.started_s)
    ordered = sorted(enumerate(rows), key=lambda each: (learners[each[1].learner], each[0]))
    for _, row in ordered:
        yield (
            f"L{learners[row.learner]:04}",
            f"A{attempts[row.attempt]:06}",
            str(int((row.started_s - first[row.learner]) // 86_400)),
            row.skill,
            row.way,
            row.verdict,
            f"{row.share:.4f}",
            str(row.hints),
            f"{row.seconds:.1f}",
            row.step,
            row.mark,
            row.coach_mark,
            str(row.step_hints),
            "" if row.at_s is None else f"{row.at_s:.1f}",
        )


def _numbers(ids: Iterable[str], secret: bytes) -> dict[str, int]:
    """A number for each, in an order that only the secret tells (HMAC, RFC 2104)."""
    ordered: Sequence[str] = sorted(
        ids, key=lambda one: hmac.new(secret, one.encode(), hashlib.sha256).digest()
    )
    return {one: number for number, one in enumerate(ordered, start=1)}
