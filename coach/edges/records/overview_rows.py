"""Who practised how much, and what was not taken in; and every step, for an export."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, func, select

from coach.edges.records.tables import attempts, journals, learners, steps
from coach.records.names import called_by, name_key, told_apart
from coach.records.pseudonyms import StepRow

_A, _S = attempts.c, steps.c


@dataclass(frozen=True, slots=True)
class Practice:
    """How much one learner practised: `called` "" is nobody's; `last` is the wall clock of the
    last attempt (ISO 8601), "" for none."""

    called: str
    attempts: int
    seconds: float
    last: str


def practice_of_all(connection: Connection) -> tuple[Practice, ...]:
    """Everybody in the register, and whoever else has attempts, by name."""
    people = connection.execute(select(learners.c.id, learners.c.name, learners.c.note))
    called = told_apart({id_: called_by(name, note) for id_, name, note in people})
    asked = select(_A.learner, func.count(), func.sum(_A.seconds), func.max(_A.started_s))
    sums = {row[0]: row for row in connection.execute(asked.where(_A.ended).group_by(_A.learner))}
    last = _started(connection, [row[3] for row in sums.values()])
    found = []
    for learner in {**called, **dict.fromkeys(sums)}:
        name = called.get(learner, f"somebody ({learner[:8]})" if learner else "")
        _, count, seconds, at_s = sums.get(learner, (learner, 0, 0.0, None))
        found.append(Practice(name, count, seconds, last.get((learner, at_s), "")))
    return tuple(sorted(found, key=lambda one: (not one.called, name_key(one.called))))


def _started(connection: Connection, times: Sequence[float]) -> dict[tuple[str, float | None], str]:
    found: dict[tuple[str, float | None], str] = {}
    for first in range(0, len(times), 500):
        some = _A.started_s.in_(times[first : first + 500])
        for learner, at_s, started in connection.execute(
            select(_A.learner, _A.started_s, _A.started).where(some)
        ):
            found[learner, at_s] = started
    return found


def refused_journals(connection: Connection) -> tuple[tuple[str, str], ...]:
    """The journals that gave no attempt, and why."""
    asked = select(journals.c.name, journals.c.refused).where(journals.c.refused != "")
    return tuple((name, why) for name, why in connection.execute(asked.order_by(journals.c.name)))


def unended(connection: Connection) -> int:
    """How many attempts broke off, or go on just now."""
    asked = select(func.count()).select_from(attempts).where(_A.ended.is_(False))
    return int(connection.execute(asked).scalar_one())


def every_step(connection: Connection) -> tuple[StepRow, ...]:
    """Every step of every attempt that ended, in the order of the attempts."""
    asked = (
        select(
            _A.learner,
            _A.id,
            _A.started_s,
            _A.skill,
            _A.way,
            _A.verdict,
            _A.share,
            _A.hints,
            _A.seconds,
            _S.step,
            _S.mark,
            _S.coach_mark,
            _S.hints.label("step_hints"),
            _S.at_s,
        )
        .join(steps, _S.attempt == _A.id)
        .where(_A.ended)
        .order_by(_A.started_s, _A.id, _S.position)
    )
    return tuple(StepRow(*tuple(row)) for row in connection.execute(asked))
