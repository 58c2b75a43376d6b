"""Keeps the database in step with the journals and the register, or makes it anew from them."""

from __future__ import annotations

import time
import zlib
from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, or_, select

from coach.edges.records import journals_seen
from coach.edges.records.database import Records
from coach.edges.records.journals_seen import Seen
from coach.edges.records.kept import Kept, Progress
from coach.edges.records.tables import journals, stations
from coach.edges.register_file import RegisterFile
from coach.records import scoring
from coach.records.register import Register
from coach.records.scoring import Scorer

_SETTLED_SECONDS = 3.0
"""A folder that changed later than this ago may change again without its time telling: the
coarsest clock of a file system in use ticks every two seconds (FAT; from memory)."""


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
        marks = journals_seen.by_attempt(register)
        sizes = journals_seen.listed(self._folder)
        stale = journals_seen.changed(self._folder, sizes, seen, marks)
        gone = seen.keys() - sizes.keys()
        # Another journal of the same attempt may count now: one is a copy of the other, or longer.
        again = {seen[name].attempt for name in stale | gone if name in seen}
        stale |= {name for name in sizes if name in seen and seen[name].attempt in again}
        return self._write(register, note, sorted(stale), sorted(gone), progress)

    def rebuild(self, progress: Progress | None = None) -> Kept:
        """Make all rows of this data folder anew; readers see the old ones until it is done."""
        note, register = self._state()
        names = sorted(journals_seen.listed(self._folder))
        return self._write(register, note, names, None, progress)

    def _write(
        self,
        register: Register,
        note: str,
        names: Sequence[str],
        gone: Sequence[str] | None,
        progress: Progress | None,
    ) -> Kept:
        # With it comes all that reads and reckons; most often there is nothing to take in.
        from coach.edges.records.taking_in import take_in

        return take_in(
            self._records, self._folder, self._score, register, note, names, gone, progress
        )

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
        return f"{scoring.JUDGED_AS} {len(register)} {zlib.crc32(register)} {times[0]} {times[1]}"

    def _nothing_new(self, connection: Connection, station: str, note: str) -> bool:
        noted = select(stations.c.seen).where(stations.c.station == station)
        if connection.execute(noted).scalar() != note:
            return False
        growing = or_(journals.c.ended.is_(False), journals.c.refused != "")
        return not journals_seen.grown(self._folder, _seen(connection, station, growing))


def _seen(connection: Connection, station: str, *which: Any) -> dict[str, Seen]:
    """The journals of the station as they were when they were read."""
    names = [field.name for field in fields(Seen)]
    asked = select(journals.c.name, *(journals.c[name] for name in names))
    found = connection.execute(asked.where(journals.c.station == station, *which))
    return {name: Seen(*values) for name, *values in found}
