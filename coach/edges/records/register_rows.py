"""The register's part of the tables: learners, certificates, marks set by hand, imports."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, Table, delete, insert, select, update

from coach.edges.records.tables import attempts, certificates, hand_marks, imports, learners
from coach.records.names import name_key
from coach.records.register import Register
from coach.records.rows import instant_s, stored

Rows = Sequence[dict[str, Any]]


def write_register(connection: Connection, register: Register) -> set[str]:
    """Make the station's rows anew; what another station told later of the same stays.

    Returns the learners whose attempts are another's now, and those others.
    """
    station = register.station
    for table in (learners, certificates, hand_marks, imports):
        connection.execute(delete(table).where(table.c.station == station))
    _put_newer(connection, learners, _learners(register))
    _put_newer(connection, certificates, _certificates(register))
    _put_once(connection, _marks(register))
    if rows := _imports(register):
        connection.execute(insert(imports), rows)
    affected: set[str] = set()
    for old, now in sorted(register.joined.items()):
        theirs = attempts.c.learner == old
        moved = connection.execute(update(attempts).where(theirs).values(learner=now))
        if moved.rowcount:
            affected |= {old, now}
        connection.execute(delete(learners).where(learners.c.id == old))
    return affected


def _put_newer(connection: Connection, table: Table, rows: Rows) -> None:
    """Insert rows of `learners` or `certificates` where nobody told the same later."""
    key = [column.name for column in table.primary_key]
    there = {
        tuple(getattr(row, name) for name in key): (instant_s(row.changed), row.station)
        for row in connection.execute(select(table))
    }
    put: list[dict[str, Any]] = []
    for row in rows:
        before = there.get(tuple(row[name] for name in key))
        if before is not None and before > (instant_s(row["changed"]), row["station"]):
            continue
        if before is not None:
            same = [table.c[name] == row[name] for name in key]
            connection.execute(delete(table).where(*same))
        put.append(row)
    if put:
        connection.execute(insert(table), put)


def _put_once(connection: Connection, rows: Rows) -> None:
    """Insert marks that no station has told yet."""
    key = [column.name for column in hand_marks.primary_key]
    columns = [hand_marks.c[name] for name in key]
    there = {tuple(row) for row in connection.execute(select(*columns))}
    if put := [row for row in rows if tuple(row[name] for name in key) not in there]:
        connection.execute(insert(hand_marks), put)


def _learners(register: Register) -> Rows:
    return [
        {
            "id": one.id,
            "station": register.station,
            "name": stored(one.name),
            "note": stored(one.note),
            "changed": one.changed,
        }
        for one in register.learners.values()
    ]


def _certificates(register: Register) -> Rows:
    return [
        {
            "learner": one.learner,
            "key": name_key(one.name),
            "station": register.station,
            "name": stored(one.name),
            "valid_until": one.valid_until,
            "skills": " ".join(one.skills),
            "changed": one.changed,
        }
        for one in register.certificates.values()
    ]


def _marks(register: Register) -> Rows:
    return [
        {
            "attempt": mark.attempt,
            "step": mark.step,
            "judge": stored(mark.by),
            "at": mark.at,
            "mark": mark.mark.value,
            "station": register.station,
            "because": stored(mark.because),
        }
        for mark in {(m.attempt, m.step, m.by, m.at, m.mark): m for m in register.marks}.values()
    ]


def _imports(register: Register) -> Rows:
    return [
        {
            "station": register.station,
            "number": number,
            "at": one.at,
            "file": stored(one.file),
            "sha256": one.sha256,
            "attempts": one.attempts,
            "learners": one.learners,
        }
        for number, one in enumerate(register.imports)
    ]
