"""Both databases, for every test that asks for one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from postgres import Postgres, running_postgres

from coach.edges.records.database import Records, records_of


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    """A PostgreSQL server for all tests."""
    with running_postgres() as server:
        yield server


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Callable[[], Records]]:
    """Opens an empty database, each time it is called another; all are closed in the end."""
    opened: list[Records] = []

    def new() -> Records:
        if request.param == "sqlite":
            told = str(tmp_path / f"records-{len(opened)}.sqlite")
        else:
            told = request.getfixturevalue("postgres").new_database()
        opened.append(records_of({}, told))
        return opened[-1]

    yield new
    for records in opened:
        records.close()


@pytest.fixture
def records(database: Callable[[], Records]) -> Records:
    """An empty database."""
    return database()
