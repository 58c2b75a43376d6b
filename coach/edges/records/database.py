"""Opens the database of the records and brings its tables up to date.

SQLite in the data folder, or PostgreSQL where the setting `records` names one. It can be gone,
locked or too new: that is said in words, and costs nothing, since it holds nothing that is not in
the journals and the register.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import sqlalchemy
from sqlalchemy import URL, Connection, Engine, create_engine, event, text
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError

from coach.core.errors import CoachError, InputError, MissingError
from coach.edges.folders import DATA_VARIABLE, user_data_folder
from coach.edges.lasting import OWNER_ONLY_FILE, make_owned_folder
from coach.edges.records.tables import REVISION

FILE = "records.sqlite"

_WAIT_SECONDS = 30.0
"""Longest wait for another program that writes."""

_ONE_WRITER = 0x436F616368
"""The number by which writers of a PostgreSQL database wait for each other ("Coach" in ASCII)."""

_PRAGMAS = ("foreign_keys=ON", "synchronous=NORMAL", "secure_delete=ON")
"""A power cut may cost the last writing, which a rebuild gives again; what is deleted is written
over."""

_REBUILD = "`coach records rebuild` makes it anew from the journals; nothing is lost."


class Records:
    """The database of the records. It is opened, and its tables made or brought up to date, when
    it is first read or written."""

    def __init__(self, url: URL, wait_seconds: float = _WAIT_SECONDS) -> None:
        self.url = url
        self._wait_seconds = wait_seconds
        self._engine: Engine | None = None

    @property
    def where(self) -> str:
        """The file, or the address without a password."""
        return self.url.database or "" if self.is_file else self.url.render_as_string()

    @property
    def is_file(self) -> bool:
        """Whether it is SQLite."""
        return self.url.get_backend_name() == "sqlite"

    @property
    def path(self) -> Path:
        """The file of SQLite."""
        return Path(self.url.database or "")

    @contextlib.contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one state of the database.

        MissingError where it cannot be reached or is locked for long, InputError for a database
        of a newer version.
        """
        with self._words(), self._opened().connect() as connection, connection.begin():
            yield connection

    @contextlib.contextmanager
    def writing(self) -> Iterator[Connection]:
        """A connection that nobody else writes beside; all is written at the end, or nothing."""
        with self._words(), self._opened().connect() as connection:
            _begin_alone(connection)
            with connection.begin():
                _wait_for_turn(connection)
                yield connection

    def close(self) -> None:
        """Let go of the file or the server."""
        if self._engine is not None:
            self._engine.dispose()
            self._engine = None

    def shrink(self) -> None:
        """Let nothing stay of rows that were deleted: the file, or the tables, are written anew."""
        steps = ("PRAGMA wal_checkpoint(TRUNCATE)", "VACUUM", "PRAGMA wal_checkpoint(TRUNCATE)")
        with self._words(), self._opened().connect() as connection:
            alone = connection.execution_options(isolation_level="AUTOCOMMIT", no_begin=True)
            for step in steps if self.is_file else ("VACUUM FULL",):
                alone.exec_driver_sql(step)

    def put_aside(self) -> Path | None:
        """Move a file that is no database, or damaged, out of the way; None if it was sound."""
        if not self.is_file or not self.path.exists() or _is_sound(self.path):
            return None
        self.close()
        number = 1
        while (aside := self.path.with_name(f"{self.path.name}.damaged-{number}")).exists():
            number += 1
        self.path.rename(aside)
        for ending in ("-wal", "-shm"):
            Path(f"{self.path}{ending}").unlink(missing_ok=True)
        return aside

    def _opened(self) -> Engine:
        if self._engine is None:
            if self.is_file:
                _make_file(self.path)
            engine = _engine(self.url, self._wait_seconds)
            try:
                _bring_up_to_date(engine, self.where)
            except BaseException:
                engine.dispose()
                raise
            self._engine = engine
        return self._engine

    @contextlib.contextmanager
    def _words(self) -> Iterator[None]:
        try:
            yield
        except DBAPIError as error:
            raise _in_words(error, self.where) from error


def records_of(environ: Mapping[str, str], told: str | None = None) -> Records:
    """The database that the setting `records` tells, else the one in the data folder."""
    if not told:
        return Records(URL.create("sqlite", database=str(user_data_folder(environ) / FILE)))
    if "://" not in told:
        return Records(URL.create("sqlite", database=str(Path(told).expanduser().absolute())))
    return Records(database_url(told))


