"""A PostgreSQL server of the tests' own: in a temporary folder, by a socket only, gone after."""

from __future__ import annotations

import contextlib
import os
import pwd
import shutil
import subprocess
import tempfile
import uuid
from collections.abc import Iterator
from pathlib import Path

import pytest

_UNPRIVILEGED = ("postgres", "nobody")
"""Users who may run a server where the tests are run by root, whom it refuses."""


class Postgres:
    """A running server; `new_database` gives the address of an empty database."""

    def __init__(self, programs: Path, folder: Path, user: str | None) -> None:
        self._programs = programs
        self.folder = folder
        self._user = user

    def run(self, program: str, *arguments: str) -> None:
        """Run a program of PostgreSQL as the user of the server."""
        done = subprocess.run(
            [str(self._programs / program), *arguments],
            capture_output=True,
            text=True,
            cwd=self.folder,
            user=self._user,
            extra_groups=() if self._user else None,
            group=pwd.getpwnam(self._user).pw_gid if self._user else None,
            env={"PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8"},
        )
        assert done.returncode == 0, done.stdout + done.stderr

    def new_database(self) -> str:
        """The address of an empty database, as the setting `records` takes it."""
        name = f"t{uuid.uuid4().hex}"
        self.run("createdb", "--host", str(self.folder), "--username", "coach", name)
        return f"postgresql://coach@/{name}?host={self.folder}"

    def stop(self) -> None:
        """Stop the server at once."""
        self.run("pg_ctl", "--pgdata", str(self.folder / "data"), "--mode", "immediate", "stop")

    def start(self) -> None:
        """Start it; returns when it takes connections."""
        options = f"-c listen_addresses='' -c unix_socket_directories='{self.folder}' -c fsync=off"
        self.run(
            "pg_ctl",
            *("--pgdata", str(self.folder / "data"), "--wait", "--timeout", "60"),
            *("--log", str(self.folder / "log"), "--options", options, "start"),
        )


def _programs() -> Path | None:
    """The folder of the newest server that is installed."""
    versions = list(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    if versions:
        return max(versions, key=lambda path: int(path.parts[-3])).parent
    found = shutil.which("initdb")
    return Path(found).resolve().parent if found else None


@contextlib.contextmanager
def running_postgres() -> Iterator[Postgres]:
    """A server for the time of the tests, which are skipped, with the reason, where none is."""
    pytest.importorskip("psycopg", reason="the extra `class` is not installed")
    programs = _programs()
    if programs is None:
        pytest.skip("PostgreSQL is not installed (Debian: apt-get install postgresql)")
    user = None
    if os.geteuid() == 0:
        known = {entry.pw_name for entry in pwd.getpwall()}
        user = next((name for name in _UNPRIVILEGED if name in known), None)
        if user is None:
            pytest.skip("PostgreSQL refuses root, and there is no unprivileged user")
    folder = Path(tempfile.mkdtemp(prefix="pg-"))
    if user:
        os.chown(folder, pwd.getpwnam(user).pw_uid, pwd.getpwnam(user).pw_gid)
    server = Postgres(programs, folder, user)
    try:
        server.run(
            "initdb",
            *("--pgdata", str(folder / "data"), "--username", "coach", "--auth", "trust"),
            *("--encoding", "UTF8", "--no-sync"),
        )
        server.start()
        try:
            yield server
        finally:
            server.stop()
    finally:
        shutil.rmtree(folder, ignore_errors=True)
