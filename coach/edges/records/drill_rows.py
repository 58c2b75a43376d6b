"""Drills with a student who makes mistakes in the database: written, taken out, found."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict

from sqlalchemy import Connection, and_, delete, insert, select

from coach.edges.records.tables import student_drills
from coach.records.student_drills import StudentDrill

_D = student_drills.c


def put(connection: Connection, station: str, journal: str, drill: StudentDrill) -> None:
    """Write the row of a journal."""
    row = asdict(drill)
    row |= {name: json.dumps(row[name], ensure_ascii=False) for name in ("caught", "missed")}
    connection.execute(insert(student_drills), [{**row, "station": station, "journal": journal}])


def take_out(connection: Connection, station: str, names: Sequence[str] | None) -> None:
    """Take out what came from these journals of the station, or from all."""
    mine = _D.station == station
    where = mine if names is None else and_(mine, _D.journal.in_(names))
    connection.execute(delete(student_drills).where(where))


def drills_by(connection: Connection, learner: str) -> tuple[StudentDrill, ...]:
    """The drills that this learner watched, oldest first; one that several stations hold once."""
    names = list(StudentDrill.__dataclass_fields__)
    asked = select(*(_D[name] for name in names)).where(_D.learner == learner)
    found: dict[str, StudentDrill] = {}
    for row in connection.execute(asked.order_by(_D.whole, _D.seconds, _D.station)):
        values = dict(zip(names, row, strict=True))
        values |= {name: tuple(json.loads(values[name])) for name in ("caught", "missed")}
        found[values["id"]] = StudentDrill(**values)
    return tuple(sorted(found.values(), key=lambda one: (one.started, one.id)))
