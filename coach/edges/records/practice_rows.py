"""One learner's attempts out of the database, as the plan of rehearsals needs them."""

from __future__ import annotations

from sqlalchemy import Connection, select

from coach.edges.records.tables import attempts
from coach.rehearsal.instants import instant_of
from coach.rehearsal.practised import Practised
from coach.report.attempt import Verdict, Way

_A = attempts.c


def practised_by(connection: Connection, learner: str) -> tuple[Practised, ...]:
    """All attempts that this learner ended ("" for those that are nobody's)."""
    asked = select(
        _A.skill, _A.started, _A.way, _A.verdict, _A.share, _A.hints, _A.seconds, _A.id
    ).where(_A.learner == learner, _A.ended)
    return tuple(
        Practised(
            skill, instant_of(started), Way(way), Verdict(verdict), share, hints, seconds, id_
        )
        for skill, started, way, verdict, share, hints, seconds, id_ in connection.execute(asked)
    )