def database_url(told: str) -> URL:
    """The address of a PostgreSQL database; InputError for another, or one with a password."""
    try:
        url = sqlalchemy.make_url(told)
        backend = url.get_backend_name()
    except (ArgumentError, NoSuchModuleError, ValueError):
        backend = ""
    if backend not in ("postgresql", "postgres"):
        raise InputError(
            "records takes a file, or the address of a PostgreSQL database such as "
            "postgresql://coach@server/class."
        )
    if url.password is not None:
        raise InputError(
            "records holds a password, which others could read: keep it in the file .pgpass or in "
            "the variable PGPASSWORD, and leave it out of the address."
        )
    return url.set(drivername="postgresql+psycopg")


def _engine(url: URL, wait_seconds: float) -> Engine:
    if url.get_backend_name() != "sqlite":
        try:
            return create_engine(url, connect_args={"connect_timeout": 10}, pool_pre_ping=True)
        except ModuleNotFoundError:
            raise MissingError(
                'PostgreSQL needs the package psycopg: pip install "hands-free-skill-coach[class]".'
            ) from None
    engine = create_engine(url, connect_args={"timeout": wait_seconds})

    @event.listens_for(engine, "connect")
    def connected(connection: sqlite3.Connection, _: Any) -> None:
        # SQLAlchemy begins transactions itself: the module would begin reading before writing.
        connection.isolation_level = None
        for pragma in _PRAGMAS:
            connection.execute(f"PRAGMA {pragma}")
        # In this mode readers go on while another writes. Where another program opens the file at
        # this moment, that one sets it: the change itself waits for nobody.
        with contextlib.suppress(sqlite3.OperationalError):
            connection.execute("PRAGMA journal_mode=WAL")

    @event.listens_for(engine, "begin")
    def begun(connection: Connection) -> None:
        options = connection.get_execution_options()
        if not options.get("no_begin", False):
            alone = options.get("alone", False)
            connection.exec_driver_sql("BEGIN IMMEDIATE" if alone else "BEGIN")

    return engine


def _begin_alone(connection: Connection) -> None:
    connection.execution_options(alone=True)


def _wait_for_turn(connection: Connection) -> None:
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": _ONE_WRITER})


def _bring_up_to_date(engine: Engine, where: str) -> None:
    """Make the tables, or run the steps that are missing; InputError for tables of a newer one."""
    with engine.connect() as connection:
        if _revision(connection) == REVISION:
            return
    # Alembic is slow to import, and only needed where something is to be done.
    from alembic import command
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", "coach.edges.records:migrations")
    with engine.connect() as connection:
        _begin_alone(connection)
        with connection.begin():
            _wait_for_turn(connection)
            revision = _revision(connection)
            known = {step.revision for step in ScriptDirectory.from_config(config).walk_revisions()}
            if revision is not None and revision not in known:
                raise InputError(
                    f"{where} was written by a newer version of the program (tables {revision}; "
                    f"this one knows up to {REVISION}). Update the program, or name another "
                    "database in the setting records."
                )
            config.attributes["connection"] = connection
            command.upgrade(config, REVISION)


def _revision(connection: Connection) -> str | None:
    if not sqlalchemy.inspect(connection).has_table("alembic_version"):
        return None
    found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return None if found is None else str(found)


def _make_file(path: Path) -> None:
    """Make an empty file that only its owner reads; SQLite gives its other files the same mode."""
    try:
        make_owned_folder(path.parent)
        os.close(os.open(path, os.O_CREAT | os.O_RDWR, OWNER_ONLY_FILE))
    except OSError as error:
        raise MissingError(
            f"The records cannot be kept in {path} ({error.strerror}). Make it writable, name "
            f"another in the setting records, or set {DATA_VARIABLE} to another folder."
        ) from error


def _is_sound(path: Path) -> bool:
    try:
        with contextlib.closing(sqlite3.connect(path, timeout=_WAIT_SECONDS)) as connection:
            return bool(connection.execute("PRAGMA quick_check").fetchone()[0] == "ok")
    except sqlite3.OperationalError:
        return True
    except sqlite3.DatabaseError:
        return False


def _in_words(error: DBAPIError, where: str) -> CoachError:
    said = " ".join(str(error.orig).split())
    if "locked" in said:
        return MissingError(f"{where} is being written by another program: try again later.")
    if "not a database" in said or "malformed" in said:
        return MissingError(f"{where} is damaged ({said}). {_REBUILD}")
    if "no such table" in said or "UndefinedTable" in type(error.orig).__name__:
        return MissingError(f"{where} lacks a table ({said}). Move it away; then {_REBUILD}")
    advice = (
        " Is the disk full, or gone? Journals are kept apart from them." if "I/O" in said else ""
    )
    return MissingError(f"The records in {where} cannot be used ({said}).{advice}")
