"""Keeps the database in step with the journals and the register, or makes it anew from them."""

from __future__ import annotations

import pickle
import tempfile
import time
import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import IO, Any

from sqlalchemy import Connection, and_, delete, insert, or_, select

from coach.edges.records import drill_rows, sources
from coach.edges.records.database import Records
from coach.edges.records.register_rows import write_register
from coach.edges.records.sources import ReadJournal, Seen
from coach.edges.records.tables import OF_AN_ATTEMPT, attempts, journals, stations
from coach.edges.register_file import RegisterFile
from coach.records.register import Register
from coach.records.scoring import Scorer

Progress = Callable[[int, int], None]
"""Told how many journals of how many are read."""

_AT_ONCE = 200
"""Attempts whose rows are written together; SQLite takes 32,766 values in one question."""

_SETTLED_SECONDS = 3.0
"""A folder that changed later than this ago may change again without its time telling: the
coarsest clock of a file system in use ticks every two seconds (FAT; from memory)."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What an update did: journals that were `read`, those of them that gave no attempt and why,
    and how many are `gone`."""

    read: int
    refused: Mapping[str, str]
    gone: int


class Keeping:
    """Keeps `records` by the journals in `folder` and the `register`; `score` scores one journal.

    `skills` is the folder of the skills' contents: a change there lets journals be tried again.
    """

    def __init__(
        self,
        records: Records,
        folder: Path,
        skills: Path,
        register: RegisterFile,
        score: Scorer,
    ) -> None:
        self._records = records
        self._folder = folder
        self._skills = skills
        self._register = register
        self._score = score

    def update(self, progress: Progress | None = None) -> Kept:
        """Take in what changed since the last time; nothing is written if nothing did.

        A byte that was changed amid a journal, which nobody does, is only found by `rebuild`.
        """
        note, register = self._state()
        with self._records.reading() as connection:
            if note and self._nothing_new(connection, register.station, note):
                return Kept(0, {}, 0)
            seen = _seen(connection, register.station)
        marks = sources.by_attempt(register)
        sizes = sources.listed(self._folder)
        stale = sources.changed(self._folder, sizes, seen, marks)
        gone = seen.keys() - sizes.keys()
        # Another journal of the same attempt may count now: one is a copy of the other, or longer.
        again = {seen[name].attempt for name in stale | gone if name in seen}
        stale |= {name for name in sizes if name in seen and seen[name].attempt in again}
        return self._write(register, note, sorted(stale), sorted(gone), progress)

    def rebuild(self, progress: Progress | None = None) -> Kept:
        """Make all rows of this data folder anew; readers see the old ones until it is done."""
        note, register = self._state()
        names = sorted(sources.listed(self._folder))
        return self._write(register, note, names, None, progress)

    def _write(
        self,
        register: Register,
        note: str,
        names: Sequence[str],
        gone: Sequence[str] | None,
        progress: Progress | None,
    ) -> Kept:
        """Read and score the journals, then write all at once; `gone` None: all others are."""
        # With it comes all that reckons in rows of numbers; most often there is nothing to write.
        from coach.edges.records.standing_rows import renew_standings

        marks, refused = sources.by_attempt(register), dict[str, str]()
        with tempfile.TemporaryFile() as spool:
            # Scoring takes long, writing does not: nobody is kept waiting for the former.
            for number, name in enumerate(names, start=1):
                one = sources.read(self._folder / name, register, marks, self._score)
                if one.seen.refused:
                    refused[name] = one.seen.refused
                pickle.dump(one, spool)
                if progress:
                    progress(number, len(names))
            spool.seek(0)
            with self._records.writing() as connection:
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

    def _state(self) -> tuple[str, Register]:
        """The note of the data folder, and a register that is not older than it."""
        if not self._register.content():
            # Its first line names the data folder.
            self._register.add(lambda _: ())
        note = self._note()
        return note, self._register.read()

    def _note(self) -> str:
        """Tells the state of the data folder at a glance; empty while it may be changing.

        Sessions that have not ended are not in it: they grow without their folder's changing.
        """
        register = self._register.content()
        times = []
        for folder in (self._folder, self._skills):
            try:
                times.append(folder.stat().st_mtime_ns)
            except OSError:
                times.append(0)
        if time.time() - max(times) / 1e9 < _SETTLED_SECONDS:
            return ""
        return f"{len(register)} {zlib.crc32(register)} {times[0]} {times[1]}"

    def _nothing_new(self, connection: Connection, station: str, note: str) -> bool:
        noted = select(stations.c.seen).where(stations.c.station == station)
        if connection.execute(noted).scalar() != note:
            return False
        growing = or_(journals.c.ended.is_(False), journals.c.refused != "")
        return not sources.grown(self._folder, _seen(connection, station, growing))


def _seen(connection: Connection, station: str, *which: Any) -> dict[str, Seen]:
    """The journals of the station as they were when they were read."""
    names = [field.name for field in fields(Seen)]
    asked = select(journals.c.name, *(journals.c[name] for name in names))
    found = connection.execute(asked.where(journals.c.station == station, *which))
    return {name: Seen(*values) for name, *values in found}


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
