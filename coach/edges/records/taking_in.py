"""Reads and scores journals, and writes what they come to into the database, all at once."""

from __future__ import annotations

import pickle
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import IO, Any

from sqlalchemy import Connection, and_, delete, insert, select

from coach.edges.records import drill_rows
from coach.edges.records.database import Records
from coach.edges.records.journal_rows import ReadJournal, read
from coach.edges.records.journals_seen import by_attempt
from coach.edges.records.kept import Kept, Progress
from coach.edges.records.register_rows import write_register
from coach.edges.records.standing_rows import renew_standings
from coach.edges.records.tables import OF_AN_ATTEMPT, attempts, journals, stations
from coach.records.register import Register
from coach.records.scoring import Scorer

_AT_ONCE = 200
"""Attempts whose rows are written together; SQLite takes 32,766 values in one question."""


def take_in(
    records: Records,
    folder: Path,
    score: Scorer,
    register: Register,
    note: str,
    names: Sequence[str],
    gone: Sequence[str] | None,
    progress: Progress | None,
) -> Kept:
    """Read and score the journals, then write all at once; `gone` None: all others are."""
    marks, refused = by_attempt(register), dict[str, str]()
    with tempfile.TemporaryFile() as spool:
        # Scoring takes long, writing does not: nobody is kept waiting for the former.
        for number, name in enumerate(names, start=1):
            one = read(folder / name, register, marks, score)
            if one.seen.refused:
                refused[name] = one.seen.refused
            pickle.dump(one, spool)
            if progress:
                progress(number, len(names))
        spool.seek(0)
        with records.writing() as connection:
            before = _names(connection, register.station)
            lost = before - {*names} if gone is None else before & {*gone}
            affected = _drop(
                connection, register.station, None if gone is None else [*names, *lost]
            )
            for some in _chunks(spool, len(names)):
                affected |= _add(connection, register.station, some)
            affected |= write_register(connection, register)
            renew_standings(connection, affected)
            _put_note(connection, register.station, note)
    return Kept(len(names), refused, len(lost))


def _names(connection: Connection, station: str) -> set[str]:
    asked = select(journals.c.name).where(journals.c.station == station)
    return set(connection.execute(asked).scalars())


def _drop(connection: Connection, station: str, names: Sequence[str] | None) -> set[str]:
    """Take out what came from these journals of the station, or from all; the learners of it."""
    mine = attempts.c.station == station
    if names is None:
        found = connection.execute(select(attempts.c.learner).where(mine).distinct())
        learners = set(found.scalars())
        connection.execute(delete(attempts).where(mine))
        connection.execute(delete(journals).where(journals.c.station == station))
        drill_rows.take_out(connection, station, None)
        return learners
    learners = set()
    for first in range(0, len(names), _AT_ONCE):
        some = names[first : first + _AT_ONCE]
        theirs = and_(mine, attempts.c.journal.in_(some))
        learners |= set(connection.execute(select(attempts.c.learner).where(theirs)).scalars())
        connection.execute(delete(attempts).where(theirs))
        read = journals.c.name.in_(some)
        connection.execute(delete(journals).where(journals.c.station == station, read))
        drill_rows.take_out(connection, station, some)
    return learners


def _chunks(spool: IO[bytes], count: int) -> Iterator[list[ReadJournal]]:
    """The journals of the spool, some at a time."""
    for first in range(0, count, _AT_ONCE):
        yield [pickle.load(spool) for _ in range(first, min(first + _AT_ONCE, count))]


def _add(connection: Connection, station: str, some: Sequence[ReadJournal]) -> set[str]:
    """Write the rows of some journals; the learners whose attempts changed.

    Of several journals of one attempt, the one that tells most counts.

    That is one that ended, then one with more events; of equal ones that of the first station and
    name, so that the order in which they came does not matter.
    """
    connection.execute(
        insert(journals),
        [{"station": station, "name": one.name, **asdict(one.seen)} for one in some],
    )
    for one in some:
        if one.drill is not None:
            drill_rows.put(connection, station, one.name, one.drill)
    best = _best_there(connection, [one.seen.attempt for one in some if one.rows])
    chosen: dict[str, dict[str, Any]] = {}
    others: dict[str, Mapping[str, Sequence[Mapping[str, Any]]]] = {}
    for one in some:
        if one.rows is None:
            continue
        row = {**one.rows.attempt, "station": station, "journal": one.name}
        rank = _rank(row["ended"], row["events"], station, one.name)
        attempt = row["id"]
        if attempt not in best or rank < best[attempt]:
            best[attempt], chosen[attempt], others[attempt] = rank, row, one.rows.others
    if not chosen:
        return set()
    replaced = attempts.c.id.in_(chosen)
    learners = set(connection.execute(select(attempts.c.learner).where(replaced)).scalars())
    connection.execute(delete(attempts).where(replaced))
    connection.execute(insert(attempts), list(chosen.values()))
    for table in OF_AN_ATTEMPT:
        if rows := [row for tables in others.values() for row in tables[table.name]]:
            connection.execute(insert(table), rows)
    return learners | {row["learner"] for row in chosen.values()}


_Rank = tuple[bool, int, str, str]


def _rank(ended: bool, events: int, station: str, journal: str) -> _Rank:
    """The lower, the more a journal counts."""
    return (not ended, -events, station, journal)


def _best_there(connection: Connection, ids: Sequence[str]) -> dict[str, _Rank]:
    columns = (attempts.c.ended, attempts.c.events, attempts.c.station, attempts.c.journal)
    found = connection.execute(select(attempts.c.id, *columns).where(attempts.c.id.in_(ids)))
    return {attempt: _rank(*rank) for attempt, *rank in found}


def _put_note(connection: Connection, station: str, note: str) -> None:
    connection.execute(delete(stations).where(stations.c.station == station))
    if note:
        connection.execute(insert(stations), {"station": station, "seen": note})
