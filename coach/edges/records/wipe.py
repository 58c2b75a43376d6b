"""Wipes a learner everywhere in the data folder and the database, and proves it by looking."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from sqlalchemy import Connection, delete, select

from coach.core.errors import InputError
from coach.dialogue.events import Heard, SessionStarted
from coach.edges.folders import MODELS
from coach.edges.journal_file import SUFFIX, InUseError, held
from coach.edges.lasting import replace_owned
from coach.edges.records.bundle import writing_into
from coach.edges.records.database import FILE, Records
from coach.edges.records.keeping import Keeping
from coach.edges.records.standing_rows import renew_standings
from coach.edges.records.tables import (
    attempts,
    certificates,
    hand_marks,
    learners,
    metadata,
    student_drills,
)
from coach.edges.records.written_files import take_away
from coach.edges.register_file import RegisterFile
from coach.records.wiping import Wanted, class_files_naming, found_in, nameless, wanted_of, without
from coach.session.journal_contents import scan
from coach.session.journal_lines import JOURNAL_LINES, LineError, Record
from coach.session.student_events import WatcherSpoke


@dataclass(frozen=True, slots=True)
class Wiped:
    """What was done and what was looked through: `journals` taken away, `renamed` journals of
    others in which the name was said, files that name them and were written elsewhere (reports,
    calendars, class pages, rosters): how many were `taken_away`, and `not_taken`,
    with the reason; files and rows looked through, and where
    something is left (empty: nowhere)."""

    journals: int
    renamed: int
    taken_away: int
    not_taken: tuple[str, ...]
    files: int
    rows: int
    left: tuple[str, ...]


def wipe(
    learner: str, data: Path, register: RegisterFile, records: Records, keeping: Keeping
) -> Wiped:
    """Take a learner out of journals, torn files, reports, register and database, then look.

    InputError, before anything is taken away, while a session of theirs is being recorded.
    """
    # A database that cannot be reached says so before anything is taken away.
    keeping.update()
    before, known = register.contents().records, register.read()
    wanted = wanted_of(before, known.ids_of(learner))
    sessions = data / "sessions"
    theirs = [path for path in _journals(sessions) if _is_theirs(path, wanted)]
    mentions = [
        path
        for path in _journals(sessions)
        if path not in theirs and found_in(path.read_bytes(), wanted, wanted.spoken_names)
    ]
    with contextlib.ExitStack() as held_now, writing_into(data):
        try:
            for path in (*theirs, *mentions):
                held_now.enter_context(held(path))
        except InUseError as error:
            raise InputError(f"{error} Nothing was wiped.") from None
        gone = frozenset(_attempts(theirs))
        for path in theirs:
            path.unlink()
            path.with_name(f"{path.name}.torn").unlink(missing_ok=True)
        for path in mentions:
            _without_name(path, wanted)
        for path in sessions.glob("*.torn"):
            if found_in(path.read_bytes(), wanted, wanted.spoken_names):
                path.unlink()
    for path in (*theirs, *mentions):
        path.with_name(f"{path.name}.lock").unlink(missing_ok=True)
    # Before the register forgets who and where they are: what breaks off is done by asking again.
    _drop_old_databases(data, records, wanted)
    named = class_files_naming(before, wanted.ids)
    taken_away, not_taken = take_away([*known.reports_of(learner), *named])
    register.rewrite(lambda lines: without(lines, wanted, gone, register.now()))
    keeping.update()
    with records.writing() as connection:
        _wipe_rows(connection, wanted)
    records.shrink()
    elsewhere = (
        [] if not records.is_file else sorted(records.path.parent.glob(f"{records.path.name}*"))
    )
    files, left = _looked_for(data, [path for path in elsewhere if path.exists()], wanted)
    rows, in_rows = _looked_in_rows(records, wanted)
    return Wiped(len(theirs), len(mentions), taken_away, not_taken, files, rows, (*left, *in_rows))


def _drop_old_databases(data: Path, records: Records, wanted: Wanted) -> None:
    """Take away what is left of databases that are in use no more, and hold something: one before
    another was named in the settings, or a damaged one. They were made from the journals alone."""
    endings, found = ("", "-wal", "-shm"), [data / FILE, *data.glob(f"{FILE}.damaged-*")]
    if records.is_file:
        found += records.path.parent.glob(f"{records.path.name}.damaged-*")
    for old in {*found} - ({records.path} if records.is_file else set()):
        for path in (Path(f"{old}{ending}") for ending in endings):
            if path.exists() and found_in(path.read_bytes(), wanted, wanted.spoken_names):
                path.unlink()


def _journals(sessions: Path) -> list[Path]:
    return sorted(sessions.glob(f"*{SUFFIX}"))


def _is_theirs(path: Path, wanted: Wanted) -> bool:
    """Whether it is an attempt of theirs; a damaged one is if their id stands anywhere in it."""
    data = path.read_bytes()
    contents = scan(path.name, data)
    started = [event for event in contents.events if isinstance(event, SessionStarted)]
    if started and not contents.problems:
        return started[0].learner in wanted.ids
    return bool(found_in(data, replace(wanted, names=()), ()))


def _attempts(paths: list[Path]) -> Iterator[str]:
    for path in paths:
        yield scan(path.name, path.read_bytes()).attempt


def _without_name(path: Path, wanted: Wanted) -> None:
    """Write a journal anew with "somebody" where the name was said; all else stays as it was."""
    lines: list[bytes] = []
    for line in path.read_bytes().splitlines(keepends=True):
        if not found_in(line, wanted, wanted.spoken_names):
            lines.append(line)
            continue
        with contextlib.suppress(LineError):
            number, record = JOURNAL_LINES.decode_bytes(line.rstrip(b"\n"))
            new = JOURNAL_LINES.encode(_renamed(record, wanted), number)
            lines.append(f"{new}\n".encode("ascii"))
    replace_owned(path, b"".join(lines))


def _renamed(record: Record, wanted: Wanted) -> Record:
    if isinstance(record, WatcherSpoke):
        return replace(record, text=nameless(record.text, wanted.spoken_names))
    if not isinstance(record, Heard):
        return record
    text = nameless(record.meaning.text, wanted.spoken_names)
    return replace(record, meaning=replace(record.meaning, text=text))


def _wipe_rows(connection: Connection, wanted: Wanted) -> None:
    """Rows of other stations in a shared database too."""
    theirs = attempts.c.learner.in_(wanted.ids)
    ids = select(attempts.c.id).where(theirs)
    connection.execute(delete(hand_marks).where(hand_marks.c.attempt.in_(ids)))
    connection.execute(delete(attempts).where(theirs))
    connection.execute(delete(student_drills).where(student_drills.c.learner.in_(wanted.ids)))
    connection.execute(delete(learners).where(learners.c.id.in_(wanted.ids)))
    connection.execute(delete(certificates).where(certificates.c.learner.in_(wanted.ids)))
    renew_standings(connection, wanted.ids)


def _looked_for(data: Path, more: list[Path], wanted: Wanted) -> tuple[int, list[str]]:
    """How many files of the data folder, and more, were looked through, and those that still hold
    something.

    A name of one word is looked for where names are kept, and not in what others said. Fetched
    models are no records: a short name may be a word that they know.
    """
    count, left = 0, list[str]()
    recorded = (path for path in data.rglob("*") if not path.is_relative_to(data / MODELS))
    for path in sorted({*more, *(path for path in recorded if path.is_file())}):
        count += 1
        in_talk = path.name.endswith((SUFFIX, ".torn", ".sqlite", "-wal", ".json"))
        names = wanted.spoken_names if in_talk else wanted.names
        where = found_in(path.name.encode(), wanted, wanted.names)
        if where or found_in(path.read_bytes(), wanted, names):
            left.append(str(path))
    return count, left


def _looked_in_rows(records: Records, wanted: Wanted) -> tuple[int, list[str]]:
    """How many rows were looked through, and the tables that still hold something."""
    count, left = 0, dict[str, None]()
    with records.reading() as connection:
        for table in metadata.sorted_tables:
            names = wanted.names if table is learners else wanted.spoken_names
            for row in connection.execute(select(table)):
                count += 1
                if any(_holds(value, wanted, names) for value in row):
                    left[f"{records.where}, table {table.name}"] = None
    return count, list(left)


def _holds(value: object, wanted: Wanted, names: tuple[str, ...]) -> bool:
    if isinstance(value, str):
        value = value.encode("utf-8", "replace")
    return isinstance(value, bytes) and bool(found_in(value, wanted, names))
